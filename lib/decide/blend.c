/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The best mix of waters is formulate's own, with the shares free.  The least
 * share of a water that meets every target is the cheapest recipe when that
 * water alone costs anything; the largest, when all the others do.
 */

#include "assess/verdict.h"
#include "chemistry/equilibrate.h"
#include "decide/variant.h"
#include "quantity/status.h"
#include "table_refusals.h"

#include <math.h>
#include <stdlib.h>

/* How far outside its band a pH held there may be found. */
static const double ph_slack = 1e-3;

/* The problem whose least cost is a share. */
typedef struct sw_share_task {
    sw_solver *solver;
    sw_variant variant; /* waters cost, products do not */
    double *price;      /* of each water */
    sw_band ph[2];      /* as mixed, aired; infinite where nobody asks */
} sw_share_task;

/* A pH to be held becomes one to be kept within its band.  A side nobody gave
 * is as wide as formulate takes it: left out, it would be the usual one, which
 * no target asks for. */
static void free_ph(sw_share_task *task)
{
    sw_target *target = &task->variant.target;
    const sw_no_further *of = task->variant.problem.no_further;
    for (int aired = 0; aired < 2; aired++)
        task->ph[aired] = (sw_band){-INFINITY, INFINITY};
    for (size_t i = 0; i < target->count; i++) {
        sw_target_row *row = &target->rows[i];
        if (row->kind != SW_TARGET_PH)
            continue;
        sw_band *ph = &task->ph[row->aired];
        *ph = sw_band_of(row);
        if (of) {
            ph->low = fmax(ph->low, of[i].min[0]);
            ph->high = fmin(ph->high, of[i].max[0]);
        }
        row->target = NAN;
        row->min = isfinite(ph->low) ? ph->low : SW_LEAST_PH;
        row->max = isfinite(ph->high) ? ph->high : SW_MOST_PH;
    }
}

/* Release with close_task whatever is returned. */
static sw_status open_task(sw_solver *solver, const sw_problem *problem,
                           sw_share_task *task, sw_error *error)
{
    *task = (sw_share_task){.solver = solver};
    sw_variant *variant = &task->variant;
    sw_status status = sw_variant_make(problem, variant, error);
    if (status != SW_OK)
        return status;
    task->price = calloc(problem->water_count, sizeof *task->price);
    if (!task->price)
        return sw_fail_memory(error);
    variant->problem.fractions = NULL;
    variant->problem.objective = SW_CHEAPEST;
    variant->problem.most_cost_per_m3 = 0.0;
    variant->problem.water_price_per_m3 = task->price;
    free_ph(task);
    for (size_t j = 0; j < variant->shelf.count; j++)
        variant->shelf.products[j].price_per_kg = 0.0;
    return SW_OK;
}

static void close_task(sw_share_task *task)
{
    sw_variant_free(&task->variant);
    free(task->price);
}

/* Whether each pH, which formulate leaves where it cannot be had, is kept: as
 * mixed or aired, as it is asked for. */
static sw_status keeps_ph(const sw_share_task *task,
                          const sw_solution *solution, bool *keeps,
                          sw_error *error)
{
    double ec, ph;
    sw_content finished = solution->water;
    const sw_variant *variant = &task->variant;
    sw_status status = SW_OK;
    sw_content_add_recipe(&finished, 1, &variant->shelf, &solution->recipe);
    for (int aired = 0; aired < 2 && *keeps && status == SW_OK; aired++) {
        const sw_band *band = &task->ph[aired];
        if (!isfinite(band->low) && !isfinite(band->high))
            continue;
        status = sw_read_meters(&finished, 1, &variant->problem.conditions,
                                aired ? SW_CARBONATE_AIRED : SW_CARBONATE_KEPT,
                                &ec, &ph, error);
        *keeps = ph >= band->low - ph_slack && ph <= band->high + ph_slack;
    }
    return status;
}

