/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Several waters side by side: recipes, finished solutions, verdicts.  What
 * does not fit on 80 columns follows below in another block of waters.
 */
#include "text/parts.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cautions.h"
#include "text/figure.h"
#include "text/safe.h"
#include "text/table.h"

enum { WATERS_A_BLOCK = 4, WATER_COLUMNS = 12, NAME_BYTES = 256 };

/* The waters from `first` on that stand beside each other. */
typedef struct block {
    const cli_comparison *all;
    size_t first;
    size_t count;
} water_block;

static const cli_report *report_of(const water_block *block, size_t index)
{
    return block->all->reports[block->first + index];
}

static const sw_water *water_of(const cli_report *report)
{
    return report->inputs->waters.items[0].water;
}

/* The sample's name, cut to its column. */
static void name_of(const cli_report *report, char name[NAME_BYTES])
{
    text_safe(name, NAME_BYTES, water_of(report)->sample);
    name[text_fit(name, WATER_COLUMNS)] = '\0';
}

/*
 * A table whose first column names things and whose others are the block's
 * waters; `names` lends its room to the heads.
 */
static cli_table block_table(const water_block *block, const char *head,
                             cli_table_column columns[TABLE_MAX_COLUMNS],
                             char names[WATERS_A_BLOCK][NAME_BYTES])
{
    columns[0] = (cli_table_column){head, "", false};
    for (size_t i = 0; i < block->count; i++) {
        name_of(report_of(block, i), names[i]);
        columns[i + 1] = (cli_table_column){names[i], "", true};
    }
    return table_new(columns, block->count + 1);
}

static void add_row(cli_table *table, const water_block *block,
                    const char *name, const cli_figure *figures)
{
    const char *cells[TABLE_MAX_COLUMNS] = {name};
    for (size_t i = 0; i < block->count; i++)
        cells[i + 1] = figures[i].text;
    table_add(table, cells);
}

/* Amount of product `index` per 1000 L; "-" for none. */
static cli_figure amount_of(const cli_report *report, size_t index)
{
    if (!report->recipe || !report_uses(report, index))
        return (cli_figure){"-"};
    cli_portion portion = report_portion(report, index);
    bool us = report->settings->amounts == AMOUNTS_US;
    if (isnan(portion.ml))
        return us ? figure_mass_us(portion.g) : figure_mass_metric(portion.g);
    return us ? figure_liquid_us(portion.ml) : figure_liquid_metric(portion.ml);
}

static bool used_by_any(const cli_comparison *all, size_t product)
{
    for (size_t i = 0; i < all->count; i++)
        if (all->reports[i]->recipe && report_uses(all->reports[i], product))
            return true;
    return false;
}

static void put_recipes(const cli_page *page, const water_block *block)
{
    char names[WATERS_A_BLOCK][NAME_BYTES];
    cli_table_column columns[TABLE_MAX_COLUMNS];
    cli_figure figures[WATERS_A_BLOCK];
    const sw_shelf *shelf = report_of(block, 0)->inputs->shelf;
    cli_table table = block_table(block, "product", columns, names);
    page_title(page, "Measure out for %s L",
               figure_plain(report_of(block, 0)->settings->volume_l).text);
    for (size_t p = 0; p < shelf->count; p++) {
        if (!used_by_any(block->all, p))
            continue;
        for (size_t i = 0; i < block->count; i++)
            figures[i] = amount_of(report_of(block, i), p);
        add_row(&table, block, shelf->products[p].name, figures);
    }
    table_print(page, &table);
    table_free(&table);
}

/* "276 over"; met is left unsaid. */
static cli_figure judged(double value, int decimals, sw_verdict verdict)
{
    cli_figure out;
    bool said = verdict == SW_SHORT || verdict == SW_OVER;
    snprintf(out.text, sizeof out.text, "%.30s%s%s",
             figure_fixed(value, decimals).text, said ? " " : "",
             said ? sw_verdict_text(verdict) : "");
    return out;
}

static bool shown_by_any(const cli_comparison *all, size_t row)
{
    for (size_t i = 0; i < all->count; i++)
        if (all->reports[i]->assessment &&
            report_shows(report_row(all->reports[i], row)))
            return true;
    return false;
}

static void add_component(cli_table *table, const water_block *block,
                          size_t row)
{
    cli_figure figures[WATERS_A_BLOCK];
    const char *name = NULL;
    for (size_t i = 0; i < block->count; i++) {
        const cli_report *report = report_of(block, i);
        figures[i] = (cli_figure){"-"};
        if (!report->assessment)
            continue;
        const sw_component_row *found = report_row(report, row);
        name = sw_component_name(found->component);
        figures[i] = judged(found->finished_mg_per_l,
                            report_row_decimals(found), found->verdict);
    }
    if (name)
        add_row(table, block, name, figures);
}

