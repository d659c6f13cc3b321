/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A conflict explained. */
#include "line.h"

static void put_easings(const cli_lines *out, const char *section,
                        const sw_easing *items, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const char *name = items[i].limit.name;
        line_number(out, (cli_cell){section, name, "reached"}, items[i].reached,
                    items[i].unit);
        line_number(out, (cli_cell){section, name, "share"}, items[i].share,
                    "");
    }
}

void line_conflict(const cli_lines *out, const sw_conflict *conflict)
{
    put_easings(out, "eased alone", conflict->members, conflict->member_count);
    put_easings(out, "eased together", conflict->least, conflict->least_count);
    line_number(out, (cli_cell){"eased together", "", "total share"},
                conflict->total, "");
    for (size_t i = 0; i < conflict->addition_count; i++)
        line_number(out,
                    (cli_cell){"product added", conflict->additions[i].name,
                               "mass per litre"},
                    conflict->additions[i].g_per_l, "g/L");
    line_number(out, (cli_cell){"purified water", "", "least share"},
                conflict->purified_share, "");
}
