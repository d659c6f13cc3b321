/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Whole steps in full tanks.  Every product of every tank is a product of its
 * own, measured out for what its tank makes of feed; the tanks then are what
 * they would be if somebody had mixed these amounts.
 */
#include "quantity/status.h"
#include "records/recipe.h"
#include "stock/dose.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The shelf by product and tank. */
typedef struct parts {
    const sw_filling *filling;
    sw_product *products;
    size_t *product; /* of the shelf */
    sw_tank *tank;
    double *batch_l, *g_per_l;
    size_t count;
} parts;

static double feed_of(const parts *p, sw_tank tank)
{
    const sw_stock_setup *setup = p->filling->setup;
    return sw_stock_ratio(setup, tank) * sw_stock_volume_l(setup, tank);
}

/* A part's share of what limits its product. */
static void share_limits(sw_product *product, double share)
{
    product->min_g_per_l *= share;
    product->max_g_per_l *= share;
    product->fixed_g_per_l *= share;
}

static void add_part(parts *p, size_t product, sw_tank tank, double all_g_per_l)
{
    size_t at = p->count++;
    double batch_l = feed_of(p, tank);
    p->products[at] = p->filling->problem->shelf->products[product];
    p->product[at] = product;
    p->tank[at] = tank;
    p->batch_l[at] = batch_l;
    p->g_per_l[at] =
        (*p->filling->stock)->placements[product].g[tank] / batch_l;
    share_limits(&p->products[at], p->g_per_l[at] / all_g_per_l);
}

/* Of a product in two tanks one part stays, to the step, and the other fits:
 * both are the same to the feed. */
static void hold_part(parts *p, size_t at)
{
    p->products[at].fixed_g_per_l = p->g_per_l[at];
}

static void take_apart(parts *p)
{
    const sw_stock *stock = *p->filling->stock;
    for (size_t j = 0; j < stock->count; j++) {
        double all = 0;
        for (int t = 0; t < SW_TANKS; t++)
            all += stock->placements[j].g[t] / feed_of(p, (sw_tank)t);
        size_t first = p->count;
        for (int t = 0; t < SW_TANKS; t++)
            if (stock->placements[j].g[t] > 0)
                add_part(p, j, (sw_tank)t, all);
        if (p->count > first + 1)
            hold_part(p, first);
    }
}

static void free_parts(parts *p)
{
    free(p->products);
    free(p->product);
    free(p->tank);
    free(p->batch_l);
    free(p->g_per_l);
}

static sw_status take_parts(const sw_filling *filling, parts *p,
                            sw_error *error)
{
    size_t room = filling->problem->shelf->count * SW_TANKS + 1;
    *p = (parts){.filling = filling,
                 .products = calloc(room, sizeof *p->products),
                 .product = calloc(room, sizeof *p->product),
                 .tank = calloc(room, sizeof *p->tank),
                 .batch_l = calloc(room, sizeof *p->batch_l),
                 .g_per_l = calloc(room, sizeof *p->g_per_l)};
    if (!p->products || !p->product || !p->tank || !p->batch_l || !p->g_per_l)
        return sw_fail_memory(error);
    take_apart(p);
    return SW_OK;
}

static sw_status weigh_parts(const parts *p, const sw_scale *scale,
                             sw_weighed **weighed, sw_error *error)
{
    sw_shelf shelf = {.name = p->filling->problem->shelf->name,
                      .products = p->products,
                      .count = p->count};
    sw_problem problem = *p->filling->problem;
    problem.shelf = &shelf;
    sw_solution near = *p->filling->solution;
    near.recipe = (sw_recipe){.g_per_l = p->g_per_l, .count = p->count};
    sw_scale own = *scale;
    own.volume_l = p->filling->setup->volume_l;
    own.batch_l = p->batch_l;
    return sw_weigh(&problem, &near, &own, weighed, error);
}

/* From parts to the products of the shelf. */
static sw_status join(const parts *p, sw_weighed *weighed,
                      sw_placement *placements, sw_error *error)
{
    size_t count = p->filling->problem->shelf->count;
    sw_weighing *items = calloc(count + 1, sizeof *items);
    double *g_per_l = calloc(count + 1, sizeof *g_per_l);
    if (!items || !g_per_l) {
        free(items);
        free(g_per_l);
        return sw_fail_memory(error);
    }
    for (size_t i = 0; i < p->count; i++) {
        size_t at = p->product[i];
        double before_g = items[at].amount_g;
        items[at] = weighed->items[i];
        placements[at].g[p->tank[i]] = weighed->items[i].amount_g;
        items[at].amount_g += before_g;
        g_per_l[at] += weighed->recipe.g_per_l[i];
    }
    free(weighed->items);
    free(weighed->recipe.g_per_l);
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
    sw_status status =
        sw_stock_check(&mix, p->filling->setup, placements, &stock, error);
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

sw_status sw_stock_weigh(const sw_filling *filling, const sw_scale *scale,
                         sw_weighed **weighed, sw_error *error)
{
    parts p;
    *weighed = NULL;
    sw_status status = take_parts(filling, &p, error);
    if (!status)
        status = weigh_parts(&p, scale, weighed, error);
    if (!status && (*weighed)->recipe.count)
        status = fill(&p, *weighed, error);
    if (status) {
        sw_weighed_free(*weighed);
        *weighed = NULL;
    }
    free_parts(&p);
    return status;
}
