/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * How much purified water a water needs.  The range of blend.c begins at the
 * least share; the recipe that is asked for need not meet with it what another
 * one would, nor is the EC in that range, so each share is tried as it would be
 * mixed: in whole percent, with the problem's own objective.
 */
#include "decide/variant.h"
#include "quantity/status.h"
#include "table_refusals.h"

#include <math.h>

/* Less of a percent than this is the solver's rounding. */
static const double rounding = 1e-6;

typedef struct sw_trial_mix {
    sw_solver *solver;
    sw_problem problem; /* of the water and the purified */
    sw_error *error;
} sw_trial_mix;

/* Whether every target is met with so many percent of purified water. */
static sw_status meets(const sw_trial_mix *trial, int percent, bool *met)
{
    const double fractions[] = {1.0 - percent / 100.0, percent / 100.0};
    sw_solution *solution;
    sw_assessment *assessment = NULL;
    sw_problem problem = trial->problem;
    problem.fractions = fractions;
    *met = false;
    sw_status status =
        sw_formulate(trial->solver, &problem, &solution, trial->error);
    if (status != SW_OK)
        return status;
    sw_mix mix = {.water = &solution->water,
                  .target = problem.target,
                  .shelf = problem.shelf,
                  .recipe = &solution->recipe,
                  .conditions = problem.conditions,
                  .brief = true,
                  .fresh = true};
    if (solution->recipe.count)
        status = sw_assess(&mix, &assessment, trial->error);
    if (status == SW_OK && assessment)
        *met = assessment->all_met;
    sw_assessment_free(assessment);
    sw_solution_free(solution);
    return status;
}

/* The least percentage from `low` on that meets them, looked for in steps twice
 * as long each and then back; -1: none is found.  More is not always better: of
 * the purified alone an acid may bring too little of its nutrient. */
static sw_status search(const sw_trial_mix *trial, int low, int *found)
{
    bool met = false;
    int missed = low - 1;
    int high = low;
    *found = -1;
    sw_status status = meets(trial, high, &met);
    for (int step = 1; status == SW_OK && !met && high < 100; step *= 2) {
        missed = high;
        high = high + step < 100 ? high + step : 100;
        status = meets(trial, high, &met);
    }
    if (!met)
        return status;
    while (high - missed > 1 && status == SW_OK) {
        int middle = (missed + high) / 2;
        status = meets(trial, middle, &met);
        if (met)
            high = middle;
        else
            missed = middle;
    }
    *found = high;
    return status;
}

sw_status sw_purified_least(sw_solver *solver, const sw_problem *problem,
                            const sw_content *purified, double *share,
                            sw_error *error)
{
    SW_REQUIRE(error, solver, sw_whole_problem(problem), purified, share);
    double most;
    int percent;
    *share = NAN;
    if (problem->water_count != 1)
        return sw_fail(error, SW_BAD_PURIFIED_OF_MANY, problem->water_count);
    const sw_content waters[] = {problem->waters[0], *purified};
    sw_trial_mix trial = {solver, *problem, error};
    trial.problem.waters = waters;
    trial.problem.water_count = 2;
    trial.problem.fractions = NULL;
    trial.problem.most_share = NULL;
    sw_status status =
        sw_blend_highest(solver, &trial.problem, 0, &most, error);
    if (status != SW_OK || isnan(most))
        return status;
    int low = (int)ceil(100.0 * (1.0 - most) - rounding);
    status = search(&trial, low < 0 ? 0 : low, &percent);
    if (status == SW_OK && percent >= 0)
        *share = percent / 100.0;
    return status;
}
