/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bought premixes among what was given. */
#include "parts.h"

#include "line.h"
#include "premix.h"

static void put_premix(const cli_lines *out, const cli_report *report,
                       const sw_premix *premix)
{
    const char *name = report->inputs->shelf->products[premix->product].name;
    line_number(out, (cli_cell){"premix", name, "rate"}, premix->g_per_l,
                "g/L");
    const sw_premix_rate *rate = premix_best(report->inputs, premix->product);
    if (rate && rate->held_by[0]) {
        line_word(out, (cli_cell){"premix", name, "rate held by"},
                  rate->held_by);
        line_number(out, (cli_cell){"premix", name, "best rate without limits"},
                    rate->free_g_per_l, "g/L");
    }
    line_number(out, (cli_cell){"premix", name, "urea share of N"},
                premix->urea_share, "");
    for (size_t i = 0; i < premix->row_count; i++) {
        const sw_premix_row *row = &premix->rows[i];
        char quantity[64];
        const char *component = sw_component_name(row->component);
        snprintf(quantity, sizeof quantity, "%s brought", component);
        line_number(out, (cli_cell){"premix", name, quantity},
                    row->brought_mg_per_l, "mg/L");
        snprintf(quantity, sizeof quantity, "%s wanted", component);
        line_number(out, (cli_cell){"premix", name, quantity},
                    row->wanted_mg_per_l, "mg/L");
    }
    for (size_t i = 0; i < premix->notes.count; i++)
        line_word(out, (cli_cell){"premix", name, premix->notes.items[i].code},
                  premix->notes.items[i].text);
}

void lines_premixes(const cli_lines *out, const cli_report *report)
{
    for (size_t i = 0; i < report->premixes.count; i++)
        put_premix(out, report, report->premixes.items[i]);
}
