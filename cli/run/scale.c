/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The scale's steps to the library, and amounts in whole steps back to the
 * screen without a digit lost.
 */
#include "run/scale.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "io/complain.h"
#include "io/interrupt.h"

exit_code scale_weigh(cli_report *report, const sw_problem *problem,
                      sw_stock **stock)
{
    sw_error error;
    sw_status status;
    sw_scale scale = report->settings->scale;
    sw_solver *solver = report->inputs->solver;
    report->weighed = NULL;
    if (!report->settings->in_steps || !report->recipe)
        return EXIT_DONE;
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
    if (status != SW_OK)
        return complain_error(&error);
    if (report->weighed->recipe.count)
        report->recipe = &report->weighed->recipe;
    return EXIT_DONE;
}

static const sw_weighing *weighing_of(const cli_report *report, size_t product)
{
    return report->weighed && report->weighed->recipe.count
               ? &report->weighed->items[product]
               : NULL;
}

bool scale_has_solution(const cli_report *report, size_t product)
{
    const sw_weighing *w = weighing_of(report, product);
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
        return with_unit(scale_dose_ml(report, product, g),
                         decimals_of(w->dose_ml) ? 1 : 0, "mL");
    if (w && !us && is_exact(w->step_g))
        return exact_metric(g, w->step_g);
    if (w && us && is_exact_us(w->step_g))
        return exact_us(g, w->step_g);
    if (w && us && report->settings->amounts == AMOUNTS_US)
        return exact_metric(g, w->step_g);
    return printed_amount(report, product, g, way);
}

/* "3.5 oz (99.2 g)": the dose is in millilitres whatever the scale shows. */
static cli_figure beside(cli_figure first, cli_figure also)
{
    cli_figure out;
    snprintf(out.text, sizeof out.text, "%.22s (%.20s)", first.text, also.text);
    return out;
}

cli_figure scale_solution_volume(const cli_report *report, size_t product)
{
    double l = report->weighed->items[product].concentrate_l;
    cli_figure metric = figure_amount(figure_given(l), "L");
    return report->settings->fine_steps_are_us
               ? beside(metric, figure_liquid_us(1000.0 * l))
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
        return beside(exact_us(g, step_g), figure_mass_metric(g));
    return is_exact(step_g) ? exact_metric(g, step_g) : figure_mass_metric(g);
}

sw_component scale_most_moved(const cli_report *report, double *without,
                              double *with)
{
    const sw_assessment *assessment = report->assessment;
    sw_content before = assessment->water;
    sw_component most = SW_COMPONENT_COUNT;
    double worst = 0.0;
    sw_content_add_recipe(&before, 1.0, report->inputs->shelf,
                          &report->solution->recipe);
    for (int i = 0; i < SW_COMPONENT_COUNT; i++) {
        double target = assessment->rows[i].target_mg_per_l;
        double change = assessment->finished.amount[i] - before.amount[i];
        if (!(target > 0.0) || !(fabs(change) / target > worst))
            continue;
        worst = fabs(change) / target;
        most = (sw_component)i;
        *without = before.amount[i];
        *with = assessment->finished.amount[i];
    }
    return most;
}
