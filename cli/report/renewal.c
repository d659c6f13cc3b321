/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to do with a recirculating solution before the additions: how much to
 * drain, what for, and what to top up with. */
#include <math.h>
#include <string.h>

#include "report/blocks.h"
#include "sentences_text.h"

enum { MOST_NAME = 50 };
/* Less than this share of what is held is none. */
static const double nothing = 1e-3;

typedef report_sentence sentence;

/* "134 L (35.4 gal)", the unit that was asked for first. */
static cli_figure litres(const cli_report *report, double volume_l)
{
    cli_figure metric = figure_liquid_metric(1000.0 * volume_l);
    cli_figure us = figure_liquid_us(1000.0 * volume_l);
    bool first = report->settings->volume_system == SW_US;
    return figure_beside(first ? us : metric, first ? metric : us);
}

/* What is drained for a target is no more than that takes. */
static sentence drain_words(const cli_report *report)
{
    const sw_renewal *renewal = report->renewal;
    cli_turnover turnover = report_turnover(report);
    bool closest = renewal->outcome == SW_CONFLICT && !renewal->unreached_count;
    sentence rest =
        closest
            ? report_words(SAY_DRAIN_CLOSEST)
            : report_words(SAY_DRAIN_NOT_FOR_TARGETS,
                           renewal->unreached_count ? " but those missed" : "",
                           turnover.drained_l > 0.0 ? " that stays" : "");
    cli_figure drained = litres(report, turnover.drained_l);
    cli_figure held = litres(report, report->holds_l);
    if (turnover.drained_l <= 0.0)
        return report_words("nothing: %s", rest.text);
    if (renewal->drained <= 0.0)
        return report_words(SAY_DRAIN_FOR_ROOM, drained.text, held.text,
                            rest.text);
    return report_words(SAY_DRAIN_FOR_TARGETS, drained.text, held.text,
                        100.0 * turnover.drained_l / report->holds_l,
                        renewal->unreached_count ? "other " : "");
}

/* "nothing", or so many litres. */
static cli_figure drained(const cli_report *report, double share)
{
    return share < nothing ? (cli_figure){"nothing"}
                           : litres(report, share * report->holds_l);
}

/* What it gains to be without an end of a target: alone, and with those that
 * stand before it. */
static sentence forcing_words(const cli_report *report, size_t index)
{
    const sw_forcing *f = &report->renewal->forcing[index];
    double saved = report->renewal->drained - f->drained_alone;
    bool on_the_way = index > 0 && !isnan(f->drained_together);
    if (on_the_way)
        return report_words(SAY_DRAIN_WITHOUT_TOO, f->limit.name,
                            drained(report, f->drained_together).text);
    if (saved < nothing)
        return report_words(SAY_DRAIN_NO_LESS, f->limit.name);
    return report_words(SAY_DRAIN_LESS, f->limit.name,
                        drained(report, f->drained_alone).text,
                        litres(report, saved * report->holds_l).text);
}

static void put_forcing(doc_block *block, const cli_report *report,
                        size_t index)
{
    const sw_forcing *f = &report->renewal->forcing[index];
    sentence words = forcing_words(report, index);
    sentence brought = {""};
    doc_record *row = doc_row(block);
    if (!isnan(f->brought))
        brought = report_words(
            SAY_DRAIN_RISES, report->inputs->target->rows[f->limit.index].name,
            figure_short(f->brought).text);
    doc_text(row, "limit", f->limit.name);
    doc_text(row, "end", f->limit.end == SW_SIDE_MAX ? "max" : "min");
    doc_flag(row, "accepted_range", f->limit.origin != SW_GIVEN);
    DOC_NUMBERS(row, {"bound", f->limit.bound},
                {"drained_l_without", f->drained_alone * report->holds_l},
                {"drained_l_without_those_before",
                 f->drained_together * report->holds_l},
                {"brought_mg_per_l", f->brought});
    doc_print(row, "text", "%s%s.", words.text, brought.text);
}

/* "Cu max, B min", those whose limit is only the accepted range. */
static bool list_ranges(const cli_report *report, char *names, size_t size)
{
    const sw_renewal *renewal = report->renewal;
    names[0] = '\0';
    for (size_t i = 0; i < renewal->forcing_count; i++) {
        const sw_forcing *forcing = &renewal->forcing[i];
        if (forcing->limit.origin != SW_GIVEN &&
            strlen(names) + MOST_NAME < size)
            text_join(names, size, ", ", "%.40s %s",
                      report->inputs->target->rows[forcing->limit.index].name,
                      forcing->limit.end == SW_SIDE_MAX ? "max" : "min");
    }
    return names[0];
}

static void put_forced_by(doc_record *out, const cli_report *report)
{
    char names[512];
    doc_block *block = doc_add(out, "forced_by");
    for (size_t i = 0; i < report->renewal->forcing_count; i++)
        put_forcing(block, report, i);
    if (list_ranges(report, names, sizeof names))
        doc_after(block, SAY_DRAIN_DEFAULT_ENDS, names);
    if (report->renewal->drained > 0.0)
        doc_after(block, SAY_DRAIN_LOCAL_RULES);
}

/* What neither draining nor adding can do, and why. */
static void put_unreached(doc_record *out, const cli_report *report)
{
    doc_block *block = doc_add(out, "unreached");
    for (size_t i = 0; i < report->renewal->unreached_count; i++) {
        const sw_unreached *u = &report->renewal->unreached[i];
        const char *unit = u->limit.unit;
        doc_record *row = doc_row(block);
        doc_text(row, "limit", u->limit.name);
        doc_text(row, "end", u->limit.end == SW_SIDE_MAX ? "max" : "min");
        DOC_NUMBERS(row, {"bound", u->limit.bound}, {"finished", u->finished});
        doc_text(row, "unit", unit);
        doc_flag(row, "within_lab_error", u->within_error);
        doc_text(row, "reason", u->reason);
        doc_print(row, "text", "%s: %s; it is %s%s%s.", u->limit.name,
                  u->reason, figure_short(u->finished).text, *unit ? " " : "",
                  unit);
    }
}

void report_renewal(doc_record *record, const cli_report *report)
{
    if (!report->renewal)
        return;
    cli_turnover turnover = report_turnover(report);
    doc_block *block = doc_add(record, "renewal");
    doc_record *out = doc_row(block);
    if (!report->assessment)
        doc_show_block(block, DOC_DATA);
    doc_text(out, "outcome", sw_outcome_text(report->renewal->outcome));
    doc_text(out, "drain", drain_words(report).text);
    doc_print(out, "top_up", "to %s with %s of fresh water",
              figure_volume_both(report->settings->volume_l,
                                 report->settings->volume_system)
                  .text,
              litres(report, turnover.fresh_l).text);
    doc_text(out, "add", SAY_DRAIN_WHAT_FOLLOWS);
    DOC_NUMBERS(out, {"holds_l", report->holds_l},
                {"drained_share", turnover.drained_l / report->holds_l},
                {"drained_l", turnover.drained_l}, {"kept_l", turnover.kept_l},
                {"fresh_l", turnover.fresh_l});
    put_forced_by(out, report);
    put_unreached(out, report);
}
