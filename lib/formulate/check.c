/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What a problem must satisfy before a model is built of it: finite numbers,
 * bounds the right way round, scales and prices where the objective needs
 * them.  Each complaint names the file and line it is about.
 */
#include "formulate/model.h"

#include "quantity/content.h"
#include "records/product.h"

#include "table_refusals.h"

#include <math.h>

/* Fractions may miss 1 by the rounding of a sum of decimals. */
static const double fraction_tolerance = 1e-9;

static sw_status check_waters(const sw_problem *problem, sw_error *error)
{
    double sum = 0, most = 0;
    for (size_t k = 0; k < problem->water_count; k++) {
        most += problem->most_share ? problem->most_share[k] : 1;
        if (!sw_content_is_finite(&problem->waters[k]))
            return sw_fail(error, SW_BAD_WATER_NUMBER, k + 1);
        const double *price = problem->water_price_per_m3;
        if (price && (!sw_is_sound(price[k]) || isnan(price[k])))
            return sw_fail(error, SW_BAD_WATER_PRICE, k + 1, price[k]);
        if (!problem->fractions)
            continue;
        if (!(problem->fractions[k] >= 0))
            return sw_fail(error, SW_BAD_WATER_FRACTION, k + 1,
                           problem->fractions[k]);
        sum += problem->fractions[k];
    }
    if (problem->fractions && !(fabs(sum - 1) <= fraction_tolerance))
        return sw_fail(error, SW_BAD_FRACTIONS_SUM, sum);
    if (!problem->fractions && !(most >= 1))
        return sw_fail(error, SW_BAD_MOST_SHARES, most);
    return SW_OK;
}

static sw_status check_row(const sw_problem *problem, const sw_target_row *row,
                           sw_error *error)
{
    sw_place place = {problem->target->name, row->line, row->column};
    if (row->stage)
        return sw_fail_at(error, &place, SW_BAD_TARGET_OF_STAGE, row->name,
                          row->stage);
    if (!sw_is_sound(row->target) || !sw_is_sound(row->min) ||
        !sw_is_sound(row->max))
        return sw_fail_at(error, &place, SW_BAD_ROW_NOT_SOUND, row->name);
    if (!isfinite(row->weight) || row->weight < 0)
        return sw_fail_at(error, &place, SW_BAD_WEIGHT, row->name, row->weight);
    if (row->min > row->max)
        return sw_fail_at(error, &place, SW_BAD_MIN_ABOVE_MAX, row->name,
                          row->min, row->max);
    if (row->kind == SW_TARGET_PH &&
        (row->min < SW_LEAST_PH || row->max > SW_MOST_PH))
        return sw_fail_at(error, &place, SW_BAD_PH_LIMITS, SW_LEAST_PH,
                          SW_MOST_PH);
    bool scaled =
        row->kind == SW_TARGET_COMPONENT && row->target == 0 && row->weight > 0;
    if (scaled && isnan(row->max))
        return sw_fail_at(error, &place, SW_BAD_ZERO_NEEDS_MAX, row->name);
    if (scaled && row->max == 0)
        return sw_fail_at(error, &place, SW_BAD_ZERO_WITH_ZERO_MAX, row->name);
    return SW_OK;
}

static sw_status check_product(const sw_problem *problem,
                               const sw_product *product, sw_error *error)
{
    sw_place place = {problem->shelf->name, product->line, 0};
    if (!sw_content_is_finite(&product->per_g))
        return sw_fail_at(error, &place, SW_BAD_COMPOSITION_NOT_FINITE,
                          product->name);
    if (!sw_is_sound(product->price_per_kg))
        return sw_fail_at(error, &place, SW_BAD_PRICE, product->name,
                          product->price_per_kg);
    bool cheapest = problem->objective == SW_CHEAPEST;
    if (isnan(product->price_per_kg) &&
        (cheapest || problem->most_cost_per_m3 > 0))
        return sw_fail_at(error, &place, SW_BAD_PRICE_MISSING, product->name,
                          cheapest ? "the cheapest recipe"
                                   : "a limit on the cost");
    return sw_check_amounts(product, &place, error);
}

static sw_status check_presence(const sw_problem *problem, sw_error *error)
{
    if (problem->water_count == 0)
        return sw_fail(error, SW_BAD_NO_WATER);
    if (problem->target->count == 0)
        return sw_fail(error, SW_BAD_TARGET_EMPTY);
    if (problem->shelf->count == 0)
        return sw_fail(error, SW_BAD_SHELF_EMPTY);
    if (!sw_objective_facts_of(problem->objective))
        return sw_fail(error, SW_BAD_OBJECTIVE);
    if (!(problem->most_cost_per_m3 >= 0) || isinf(problem->most_cost_per_m3))
        return sw_fail(error, SW_BAD_COST_LIMIT, problem->most_cost_per_m3);
    return SW_OK;
}

sw_status sw_model_check(const sw_problem *problem, sw_error *error)
{
    sw_status status = check_presence(problem, error);
    if (status == SW_OK)
        status = check_waters(problem, error);
    for (size_t i = 0; status == SW_OK && i < problem->target->count; i++)
        status = check_row(problem, &problem->target->rows[i], error);
    for (size_t j = 0; status == SW_OK && j < problem->shelf->count; j++)
        status = check_product(problem, &problem->shelf->products[j], error);
    return status;
}

sw_problem sw_problem_default(void)
{
    return (sw_problem){.water_count = 1,
                        .objective = SW_CLOSEST,
                        .conditions = sw_conditions_default(),
                        .nearest = true,
                        .fewest = true,
                        .equal_share = 0.02};
}
