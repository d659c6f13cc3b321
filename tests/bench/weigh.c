/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Times the closest recipe of whole steps of invented problems, each the best
 * of a few:
 *     bench_weigh FIRST COUNT FILE
 * Shelves of 16 to 18 products and the scale are those of test_weigh.c: 1000 L,
 * weighed to 10 g, trace elements to 0.1 g.  A record is a problem with its
 * continuous solution as in record.h, then the objective of the best rounding,
 * the certificate's objective and lower bound, the seconds, and of each product
 * its step and amount in g/L.
 */
#include "clock.h"
#include "stock/invented.h"
#include "write.h"

#include <math.h>
#include <stdlib.h>

enum { REPEATS = 3 };

/* The search is to end by its proof, not by the clock. */
static const sw_scale scale = {
    .volume_l = 1000, .step_g = 10, .micro_step_g = 0.1, .seconds = 60};

static double best_time_s(sw_solver *solver, const sw_problem *problem,
                          const sw_solution *near, sw_weighed **weighed)
{
    double best = INFINITY;
    for (int i = 0; i < REPEATS; i++) {
        sw_weighed_free(*weighed);
        double start = now_s();
        if (sw_weigh(solver, problem, near, &scale, weighed, NULL) != SW_OK)
            exit(EXIT_FAILURE);
        best = fmin(best, now_s() - start);
    }
    return best;
}

static void put_weighed(sw_record *to, const sw_weighed *weighed, double time_s)
{
    record_put(to, weighed->rounded);
    record_put(to, weighed->certificate.objective);
    record_put(to, weighed->certificate.lower_bound);
    record_put(to, time_s);
    for (size_t j = 0; j < weighed->recipe.count; j++) {
        record_put(to, weighed->items[j].step_g / scale.volume_l);
        record_put(to, weighed->recipe.g_per_l[j]);
    }
}

/* The problem as record_problem knows it. */
static void copy_case(invention *to, const case_ *from)
{
    memset(to, 0, sizeof *to);
    to->shelf = from->shelf;
    to->target = from->target;
    to->problem = from->problem;
    to->water[0] = from->water;
    to->fraction[0] = from->fraction;
    memcpy(to->product, from->product, sizeof from->product);
    memcpy(to->row, from->row, sizeof from->row);
}

typedef struct bench {
    sw_solver *solver;
    gsl_rng *rng;
} bench;

static bool answer(void *context, unsigned long seed, sw_record *to)
{
    static invention problem;
    const bench *with = context;
    case_ c;
    sw_solution *near = NULL;
    sw_weighed *weighed = NULL;
    gsl_rng_set(with->rng, seed);
    draw_problem(&c, with->rng);
    if (sw_formulate(with->solver, &c.problem, &near, NULL) != SW_OK)
        exit(EXIT_FAILURE);
    copy_case(&problem, &c);
    double time_s = best_time_s(with->solver, &c.problem, near, &weighed);
    record_problem(to, &problem);
    record_put(to, SW_OK);
    record_solution(to, near);
    put_weighed(to, weighed, time_s);
    sw_weighed_free(weighed);
    sw_solution_free(near);
    return true;
}

int main(int argc, char **argv)
{
    bench with = {.rng = gsl_rng_alloc(gsl_rng_mt19937)};
    const sw_writer writer = {.answer = answer, .context = &with};
    if (argc != 4 || sw_solver_new(&with.solver, NULL) != SW_OK)
        return EXIT_FAILURE;
    int status = write_answers(&writer, argv + 1);
    sw_solver_free(with.solver);
    gsl_rng_free(with.rng);
    return status;
}
