/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Recipes of the fewest products for verify_fewest.py, which asks another
 * solver: what counts as equal to the closest recipe is written out here from
 * its definition, row by row, in grams per litre.
 *     formulate_fewest SHARE FIRST COUNT [many]
 * With `many` a recipe in common is sought for the waters of each problem.
 */
#include "invent.h"

#include "chemistry/ph_row.h"
#include "records/feed_limits.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static invention feed;
static double share;
static double within; /* the same: or of 0, to six digits */

/* Products, or what each water has of them, then waters. */
static struct {
    const sw_content *content;
    size_t water; /* whose it is; EVERY: of all */
} column[512];
static size_t columns;
static const size_t EVERY = SIZE_MAX;
static size_t row_of; /* the water that rows are about */

static void put_row(const double *weight, double low, double high)
{
    printf("row %.17g %.17g", low, high);
    for (size_t j = 0; j < columns; j++) {
        double sum = 0;
        if (column[j].water == EVERY || column[j].water == row_of)
            for (int c = 0; c < SW_CARRIED_COUNT; c++)
                sum += weight[c] * column[j].content->amount[c];
        printf(" %.17g", sum);
    }
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
        low = fmax(low, at - within * scale);
        high = fmin(high, at + within * scale);
    }
    put_component((int)row->component, fmin(low, at), fmax(high, at));
}

static void put_ratio(const sw_target_row *row, const sw_assessment *closest,
                      const sw_row *judged)
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

/* What no row names may not rise by more than that share of it. */
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
            put_component(i, -INFINITY, c[i] + within * of);
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

static void put_column(const char *word, size_t index,
                       const sw_content *content, size_t water,
                       const double bounds[3])
{
    column[columns].content = content;
    column[columns++].water = water;
    printf("%s %zu %.17g %.17g %.17g\n", word, index, bounds[0], bounds[1],
           bounds[2]);
}

/* What a rule of ours leaves out of the solve, as the proof says, stays at its
 * least. */
static void put_product(size_t j, bool left_out, size_t water, double g_per_l)
{
    const sw_product *p = &feed.product[j];
    bool fixed = !isnan(p->fixed_g_per_l);
    double least = fmax(0, p->min_g_per_l);
    double most = left_out ? least : fmin(1000, p->max_g_per_l);
    put_column("product", j, &p->per_g, water,
               (double[]){fixed ? p->fixed_g_per_l : least,
                          fixed ? p->fixed_g_per_l : most, g_per_l});
}

/* Of those that the shelf neither fixes nor asks for. */
static size_t count_used(const sw_recipe *recipe)
{
    size_t count = 0;
    for (size_t j = 0; j < recipe->count; j++)
        count += isnan(feed.product[j].fixed_g_per_l) &&
                 !(feed.product[j].min_g_per_l > 0) && recipe->g_per_l[j] > 0;
    return count;
}

/* The same in any of its waters. */
static size_t count_of_many(const sw_many *many)
{
    double most[MOST_PRODUCTS] = {0};
    const sw_recipe all = {.g_per_l = most, .count = many->product_count};
    for (size_t k = 0; k < many->water_count; k++)
        for (size_t j = 0; j < many->product_count; j++)
            most[j] = fmax(most[j], many->waters[k].amounts.g_per_l[j]);
    return count_used(&all);
}

static void put_rows(const sw_assessment *closest)
{
    size_t measure = 0;
    for (size_t i = 0; i < feed.target.count; i++)
        if (feed.row[i].kind == SW_TARGET_COMPONENT)
            put_named(&feed.row[i], closest);
        else
            put_ratio(&feed.row[i], closest, &closest->measures[measure++]);
    put_unnamed(closest);
    put_ph(closest);
}

/* Of a closest recipe. */
static sw_assessment *assess_closest(const sw_content *water,
                                     const sw_recipe *recipe)
{
    sw_assessment *out = NULL;
    sw_mix mix = {.water = water,
                  .target = &feed.target,
                  .shelf = &feed.shelf,
                  .recipe = recipe,
                  .conditions = feed.problem.conditions};
    (void)sw_assess(&mix, &out, NULL);
    return out;
}

