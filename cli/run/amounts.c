/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Amounts as a page shows them: rounded so that every verdict is kept, or in
 * whole steps of the scale without a digit lost.  Each column of amounts - for
 * the volume, per 1000 L or 100 gal, of the tanks, in one unit system or the
 * other - is rounded by itself: whoever reads one column alone pours all it
 * says.
 */
#include "run/amounts.h"

#include <math.h>
#include <stdlib.h>

#include "io/interrupt.h"
#include "io/memory.h"
#include "run/report.h"

/* What the amounts of a column are for. */
typedef enum basis { FOR_VOLUME, PER_PICTURED, IN_TANKS, BASES } basis;

static bool is_liquid(const cli_report *report, size_t product)
{
    return !isnan(report->inputs->shelf->products[product].density_g_per_ml);
}

const cli_printed_item *printed_add(cli_report *report, size_t product,
                                    double g_per_l, double batch_l, cli_way way)
{
    const sw_product *p = &report->inputs->shelf->products[product];
    cli_printed *to = &report->printed;
    double g = g_per_l * batch_l;
    bool by_volume = is_liquid(report, product) && !way.by_mass;
    figure_unit unit = by_volume
                           ? figure_liquid_unit(g / p->density_g_per_ml, way.us)
                           : figure_mass_unit(g, way.us);
    double unit_g = by_volume ? unit.size * p->density_g_per_ml : unit.size;
    to->items = memory_grow(to->items, to->count, sizeof *to->items);
    to->items[to->count] =
        (cli_printed_item){.amount = {.product = product,
                                      .g_per_l = g_per_l,
                                      .unit_g_per_l = unit_g / batch_l},
                           .g = g,
                           .us = way.us,
                           .by_mass = way.by_mass,
                           .unit = unit};
    return &to->items[to->count++];
}

static void add_tanks(cli_report *report, size_t product, cli_way way)
{
    const sw_stock *stock = report->stock;
    for (int t = 0; t < SW_TANKS; t++) {
        double g = stock->placements[product].g[t];
        double feed_l = stock->tanks[t].ratio * stock->tanks[t].volume_l;
        if (g > 0.0)
            printed_add(report, product, g / feed_l, feed_l, way);
    }
}

/* The column's items, one after the other from `count` on. */
static void add_column(cli_report *report, basis what, cli_way way)
{
    double pictured_l = report->settings->amounts == AMOUNTS_US
                            ? 100.0 * figure_l_per_gal
                            : 1000.0;
    double batch_l =
        what == FOR_VOLUME ? report->settings->volume_l : pictured_l;
    for (size_t i = 0; i < report->recipe->count; i++) {
        if (report->recipe->g_per_l[i] <= report_least_g_per_l())
            continue;
        if (what == IN_TANKS)
            add_tanks(report, i, way);
        else
            printed_add(report, i, report->recipe->g_per_l[i], batch_l, way);
    }
}

static void round_column(cli_report *report, size_t first)
{
    sw_error error = {0};
    sw_mix mix = report_mix(report);
    size_t count = report->printed.count - first;
    if (count == 0)
        return;
    cli_printed_item *items = report->printed.items + first;
    sw_printed *amounts = memory_array(count, sizeof *amounts);
    for (size_t i = 0; i < count; i++)
        amounts[i] = items[i].amount;
    sw_status status =
        sw_print_amounts(&mix, &report->assessment, 1, amounts, count, &error);
    for (size_t i = 0; i < count; i++)
        items[i].amount = amounts[i];
    free(amounts);
    expect_ok(status, &error);
}

/* JSON and CSV are metric whatever the screen shows. */
static bool is_wanted(const cli_report *report, basis what, cli_way way)
{
    return (!way.us || report->settings->amounts != AMOUNTS_METRIC) &&
           (what != IN_TANKS || report->stock);
}

void printed_find(cli_report *report)
{
    enum { WAYS = 4 };
    for (int what = 0; what < BASES; what++)
        for (int i = 0; i < WAYS; i++) {
            cli_way way = {.us = i & 1, .by_mass = i & 2};
            size_t first = report->printed.count;
            if (!is_wanted(report, (basis)what, way))
                continue;
            add_column(report, (basis)what, way);
            round_column(report, first);
        }
}

void printed_free(cli_printed *printed)
{
    free(printed->items);
    *printed = (cli_printed){0};
}

static const cli_printed_item *find(const cli_report *report, size_t product,
                                    double g, cli_way way)
{
    for (size_t i = 0; i < report->printed.count; i++) {
        const cli_printed_item *item = &report->printed.items[i];
        if (item->amount.product == product && item->us == way.us &&
            item->by_mass == way.by_mass && fabs(item->g - g) <= 1e-9 * g)
            return item;
    }
    return NULL;
}

cli_figure printed_amount(const cli_report *report, size_t product, double g,
                          cli_way way)
{
    const sw_product *p = &report->inputs->shelf->products[product];
    const cli_printed_item *item = find(report, product, g, way);
    if (item) {
        int decimals = item->amount.decimals > 0 ? item->amount.decimals : 0;
        return figure_amount(figure_fixed(item->amount.value, decimals),
                             item->unit.name);
    }
    if (!is_liquid(report, product) || way.by_mass)
        return way.us ? figure_mass_us(g) : figure_mass_metric(g);
    double ml = g / p->density_g_per_ml;
    return way.us ? figure_liquid_us(ml) : figure_liquid_metric(ml);
}

double printed_g(const cli_report *report, size_t product, double g)
{
    cli_way way = {.by_mass = is_liquid(report, product)};
    const cli_printed_item *item = find(report, product, g, way);
    return item ? item->amount.value * item->unit.size : g;
}

