/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Remedies, each solved for: a product of the catalogue beside those of the
 * shelf, and purified water blended in.  The least share of it is a linear
 * program over the model in which the blend is free; the recipe at that share
 * is then solved for as any is.
 */
#include "decide/try.h"

#include "decide/variant.h"
#include "formulate/onlooker.h"
#include "quantity/status.h"
#include "quantity/ties.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* As for a bound: tried this far beyond. */
static const double beyond = 1e-6;

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

static sw_status try_it(sw_solver *solver, sw_variant *variant,
                        const sw_product *product, bool *solved,
                        sw_addition *addition, sw_error *error)
{
    sw_solution *solution;
    put_on_shelf(variant, product);
    sw_status status =
        sw_variant_solve(solver, variant, solved, &solution, error);
    if (*solved) {
        snprintf(addition->name, sizeof addition->name, "%s", product->name);
        addition->g_per_l = solution->recipe.g_per_l[variant->shelf.count - 1];
        addition->corrosive =
            sw_has_hazard(product, "H314") || sw_has_hazard(product, "H290");
        addition->objective = solution->certificate.objective;
        addition->mends_ph = !sw_misses_ph(solution);
    }
    sw_solution_free(solution);
    return status;
}

sw_status sw_try_product(sw_solver *solver, const sw_problem *problem,
                         size_t index, bool *solved, sw_addition *addition,
                         sw_error *error)
{
    sw_product *product;
    sw_variant variant;
    *solved = false;
    *addition = (sw_addition){.index = index, .price = NAN};
    sw_status status = sw_catalogue_get(index, &product, error);
    if (status != SW_OK)
        return status;
    if (!sw_is_on_shelf(problem->shelf, product)) {
        status = sw_variant_make(problem, &variant, error);
        if (status == SW_OK) {
            status = try_it(solver, &variant, product, solved, addition, error);
            sw_variant_free(&variant);
        }
    }
    sw_product_free(product);
    return status;
}

static double rank_key(const void *of)
{
    const sw_addition *addition = of;
    return isnan(addition->objective) ? -addition->price : addition->objective;
}

static int by_hazard(const void *left, const void *right)
{
    const sw_addition *a = left;
    const sw_addition *b = right;
    if (a->corrosive != b->corrosive)
        return a->corrosive ? 1 : -1;
    return (a->index > b->index) - (a->index < b->index);
}

void sw_sort_additions(sw_addition *additions, size_t count)
{
    sw_sort_close(additions, count, sizeof *additions, rank_key, by_hazard);
}

/* ---- Purified water ---------------------------------------------------- */

/* The share of the last water, made least over all recipes. */
static sw_status least_of_last(sw_solver *solver, const sw_model *model,
                               const sw_fit *fit, void *context)
{
    double *least = context;
    size_t last = model->products + model->blends - 1;
    if (!fit->has_point)
        return SW_OK;
    sw_lp *lp = sw_lp_new(solver, &model->form);
    sw_lp_set_cost(lp, last, 1);
    if (sw_lp_solve(lp, SW_LP_DUAL) == SW_LP_OPTIMAL)
        *least = sw_lp_value(lp, last);
    sw_lp_free(lp);
    return SW_OK;
}

/* The waters of the problem, or their given blend, and the purified last. */
static size_t gather_waters(const sw_problem *problem,
                            const sw_content *purified, sw_content *waters)
{
    size_t count = problem->fractions ? 1 : problem->water_count;
    if (problem->fractions)
        sw_content_add_waters(&waters[0], problem->waters, problem->fractions,
                              problem->water_count);
    else
        memcpy(waters, problem->waters, count * sizeof *waters);
    if (purified)
        waters[count] = *purified;
    return count + 1;
}

/* With the blend as it would be, every limit and the pH solved for. */
static sw_status confirm(sw_solver *solver, sw_problem *blend, double *share,
                         sw_error *error)
{
    double wanted = fmin(*share + beyond, 1);
    const double fractions[] = {1 - wanted, wanted};
    sw_solution *solution = NULL;
    if (blend->water_count == 2)
        blend->fractions = fractions;
    sw_status status = sw_formulate(solver, blend, &solution, error);
    if (status != SW_OK || solution->recipe.count == 0)
        *share = NAN;
    sw_solution_free(solution);
    blend->fractions = NULL;
    return status == SW_ERR_MEMORY ? status : SW_OK;
}

sw_status sw_try_purified(sw_solver *solver, const sw_problem *problem,
                          const sw_content *purified, double *share,
                          sw_error *error)
{
    sw_onlooker onlooker = {least_of_last, share};
    sw_solution *solution = NULL;
    sw_content *waters = calloc(problem->water_count + 1, sizeof *waters);
    *share = NAN;
    if (!waters)
        return sw_fail_memory(error);
    sw_problem blend = *problem;
    blend.waters = waters;
    blend.water_count = gather_waters(problem, purified, waters);
    blend.fractions = NULL;
    sw_status status =
        sw_formulate_before(solver, &blend, &onlooker, &solution, error);
    sw_solution_free(solution);
    status = status == SW_ERR_MEMORY ? status : SW_OK;
    if (status == SW_OK && !isnan(*share))
        status = confirm(solver, &blend, share, error);
    free(waters);
    return status;
}