static void put_problem(unsigned long seed, const sw_solution *alone,
                        const sw_solution *found)
{
    const sw_problem *p = &feed.problem;
    bool given = p->fractions || p->water_count == 1;
    sw_assessment *closest = assess_closest(&alone->water, &alone->recipe);
    if (!closest)
        return;
    printf("problem %lu %d %zu %zu\n", seed, found->fewer.proved,
           found->fewer.products, count_used(&alone->recipe));
    columns = 0;
    for (size_t j = 0; j < feed.shelf.count; j++)
        put_product(j, found->left_out[j] != SW_IN_USE, EVERY,
                    found->recipe.g_per_l[j]);
    for (size_t k = 0; k < p->water_count; k++)
        put_column("water", k, &p->waters[k], EVERY,
                   (double[]){given ? found->fractions[k] : 0,
                              given ? found->fractions[k] : 1,
                              found->fractions[k]});
    put_rows(closest);
    printf("end\n");
    sw_assessment_free(closest);
}

/* What is no water's own is left out by a rule on its composition alone. */
static void put_many(unsigned long seed, const sw_many *alone,
                     const sw_many *found, const sw_left_out *left_out)
{
    const sw_problem *p = &feed.problem;
    const sw_fewer *fewer = &found->recipes[0].fewer;
    printf("problem %lu %d %zu %zu\n", seed, fewer->proved, fewer->products,
           count_of_many(alone));
    columns = 0;
    for (size_t j = 0; j < feed.shelf.count; j++)
        for (size_t k = 0; k < (found->own[j] ? p->water_count : 1); k++)
            put_product(j,
                        left_out[j] == SW_LEFT_TRACE ||
                            left_out[j] == SW_LEFT_OUTLASTED,
                        found->own[j] ? k : EVERY,
                        found->waters[k].amounts.g_per_l[j]);
    for (size_t k = 0; k < p->water_count; k++)
        put_column("given", k, &p->waters[k], k, (double[]){1, 1, 1});
    for (row_of = 0; row_of < p->water_count; row_of++) {
        sw_assessment *closest =
            assess_closest(&p->waters[row_of], &alone->waters[row_of].amounts);
        if (closest)
            put_rows(closest);
        sw_assessment_free(closest);
    }
    printf("end\n");
}

static bool find_one(sw_solver *solver, unsigned long seed)
{
    sw_solution *alone = NULL, *found = NULL;
    bool solved = sw_formulate(solver, &feed.problem, &alone, NULL) == SW_OK &&
                  alone->outcome == SW_OPTIMAL;
    feed.problem.fewest = true;
    feed.problem.equal_share = share;
    if (solved && sw_formulate(solver, &feed.problem, &found, NULL) == SW_OK)
        put_problem(seed, alone, found);
    sw_solution_free(alone);
    sw_solution_free(found);
    return solved;
}

static bool find_many(sw_solver *solver, unsigned long seed)
{
    sw_many *alone = NULL, *found = NULL;
    sw_solution *rules = NULL;
    sw_problem first = feed.problem;
    feed.problem.fractions = NULL;
    first.fractions = NULL;
    first.water_count = 1;
    bool solved = sw_one_recipe(solver, &feed.problem, &alone, NULL) == SW_OK &&
                  alone->recipes[0].outcome == SW_OPTIMAL &&
                  alone->waters[0].amounts.count &&
                  sw_formulate(solver, &first, &rules, NULL) == SW_OK &&
                  rules->left_out;
    feed.problem.fewest = true;
    feed.problem.equal_share = share;
    if (solved && sw_one_recipe(solver, &feed.problem, &found, NULL) == SW_OK)
        put_many(seed, alone, found, rules->left_out);
    sw_many_free(alone);
    sw_many_free(found);
    sw_solution_free(rules);
    return solved;
}

int main(int argc, char **argv)
{
    sw_solver *solver;
    bool many = argc == 5 && !strcmp(argv[4], "many");
    if ((argc != 4 && !many) || sw_solver_new(&solver, NULL) != SW_OK)
        return 2;
    share = strtod(argv[1], NULL);
    within = fmax(share, 1e-6);
    unsigned long seed = strtoul(argv[2], NULL, 10);
    long left = strtol(argv[3], NULL, 10);
    for (; left > 0; seed++) {
        invent(&feed, seed, SW_CLOSEST);
        if (many && feed.problem.water_count < 2)
            continue;
        left -= many ? find_many(solver, seed) : find_one(solver, seed);
    }
    sw_solver_free(solver);
    return 0;
}
