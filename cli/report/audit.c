/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The audit of a lab report, or of many: is it consistent, and what is the
 * water fit for? */
#include <math.h>
#include <string.h>

#include "report/blocks.h"
#include "io/figure.h"
#include "sentences_text.h"

/* ", 1 is doubtful", ", 2 fail"; "" where there are none. */
static report_sentence say_count(size_t count, const char *one,
                                 const char *several)
{
    return count ? report_words(", %zu %s", count, count == 1 ? one : several)
                 : (report_sentence){""};
}

/* What a water's report does not tell contradicts nothing, but is asked for
 * before mixing. */
static bool tells_lack(const sw_note *note)
{
    return !audit_doubts(note) && !strcmp(note->code, "lacking-by-charge");
}

/* What the verdict does not point to as a danger. */
static bool tells_gas(const sw_note *note)
{
    return audit_gives_gas(note) && note->severity < SW_DANGER;
}

/* The notes that `are` so; whether there are any. */
static bool say_notes(doc_block *verdict, const cli_audit *audit,
                      bool (*are)(const sw_note *))
{
    const sw_notes *notes = &audit->report->notes;
    bool any = false;
    for (size_t i = 0; i < notes->count; i++) {
        if (!are(&notes->items[i]))
            continue;
        doc_say(verdict, DOC_BAD, "%s", notes->items[i].text);
        any = true;
    }
    return any;
}

/* What the checks made say of the report as a whole. */
static const char *word_of(const cli_audit *audit, bool doubted, bool lacking)
{
    if (audit_count_checks(audit, SW_DISAGREES))
        return "not consistent";
    if (audit_count_checks(audit, SW_DOUBTFUL) || doubted)
        return "doubtful";
    return lacking ? "incomplete" : "consistent";
}

static void say_consistent(doc_block *verdict, const cli_audit *audit)
{
    size_t agree = audit_count_checks(audit, SW_AGREES);
    size_t missing = audit_count_checks(audit, SW_NOT_CHECKED);
    size_t made = audit->report->check_count - missing;
    size_t wrong = audit_count_checks(audit, SW_DISAGREES);
    size_t doubtful = made - agree - wrong;
    bool doubted = say_notes(verdict, audit, audit_doubts);
    bool lacking =
        !audit_is_of_solution(audit) && say_notes(verdict, audit, tells_lack);
    if (made == 0)
        doc_say(verdict, DOC_PLAIN, SAY_AUDIT_UNCHECKED);
    else
        doc_say(verdict, wrong || doubted || lacking ? DOC_BAD : DOC_GOOD,
                SAY_AUDIT_CHECKS, word_of(audit, doubted, lacking), agree, made,
                say_count(doubtful, "is doubtful", "are doubtful").text,
                say_count(wrong, "fails", "fail").text,
                missing ? report_words(SAY_AUDIT_NOT_MADE, missing).text : "");
}

enum { LIST_BYTES = 1600 };

/* "irrigation, Cl 147 of at most 142 mg/L", one more of a list. */
static void add_exceeded(char list[LIST_BYTES], const sw_guideline_row *row)
{
    const char *use = row->soil ? "" : row->use;
    double unfit = isnan(row->severe) ? row->danger : row->severe;
    double bound = row->fitness == SW_UNFIT ? unfit : row->caution;
    text_join(list, LIST_BYTES, "; ", "%s%s%s %s of at %s %s%s%s", use,
              *use ? ", " : "", row->name, figure_short(row->value).text,
              row->below ? "least" : "most", figure_short(bound).text,
              *row->unit ? " " : "", row->unit);
}

/* "Restricted: irrigation, Cl 147 of at most 142 mg/L; ..." */
static void say_exceeded(doc_block *verdict, const cli_audit *audit,
                         sw_fitness fitness, const char *word)
{
    char list[LIST_BYTES] = "";
    for (size_t i = 0; i < audit->report->fitness_count; i++) {
        const sw_guideline_row *row = &audit->report->fitness[i];
        if (!row->soil && row->fitness == fitness)
            add_exceeded(list, row);
    }
    if (*list)
        doc_say(verdict, fitness == SW_UNFIT ? DOC_BAD : DOC_PLAIN, "%s: %s.",
                word, list);
}

/* What concerns none who grows without soil; a soft water is their best. */
static void say_of_soil(doc_block *verdict, const cli_audit *audit)
{
    char list[LIST_BYTES] = "";
    for (size_t i = 0; i < audit->report->fitness_count; i++) {
        const sw_guideline_row *row = &audit->report->fitness[i];
        if (row->soil && (row->fitness == SW_CARE || row->fitness == SW_UNFIT))
            add_exceeded(list, row);
    }
    if (*list)
        doc_say(verdict, DOC_PLAIN, SAY_AUDIT_OF_SOIL, list);
}

