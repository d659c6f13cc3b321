/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A premix: its proportions against those wanted, and what its label leaves
 * open. */
#include "text/parts.h"

#include <math.h>

#include "premix.h"
#include "text/figure.h"
#include "text/table.h"

static void add_row(cli_table *table, const sw_premix_row *row)
{
    cli_figure brought = figure_short(row->brought_mg_per_l);
    cli_figure wanted = figure_short(row->wanted_mg_per_l);
    cli_figure ratio = figure_short(row->ratio);
    cli_figure wanted_ratio = figure_short(row->wanted_ratio);
    cli_figure share = {"-"};
    if (row->declared && row->wanted_mg_per_l > 0.0)
        snprintf(share.text, sizeof share.text, "%.0f %%",
                 100.0 * row->brought_mg_per_l / row->wanted_mg_per_l);
    const char *cells[] = {sw_component_name(row->component),
                           row->declared ? brought.text : "undeclared",
                           wanted.text,
                           share.text,
                           row->declared ? ratio.text : "-",
                           wanted_ratio.text};
    table_add(table, cells);
}

static void put_rows(const cli_page *page, const sw_premix *premix)
{
    char head[32] = "";
    if (premix->base < SW_COMPONENT_COUNT)
        snprintf(head, sizeof head, "to 1 of %s",
                 sw_component_name(premix->base));
    const cli_table_column columns[] = {
        {"", "", false},          {"brought", "mg/L", true},
        {"wanted", "mg/L", true}, {"covered", "", true},
        {"premix", head, true},   {"wanted", head, true}};
    cli_table table = table_new(columns, sizeof columns / sizeof columns[0]);
    for (size_t i = 0; i < premix->row_count; i++)
        add_row(&table, &premix->rows[i]);
    table_print(page, &table);
    table_free(&table);
}

static void put_premix(const cli_page *page, const cli_report *report,
                       const sw_premix *premix)
{
    page_title(page, "The premix: %.100s at %s g/L",
               report->inputs->shelf->products[premix->product].name,
               figure_plain(premix->g_per_l).text);
    const sw_premix_rate *rate = premix_best(report->inputs, premix->product);
    if (rate)
        page_paragraph(page, 2, 2,
                       rate->held_by[0]
                           ? "Of all rates within the limits this one brings "
                             "the components closest to their targets; the "
                             "notes say what holds it back."
                           : "Of all rates this one brings the components "
                             "closest to their targets.");
    put_rows(page, premix);
    page_paragraph(page, 2, 2,
                   "Wanted is what the water and the other amounts given leave "
                   "open; proportions are by mass.");
    if (!isnan(premix->urea_share))
        page_paragraph(
            page, 2, 2, "Of its nitrogen %.0f %% is ammonium and %.0f %% urea.",
            100.0 * premix->ammonium_share, 100.0 * premix->urea_share);
    for (size_t i = 0; i < premix->notes.count; i++)
        page_paragraph(page, 2, 4, "- %s", premix->notes.items[i].text);
}

void part_premixes(const cli_page *page, const cli_report *report)
{
    for (size_t i = 0; i < report->premixes.count; i++)
        put_premix(page, report, report->premixes.items[i]);
}
