/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to buy for so many fills of the tanks. */
#include "buying.h"

#include <math.h>

#include "text/figure.h"
#include "text/parts.h"
#include "text/table.h"

static cli_figure needed(const cli_report *report, const sw_product *product,
                         double g)
{
    bool us = report->settings->amounts == AMOUNTS_US;
    double ml = g / product->density_g_per_ml;
    if (isnan(ml))
        return us ? figure_mass_us(g) : figure_mass_metric(g);
    return us ? figure_liquid_us(ml) : figure_liquid_metric(ml);
}

/* "3 x 25.0 kg" */
static cli_figure packs(const cli_report *report, const sw_product *product,
                        double count)
{
    cli_figure out = {"-"};
    if (!isnan(count))
        snprintf(out.text, sizeof out.text, "%.0f x %.24s", count,
                 needed(report, product, product->pack_g).text);
    return out;
}

void part_buying(const cli_page *page, const cli_report *report)
{
    static const cli_table_column columns[] = {{"product", "", false},
                                               {"needed", "", true},
                                               {"packs", "", true},
                                               {"cost", "", true}};
    cli_table table = table_new(columns, 4);
    double fills = report->settings->fills;
    double total = buying_cost(report);
    if (fills > 1.0)
        page_title(page, "To buy for %.0f fills", fills);
    else
        page_title(page, "To buy for a fill");
    for (size_t i = 0; i < report->stock->count; i++) {
        const sw_product *product = &report->inputs->shelf->products[i];
        cli_purchase bought = buying_of(report, i);
        cli_figure much = needed(report, product, bought.g);
        cli_figure whole = packs(report, product, bought.packs);
        cli_figure cost = figure_fixed(bought.cost, FIGURE_COST);
        const char *cells[] = {product->name, much.text, whole.text, cost.text};
        if (bought.g > 0.0)
            table_add(&table, cells);
    }
    table_print(page, &table);
    table_free(&table);
    if (!isnan(total))
        page_paragraph(page, 2, 2,
                       "Together %s in the currency of the shelf's prices.",
                       figure_fixed(total, FIGURE_COST).text);
}
