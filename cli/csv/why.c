/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Why a recipe is as it is. */
#include "line.h"
#include "parts.h"

static void put_limits(const cli_lines *out, const sw_why *why)
{
    for (size_t i = 0; i < why->limit_count; i++) {
        const sw_priced_limit *limit = &why->limits[i];
        const char *name = limit->limit.name;
        line_number(out, (cli_cell){"why limit", name, "price"},
                    limit->limit.price, "");
        line_number(out, (cli_cell){"why limit", name, "low"}, limit->low,
                    limit->unit);
        line_number(out, (cli_cell){"why limit", name, "high"}, limit->high,
                    limit->unit);
    }
}

static void put_additions(const cli_lines *out, const sw_why *why)
{
    for (size_t i = 0; i < why->addition_count; i++) {
        const sw_addition *addition = &why->additions[i];
        const char *name = addition->name;
        line_number(out, (cli_cell){"why addition", name, "mass per litre"},
                    addition->g_per_l, "g/L");
        line_number(out, (cli_cell){"why addition", name, "objective"},
                    addition->objective, "");
        line_number(out, (cli_cell){"why addition", name, "price"},
                    addition->price, "");
    }
}

static void put_products(const cli_lines *out, const cli_report *report)
{
    const sw_why *why = report->why;
    for (size_t i = 0; i < why->product_count; i++) {
        const sw_worth *worth = &why->products[i];
        const char *name = report->inputs->shelf->products[worth->product].name;
        line_number(out, (cli_cell){"why product", name, "objective without"},
                    worth->objective, "");
        line_word(out, (cli_cell){"why product", name, "can be left out"},
                  worth->spare ? "yes" : "no");
    }
}

void lines_why(const cli_lines *out, const cli_report *report)
{
    const sw_why *why = report->why;
    const sw_target_row *rows = report->inputs->target->rows;
    for (size_t i = 0; i < why->miss_count; i++)
        line_number(
            out,
            (cli_cell){"why misfit", rows[why->misses[i].row].name, "share"},
            why->misses[i].share, "");
    put_limits(out, why);
    put_products(out, report);
    put_additions(out, why);
}
