/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Writes invented tanks to be renewed that cannot meet every target, each with
 * the library's renewal, as raw doubles for verify_renewals.py:
 *     renewals FIRST COUNT FILE
 * COUNT tanks, from seed FIRST on; seeds that meet everything are passed over.
 */
#include "write.h"

#include <gsl/gsl_rng.h>
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

static bool answer(void *context, unsigned long seed, sw_record *to)
{
    static invention problem;
    sw_solver *solver = context;
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
    if (missed)
        put_renewal(to, &problem, held, renewal);
    sw_renewal_free(renewal);
    return missed;
}

int main(int argc, char **argv)
{
    sw_writer writer = {.answer = answer};
    sw_solver *solver;
    if (argc != 4 || sw_solver_new(&solver, NULL) != SW_OK)
        return EXIT_FAILURE;
    writer.context = solver;
    int status = write_answers(&writer, argv + 1);
    sw_solver_free(solver);
    return status;
}
