/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What came of each stage, before they stand side by side. */
#include "text/parts.h"

#include "text/safe.h"
#include "words.h"

enum { NAME_COLUMNS = 14, NAME_BYTES = 256 };

static void put_dangerous(const cli_page *page,
                          const cli_comparison *comparison)
{
    char names[512];
    comparison_say_dangerous(comparison, names, sizeof names);
    if (!names[0])
        return;
    part_stop(page, "do not mix these, and do not give them to a crop:");
    page_paragraph(page, 2, 2, "%s.", names);
    fputc('\n', page->out);
}

static void put_danger(void *context, const sw_note *note)
{
    page_entry(context, NAME_COLUMNS, "", "Danger: %s", note->text);
}

/* The dangers in full; the warnings follow in the notes. */
static void put_alarms(const cli_page *page, const cli_report *report)
{
    cli_page own = *page;
    size_t warnings = report_count_severity(report, SW_WARNING);
    report_visit_severity(report, SW_DANGER, put_danger, &own);
    if (warnings)
        page_entry(page, NAME_COLUMNS, "", "%zu warning%s: see the notes",
                   warnings, warnings == 1 ? "" : "s");
}

static void put_stage(const cli_page *page, const cli_comparison *comparison,
                      size_t column)
{
    const cli_report *report = comparison->reports[column];
    char name[NAME_BYTES];
    char words[512];
    char strength[128];
    char shares[256];
    size_t met;
    size_t all;
    text_safe(name, sizeof name, comparison->names[column]);
    name[text_fit(name, NAME_COLUMNS)] = '\0';
    if (!report->assessment) {
        page_entry(page, NAME_COLUMNS, name,
                   "no recipe: saltwright formulate --stage says more");
        return;
    }
    sw_count_met(report->assessment, &met, &all);
    words_unmet(report, words, sizeof words);
    words_strength(report->inputs, strength, sizeof strength);
    comparison_say_shares(comparison, column, shares, sizeof shares);
    page_entry(page, NAME_COLUMNS, name, "%zu of %zu targets met%s%s%s%s%s%s",
               met, all, words[0] ? ". " : "", words, strength[0] ? "; " : "",
               strength, shares[0] ? "; " : "", shares);
    words_drift(report, words, sizeof words);
    if (words[0])
        page_entry(page, NAME_COLUMNS, "", "%s", words);
    put_alarms(page, report);
}

static void put_warning(void *context, const sw_note *note)
{
    page_paragraph(context, 2, 4, "- Warning: %s", note->text);
}

void part_stage_notes(const cli_page *page, const cli_comparison *comparison)
{
    cli_page own = *page;
    for (size_t i = 0; i < comparison->count; i++) {
        if (!report_count_severity(comparison->reports[i], SW_WARNING))
            continue;
        page_title(page, "Notes on %.60s", comparison->names[i]);
        report_visit_severity(comparison->reports[i], SW_WARNING, put_warning,
                              &own);
    }
}

void part_stages(const cli_page *page, const cli_comparison *comparison)
{
    const cli_inputs *shared = comparison->shared;
    put_dangerous(page, comparison);
    page_word(page, TONE_TITLE, "Stages");
    fputc('\n', page->out);
    for (size_t i = 0; i < comparison->count; i++)
        put_stage(page, comparison, i);
    fputc('\n', page->out);
    for (size_t i = 0; i < shared->waters.count; i++)
        part_water_name(page, i ? "" : "water", "",
                        shared->waters.items[i].water);
    page_entry(page, 6, "target", "%s", shared->target->name);
    page_entry(page, 6, "shelf", "%s", shared->shelf->name);
}
