/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the shelf lacks: products of the catalogue, each tried beside those. */
#include "decide/why.h"

#include "assess/agent.h"
#include "quantity/status.h"
#include "quantity/ties.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static bool is_on_shelf(const sw_shelf *shelf, const sw_product *product)
{
    for (size_t j = 0; j < shelf->count; j++) {
        const sw_product *there = &shelf->products[j];
        if (strcmp(there->name, product->name) == 0 ||
            (there->catalogue_name &&
             strcmp(there->catalogue_name, product->name) == 0))
            return true;
    }
    return false;
}

static double rank_key(const void *of)
{
    const sw_addition *addition = of;
    return isnan(addition->objective) ? -addition->price : addition->objective;
}

static double hazard_key(const void *of)
{
    return ((const sw_addition *)of)->corrosive;
}

/* Whether the shelf lacks it, and it is of use at the pH of the feed. */
static bool may_be_added(const sw_problem *problem, const sw_product *product)
{
    return !is_on_shelf(problem->shelf, product) &&
           (!sw_is_trace_source(product) ||
            sw_stays_dissolved(product, sw_feed_ph_of(problem->target)));
}

sw_status sw_additions_find(const sw_problem *problem, sw_consider *consider,
                            void *context, sw_addition **additions,
                            size_t *count, sw_error *error)
{
    size_t all = sw_catalogue_count();
    *additions = calloc(all + 1, sizeof **additions);
    if (!*additions)
        return sw_fail_memory(error);
    sw_status status = SW_OK;
    for (size_t i = 0; status == SW_OK && i < all; i++) {
        bool kept = false;
        sw_product *product;
        sw_addition *next = &(*additions)[*count];
        status = sw_catalogue_get(i, &product, error);
        if (status == SW_OK && may_be_added(problem, product)) {
            *next = (sw_addition){.index = i, .objective = NAN, .price = NAN};
            snprintf(next->name, sizeof next->name, "%s", product->name);
            next->corrosive = sw_has_hazard(product, "H314") ||
                              sw_has_hazard(product, "H290");
            status = consider(context, product, next, &kept);
        }
        *count += kept;
        sw_product_free(product);
    }
    sw_sort_close(*additions, *count, sizeof **additions, hazard_key);
    sw_sort_close(*additions, *count, sizeof **additions, rank_key);
    return status;
}

/* ---- One of them -------------------------------------------------------- */

/* Whether there is anything to come close to. */
static bool has_goal(const sw_target *target)
{
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        if (row->kind == SW_TARGET_COMPONENT && row->weight > 0 &&
            !isnan(row->target))
            return true;
    }
    return false;
}

/* A price above all others: then as little of it as can be. */
static double dearest(const sw_shelf *shelf)
{
    double most = 1;
    for (size_t j = 0; j < shelf->count; j++)
        most = fmax(most, shelf->products[j].price_per_kg);
    return 1000 * most;
}

static void put_on_shelf(sw_variant *variant, const sw_product *product)
{
    sw_product *added = &variant->shelf.products[variant->shelf.count];
    *added = *product;
    if (variant->problem.objective == SW_CHEAPEST) {
        added->price_per_kg = dearest(&variant->shelf);
        if (has_goal(&variant->target)) {
            variant->problem.objective = SW_CLOSEST;
            variant->problem.keep_bands = true;
        }
    }
    variant->shelf.count++;
}

sw_status sw_try_product(sw_solver *solver, const sw_problem *problem,
                         const sw_product *product, sw_addition *addition,
                         bool *solved, sw_error *error)
{
    sw_variant variant;
    *solved = false;
    sw_status status = sw_variant_make(problem, &variant, error);
    if (status == SW_OK) {
        put_on_shelf(&variant, product);
        status = sw_variant_solve(solver, &variant, solved, error);
    }
    if (*solved) {
        const sw_solution *solution = variant.solution;
        addition->g_per_l = solution->recipe.g_per_l[variant.shelf.count - 1];
        addition->objective = solution->certificate.objective;
        addition->mends_ph = !solution->misses_ph;
    }
    sw_variant_free(&variant);
    return status;
}