double printed_ml(const cli_report *report, size_t product, double g)
{
    const sw_product *p = &report->inputs->shelf->products[product];
    const cli_printed_item *item = find(report, product, g, (cli_way){0});
    if (!is_liquid(report, product))
        return (double)NAN;
    return item ? item->amount.value * item->unit.size
                : g / p->density_g_per_ml;
}

/* ---- In whole steps of the scale ----------------------------------------- */

void scale_weigh(cli_report *report, const sw_problem *problem,
                 sw_stock **stock)
{
    sw_error error = {0};
    sw_status status;
    sw_scale scale = report->settings->scale;
    sw_solver *solver = report->inputs->solver;
    report->weighed = NULL;
    if (!report->settings->in_steps || !report->recipe)
        return;
    scale.volume_l = report->settings->volume_l;
    scale.stop = interrupt_wait();
    sw_filling filling = {problem, report->setup, report->solution, stock};
    if (stock)
        status =
            sw_stock_weigh(solver, &filling, &scale, &report->weighed, &error);
    else
        status = sw_weigh(solver, problem, report->solution, &scale,
                          &report->weighed, &error);
    interrupt_end();
    expect_ok(status, &error);
    if (report->weighed->recipe.count)
        report->recipe = &report->weighed->recipe;
}

/* NULL: not in steps. */
static const sw_weighing *weighing_of(const cli_report *report, size_t product)
{
    return report->weighed && report->weighed->recipe.count
               ? &report->weighed->items[product]
               : NULL;
}

bool scale_has_solution(const cli_report *report, size_t product)
{
    const sw_weighing *w =
        report->weighed ? &report->weighed->items[product] : NULL;
    return w && !isnan(w->dose_ml) && w->amount_g > 0.0;
}

double scale_dose_ml(const cli_report *report, size_t product, double g)
{
    const sw_weighing *w = &report->weighed->items[product];
    return g / w->concentrate_g * w->concentrate_l * 1000.0;
}

/* Decimals that a multiple of `step` needs, up to 6. */
static int decimals_of(double step)
{
    int decimals = 0;
    double scaled = step;
    while (decimals < 6 && fabs(scaled - round(scaled)) > 1e-6 * scaled) {
        scaled *= 10.0;
        decimals++;
    }
    return decimals;
}

static cli_figure with_unit(double value, int decimals, const char *unit)
{
    return figure_amount(figure_fixed(value, decimals), unit);
}

static cli_figure exact_metric(double g, double step_g)
{
    if (g >= 1000.0)
        return with_unit(g / 1000.0, decimals_of(step_g / 1000.0), "kg");
    return with_unit(g, decimals_of(step_g), "g");
}

/* "27 lb 11.2 oz" in steps of ounces, "27.25 lb" in those of pounds. */
static cli_figure exact_us(double g, double step_g)
{
    int decimals = decimals_of(step_g / figure_g_per_oz);
    double lb = floor(g / figure_g_per_lb + 1e-9);
    double oz = (g - lb * figure_g_per_lb) / figure_g_per_oz;
    cli_figure out;
    if (decimals_of(step_g / figure_g_per_lb) <= 2)
        return with_unit(g / figure_g_per_lb,
                         decimals_of(step_g / figure_g_per_lb), "lb");
    if (lb < 1.0)
        return with_unit(g / figure_g_per_oz, decimals, "oz");
    snprintf(out.text, sizeof out.text, "%.0f lb %.*f oz", lb, decimals,
             fabs(oz));
    return out;
}

static bool is_exact(double step_g)
{
    return decimals_of(step_g) <= 3;
}

static bool is_exact_us(double step_g)
{
    return decimals_of(step_g / figure_g_per_oz) <= 3 ||
           decimals_of(step_g / figure_g_per_lb) <= 2;
}

cli_figure scale_amount(const cli_report *report, size_t product, double g,
                        bool us)
{
    const sw_product *p = &report->inputs->shelf->products[product];
    const sw_weighing *w = weighing_of(report, product);
    cli_way way = {.us = us};
    if (!isnan(p->density_g_per_ml))
        return printed_amount(report, product, g, way);
    if (scale_has_solution(report, product))
        return with_unit(
            scale_dose_ml(report, product, g),
            decimals_of(report->weighed->items[product].dose_ml) ? 1 : 0, "mL");
    if (w && !us && is_exact(w->step_g))
        return exact_metric(g, w->step_g);
    if (w && us && is_exact_us(w->step_g))
        return exact_us(g, w->step_g);
    if (w && us && report->settings->amounts == AMOUNTS_US)
        return exact_metric(g, w->step_g);
    return printed_amount(report, product, g, way);
}

cli_figure scale_solution_volume(const cli_report *report, size_t product)
{
    double l = report->weighed->items[product].concentrate_l;
    cli_figure metric = figure_amount(figure_given(l), "L");
    return report->settings->fine_steps_are_us
               ? figure_beside(metric, figure_liquid_us(1000.0 * l))
               : metric;
}

bool scale_has_solutions(const cli_report *report)
{
    for (size_t i = 0; i < report->inputs->shelf->count; i++)
        if (scale_has_solution(report, i))
            return true;
    return false;
}

const char scale_leftover_words[] =
    "Label what is left of each trace solution with its name, strength and "
    "date, and lock it away from food, children and animals.";

cli_figure scale_solution(const cli_report *report, size_t product)
{
    double g = report->weighed->items[product].concentrate_g;
    double step_g = report->settings->scale.micro_step_g;
    if (report->settings->fine_steps_are_us && is_exact_us(step_g))
        return figure_beside(exact_us(g, step_g), figure_mass_metric(g));
    return is_exact(step_g) ? exact_metric(g, step_g) : figure_mass_metric(g);
}
