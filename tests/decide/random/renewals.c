/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Writes invented tanks to be renewed that cannot meet every target, each with
 * the library's renewal, as raw doubles for verify_renewals.py:
 *     renewals [SHARE] FIRST COUNT FILE
 * COUNT tanks, from seed FIRST on; seeds that meet everything are passed over.
 * Beside each what the closest recipes have at some shares of what is held: 0,
 * the share kept, 1, and SHARE.
 */
#include "write.h"

#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdlib.h>

/* An old solution that gathered some of what the fresh water brings. */
static void fill_tank(invention *problem, unsigned long seed)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_taus2);
    gsl_rng_set(rng, seed);
    sw_content *old = &problem->water[0], *fresh = &problem->water[1];
    if (problem->problem.water_count == 1)
        *fresh = (sw_content){{0}};
    for (size_t i = 0; i < problem->target.count; i++) {
        const sw_target_row *row = &problem->row[i];
        if (row->kind == SW_TARGET_COMPONENT && row->target > 0)
            old->amount[row->component] =
                row->target * 1.35 * gsl_rng_uniform(rng);
    }
    old->amount[SW_N] =
        old->amount[SW_NO3_N] + old->amount[SW_NH4_N] + old->amount[SW_UREA_N];
    problem->problem.water_count = 2;
    problem->problem.fractions = NULL;
    gsl_rng_free(rng);
}

/* The recipe, and what of which end is missed. */
static void put_renewal(sw_record *to, const invention *from, double held,
                        const sw_renewal *renewal)
{
    record_put(to, held);
    record_put(to, renewal->outcome);
    record_put(to, renewal->kept);
    record_put(to, (double)renewal->solution->recipe.count);
    for (size_t j = 0; j < renewal->solution->recipe.count; j++)
        record_put(to, renewal->solution->recipe.g_per_l[j]);
    record_put(to, (double)renewal->unreached_count);
    for (size_t i = 0; i < renewal->unreached_count; i++) {
        const sw_unreached *u = &renewal->unreached[i];
        record_put(to, (double)u->limit.index);
        record_put(to, u->limit.end == SW_SIDE_MAX);
        record_put(to, u->limit.bound);
        record_put(to, u->within_error);
    }
    record_put(to, from->problem.objective);
}

/* What each component comes to in the closest recipe at a share of what is
 * held: the limits that cannot hold give way. */
static void put_closest(sw_record *to, sw_solver *solver,
                        const sw_problem *problem, double kept)
{
    const double fractions[2] = {kept, 1.0 - kept};
    sw_problem closest = *problem;
    sw_solution *solution = NULL;
    sw_content finished = {{0}};
    closest.fractions = fractions;
    closest.objective = SW_CLOSEST;
    closest.nearest = true;
    bool found = sw_formulate(solver, &closest, &solution, NULL) == SW_OK &&
                 solution->recipe.count > 0;
    if (found) {
        finished = solution->water;
        sw_content_add_recipe(&finished, 1, problem->shelf, &solution->recipe);
    }
    for (size_t c = 0; c < SW_COMPONENT_COUNT; c++)
        record_put(to, found ? finished.amount[c] : NAN);
    sw_solution_free(solution);
}

typedef struct asked {
    sw_solver *solver;
    double share;
} asked;

static bool answer(void *context, unsigned long seed, sw_record *to)
{
    static invention problem;
    const asked *a = context;
    sw_solver *solver = a->solver;
    sw_renewal *renewal;
    sw_error error;
    double held = 0.4 + 0.05 * (double)(seed % 13);
    invent(&problem, seed, seed % 3 == 0 ? SW_CHEAPEST : SW_CLOSEST);
    fill_tank(&problem, seed);
    record_put(to, (double)seed);
    record_problem(to, &problem);
    if (sw_renew(solver, &problem.problem, held, &renewal, &error) != SW_OK)
        return false;
    bool missed = renewal->unreached_count > 0 ||
                  renewal->outcome == SW_CONFLICT || renewal->drained > 0;
    if (missed) {
        const double kept[] = {0.0, renewal->kept, held, a->share * held};
        put_renewal(to, &problem, held, renewal);
        for (size_t i = 0; i < 4; i++)
            put_closest(to, solver, &problem.problem, kept[i]);
    }
    sw_renewal_free(renewal);
    return missed;
}

int main(int argc, char **argv)
{
    asked a = {.share = argc == 5 ? strtod(argv[1], NULL) : 0.0};
    sw_writer writer = {.answer = answer, .context = &a};
    if ((argc != 4 && argc != 5) || sw_solver_new(&a.solver, NULL) != SW_OK)
        return EXIT_FAILURE;
    int status = write_answers(&writer, argv + argc - 3);
    sw_solver_free(a.solver);
    return status;
}