static void add_measures(cli_table *table, const water_block *block)
{
    const cli_report *model = report_of(block, 0);
    cli_figure figures[WATERS_A_BLOCK];
    size_t count = model->assessment ? model->assessment->measure_count : 0;
    for (size_t m = 0; m < count; m++) {
        for (size_t i = 0; i < block->count; i++) {
            const sw_assessment *assessment = report_of(block, i)->assessment;
            figures[i] = (cli_figure){"-"};
            if (assessment)
                figures[i] = judged(assessment->measures[m].finished, 2,
                                    assessment->measures[m].verdict);
        }
        add_row(table, block, model->assessment->measures[m].name, figures);
    }
}

static void put_finished(const cli_page *page, const water_block *block)
{
    char names[WATERS_A_BLOCK][NAME_BYTES];
    cli_table_column columns[TABLE_MAX_COLUMNS];
    cli_table table = block_table(block, "mg/L", columns, names);
    for (size_t row = 0; row < SW_COMPONENT_COUNT; row++)
        if (shown_by_any(block->all, row))
            add_component(&table, block, row);
    add_measures(&table, block);
    if (table.row_count) {
        page_title(page, "What the crop gets");
        table_print(page, &table);
    }
    table_free(&table);
}

/* Lines that hold for any target: EC, pH, alkalinity, cost. */
static void put_solution(const cli_page *page, const water_block *block)
{
    static const char *const heads[] = {
        "EC, mS/cm at 25 °C", "pH as mixed", "pH once aired",
        "alkalinity, mg/L CaCO3", "cost per 1000 L"};
    static const int decimals[] = {2, 1, 1, 0, 2};
    char names[WATERS_A_BLOCK][NAME_BYTES];
    cli_table_column columns[TABLE_MAX_COLUMNS];
    cli_figure figures[WATERS_A_BLOCK];
    cli_table table = block_table(block, "estimated", columns, names);
    for (size_t line = 0; line < sizeof heads / sizeof heads[0]; line++) {
        for (size_t i = 0; i < block->count; i++) {
            const sw_assessment *a = report_of(block, i)->assessment;
            figures[i] = (cli_figure){"-"};
            if (!a)
                continue;
            const double values[] = {
                a->mixed.ec_ms_per_cm, a->mixed.ph, a->aired.ph,
                report_as_caco3(a->mixed.alkalinity_meq_per_l), a->cost_per_m3};
            figures[i] = figure_fixed(values[line], decimals[line]);
        }
        add_row(&table, block, heads[line], figures);
    }
    page_title(page, "The finished solutions");
    table_print(page, &table);
    table_free(&table);
}

static void put_result(const cli_page *page, const cli_report *report)
{
    char words[1024];
    size_t met;
    size_t all;
    char name[NAME_BYTES];
    name_of(report, name);
    if (!report->assessment) {
        page_entry(page, WATER_COLUMNS, name,
                   "no recipe: %s; saltwright formulate says more",
                   report->solution->outcome == SW_CONFLICT
                       ? "limits conflict"
                       : "the search was cut short");
        return;
    }
    report_count_met(report, &met, &all);
    part_unmet_words(report, words, sizeof words);
    page_entry(page, WATER_COLUMNS, name, "%zu of %zu targets met%s%s", met,
               all, words[0] ? ". " : "", words);
}

void part_comparison(const cli_page *page, const cli_comparison *comparison)
{
    unsigned hazards = 0;
    page_word(page, TONE_TITLE, "Result");
    fputc('\n', page->out);
    for (size_t i = 0; i < comparison->count; i++)
        put_result(page, comparison->reports[i]);
    for (size_t i = 0; i < comparison->count; i++)
        hazards |= cautions_hazards(comparison->reports[i]);
    for (size_t first = 0; first < comparison->count; first += WATERS_A_BLOCK) {
        size_t left = comparison->count - first;
        water_block block = {comparison, first,
                             left < WATERS_A_BLOCK ? left : WATERS_A_BLOCK};
        put_recipes(page, &block);
        put_finished(page, &block);
        put_solution(page, &block);
    }
    fputc('\n', page->out);
    page_paragraph(page, 2, 2,
                   "Notes and proof of each: saltwright formulate with that "
                   "water.");
    part_cautions(page, hazards);
}
