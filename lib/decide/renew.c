/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A tank whose solution goes round is a blend: old solution, fresh water, and
 * additions.  Where the old solution brings too much, the largest share of it
 * that meets every target is one end of the range of a mix of waters.
 */
#include "quantity/status.h"
#include "saltwright.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Kept below the largest share by this, so that rounding breaks no limit. */
static const double inside = 1e-7;

static sw_status check(const sw_problem *problem, double held, sw_error *error)
{
    if (problem->water_count != 2 || problem->fractions)
        return sw_fail(error, SW_ERR_VALUE,
                       "expected two waters without shares: the solution of "
                       "the tank and the fresh water");
    if (!(held > 0.0 && held <= 1.0))
        return sw_fail(error, SW_ERR_VALUE,
                       "the tank holds %g of what it is filled to; expected "
                       "above 0, at most 1",
                       held);
    return SW_OK;
}

/* Every verdict but that on EC. */
static bool all_met(const sw_assessment *a)
{
    for (size_t i = 0; i < SW_COMPONENT_COUNT; i++)
        if (a->rows[i].verdict == SW_SHORT || a->rows[i].verdict == SW_OVER)
            return false;
    for (size_t i = 0; i < a->measure_count; i++)
        if (a->measures[i].kind != SW_TARGET_EC &&
            a->measures[i].verdict != SW_MET)
            return false;
    return true;
}

static sw_status judge(const sw_problem *problem, const sw_solution *solution,
                       bool *met, sw_error *error)
{
    sw_assessment *assessment;
    sw_mix mix = {.water = &solution->water,
                  .target = problem->target,
                  .shelf = problem->shelf,
                  .recipe = &solution->recipe,
                  .conditions = problem->conditions};
    *met = false;
    if (!solution->recipe.count)
        return SW_OK;
    sw_status status = sw_assess(&mix, &assessment, error);
    if (status == SW_OK)
        *met = all_met(assessment);
    sw_assessment_free(assessment);
    return status;
}

/* A renewal under way. */
typedef struct renewing {
    sw_solver *solver;
    sw_problem problem;
    double held;
    sw_renewal *out;
    sw_error *error;
} renewing;

/*
 * The recipe beside a share of old solution, into the renewal; *met says
 * whether it meets every target.
 */
static sw_status solve(renewing *r, double kept, bool keep_bands, bool *met)
{
    double fractions[2] = {kept, 1.0 - kept};
    sw_problem problem = r->problem;
    problem.fractions = fractions;
    problem.keep_bands = keep_bands;
    sw_solution_free(r->out->solution);
    r->out->kept = kept;
    r->out->let_out = 1.0 - kept / r->held;
    *met = false;
    sw_status status =
        sw_formulate(r->solver, &problem, &r->out->solution, r->error);
    if (status != SW_OK)
        return status;
    r->out->outcome = r->out->solution->outcome;
    return judge(&problem, r->out->solution, met, r->error);
}

/* The largest share of old solution that meets every target; NaN: none. */
static sw_status largest_share(renewing *r, double *share)
{
    sw_blend *blend;
    *share = NAN;
    sw_status status = sw_blend_find(r->solver, &r->problem, &blend, r->error);
    if (status == SW_OK && blend->range == SW_OPTIMAL &&
        blend->lowest[0] <= r->held)
        *share = fmin(blend->highest[0], r->held);
    sw_blend_free(blend);
    return status;
}

static sw_status renew(renewing *r)
{
    bool met;
    double share;
    sw_status status = solve(r, r->held, false, &met);
    if (status == SW_OK && !met)
        status = solve(r, r->held, true, &met);
    if (status != SW_OK || met)
        return status;
    status = largest_share(r, &share);
    if (status == SW_OK && !isnan(share))
        status = solve(r, share * (1.0 - inside), true, &met);
    if (status != SW_OK || met)
        return status;
    status = solve(r, r->held, false, &met);
    if (r->out->outcome == SW_OPTIMAL)
        r->out->outcome = SW_CONFLICT;
    return status;
}

/* That bands were limits goes without saying: the outcome says so. */
static void drop_band_notes(sw_notes *notes)
{
    size_t kept = 0;
    for (size_t i = 0; i < notes->count; i++)
        if (strcmp(notes->items[i].code, "band-as-limit") != 0)
            notes->items[kept++] = notes->items[i];
    notes->count = kept;
}

sw_status sw_renew(sw_solver *solver, const sw_problem *problem, double held,
                   sw_renewal **renewal, sw_error *error)
{
    *renewal = NULL;
    sw_status status = check(problem, held, error);
    if (status != SW_OK)
        return status;
    sw_renewal *made = calloc(1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    renewing r = {solver, *problem, held, made, error};
    status = renew(&r);
    if (status != SW_OK) {
        sw_renewal_free(made);
        return status;
    }
    drop_band_notes(&made->solution->notes);
    *renewal = made;
    return status;
}

void sw_renewal_free(sw_renewal *renewal)
{
    if (!renewal)
        return;
    sw_solution_free(renewal->solution);
    free(renewal);
}
