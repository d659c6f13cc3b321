/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Several waters: what each is chosen by, its share of the best mix, its run.
 * The verdict stands first, under the name of the water to use. */
#include "line.h"
#include "parts.h"

static void put_values(const cli_lines *out, const cli_comparison *comparison,
                       size_t column)
{
    const sw_choice *choice = comparison->choice;
    const sw_ranking *ranking = &choice->rankings[column];
    if (column == choice->chosen)
        line_word(out, (cli_cell){"choice", "", "verdict"}, choice->verdict);
    line_word(out, (cli_cell){"choice", "", "reason"}, ranking->reason);
    for (const sw_criterion *c = choice->order; *c != SW_CRITERION_COUNT; c++)
        line_number(out, (cli_cell){"choice", "", sw_criterion_text(*c)},
                    ranking->value[*c],
                    *c == SW_BY_DISTANCE ? "%"
                    : *c == SW_BY_ACID   ? "meq/L"
                                         : "");
    line_number(out, (cli_cell){"choice", "", "pays below"},
                ranking->pays_below_per_m3, "per 1000 L");
}

static void put_shares(const cli_lines *out, const cli_comparison *comparison)
{
    const sw_blend *blend = comparison->blend;
    for (size_t k = 0; k < blend->water_count; k++) {
        const char *name = comparison->names[k];
        line_number(out, (cli_cell){"blend", name, "lowest share"},
                    blend->lowest[k], "");
        line_number(out, (cli_cell){"blend", name, "highest share"},
                    blend->highest[k], "");
    }
}

static void put_column(cli_lines *out, const cli_comparison *comparison,
                       size_t column)
{
    out->water = comparison->names[column];
    if (comparison->choice)
        put_values(out, comparison, column);
    if (comparison_is_mix(comparison, column))
        put_shares(out, comparison);
    lines_put_report(out, comparison->reports[column]);
}

void lines_show_comparison(const cli_canvas *canvas,
                           const cli_comparison *comparison)
{
    cli_lines out = {canvas->out, ""};
    const sw_choice *choice = comparison->choice;
    line_header(&out, choice ? "water" : "stage");
    if (choice && choice->chosen == comparison->count)
        line_word(&out, (cli_cell){"choice", "", "verdict"}, choice->verdict);
    for (size_t i = 0; i < comparison->count; i++)
        put_column(&out, comparison, i);
}
