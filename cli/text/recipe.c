/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to measure out: solids by mass, liquids by volume and mass. */
#include "text/parts.h"

#include <math.h>
#include <stdlib.h>

#include "scale.h"
#include "stop.h"
#include "text/figure.h"
#include "text/table.h"

enum { RATE, METRIC, US, COST, SLOTS };

/* Which of the columns after the product's name this report shows. */
static void choose_columns(const cli_report *report, bool shown[SLOTS])
{
    cli_amounts amounts = report->settings->amounts;
    bool same = report->settings->volume_l == 1000.0 && amounts != AMOUNTS_US;
    shown[RATE] = !same;
    shown[METRIC] = amounts != AMOUNTS_US;
    shown[US] = amounts != AMOUNTS_METRIC;
    shown[COST] = false;
    for (size_t i = 0; i < report->recipe->count; i++)
        if (report_uses(report, i) &&
            !isnan(report->inputs->shelf->products[i].price_per_kg))
            shown[COST] = true;
}

/* For the volume; a liquid's mass beside it: "427 mL (530 g)". */
static cli_figure measured(const cli_report *report, size_t index,
                           const cli_portion *portion, bool us)
{
    cli_figure out = scale_amount(report, index, portion->g, us);
    if (isnan(portion->ml))
        return out;
    cli_figure mass = printed_amount(report, index, portion->g,
                                     (cli_way){.us = us, .by_mass = true});
    cli_figure both;
    snprintf(both.text, sizeof both.text, "%.22s (%.22s)", out.text, mass.text);
    return both;
}

/* Per 1000 L or 100 gal, sizes a person can picture. */
static cli_figure rate(const cli_report *report, size_t index, bool us)
{
    double volume_l = us ? 100.0 * figure_l_per_gal : 1000.0;
    return printed_amount(report, index,
                          report->recipe->g_per_l[index] * volume_l,
                          (cli_way){.us = us});
}

static void add_portion(cli_table *table, const cli_report *report,
                        size_t index, const bool shown[SLOTS])
{
    cli_portion portion = report_portion(report, index);
    cli_figure figures[SLOTS];
    char name[512];
    const char *cells[TABLE_MAX_COLUMNS] = {name};
    bool fixed = report->solution && !isnan(portion.product->fixed_g_per_l);
    size_t count = 1;
    bool us = report->settings->amounts == AMOUNTS_US;
    snprintf(name, sizeof name, "%s%s", portion.product->name,
             fixed ? " (as given)" : "");
    figures[RATE] = rate(report, index, us);
    figures[METRIC] = measured(report, index, &portion, false);
    figures[US] = us ? measured(report, index, &portion, true)
                     : scale_amount(report, index, portion.g, true);
    figures[COST] = figure_fixed(portion.cost, FIGURE_COST);
    for (size_t i = 0; i < SLOTS; i++)
        if (shown[i])
            cells[count++] = portion.g > 0 ? figures[i].text : "not sized";
    table_add(table, cells);
    part_solution_remark(table, report, index);
}

static void put_below(const cli_page *page, const cli_report *report, bool cost)
{
    double total = report_cost(report);
    if (cost && isnan(total))
        page_paragraph(page, 2, 2,
                       "Total cost is not known: a product used has no "
                       "price.");
    else if (cost && report->settings->volume_l == 1000.0)
        page_paragraph(page, 2, 2,
                       "Total cost %s in the currency of the shelf's prices.",
                       figure_fixed(total, FIGURE_COST).text);
    else if (cost)
        page_paragraph(
            page, 2, 2,
            "Total cost %s, or %s per 1000 L, in the currency of "
            "the shelf's prices.",
            figure_fixed(total, FIGURE_COST).text,
            figure_fixed(report->assessment->cost_per_m3, FIGURE_COST).text);
}

static size_t count_used(const cli_report *report)
{
    size_t used = 0;
    for (size_t i = 0; i < report->recipe->count; i++)
        used += report_uses(report, i);
    return used;
}

/* Of what is not to be mixed there is nothing to weigh. */
void part_recipe(const cli_page *page, const cli_report *report)
{
    if (stop_is_asked(report))
        return;
    bool us = report->settings->amounts == AMOUNTS_US;
    const cli_table_column all[SLOTS] = {
        {us ? "per 100 gal" : "per 1000 L", "", true},
        {"measure out", "", true},
        {us ? "measure out" : "or in US units", "", true},
        {"cost", "", true}};
    cli_table_column columns[SLOTS + 1] = {{"product", "", false}};
    bool shown[SLOTS];
    size_t count = 1;
    page_title(page, "Recipe for %s",
               figure_volume(report->settings->volume_l,
                             report->settings->volume_system)
                   .text);
    if (count_used(report) == 0) {
        page_paragraph(page, 2, 2, "Nothing to add: the water as it is.");
        return;
    }
    part_report_gear(page, report);
    choose_columns(report, shown);
    for (size_t i = 0; i < SLOTS; i++)
        if (shown[i])
            columns[count++] = all[i];
    cli_table table = table_new(columns, count);
    table.remark_indent = 4;
    for (size_t i = 0; i < report->recipe->count; i++)
        if (report_uses(report, i))
            add_portion(&table, report, i, shown);
    table_print(page, &table);
    table_free(&table);
    put_below(page, report, shown[COST]);
}
