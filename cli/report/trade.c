/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a closer fit costs, in money or in products: a row for each point. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "report/blocks.h"
#include "sentences_text.h"

/* A curve has more points than a table needs. */
enum { ROWS_SHOWN = 9 };

/* What both tables call the distance. */
#define DISTANCE                                                               \
    "The distance is the sum of weighted squared relative deviations."

static bool uses(const sw_front_point *point, size_t product)
{
    return point->recipe.g_per_l[product] >= report_least_g_per_l();
}

static doc_record *put_point(doc_block *block, const cli_report *report,
                             const sw_front_point *point)
{
    doc_record *row = doc_row(block);
    DOC_NUMBERS(row, {"products", (double)point->products},
                {"objective", point->objective},
                {"lower_bound", point->lower_bound},
                {"cost_per_m3", point->cost_per_m3});
    doc_flag(row, "misses_ph", point->misses_ph);
    doc_block *amounts = doc_add(row, "g_per_l");
    for (size_t j = 0; j < point->recipe.count; j++)
        if (uses(point, j))
            doc_entry(amounts, report->inputs->shelf->products[j].name,
                      point->recipe.g_per_l[j]);
    if (point->misses_ph)
        doc_text(row, "remark", "the pH is missed");
    return row;
}

static void put_costs(doc_record *out, const cli_report *report)
{
    const sw_front *front = report->front;
    doc_block *block = doc_add(out, "by_cost");
    size_t every =
        front->count > ROWS_SHOWN ? (front->count - 1) / (ROWS_SHOWN - 1) : 1;
    doc_before(
        block,
        "Each of these comes closest for what it costs, from the "
        "closest recipe to the cheapest; all keep the limits "
        "and, where the target gives none, the accepted ranges. " DISTANCE);
    for (size_t i = 0; i < front->count; i++) {
        const sw_front_point *point = &front->points[i];
        doc_record *row = put_point(block, report, point);
        DOC_NUMBERS(
            row,
            {"cost_share", point->cost_per_m3 / front->points[0].cost_per_m3},
            {"saved_by_1_more", -point->slope});
        doc_show_row(row, i % every ? DOC_DATA : 0);
    }
    if (front->count == 1)
        doc_after(block, SAY_TRADE_ONE);
}

/* "without boric acid, zinc sulfate": what the first recipe uses and this one
 * does not. */
static void put_left_out(doc_record *row, const cli_report *report,
                         const sw_front_point *point)
{
    char list[1024] = "";
    for (size_t j = 0; j < point->recipe.count; j++) {
        if (uses(&report->front->points[0], j) && !uses(point, j))
            text_join(list, sizeof list, ", ", "%s",
                      report->inputs->shelf->products[j].name);
    }
    if (list[0])
        doc_print(row, "without", "without %s", list);
}

static void put_numbers(doc_record *out, const cli_report *report)
{
    const sw_front *front = report->front;
    doc_block *block = doc_add(out, "by_products");
    doc_before(block, "Each of these is the best with so many products of the "
                      "shelf; what the shelf fixes is not counted. " DISTANCE);
    for (size_t i = 0; i < front->count; i++) {
        const sw_front_point *point = &front->points[i];
        doc_record *row = put_point(block, report, point);
        if (point->lower_bound >= point->objective * (1.0 - 1e-6) - 1e-12)
            doc_words(row, "lower_bound", "proved");
        put_left_out(row, report, point);
    }
}

void report_trade_off(doc_record *record, const cli_report *report)
{
    bool cost = report->settings->trade == SW_TRADE_COST;
    if (!report->settings->trade_off || !report->recipe)
        return;
    doc_block *block = doc_add(record, "trade_off");
    doc_record *out = doc_row(block);
    if (!report->front) {
        doc_title(block, "Trade-off of fit against %s",
                  cost ? "cost" : "number of products");
        doc_text(out, "none", SAY_TRADE_NONE);
    } else if (cost)
        put_costs(out, report);
    else
        put_numbers(out, report);
}
