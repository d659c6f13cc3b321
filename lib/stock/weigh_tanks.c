/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Whole steps in full tanks.  Every product of every tank is a product of its
 * own, measured out for what its tank makes of feed; the tanks then are what
 * they would be if somebody had mixed these amounts.
 */
#include "quantity/status.h"
#include "records/recipe.h"
#include "stock/dosing.h"
#include "stock/step_size.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Every product of every tank, and the litres of feed each is for. */
typedef struct parts {
    sw_solver *solver;
    const sw_filling *filling;
    sw_apart *apart;
    double *batch_l;
    sw_scale scale;
    sw_measure measure; /* points to it */
} parts;

/* Of a product in two tanks one part stays, in whole steps, and the other fits:
 * both are the same to the feed.  Returns what stays. */
static double hold_part(const parts *p, size_t at)
{
    sw_product *product = &p->apart->shelf.products[at];
    double batch_l = p->batch_l[at];
    double g = p->apart->recipe.g_per_l[at] * batch_l;
    sw_weighing weighing;
    sw_measure_choose(&p->measure, product, g, &weighing);
    double held = round(g / weighing.step_g) * weighing.step_g / batch_l;
    product->min_g_per_l = product->max_g_per_l = NAN;
    product->fixed_g_per_l = held;
    return held;
}

/* A part's share of what the part held leaves of its product's limits. */
static void share_limits(const parts *p, size_t at, double held, double share)
{
    sw_product *product = &p->apart->shelf.products[at];
    double *limits[] = {&product->min_g_per_l, &product->max_g_per_l,
                        &product->fixed_g_per_l};
    for (size_t i = 0; i < sizeof limits / sizeof *limits; i++)
        if (!isnan(*limits[i]))
            *limits[i] = fmax(*limits[i] - held, 0) * share;
}

/* What the tanks hold of each product, and not the recipe, is taken apart. */
static void fill_parts(const parts *p)
{
    const sw_stock *stock = *p->filling->stock;
    sw_apart *apart = p->apart;
    for (size_t i = 0; i < apart->recipe.count; i++) {
        sw_tank tank = (sw_tank)apart->head[i];
        p->batch_l[i] = sw_dose_feed_l(p->filling->setup, tank);
        apart->recipe.g_per_l[i] =
            stock->placements[apart->product[i]].g[tank] / p->batch_l[i];
    }
    for (size_t i = 0, next; i < apart->recipe.count; i = next) {
        double all = 0;
        for (next = i; next < apart->recipe.count &&
                       apart->product[next] == apart->product[i];
             next++)
            all += apart->recipe.g_per_l[next];
        bool apart_too = next > i + 1;
        double rest = apart_too ? all - apart->recipe.g_per_l[i] : all;
        double held = apart_too ? hold_part(p, i) : 0;
        for (size_t k = i + apart_too; k < next; k++)
            share_limits(p, k, held, apart->recipe.g_per_l[k] / rest);
    }
}

static sw_status take_parts(sw_solver *solver, const sw_filling *filling,
                            const sw_scale *scale, parts *p, sw_error *error)
{
    sw_mix mix = {.shelf = filling->problem->shelf,
                  .recipe = &filling->solution->recipe};
    *p = (parts){.solver = solver, .filling = filling, .scale = *scale};
    sw_status status = sw_stock_apart(&mix, *filling->stock, &p->apart, error);
    if (status)
        return status;
    p->batch_l = calloc(p->apart->recipe.count + 1, sizeof *p->batch_l);
    if (!p->batch_l)
        return sw_fail_memory(error);
    p->scale.volume_l = filling->setup->volume_l;
    p->scale.batch_l = p->batch_l;
    sw_measure_start(&p->scale, &p->measure);
    fill_parts(p);
    return SW_OK;
}

static sw_status weigh_parts(const parts *p, sw_weighed **weighed,
                             sw_error *error)
{
    sw_problem problem = *p->filling->problem;
    sw_shelf shelf = p->apart->shelf;
    shelf.name = problem.shelf->name;
    problem.shelf = &shelf;
    sw_solution near = *p->filling->solution;
    near.recipe = p->apart->recipe;
    return sw_weigh(p->solver, &problem, &near, &p->scale, weighed, error);
}

