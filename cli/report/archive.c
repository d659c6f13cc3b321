/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The audit of many lab reports: a row each, and their columns together. */
#include <math.h>
#include <stdio.h>

#include "report/blocks.h"
#include "io/figure.h"
#include "sentences_text.h"

static const char *use_text(audit_use use)
{
    static const char *const texts[] = {[USE_FREE] = "yes",
                                        [USE_RESTRICTED] = "restricted",
                                        [USE_UNCLEAR] = "unclear",
                                        [USE_NONE] = "no"};
    return texts[use];
}

/* "charge balance", "Cl for irrigation", or both. */
static void put_worst(doc_record *out, const sw_sample_audit *s)
{
    bool held = s->finding == SW_AGREES || s->finding == SW_NOT_CHECKED;
    bool limited = s->fitness != SW_FIT || s->danger;
    doc_print(out, "remark", "%s%s%s%s%s", held ? "" : s->check,
              !held && limited ? "; " : "", limited ? s->limit : "",
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
    doc_text(out, "finding", sw_finding_text(s->finding));
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
        [USE_UNCLEAR] = "%zu with a report that contradicts itself",
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
    say_column(verdict, a);
    put_balance(report, a);
    report_rereadings(report, a->rereadings, a->rereading_count);
    put_refused(report, verdict, audit_refused(audit), a->count);
    doc_block *samples = doc_add(report, "samples");
    for (size_t i = 0; i < a->count; i++)
        put_sample(samples, audit->waters.items[i].water->sample,
                   &a->samples[i]);
    doc_after(samples, SAY_ARCHIVE_ONE);
    return report;
}
