/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The stages of a crop: what came of each, and their recipes side by side. */
#include <stdio.h>
#include <string.h>

#include "report/blocks.h"
#include "report/words.h"
#include "sentences_text.h"

enum { RESULT_BYTES = 4096 };

/* Appends a sentence after what is there, which may end in its full stop. */
static void add_words(char text[RESULT_BYTES], const char *between,
                      const char *words)
{
    size_t used = strlen(text);
    if (used && text[used - 1] == '.' && *between == '.')
        between++;
    if (*words)
        text_join(text, RESULT_BYTES, between, "%s", words);
}

void report_result_words(const cli_report *report, char *text, size_t size)
{
    char unmet[1024];
    size_t met;
    size_t all;
    sw_count_met(report->assessment, &met, &all);
    words_unmet(report, unmet, sizeof unmet);
    snprintf(text, size, "%zu of %zu targets met%s%s", met, all,
             unmet[0] ? ". " : "", unmet);
}

void report_put_alarms(doc_record *row, const char *key,
                       const cli_report *report, const char *before)
{
    char text[RESULT_BYTES] = "";
    const sw_note *note;
    cli_note_walk walk = {0};
    add_words(text, "", before);
    if (report->assessment)
        add_words(text, ". ", report->assessment->undeclared.text);
    while ((note = report_next_severe(report, SW_DANGER, &walk))) {
        add_words(text, ". ", "Danger:");
        add_words(text, " ", note->text);
    }
    doc_text(row, key, text);
    report_reads_poured(row, key, report);
}

static void put_result(doc_block *block, const cli_several *several, size_t run)
{
    const cli_report *report = several->reports[run];
    doc_record *row = doc_row(block);
    char text[RESULT_BYTES] =
        "no recipe: saltwright formulate --stage says more";
    char words[512];
    doc_text(row, "name", several->names[run]);
    if (report_is_undetermined(report))
        snprintf(text, sizeof text, SAY_NO_RECIPE_UNDETERMINED);
    if (report->assessment) {
        report_result_words(report, text, sizeof text);
        words_strength(report->inputs, words, sizeof words);
        add_words(text, "; ", words);
        several_say_shares(several, run, words, sizeof words);
        add_words(text, "; ", words);
        words_drift(report, words, sizeof words);
        add_words(text, ". ", words);
    }
    report_put_alarms(row, "text", report, text);
}

void report_stop_all(doc_record *record, const char *words)
{
    doc_block *alarm = doc_add(record, "stop");
    doc_before(alarm, "Danger: %s.", words);
    doc_text(doc_row(alarm), "text", words);
}

/* Which stages are not to be mixed; why stands in the result of each. */
static void put_dangerous(doc_record *record, const cli_several *several)
{
    char words[RESULT_BYTES] =
        "do not mix these, and do not give them to a crop";
    bool any = false;
    for (size_t i = 0; i < several->count; i++) {
        if (!report_is_dangerous(several->reports[i]))
            continue;
        add_words(words, any ? ", " : ": ", several->names[i]);
        any = true;
    }
    if (any)
        report_stop_all(record, words);
}

static void put_warnings(doc_record *record, const cli_several *several)
{
    const sw_note *note;
    doc_block *block = doc_add(record, "warnings");
    for (size_t i = 0; i < several->count; i++) {
        const cli_report *report = several->reports[i];
        cli_note_walk walk = {0};
        while ((note = report_next_severe(report, SW_WARNING, &walk))) {
            doc_record *row = doc_row(block);
            doc_text(row, "name", several->names[i]);
            doc_text(row, "text", note->text);
        }
    }
}

static void put_asked(doc_record *record, const cli_several *several)
{
    const cli_sources *waters = &several->shared->waters;
    char list[1024] = "";
    doc_record *out = doc_part(record, "asked");
    for (size_t i = 0; i < waters->count; i++) {
        const sw_water *water = waters->items[i].water;
        text_join(list, sizeof list, "; ", "%s (%s)", water->sample,
                  water->file);
    }
    doc_text(out, "for", several->settings->audience);
    doc_text(out, "water", list);
    report_target(out, several->shared);
    report_shelf(out, several->shared);
}

doc_record *report_stages(const cli_several *several)
{
    doc_record *report = report_begin_as("stages", "formulate");
    put_dangerous(report, several);
    report_say_before_several(doc_add(report, "verdict"), several);
    doc_block *results = doc_add(report, "results");
    doc_title(results, "Stages");
    for (size_t i = 0; i < several->count; i++)
        put_result(results, several, i);
    put_asked(report, several);
    report_side(report, several);
    put_warnings(report, several);
    report_file_notes(doc_add(report, "notes"), &several->shared->waters);
    return report;
}
