/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to buy for so many fills of the tanks. */
#include "buying.h"

#include <math.h>

#include "text/figure.h"
#include "text/parts.h"
#include "text/table.h"

void part_buying(const cli_page *page, const cli_report *report)
{
    static const cli_table_column columns[] = {{"product", "", false},
                                               {"needed", "", true},
                                               {"packs", "", true},
                                               {"cost", "", true}};
    cli_table table = table_new(columns, 4);
    double total = buying_cost(report);
    page_title(page, "%s", buying_title(report).text);
    for (size_t i = 0; i < report->stock->count; i++) {
        const sw_product *product = &report->inputs->shelf->products[i];
        cli_purchase bought = buying_of(report, i);
        cli_figure much = buying_needed(report, i, &bought);
        cli_figure whole = buying_packs(report, i, &bought);
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
