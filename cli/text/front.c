/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What fit is bought with: a row for each point of a front. */
#include "text/parts.h"

#include <math.h>

#include "text/figure.h"
#include "text/table.h"

/* A curve has more points than a table needs. */
enum { ROWS_SHOWN = 9 };

static const char *remark_of(const sw_front_point *point)
{
    return point->misses_ph ? "the pH is missed" : NULL;
}

static void add_cost(cli_table *table, const cli_report *report,
                     const sw_front_point *point)
{
    double first = report->front->points[0].cost_per_m3;
    cli_figure cost = figure_fixed(point->cost_per_m3, FIGURE_COST);
    cli_figure share =
        figure_fixed(100.0 * point->cost_per_m3 / first, FIGURE_WHOLE);
    cli_figure misfit = figure_plain(point->objective);
    cli_figure slope = figure_plain(-point->slope);
    cli_figure products = figure_fixed((double)point->products, FIGURE_WHOLE);
    const char *cells[] = {cost.text, share.text, misfit.text, slope.text,
                           products.text};
    table_add(table, cells);
    if (remark_of(point))
        table_remark(table, remark_of(point));
}

static void put_cost(const cli_page *page, const cli_report *report)
{
    static const cli_table_column columns[] = {
        {"cost", "of 1000 L", true},
        {"of the", "first, %", true},
        {"distance", "", true},
        {"distance saved", "by 1 more", true},
        {"products", "", true}};
    const sw_front *front = report->front;
    cli_table table = table_new(columns, 5);
    size_t every =
        front->count > ROWS_SHOWN ? (front->count - 1) / (ROWS_SHOWN - 1) : 1;
    for (size_t i = 0; i < front->count; i += every)
        add_cost(&table, report, &front->points[i]);
    page_title(page, "Fit against cost");
    page_paragraph(page, 2, 2,
                   "Each of these comes closest for what it costs, from the "
                   "closest recipe to the cheapest; all keep the limits and, "
                   "where the target gives none, the accepted ranges.");
    table_print(page, &table);
    table_free(&table);
    if (front->count == 1)
        page_paragraph(page, 2, 2, "The closest recipe is the cheapest.");
}

/* "boric acid, zinc sulfate": used by the first recipe, not by this one. */
static void list_left_out(const cli_report *report, const sw_front_point *point,
                          char *list, size_t size)
{
    const sw_front_point *first = &report->front->points[0];
    size_t used = 0;
    list[0] = '\0';
    for (size_t j = 0; j < point->recipe.count && used < size; j++) {
        if (first->recipe.g_per_l[j] < report_least_g_per_l() ||
            point->recipe.g_per_l[j] >= report_least_g_per_l())
            continue;
        int n =
            snprintf(list + used, size - used, "%s%s", used ? ", " : "without ",
                     report->inputs->shelf->products[j].name);
        used += n > 0 ? (size_t)n : 0;
    }
}

static void add_number(cli_table *table, const cli_report *report,
                       const sw_front_point *point)
{
    cli_figure products = figure_fixed((double)point->products, FIGURE_WHOLE);
    cli_figure misfit = figure_plain(point->objective);
    cli_figure cost = figure_fixed(point->cost_per_m3, FIGURE_COST);
    char list[1024];
    bool open = point->lower_bound < point->objective * (1.0 - 1e-6) - 1e-12;
    cli_figure bound =
        open ? figure_plain(point->lower_bound) : (cli_figure){"proved"};
    const char *cells[] = {products.text, misfit.text, cost.text, bound.text};
    table_add(table, cells);
    list_left_out(report, point, list, sizeof list);
    if (list[0])
        table_remark(table, list);
}

static void put_numbers(const cli_page *page, const cli_report *report)
{
    static const cli_table_column columns[] = {{"products", "", true},
                                               {"distance", "", true},
                                               {"cost of 1000 L", "", true},
                                               {"at least", "", true}};
    const sw_front *front = report->front;
    cli_table table = table_new(columns, 4);
    table.remark_indent = 6;
    for (size_t i = 0; i < front->count; i++)
        add_number(&table, report, &front->points[i]);
    page_title(page, "Fit against the number of products");
    page_paragraph(page, 2, 2,
                   "Each of these is the best with so many products of the "
                   "shelf; what the shelf fixes is not counted.");
    table_print(page, &table);
    table_free(&table);
}

void part_front(const cli_page *page, const cli_report *report)
{
    if (report->front->trade == SW_TRADE_COST)
        put_cost(page, report);
    else
        put_numbers(page, report);
}
