/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Copies of a problem that can be changed: a bound moved, a product added or
 * left out.  Each is solved as any problem is, so that what is said of it
 * carries the same proof.
 */
#include "decide/variant.h"

#include "assess/agent.h"
#include "quantity/status.h"

#include <math.h>
#include <stdlib.h>

sw_status sw_variant_make(const sw_problem *of, sw_variant *variant,
                          sw_error *error)
{
    size_t rows = of->target->count;
    size_t products = of->shelf->count;
    *variant = (sw_variant){
        .of = of, .problem = *of, .target = *of->target, .shelf = *of->shelf};
    variant->problem.target = &variant->target;
    variant->problem.shelf = &variant->shelf;
    variant->target.rows =
        calloc(rows + SW_COMPONENT_COUNT, sizeof(sw_target_row));
    variant->shelf.products = calloc(products + 1, sizeof(sw_product));
    if (!variant->target.rows || !variant->shelf.products)
        return sw_fail_memory(error);
    for (size_t i = 0; i < rows; i++)
        variant->target.rows[i] = of->target->rows[i];
    for (size_t j = 0; j < products; j++)
        variant->shelf.products[j] = of->shelf->products[j];
    return SW_OK;
}

void sw_variant_free(sw_variant *variant)
{
    sw_solution_free(variant->solution);
    SW_FREE(variant->target.rows, variant->shelf.products);
}

static void set_product(sw_product *product, sw_side_end end, double bound)
{
    if (end != SW_SIDE_MAX)
        product->min_g_per_l = bound;
    if (end != SW_SIDE_MIN)
        product->max_g_per_l = bound;
    if (end == SW_SIDE_FIXED)
        product->fixed_g_per_l = bound;
}

static void set_row(sw_target_row *row, sw_side_end end, double bound)
{
    if (end == SW_SIDE_MIN)
        row->min = bound;
    else if (end == SW_SIDE_MAX)
        row->max = bound;
    else
        row->target = bound;
}

/* A ceiling of ours that has no row gets one. */
static sw_target_row *row_of(sw_variant *variant, const sw_limit *limit)
{
    sw_target *target = &variant->target;
    size_t at = limit->index;
    if (at < variant->of->target->count)
        return &target->rows[at];
    while (at < target->count && target->rows[at].component != limit->component)
        at++;
    if (at == target->count)
        target->rows[target->count++] =
            (sw_target_row){.kind = SW_TARGET_COMPONENT,
                            .component = limit->component,
                            .name = (char *)sw_component_name(limit->component),
                            .target = NAN,
                            .min = NAN,
                            .assumed = true};
    return &target->rows[at];
}

void sw_variant_set(sw_variant *variant, const sw_limit *limit, double bound)
{
    if (limit->kind == SW_SIDE_COST)
        variant->problem.most_cost_per_m3 = bound;
    else if (limit->kind == SW_SIDE_PRODUCT)
        set_product(&variant->shelf.products[limit->index], limit->end, bound);
    else
        set_row(row_of(variant, limit), limit->end, bound);
}

sw_status sw_variant_solve(sw_solver *solver, sw_variant *variant, bool *solved,
                           sw_error *error)
{
    sw_solution_free(variant->solution);
    sw_status status =
        sw_formulate(solver, &variant->problem, &variant->solution, error);
    *solved = status == SW_OK && variant->solution->recipe.count > 0;
    return sw_of_trial(status);
}

bool sw_moves_ph(const sw_product *product)
{
    return sw_is_agent(product) && !sw_is_trace_source(product);
}

bool sw_is_chosen(const sw_product *product, double g_per_l)
{
    return g_per_l > 0 && isnan(product->fixed_g_per_l) &&
           !(product->min_g_per_l > 0);
}

size_t sw_count_chosen(const sw_shelf *shelf, const sw_recipe *recipe)
{
    size_t count = 0;
    for (size_t j = 0; j < recipe->count; j++)
        count += sw_is_chosen(&shelf->products[j], recipe->g_per_l[j]);
    return count;
}
