/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The audit of a lab report: is it consistent, and what is the water fit for?
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "report/blocks.h"
#include "io/figure.h"
#include "sentences_text.h"

static void say_consistent(doc_block *verdict, const cli_audit *audit)
{
    size_t agree = audit_count_checks(audit, SW_AGREES);
    size_t missing = audit_count_checks(audit, SW_NOT_CHECKED);
    size_t made = audit->report->check_count - missing;
    size_t wrong = audit_count_checks(audit, SW_DISAGREES);
    if (made == 0)
        doc_say(verdict, DOC_PLAIN, SAY_AUDIT_UNCHECKED);
    else
        doc_say(verdict, wrong ? DOC_BAD : DOC_GOOD, SAY_AUDIT_CHECKS,
                wrong           ? "not consistent"
                : agree == made ? "consistent"
                                : "doubtful",
                agree, made, missing ? "; the others lack a value" : "");
}

static void say_suitable(doc_block *verdict, const cli_audit *audit)
{
    size_t unfit = audit_count_limits(audit, SW_UNFIT);
    size_t care = audit_count_limits(audit, SW_CARE);
    size_t all = audit->report->fitness_count;
    report_sentence of_care = {""}, of_unfit = {""};
    if (care)
        of_care = report_words("; %zu %s its use", care,
                               care > 1 ? "restrict" : "restricts");
    if (unfit)
        of_unfit = report_words(SAY_AUDIT_UNSUITABLE, unfit,
                                unfit > 1 ? "make" : "makes");
    if (unfit + care == 0)
        doc_say(verdict, DOC_GOOD, SAY_AUDIT_LIMITS_MET, all);
    else
        doc_say(verdict, unfit ? DOC_BAD : DOC_PLAIN, SAY_AUDIT_LIMITS, all,
                all - care - unfit, of_care.text, of_unfit.text);
}

static void say_danger(doc_block *verdict, const cli_audit *audit)
{
    const sw_notes *notes = &audit->report->notes;
    size_t i = 0;
    while (i < notes->count && notes->items[i].severity != SW_DANGER)
        i++;
    if (i < notes->count)
        doc_say(verdict, DOC_BAD, SAY_AUDIT_DANGER,
                audit_is_of_solution(audit) ? "solution" : "water");
}

static void put_allowed(doc_record *out, const sw_check_row *row)
{
    cli_figure low = figure_fixed(row->low, 2);
    cli_figure high = figure_fixed(row->high, 2);
    if (!isnan(row->low) && !isnan(row->high))
        doc_print(out, "allowed", "%s to %s", low.text, high.text);
    else if (!isnan(row->high))
        doc_print(out, "allowed", "up to %s", high.text);
    else if (!isnan(row->low))
        doc_print(out, "allowed", "from %s", low.text);
}

/* "reported / calculated: 0.788 and 0.785 mS/cm; too few anions" */
static void put_remark(doc_record *out, const sw_check_row *row)
{
    report_sentence words = {""};
    if (!isnan(row->reported) && !isnan(row->calculated))
        words = report_words("%s: %s and %s%s%s", row->measure,
                             figure_plain(row->reported).text,
                             figure_plain(row->calculated).text,
                             row->unit[0] ? " " : "", row->unit);
    else if (row->finding != SW_NOT_CHECKED)
        words = report_words("%s", row->measure);
    if (row->reason[0])
        text_join(words.text, sizeof words.text, "; ", "%s", row->reason);
    doc_text(out, "remark", words.text);
}

static void put_check(doc_block *checks, const sw_check_row *row)
{
    static const doc_tone tones[] = {[SW_NOT_CHECKED] = DOC_PLAIN,
                                     [SW_AGREES] = DOC_GOOD,
                                     [SW_DOUBTFUL] = DOC_BAD,
                                     [SW_DISAGREES] = DOC_BAD};
    doc_record *out = doc_row(checks);
    doc_text(out, "check", row->name);
    DOC_NUMBERS(out, {"value", row->value}, {"low", row->low},
                {"high", row->high}, {"reported", row->reported},
                {"calculated", row->calculated});
    if (row->finding != SW_NOT_CHECKED)
        put_allowed(out, row);
    doc_text(out, "finding", sw_finding_text(row->finding));
    doc_text(out, "unit", row->unit);
    doc_text(out, "measure", row->measure);
    doc_text(out, "reason", row->reason);
    doc_text(out, "source", row->source);
    put_remark(out, row);
    doc_colour(out, tones[row->finding]);
}

static void put_checks(doc_record *report, const sw_audit_report *audit)
{
    doc_block *checks = doc_add(report, "checks");
    for (size_t i = 0; i < audit->check_count; i++)
        put_check(checks, &audit->checks[i]);
}

static void put_columns(doc_record *out, const sw_rereading *row)
{
    if (row->checked)
        DOC_NUMBERS(out, {"checked", (double)row->checked},
                    {"balanced_given", (double)row->balanced_given},
                    {"balanced_read", (double)row->balanced_read},
                    {"median_given_percent", row->median_given_percent},
                    {"median_read_percent", row->median_read_percent});
}

void report_rereadings(doc_record *record, const sw_rereading *rows,
                       size_t count)
{
    doc_block *block = doc_add(record, "rereadings");
    for (size_t i = 0; i < count; i++) {
        doc_record *out = doc_row(block);
        doc_text(out, "read_as", rows[i].read_as);
        DOC_NUMBERS(out, {"share", rows[i].share}, {"score", rows[i].score});
        put_columns(out, &rows[i]);
        doc_text(out, "text", rows[i].text);
    }
    if (count)
        doc_after(block, SAY_ASK_LABORATORY);
}

doc_record *report_audit(const cli_audit *audit)
{
    doc_record *report = report_begin("audit");
    doc_block *verdict = doc_add(report, "verdict");
    say_consistent(verdict, audit);
    if (audit_is_of_solution(audit))
        report_say_sample(verdict, audit);
    else
        say_suitable(verdict, audit);
    say_danger(verdict, audit);
    report_water(report, "water", audit->source, (double)NAN);
    doc_number(report, "score", audit->report->score);
    if (!isnan(audit->read_ms_per_cm)) {
        doc_block *meter = doc_add(report, "meter");
        DOC_NUMBERS(doc_row(meter), {"bare_ms_per_cm", audit->read_ms_per_cm},
                    {"temperature_c", audit->meter_c});
        doc_after(meter, SAY_EC_UNCOMPENSATED);
    }
    report_sample(report, audit);
    put_checks(report, audit->report);
    report_rereadings(report, audit->report->rereadings,
                      audit->report->rereading_count);
    report_limits(report, audit->report->fitness, audit->report->fitness_count);
    report_read_as(report, audit->source);
    doc_block *notes = doc_add(report, "notes");
    report_notes(notes, &audit->source->notes, DOC_DATA);
    report_notes(notes, &audit->report->notes, 0);
    return report;
}
