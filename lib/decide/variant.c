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
#include <string.h>

sw_status sw_variant_make(const sw_problem *of, sw_variant *variant,
                          sw_error *error)
{
    size_t rows = of->target->count;
    size_t products = of->shelf->count;
    *variant = (sw_variant){.problem = *of};
    variant->target.rows =
        calloc(rows + SW_COMPONENT_COUNT, sizeof(sw_target_row));
    variant->shelf.products = calloc(products + 1, sizeof(sw_product));
    if (!variant->target.rows || !variant->shelf.products) {
        sw_variant_free(variant);
        return sw_fail_memory(error);
    }
    sw_variant_copy(of, variant->target.rows, variant->shelf.products, variant);
    return SW_OK;
}

void sw_variant_copy(const sw_problem *of, sw_target_row *rows,
                     sw_product *products, sw_variant *variant)
{
    *variant = (sw_variant){
        .problem = *of, .target = *of->target, .shelf = *of->shelf};
    variant->target.rows = rows;
    variant->shelf.products = products;
    for (size_t i = 0; i < of->target->count; i++)
        rows[i] = of->target->rows[i];
    for (size_t j = 0; j < of->shelf->count; j++)
        products[j] = of->shelf->products[j];
}

sw_problem sw_variant_problem(const sw_variant *variant)
{
    sw_problem problem = variant->problem;
    problem.target = &variant->target;
    problem.shelf = &variant->shelf;
    return problem;
}

void sw_variant_free(sw_variant *variant)
{
    free(variant->target.rows);
    free(variant->shelf.products);
    variant->target.rows = NULL;
    variant->shelf.products = NULL;
}

sw_handle sw_handle_of(const sw_problem *problem, const sw_side *side)
{
    const sw_target *target = problem->target;
    sw_handle made = {.kind = side->kind, .end = side->end};
    if (side->product)
        made.index = (size_t)(side->product - problem->shelf->products);
    while (side->target && made.index < target->count &&
           &target->rows[made.index] != side->target)
        made.index++;
    made.component = side->target ? side->target->component : SW_N;
    return made;
}

static void set_product(sw_product *product, sw_side_end end, double bound)
{
    if (end == SW_SIDE_MIN)
        product->min_g_per_l = bound;
    else if (end == SW_SIDE_MAX)
        product->max_g_per_l = bound;
    else
        product->fixed_g_per_l = product->min_g_per_l = product->max_g_per_l =
            bound;
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
static sw_target_row *row_of(sw_variant *variant, sw_handle limit)
{
    sw_target *target = &variant->target;
    size_t at = limit.index;
    if (at < variant->problem.target->count)
        return &target->rows[at];
    while (at < target->count && target->rows[at].component != limit.component)
        at++;
    if (at == target->count)
        target->rows[target->count++] =
            (sw_target_row){.kind = SW_TARGET_COMPONENT,
                            .component = limit.component,
                            .name = (char *)sw_component_name(limit.component),
                            .target = NAN,
                            .min = NAN,
                            .assumed = true};
    return &target->rows[at];
}

void sw_variant_set(sw_variant *variant, sw_handle limit, double bound)
{
    if (limit.kind == SW_SIDE_COST)
        variant->problem.most_cost_per_m3 = bound;
    else if (limit.kind == SW_SIDE_PRODUCT)
        set_product(&variant->shelf.products[limit.index], limit.end, bound);
    else
        set_row(row_of(variant, limit), limit.end, bound);
}

sw_status sw_variant_solve(sw_solver *solver, const sw_variant *variant,
                           bool *solved, sw_solution **solution,
                           sw_error *error)
{
    sw_problem problem = sw_variant_problem(variant);
    sw_status status = sw_formulate(solver, &problem, solution, error);
    *solved = status == SW_OK && (*solution)->recipe.count > 0;
    return status == SW_ERR_MEMORY ? status : SW_OK;
}

bool sw_misses_ph(const sw_solution *solution)
{
    static const char *const codes[] = {"no-acid", "no-base", "acid-short",
                                        "base-short"};
    for (size_t i = 0; i < solution->notes.count; i++)
        for (size_t k = 0; k < sizeof codes / sizeof *codes; k++)
            if (strcmp(solution->notes.items[i].code, codes[k]) == 0)
                return true;
    return false;
}

bool sw_moves_ph(const sw_product *product)
{
    return sw_is_agent(product) && !sw_is_trace_source(product);
}

bool sw_is_on_shelf(const sw_shelf *shelf, const sw_product *product)
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