/* From parts to the products of the shelf. */
static sw_status join(const parts *p, sw_weighed *weighed,
                      sw_placement *placements, sw_error *error)
{
    size_t count = p->filling->problem->shelf->count;
    sw_weighing *items = calloc(count + 1, sizeof *items);
    double *g_per_l = calloc(count + 1, sizeof *g_per_l);
    if (!items || !g_per_l) {
        SW_FREE(items, g_per_l);
        return sw_fail_memory(error);
    }
    for (size_t i = 0; i < p->apart->recipe.count; i++) {
        size_t at = p->apart->product[i];
        double before_g = items[at].amount_g;
        items[at] = weighed->items[i];
        placements[at].g[p->apart->head[i]] = weighed->items[i].amount_g;
        items[at].amount_g += before_g;
        g_per_l[at] += weighed->recipe.g_per_l[i];
    }
    SW_FREE(weighed->items, weighed->recipe.g_per_l);
    weighed->items = items;
    weighed->recipe.g_per_l = g_per_l;
    weighed->recipe.count = count;
    return sw_recipe_keep_most(&p->filling->solution->recipe, &weighed->recipe,
                               error);
}

/* What the tanks are with these amounts; what was found of the assignment
 * stays. */
static sw_status refill(const parts *p, const sw_placement *placements,
                        sw_error *error)
{
    const sw_problem *problem = p->filling->problem;
    sw_stock *old = *p->filling->stock, *stock;
    sw_recipe none = {0};
    sw_content water = {{0}};
    sw_content_add_waters(&water, problem->waters,
                          p->filling->solution->fractions,
                          problem->water_count);
    sw_mix mix = {.water = &water,
                  .target = problem->target,
                  .shelf = problem->shelf,
                  .recipe = &none,
                  .conditions = problem->conditions};
    sw_status status = sw_stock_check(p->solver, &mix, p->filling->setup,
                                      placements, &stock, error);
    if (status)
        return status;
    stock->outcome = old->outcome;
    stock->highest_factor = old->highest_factor;
    memcpy(stock->limit, old->limit, sizeof stock->limit);
    sw_stock_free(old);
    *p->filling->stock = stock;
    return SW_OK;
}

static sw_status fill(const parts *p, sw_weighed *weighed, sw_error *error)
{
    const sw_stock *stock = *p->filling->stock;
    sw_placement *placements = calloc(stock->count + 1, sizeof *placements);
    if (!placements)
        return sw_fail_memory(error);
    for (size_t j = 0; j < stock->count; j++)
        memcpy(placements[j].reason, stock->placements[j].reason,
               sizeof placements[j].reason);
    sw_status status = join(p, weighed, placements, error);
    if (!status)
        status = refill(p, placements, error);
    free(placements);
    return status;
}

/* Without whole steps: solutions of traces, from parts to the products. */
static sw_status keep_solutions(const parts *p, sw_weighed *weighed,
                                sw_error *error)
{
    size_t count = p->filling->problem->shelf->count;
    sw_weighing *items = calloc(count + 1, sizeof *items);
    if (!items)
        return sw_fail_memory(error);
    for (size_t i = 0; i < p->apart->recipe.count; i++)
        if (weighed->items[i].concentrate_g > 0)
            items[p->apart->product[i]] = weighed->items[i];
    free(weighed->items);
    weighed->items = items;
    return SW_OK;
}

sw_status sw_stock_weigh(sw_solver *solver, const sw_filling *filling,
                         const sw_scale *scale, sw_weighed **weighed,
                         sw_error *error)
{
    SW_REQUIRE_FOR(weighed, error, solver, filling, scale);
    SW_REQUIRE(error, sw_whole_problem(filling->problem), filling->setup,
               filling->solution, filling->stock);
    parts p;
    sw_status status = take_parts(solver, filling, scale, &p, error);
    if (!status)
        status = weigh_parts(&p, weighed, error);
    if (!status)
        status = ((*weighed)->recipe.count ? fill : keep_solutions)(
            &p, *weighed, error);
    if (status) {
        sw_weighed_free(*weighed);
        *weighed = NULL;
    }
    free(p.batch_l);
    sw_apart_free(p.apart);
    return status;
}
