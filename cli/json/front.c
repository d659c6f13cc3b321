/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A front of fit against cost, or against the number of products. */
#include "parts.h"

static cli_value *point_of(const cli_report *report,
                           const sw_front_point *point)
{
    cli_value *out = value_object();
    cli_value *amounts = value_object();
    for (size_t j = 0; j < point->recipe.count; j++)
        if (point->recipe.g_per_l[j] >= report_least_g_per_l())
            value_put_number(amounts, report->inputs->shelf->products[j].name,
                             point->recipe.g_per_l[j]);
    VALUE_PUT(out, {"objective", point->objective},
              {"lower_bound", point->lower_bound},
              {"cost_per_m3", point->cost_per_m3}, {"slope", point->slope},
              {"products", (double)point->products});
    value_put_flag(out, "misses_ph", point->misses_ph);
    value_put(out, "g_per_l", amounts);
    return out;
}

cli_value *doc_front(const cli_report *report)
{
    const sw_front *front = report->front;
    cli_value *out = value_object();
    cli_value *points = value_array();
    for (size_t i = 0; i < front->count; i++)
        value_append(points, point_of(report, &front->points[i]));
    value_put_text(out, "against",
                   front->trade == SW_TRADE_COST ? "cost" : "products");
    value_put(out, "points", points);
    return out;
}
