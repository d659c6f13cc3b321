/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A front of fit against cost, or against the number of products. */
#include "line.h"
#include "parts.h"

void lines_front(const cli_lines *out, const cli_report *report)
{
    const sw_front *front = report->front;
    const char *section = front->trade == SW_TRADE_COST
                              ? "fit against cost"
                              : "fit against products";
    for (size_t i = 0; i < front->count; i++) {
        const sw_front_point *point = &front->points[i];
        char name[32];
        snprintf(name, sizeof name, "%zu", i + 1);
        line_number(out, (cli_cell){section, name, "cost"}, point->cost_per_m3,
                    "per 1000 L");
        line_number(out, (cli_cell){section, name, "misfit"}, point->objective,
                    "");
        line_number(out, (cli_cell){section, name, "products"},
                    (double)point->products, "");
        line_number(out, (cli_cell){section, name, "slope"}, point->slope, "");
    }
}
