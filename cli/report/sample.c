/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A sample of a nutrient solution beside its feed and its target. */
#include <math.h>

#include "report/blocks.h"
#include "io/figure.h"
#include "sentences_text.h"

/* "<0.05": of what is below detection. */
static void put_amount(doc_record *out, const char *key, double amount,
                       double most)
{
    doc_number(out, key, amount);
    if (amount <= 0.0 && most > 0.0)
        doc_reads(out, key, "<%s", figure_short(most).text);
}

static void put_ratio(doc_record *out, const sw_sample_row *row)
{
    double low = row->ratio_low, high = row->ratio_high;
    double one = row->found > 0.0 ? low : high;
    if (!isfinite(one))
        return;
    cli_figure shown = figure_fixed(one, FIGURE_MEASURE);
    doc_number(out, "ratio", one);
    if (high > 1.02 * low)
        doc_reads(out, "ratio", "%s%s", row->found > 0.0 ? ">" : "<",
                  shown.text);
}

static int decimals_of(const sw_sample_row *row)
{
    double size = fmax(fmax(row->found, row->fed), row->target);
    if (row->kind == SW_TARGET_RATIO)
        return FIGURE_RATIO;
    return row->kind == SW_TARGET_COMPONENT ? figure_decimals(size)
                                            : FIGURE_MEASURE;
}

static void put_row(doc_block *block, const sw_sample_row *row)
{
    static const char *const units[] = {[SW_TARGET_COMPONENT] = "mg/L",
                                        [SW_TARGET_RATIO] = "by mass",
                                        [SW_TARGET_PH] = "",
                                        [SW_TARGET_EC] = "mS/cm"};
    bool missed = sw_is_missed(row->verdict);
    doc_record *out = doc_row(block);
    int decimals = decimals_of(row);
    doc_decimals(out, decimals);
    doc_text(out, "name", row->name);
    doc_text(out, "unit", units[row->kind]);
    put_amount(out, "feed", row->fed, row->fed_most);
    put_amount(out, "found", row->found, row->found_most);
    put_ratio(out, row);
    DOC_NUMBERS(out, {"at_feed_ec", row->at_feed_ec},
                {"taken_up", row->taken_up}, {"target", row->target},
                {"low", row->low}, {"high", row->high});
    doc_text(out, "uptake", sw_uptake_text(row->uptake));
    report_range(out, "range", row->low, row->high, decimals);
    doc_text(out, "verdict", sw_verdict_text(row->verdict));
    doc_text(out, "remark", row->remark);
    if (!row->remark[0] && missed &&
        report_is_hidden(row->found, row->low, row->high, decimals))
        doc_text(out, "remark", report_hidden);
    doc_colour(out, missed                   ? DOC_BAD
                    : row->verdict == SW_MET ? DOC_GOOD
                                             : DOC_PLAIN);
}

static bool is_missed(const sw_audit_report *report)
{
    for (size_t i = 0; i < report->row_count; i++)
        if (sw_is_missed(report->rows[i].verdict))
            return true;
    return false;
}

void report_sample(doc_record *record, const cli_audit *audit)
{
    const sw_audit_report *report = audit->report;
    doc_block *block = doc_add(record, "sample");
    for (size_t i = 0; i < report->row_count; i++)
        put_row(block, &report->rows[i]);
    if (audit->feeds.count || !isnan(audit->drained))
        doc_after(block, SAY_STEADY_STATE);
    if (is_missed(report))
        doc_after(block, SAY_SAMPLE_NEXT);
}

/* ---- In sentences ---------------------------------------------------------*/

static void say_all(doc_block *verdict, const sw_audit_report *report,
                    sw_uptake uptake)
{
    char list[300] = "";
    for (size_t i = 0; i < report->row_count; i++)
        if (report->rows[i].uptake == uptake &&
            report->rows[i].kind == SW_TARGET_COMPONENT)
            text_join(list, sizeof list, ", ", "%s", report->rows[i].name);
    if (list[0])
        doc_say(verdict, DOC_PLAIN, "Taken up %s than water: %s.",
                sw_uptake_text(uptake), list);
}

static void say_drained(doc_block *verdict, const sw_audit_report *report)
{
    if (!isnan(report->most_drained))
        doc_say(verdict, DOC_PLAIN, SAY_DRAINS_AT_MOST,
                figure_percent(report->most_drained).text,
                sw_component_name(report->most_drained_by));
}

static void say_in_range(doc_block *verdict, const sw_audit_report *report)
{
    size_t met = 0, all = 0;
    char lists[2][300] = {"", ""};
    for (size_t i = 0; i < report->row_count; i++) {
        const sw_sample_row *row = &report->rows[i];
        all += row->verdict != SW_VERDICT_NONE;
        met += row->verdict == SW_MET;
        if (sw_is_missed(row->verdict))
            text_join(lists[row->verdict == SW_OVER], sizeof lists[0], ", ",
                      "%s", row->name);
    }
    if (all)
        doc_say(verdict, met < all ? DOC_BAD : DOC_GOOD, SAY_SAMPLE_MET, met,
                all, lists[0][0] ? " Short: " : "", lists[0],
                lists[0][0] ? "." : "", lists[1][0] ? " Over: " : "", lists[1],
                lists[1][0] ? "." : "");
}

void report_say_sample(doc_block *verdict, const cli_audit *audit)
{
    say_in_range(verdict, audit->report);
    if (!audit->feeds.count && isnan(audit->drained))
        return;
    say_all(verdict, audit->report, SW_FASTER_THAN_WATER);
    say_all(verdict, audit->report, SW_SLOWER_THAN_WATER);
    say_drained(verdict, audit->report);
}
