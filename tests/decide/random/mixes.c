/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Writes invented problems of several waters with the library's best mixes and
 * ranges as raw doubles, for a script that solves them another way:
 *     decide_mixes OBJECTIVE FIRST COUNT FILE
 * COUNT problems from seed FIRST on, those of one water or given shares left
 * out.  A record ends with the waters' prices, the range's outcome, and the
 * lowest and highest shares.
 */
#include "write.h"

#include <gsl/gsl_rng.h>

/* A price for each water, in half of the problems that have products' too. */
static void price_waters(unsigned long seed, invention *to,
                         double price[MOST_WATERS])
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_taus);
    gsl_rng_set(rng, seed);
    bool priced = gsl_rng_uniform(rng) < 0.5;
    for (size_t k = 0; k < to->problem.water_count; k++)
        price[k] = priced ? (double)gsl_rng_uniform_int(rng, 40) / 10 : 0.0;
    to->problem.water_price_per_m3 = priced ? price : NULL;
    gsl_rng_free(rng);
}

static void put_blend(sw_record *to, const invention *from,
                      const double price[MOST_WATERS], const sw_blend *blend)
{
    record_solution(to, blend->best);
    for (size_t k = 0; k < from->problem.water_count; k++)
        record_put(to, price[k]);
    record_put(to, blend->range);
    for (size_t k = 0; k < blend->water_count; k++)
        record_put(to, blend->lowest[k]);
    for (size_t k = 0; k < blend->water_count; k++)
        record_put(to, blend->highest[k]);
}

/* Problems of one water, or of given shares, have no mix to find. */
static bool answer(void *context, unsigned long seed, sw_record *to)
{
    static invention problem;
    static double price[MOST_WATERS];
    const sw_asked *asked = context;
    sw_blend *blend = NULL;
    invent(&problem, seed, asked->objective);
    if (problem.problem.water_count < 2 || problem.problem.fractions)
        return false;
    price_waters(seed, &problem, price);
    record_problem(to, &problem);
    sw_status status =
        sw_blend_find(asked->solver, &problem.problem, &blend, NULL);
    record_put(to, status);
    if (status == SW_OK)
        put_blend(to, &problem, price, blend);
    sw_blend_free(blend);
    return true;
}

int main(int argc, char **argv)
{
    return write_objective(argc, argv, answer);
}
