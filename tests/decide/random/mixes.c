/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Writes invented problems of several waters with the library's best mixes and
 * ranges as raw doubles, for a script that solves them another way:
 *     decide_mixes OBJECTIVE FIRST COUNT FILE
 * COUNT problems from seed FIRST on, those of one water or given shares left
 * out.  A record ends with the waters' prices, the range's outcome, and the
 * lowest and highest shares.
 */
#include "record.h"

#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdlib.h>

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

static void answer(sw_solver *solver, unsigned long seed, invention *from,
                   sw_record *to)
{
    sw_blend *blend = NULL;
    double price[MOST_WATERS];
    price_waters(seed, from, price);
    record_problem(to, from);
    sw_status status = sw_blend_find(solver, &from->problem, &blend, NULL);
    record_put(to, status);
    if (status == SW_OK)
        put_blend(to, from, price, blend);
    sw_blend_free(blend);
}

int main(int argc, char **argv)
{
    sw_objective objective = SW_CLOSEST;
    sw_solver *solver = NULL;
    if (argc != 5 || sw_objective_parse(argv[1], &objective, NULL) != SW_OK ||
        sw_solver_new(&solver, NULL) != SW_OK)
        return EXIT_FAILURE;
    unsigned long seed = strtoul(argv[2], NULL, 10);
    unsigned long count = strtoul(argv[3], NULL, 10);
    FILE *file = fopen(argv[4], "wb");
    if (!file)
        return EXIT_FAILURE;
    static invention problem;
    static sw_record record;
    for (; count > 0; seed++) {
        invent(&problem, seed, objective);
        if (problem.problem.water_count < 2 || problem.problem.fractions)
            continue;
        count--;
        record.count = 0;
        answer(solver, seed, &problem, &record);
        record_write(&record, file);
    }
    sw_solver_free(solver);
    return fclose(file) == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
