/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What came of each stage, before they stand side by side. */
#include "text/parts.h"

#include "text/safe.h"
#include "words.h"

enum { NAME_COLUMNS = 14, NAME_BYTES = 256 };

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
}

void part_stages(const cli_page *page, const cli_comparison *comparison)
{
    const cli_inputs *shared = comparison->shared;
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