static void say_suitable(doc_block *verdict, const cli_audit *audit)
{
    size_t unfit = audit_count_limits(audit, SW_UNFIT);
    size_t care = audit_count_limits(audit, SW_CARE);
    size_t all = audit_count_limits(audit, SW_FIT) + care + unfit;
    report_sentence of_care = {""}, of_unfit = {""};
    if (care)
        of_care = report_words("; %zu %s its use", care,
                               care > 1 ? "restrict" : "restricts");
    if (unfit)
        of_unfit = report_words(SAY_AUDIT_UNSUITABLE, unfit,
                                unfit > 1 ? "make" : "makes");
    if (all == 0)
        doc_say(verdict, DOC_PLAIN, SAY_AUDIT_LIMITS_NONE);
    else if (unfit + care == 0)
        doc_say(verdict, DOC_GOOD, SAY_AUDIT_LIMITS_MET,
                all == 1 ? "one limit"
                         : report_words("all %zu limits", all).text);
    else
        doc_say(verdict, unfit ? DOC_BAD : DOC_PLAIN, SAY_AUDIT_LIMITS, all,
                all - care - unfit, of_care.text, of_unfit.text);
    say_exceeded(verdict, audit, SW_UNFIT, "Unsuitable");
    say_exceeded(verdict, audit, SW_CARE, "Restricted");
    say_of_soil(verdict, audit);
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

static void report_rereadings(doc_record *record, const sw_rereading *rows,
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
    say_notes(verdict, audit, tells_gas);
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
    const sw_notes *read = &audit->source->notes;
    for (size_t i = 0; i < read->count; i++)
        report_note(notes, &read->items[i], read->items[i].text,
                    report_places_of_read(&read->items[i]));
    report_notes(notes, &audit->report->notes, 0);
    return report;
}

/* ---- Of many samples ------------------------------------------------ */

static const char *use_text(audit_use use)
{
    static const char *const texts[] = {[USE_FREE] = "yes",
                                        [USE_RESTRICTED] = "restricted",
                                        [USE_UNSUITABLE] = "unsuitable",
                                        [USE_UNCLEAR] = "unclear",
                                        [USE_NONE] = "no"};
    return texts[use];
}

static bool holds(const sw_sample_audit *s)
{
    return s->finding == SW_AGREES || s->finding == SW_NOT_CHECKED;
}

static const char *finding_text(const sw_sample_audit *s)
{
    return holds(s) && *s->lacking ? "incomplete" : sw_finding_text(s->finding);
}

/* "charge balance", "Cl for irrigation", or both; where nothing disagrees,
 * what the report lacks. */
static void put_worst(doc_record *out, const sw_sample_audit *s)
{
    bool limited = s->fitness != SW_FIT || s->danger;
    report_sentence lacks = {""};
    if (*s->lacking)
        lacks = report_words(SAY_ARCHIVE_LACKING, s->lacking);
    const char *report = holds(s) ? lacks.text : s->check;
    doc_print(out, "remark", "%s%s%s%s%s", report,
              *report && limited ? "; " : "", limited ? s->limit : "",
              limited ? " for " : "", limited ? s->use : "");
}

static void put_sample(doc_block *block, const char *name,
                       const sw_sample_audit *s)
{
    audit_use use = audit_use_of(s);
    doc_record *out = doc_row(block);
    doc_text(out, "sample", name);
    DOC_NUMBERS(out, {"balance_percent", s->balance_percent},
                {"ec_ratio", s->ec_ratio});
    doc_text(out, "finding", finding_text(s));
    if (s->finding != SW_NOT_CHECKED)
        doc_text(out, "check", s->check);
    doc_text(out, "fitness", sw_fitness_text(s->fitness));
    doc_text(out, "limit", s->limit);
    doc_text(out, "use", s->use);
    doc_text(out, "usable", use_text(use));
    put_worst(out, s);
    doc_colour(out, use == USE_FREE        ? DOC_GOOD
                    : use > USE_RESTRICTED ? DOC_BAD
                                           : DOC_PLAIN);
}

static void say_balance(doc_block *verdict, const sw_archive *a)
{
    if (a->checked == 0) {
        doc_say(verdict, DOC_PLAIN, SAY_ARCHIVE_UNCHARGED, a->count,
                a->count == 1 ? "" : "s");
        return;
    }
    doc_say(verdict, 2 * a->balanced < a->checked ? DOC_BAD : DOC_PLAIN,
            SAY_ARCHIVE_CHARGE, a->count, a->count == 1 ? "" : "s", a->checked,
            a->balanced, figure_fixed(a->median_percent, 1).text);
    if (a->ec_checked)
        doc_say(verdict, DOC_PLAIN, SAY_ARCHIVE_EC, a->ec_within,
                a->ec_checked);
}

/* Of those for whom it is so, and how many they are. */
static void say_usable(doc_block *verdict, const sw_archive *a)
{
    static const char *const words[] = {
        [USE_FREE] = "%zu usable without restriction",
        [USE_RESTRICTED] = "%zu above a limit for some use",
        [USE_UNSUITABLE] = "%zu unsuitable for some use",
        [USE_UNCLEAR] = "%zu with a report in doubt",
        [USE_NONE] = "%zu that no crop should get"};
    size_t of[USE_NONE + 1] = {0};
    char list[200] = "";
    for (size_t i = 0; i < a->count; i++)
        of[audit_use_of(&a->samples[i])]++;
    for (int use = USE_FREE; use <= USE_NONE; use++)
        if (of[use])
            text_join(list, sizeof list, "; ", words[use], of[use]);
    doc_say(verdict, of[USE_NONE] ? DOC_BAD : DOC_PLAIN, "Samples: %s.", list);
}

/* What is to be done about those in doubt, or believed, before mixing. */
static void say_lacks(doc_block *verdict, const sw_archive *a)
{
    size_t without = 0, incomplete = 0;
    for (size_t i = 0; i < a->count; i++) {
        without += a->samples[i].no_alkalinity;
        incomplete += holds(&a->samples[i]) && *a->samples[i].lacking;
    }
    if (without)
        doc_say(verdict, DOC_BAD, SAY_ARCHIVE_NO_ALKALINITY, without,
                without == 1 ? "s" : "");
    if (incomplete)
        doc_say(verdict, DOC_BAD, SAY_ARCHIVE_INCOMPLETE, incomplete,
                incomplete == 1 ? "s" : "");
}

static void say_column(doc_block *verdict, const sw_archive *a)
{
    const sw_rereading *best = a->rereadings;
    if (a->rereading_count)
        doc_say(verdict, DOC_BAD, SAY_ARCHIVE_REREADING, best->text,
                best->balanced_read, best->checked, best->read_as);
}

static void put_balance(doc_record *report, const sw_archive *a)
{
    doc_record *out = doc_part(report, "balance");
    DOC_NUMBERS(out, {"samples", (double)a->count},
                {"checked", (double)a->checked},
                {"balanced", (double)a->balanced},
                {"median_percent", a->median_percent},
                {"ec_checked", (double)a->ec_checked},
                {"ec_within", (double)a->ec_within});
}

static void put_refused(doc_record *report, doc_block *verdict,
                        const sw_waters *waters, size_t read)
{
    if (!waters)
        return;
    size_t refused = waters->count - read;
    doc_say(verdict, DOC_BAD, SAY_ARCHIVE_UNREAD, refused,
            refused == 1 ? "" : "s", refused == 1 ? "it stands" : "they stand",
            refused == 1 ? "is" : "are");
    doc_block *block = doc_add(report, "refused");
    for (size_t i = 0; i < waters->defect_count; i++) {
        const sw_water_defect *defect = &waters->defects[i];
        doc_record *out = doc_row(block);
        doc_text(out, "sample", waters->items[defect->sample].sample);
        if (defect->error.line)
            doc_number(out, "line", (double)defect->error.line);
        if (defect->error.column)
            doc_number(out, "column", (double)defect->error.column);
        doc_text(out, "reason", defect->error.message);
    }
}

doc_record *report_archive(const cli_audit *audit)
{
    const sw_archive *a = audit->archive;
    doc_record *report = report_begin_as("archive", "audit");
    doc_block *verdict = doc_add(report, "verdict");
    say_balance(verdict, a);
    say_usable(verdict, a);
    say_lacks(verdict, a);
    say_column(verdict, a);
    put_balance(report, a);
    report_rereadings(report, a->rereadings, a->rereading_count);
    put_refused(report, verdict, audit_refused(audit), a->count);
    doc_block *samples = doc_add(report, "samples");
    for (size_t i = 0; i < a->count; i++)
        put_sample(samples, audit->waters.items[i].water->sample,
                   &a->samples[i]);
    doc_after(samples, SAY_ARCHIVE_ONE);
    report_file_notes(doc_add(report, "notes"), &audit->waters);
    return report;
}
