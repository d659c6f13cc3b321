/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How sure: points and shares of each quantity. */
#include "parts.h"

#include "../sure.h"
#include "line.h"

void lines_sure(const cli_lines *out, const cli_report *report)
{
    cli_spread rows[SURE_ROWS];
    size_t count = sure_rows(report, rows);
    for (size_t i = 0; i < count; i++) {
        const sw_spread *spread = rows[i].spread;
        const char *name = rows[i].name;
        line_number(out, (cli_cell){"how sure", name, "5 %"}, spread->p5,
                    rows[i].unit);
        line_number(out, (cli_cell){"how sure", name, "median"}, spread->median,
                    rows[i].unit);
        line_number(out, (cli_cell){"how sure", name, "95 %"}, spread->p95,
                    rows[i].unit);
        line_number(out, (cli_cell){"how sure", name, "standard deviation"},
                    spread->deviation, rows[i].unit);
        for (int d = 0; d < SW_DOUBT_COUNT; d++) {
            char quantity[64];
            snprintf(quantity, sizeof quantity, "share of %s",
                     sw_doubt_text((sw_doubt)d));
            if (spread->share[d] > 0.0)
                line_number(out, (cli_cell){"how sure", name, quantity},
                            spread->share[d], "");
        }
    }
}
