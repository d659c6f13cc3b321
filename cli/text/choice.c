/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which water to use, why, why not the others; and the mix. */
#include "text/parts.h"

#include <math.h>
#include <string.h>

#include "text/safe.h"
#include "text/table.h"
#include "words.h"

enum { NAME_COLUMNS = 14, NAME_BYTES = 256 };

static void name_of(const cli_comparison *comparison, size_t column,
                    char name[NAME_BYTES])
{
    text_safe(name, NAME_BYTES, comparison->names[column]);
    name[text_fit(name, NAME_COLUMNS)] = '\0';
}

/* Why there is no recipe, or "14 of 16 targets met. Short: pH". */
static void say_result(const cli_report *report, char *text, size_t size)
{
    char words[512];
    size_t met;
    size_t all;
    if (!report->assessment) {
        bool conflict = report->solution->outcome == SW_CONFLICT;
        size_t count = report->solution->limit_count;
        snprintf(text, size,
                 "no recipe: %s%s%s%s; saltwright formulate says more",
                 conflict ? "limits conflict" : "the search was cut short",
                 conflict && count ? ": " : "",
                 conflict && count ? report->solution->limits[0].name : "",
                 conflict && count > 1 ? " and others" : "");
        return;
    }
    sw_count_met(report->assessment, &met, &all);
    words_unmet(report, words, sizeof words);
    snprintf(text, size, "%zu of %zu targets met%s%s", met, all,
             words[0] ? ". " : "", words);
}

static void put_danger(void *context, const sw_note *note)
{
    page_entry(context, NAME_COLUMNS, "", "Danger: %s", note->text);
}

static void put_result(const cli_page *page, const cli_comparison *comparison,
                       size_t column)
{
    cli_page own = *page;
    char text[640];
    char name[NAME_BYTES];
    const char *reason = comparison->choice->rankings[column].reason;
    const cli_report *report = comparison->reports[column];
    name_of(comparison, column, name);
    say_result(report, text, sizeof text);
    if (column == comparison->choice->chosen)
        page_entry(page, NAME_COLUMNS, name, "%s: %s",
                   comparison->choice->usable
                       ? "use it"
                       : "do not use it as it stands; the least harmful",
                   text);
    else if (report->assessment && reason[0])
        page_entry(page, NAME_COLUMNS, name, "%s; %s", text, reason);
    else
        page_entry(page, NAME_COLUMNS, name, "%s", text);
    if (report->assessment && report->assessment->undeclared.text[0])
        page_entry(page, NAME_COLUMNS, "", "%s",
                   report->assessment->undeclared.text);
    report_visit_severity(report, SW_DANGER, put_danger, &own);
}

static void put_facts(const cli_page *page, const cli_comparison *comparison)
{
    const cli_inputs *shared = comparison->shared;
    page_entry(page, 6, "target", "%s", shared->target->name);
    page_entry(page, 6, "shelf", "%s", shared->shelf->name);
    page_entry(page, 6, "aim", "%s",
               words_aim(comparison->settings->objective));
}

/* What is in purified water of which there is no analysis. */
static void put_typical(const cli_page *page, const cli_comparison *comparison)
{
    for (size_t i = 0; i < comparison->shared->waters.count; i++) {
        const cli_source *source = &comparison->shared->waters.items[i];
        const double *c = source->water->per_l.amount;
        if (strcmp(source->water->file, typical_water_file) != 0)
            continue;
        page_paragraph(page, 2, 2,
                       "Purified water is taken as reverse osmosis usually "
                       "gives it (common practice, no source): pH %.1f, Na "
                       "%.2g, Cl %.2g, Ca %.2g mg/L, alkalinity %.2g mg/L "
                       "CaCO3. Yours may differ: --purified FILE.",
                       source->water->ph, c[SW_NA], c[SW_CL], c[SW_CA],
                       report_as_caco3(c[SW_ALKALINITY]));
    }
}

static void put_shares(const cli_page *page, const cli_comparison *comparison)
{
    const cli_table_column columns[] = {
        {"water", "", false},
        {comparison_mix_name(comparison), "", true},
        {"every target met", "", true}};
    cli_table table = table_new(columns, sizeof columns / sizeof columns[0]);
    for (size_t k = 0; k < comparison->shared->waters.count; k++) {
        cli_figure share = comparison_share(comparison, k);
        cli_figure range = comparison_range(comparison, k);
        const char *cells[] = {comparison->names[k], share.text, range.text};
        table_add(&table, cells);
    }
    table_print(page, &table);
    table_free(&table);
}

static void put_mix(const cli_page *page, const cli_comparison *comparison)
{
    char needed[512];
    page_title(page, "A mix of these waters");
    put_shares(page, comparison);
    comparison_say_needed(comparison, needed, sizeof needed);
    if (needed[0])
        page_paragraph(page, 2, 2, "Every target met takes %s.", needed);
    const char *alone = comparison_alone(comparison);
    if (alone)
        page_paragraph(page, 2, 2, "No mix does better than %s alone.", alone);
    if (comparison->blend->range == SW_OPTIMAL)
        page_paragraph(page, 2, 2,
                       "From the lowest to the highest share of a water some "
                       "recipe of this shelf, not always the closest one, "
                       "still meets every target, if the others share the rest "
                       "rightly. EC is judged, not counted in.");
    else if (comparison->blend->range == SW_CONFLICT)
        page_paragraph(page, 2, 2,
                       "No mix of these waters meets every target with this "
                       "shelf, so no share is safe from a miss.");
    else
        page_paragraph(page, 2, 2,
                       "How far the shares may be moved could not be told: "
                       "the search was cut short.");
}

void part_choice(const cli_page *page, const cli_comparison *comparison)
{
    if (!comparison->choice->usable &&
        comparison->choice->chosen < comparison->count)
        part_stop(page, "do not use any of these waters as it stands.");
    page_word(page, TONE_TITLE, "Which water");
    fputc('\n', page->out);
    page_paragraph(page, 2, 2, "%s", comparison->choice->verdict);
    fputc('\n', page->out);
    for (size_t i = 0; i < comparison->count; i++)
        put_result(page, comparison, i);
    fputc('\n', page->out);
    put_facts(page, comparison);
    if (!comparison->water_price)
        page_paragraph(page, 2, 2,
                       "The price of the water itself is not counted: "
                       "--water-price.");
    put_typical(page, comparison);
    if (comparison->blend)
        put_mix(page, comparison);
}
