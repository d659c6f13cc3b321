/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Recipes of the fewest products for verify_fewest.py, which asks another
 * solver: what counts as equal to the closest recipe is written out here from
 * its definition, row by row, in grams per litre.
 *     formulate_fewest SHARE FIRST COUNT
 */
#include "invent.h"

#include "chemistry/ph_row.h"
#include "records/harm.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static invention feed;
static double share;

/* Finished content of `component` per unit of column `j`: products, then
 * waters. */
static double per_unit(const sw_problem *p, size_t j, const double *weight)
{
    const sw_content *content = j < p->shelf->count
                                    ? &p->shelf->products[j].per_g
                                    : &p->waters[j - p->shelf->count];
    double sum = 0;
    for (int c = 0; c < SW_CARRIED_COUNT; c++)
        sum += weight[c] * content->amount[c];
    return sum;
}

static void put_row(const double *weight, double low, double high)
{
    const sw_problem *p = &feed.problem;
    printf("row %.17g %.17g", low, high);
    for (size_t j = 0; j < p->shelf->count + p->water_count; j++)
        printf(" %.17g", per_unit(p, j, weight));
    printf("\n");
}

static void put_component(int component, double low, double high)
{
    double weight[SW_CARRIED_COUNT] = {0};
    weight[component] = 1;
    put_row(weight, low, high);
}

static double or_else(double value, double otherwise)
{
    return isnan(value) ? otherwise : value;
}

/* A component may have several rows, each with its own accepted range: limits
 * as given, or the target -+10 %. */
static void put_named(const sw_target_row *row, const sw_assessment *closest)
{
    double at = closest->finished.amount[row->component];
    double low = or_else(row->min, or_else(0.9 * row->target, -INFINITY));
    double high = or_else(row->max, or_else(1.1 * row->target, INFINITY));
    low = isnan(row->min) ? fmin(low, or_else(row->max, INFINITY)) : low;
    high = isnan(row->max) ? fmax(high, or_else(row->min, 0)) : high;
    if (at < low * (1 - 1e-6) || at > high * (1 + 1e-6)) {
        low = or_else(row->min, -INFINITY); /* no verdict to keep */
        high = or_else(row->max, INFINITY);
    }
    double scale = row->target > 0 ? row->target : fmax(row->max, row->min);
    if (!isnan(row->target) && scale > 0) {
        low = fmax(low, at - share * scale);
        high = fmin(high, at + share * scale);
    }
    put_component((int)row->component, fmin(low, at), fmax(high, at));
}

static void put_ratio(const sw_target_row *row, const sw_assessment *closest,
                      const sw_measure_row *judged)
{
    const double *c = closest->finished.amount;
    bool met = judged->verdict == SW_MET;
    double bound[2] = {met ? judged->low : row->min,
                       met ? judged->high : row->max};
    for (int side = 0; side < 2; side++) {
        double weight[SW_CARRIED_COUNT] = {0};
        double at = c[row->component] - bound[side] * c[row->other];
        if (isnan(bound[side]))
            continue;
        weight[row->component] += 1;
        weight[row->other] -= bound[side];
        if (side)
            put_row(weight, -INFINITY, fmax(0, at));
        else
            put_row(weight, fmin(0, at), INFINITY);
    }
}

/* What no row names may not rise by more than the share of it. */
static void put_unnamed(const sw_assessment *closest)
{
    const double *c = closest->finished.amount;
    for (int i = 0; i < SW_N; i++) {
        bool named = false;
        for (size_t k = 0; k < feed.target.count; k++)
            named = named || (feed.row[k].kind == SW_TARGET_COMPONENT &&
                              (int)feed.row[k].component == i);
        double of = i == SW_NO3_N || i == SW_NH4_N || i == SW_UREA_N
                        ? c[SW_N]
                        : fmax(c[i], sw_feed_ceiling_mg_per_l((sw_component)i));
        if (!named)
            put_component(i, -INFINITY, c[i] + share * of);
    }
}

static void put_ph(const sw_assessment *closest)
{
    for (int side = -1; side <= 1; side += 2) {
        sw_ph_row row;
        if (sw_ph_row_at(closest->mixed.ph + 0.05 * side, &closest->finished,
                         &feed.problem.conditions, &row, NULL) != SW_OK)
            continue;
        if (side < 0)
            put_row(row.coefficient, -row.constant, INFINITY);
        else
            put_row(row.coefficient, -INFINITY, -row.constant);
    }
}

/* What a rule of ours leaves out of the solve, as the proof says, stays at its
 * least. */
static void put_columns(const sw_solution *solution)
{
    for (size_t j = 0; j < feed.shelf.count; j++) {
        const sw_product *p = &feed.product[j];
        bool fixed = !isnan(p->fixed_g_per_l);
        double least = fmax(0, p->min_g_per_l);
        double most = solution->left_out[j] != SW_IN_USE
                          ? least
                          : fmin(1000, p->max_g_per_l);
        printf("product %.17g %.17g %.17g\n", fixed ? p->fixed_g_per_l : least,
               fixed ? p->fixed_g_per_l : most, solution->recipe.g_per_l[j]);
    }
    for (size_t k = 0; k < feed.problem.water_count; k++) {
        bool given = feed.problem.fractions || feed.problem.water_count == 1;
        printf("water %.17g %.17g %.17g\n", given ? solution->fractions[k] : 0,
               given ? solution->fractions[k] : 1, solution->fractions[k]);
    }
}

/* Of the closest recipe, in its own blend. */
static sw_assessment *assess_closest(const sw_solution *alone)
{
    sw_assessment *out = NULL;
    sw_mix mix = {.water = &alone->water,
                  .target = &feed.target,
                  .shelf = &feed.shelf,
                  .recipe = &alone->recipe,
                  .conditions = feed.problem.conditions};
    (void)sw_assess(&mix, &out, NULL);
    return out;
}

static void put_problem(unsigned long seed, const sw_solution *alone,
                        const sw_solution *found)
{
    sw_assessment *closest = assess_closest(alone);
    size_t measure = 0;
    if (!closest)
        return;
    printf("problem %lu %d %zu\n", seed, found->fewer.proved,
           found->fewer.products);
    put_columns(found);
    for (size_t i = 0; i < feed.target.count; i++)
        if (feed.row[i].kind == SW_TARGET_COMPONENT)
            put_named(&feed.row[i], closest);
        else
            put_ratio(&feed.row[i], closest, &closest->measures[measure++]);
    put_unnamed(closest);
    put_ph(closest);
    printf("end\n");
    sw_assessment_free(closest);
}

int main(int argc, char **argv)
{
    sw_solver *solver;
    if (argc != 4 || sw_solver_new(&solver, NULL) != SW_OK)
        return 2;
    share = strtod(argv[1], NULL);
    unsigned long seed = strtoul(argv[2], NULL, 10);
    long left = strtol(argv[3], NULL, 10);
    for (; left > 0; seed++) {
        sw_solution *alone = NULL, *found = NULL;
        invent(&feed, seed, SW_CLOSEST);
        if (sw_formulate(solver, &feed.problem, &alone, NULL) == SW_OK &&
            alone->outcome == SW_OPTIMAL) {
            feed.problem.equal_share = share;
            if (sw_formulate(solver, &feed.problem, &found, NULL) == SW_OK)
                put_problem(seed, alone, found);
            left--;
        }
        sw_solution_free(alone);
        sw_solution_free(found);
    }
    sw_solver_free(solver);
    return 0;
}