/* Least cost of the shares at the prices set, into *least. */
static sw_status least(sw_share_task *task, sw_outcome *outcome, double *share,
                       sw_error *error)
{
    sw_solution *solution;
    bool keeps = true;
    *share = NAN;
    sw_status status =
        sw_formulate(task->solver, &task->variant.problem, &solution, error);
    if (status != SW_OK)
        return status;
    *outcome = solution->outcome;
    if (*outcome == SW_OPTIMAL)
        status = keeps_ph(task, solution, &keeps, error);
    if (*outcome == SW_OPTIMAL && !keeps)
        *outcome = SW_CONFLICT;
    if (*outcome == SW_OPTIMAL) {
        *share = 0.0;
        for (size_t k = 0; k < solution->water_count; k++)
            *share += task->price[k] * solution->fractions[k];
    }
    sw_solution_free(solution);
    return status;
}

/* The lowest, or highest, share of water `k`. */
static sw_status find_end(sw_share_task *task, size_t k, bool highest,
                          sw_outcome *outcome, double *end, sw_error *error)
{
    double share;
    for (size_t i = 0; i < task->variant.problem.water_count; i++)
        task->price[i] = (i == k) != highest ? 1.0 : 0.0;
    sw_status status = least(task, outcome, &share, error);
    *end = highest ? 1.0 - share : share;
    return status;
}

static void forget_range(sw_blend *blend)
{
    for (size_t k = 0; k < blend->water_count; k++)
        blend->lowest[k] = blend->highest[k] = NAN;
}

/* Stops at the first end that is not optimal. */
static sw_status find_ranges(sw_share_task *task, sw_blend *blend,
                             sw_error *error)
{
    sw_status status = SW_OK;
    blend->range = SW_OPTIMAL;
    for (size_t i = 0; i < 2 * blend->water_count && status == SW_OK &&
                       blend->range == SW_OPTIMAL;
         i++)
        status = find_end(
            task, i / 2, i % 2, &blend->range,
            i % 2 ? &blend->highest[i / 2] : &blend->lowest[i / 2], error);
    if (blend->range != SW_OPTIMAL)
        forget_range(blend);
    return status;
}

static sw_status range(sw_solver *solver, const sw_problem *problem,
                       sw_blend *blend, sw_error *error)
{
    sw_share_task task;
    sw_status status = open_task(solver, problem, &task, error);
    if (status == SW_OK)
        status = find_ranges(&task, blend, error);
    close_task(&task);
    return status;
}

sw_status sw_blend_highest(sw_solver *solver, const sw_problem *problem,
                           size_t water, double *share, sw_error *error)
{
    sw_share_task task;
    sw_outcome outcome;
    *share = NAN;
    sw_status status = open_task(solver, problem, &task, error);
    if (status == SW_OK)
        status = find_end(&task, water, true, &outcome, share, error);
    close_task(&task);
    return status;
}

static sw_status check(const sw_problem *problem, sw_error *error)
{
    if (problem->water_count < 2)
        return sw_fail(error, SW_BAD_MIX_OF_ONE, problem->water_count);
    if (problem->fractions)
        return sw_fail(error, SW_BAD_SHARES_GIVEN);
    return SW_OK;
}

static sw_status fill(sw_solver *solver, const sw_problem *problem,
                      sw_blend *blend, sw_error *error)
{
    blend->water_count = problem->water_count;
    blend->lowest = calloc(problem->water_count, sizeof *blend->lowest);
    blend->highest = calloc(problem->water_count, sizeof *blend->highest);
    if (!blend->lowest || !blend->highest)
        return sw_fail_memory(error);
    sw_status status = sw_formulate(solver, problem, &blend->best, error);
    return status == SW_OK ? range(solver, problem, blend, error) : status;
}

sw_status sw_blend_find(sw_solver *solver, const sw_problem *problem,
                        sw_blend **blend, sw_error *error)
{
    SW_REQUIRE_FOR(blend, error, solver, sw_whole_problem(problem));
    sw_status status = check(problem, error);
    if (status != SW_OK)
        return status;
    sw_blend *made = calloc(1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    status = fill(solver, problem, made, error);
    SW_GIVE(status, blend, made, sw_blend_free);
}

void sw_blend_free(sw_blend *blend)
{
    if (!blend)
        return;
    sw_solution_free(blend->best);
    SW_FREE(blend->lowest, blend->highest, blend);
}
