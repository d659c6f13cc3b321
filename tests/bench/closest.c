/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Times the closest recipe of invented problems:
 *     bench_closest plain|limits|shelf FIRST COUNT FILE
 * "plain" strips every limit but amounts >= 0, so that any non-negative least
 * squares can be asked the same; each is solved as if it were the first, the
 * best of a few.  "shelf" strips them too, keeps a shelf and target for many
 * waters, and solves each water once, after those before it.  A record as in
 * record.h, then the seconds.
 */
#include "clock.h"
#include "solve/solver.h"
#include "write.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { REPEATS = 5, SHELF_WATERS = 100 };

/* A target of zero keeps its max, which is its scale, out of reach. */
static void strip(invention *from)
{
    size_t kept = 0;
    for (size_t i = 0; i < from->target.count; i++) {
        sw_target_row row = from->row[i];
        if (row.kind != SW_TARGET_COMPONENT || isnan(row.target) ||
            row.target == 0)
            continue;
        row.min = row.max = NAN;
        from->row[kept++] = row;
    }
    from->target.count = kept;
    for (size_t j = 0; j < from->shelf.count; j++)
        from->product[j].min_g_per_l = from->product[j].max_g_per_l =
            from->product[j].fixed_g_per_l = NAN;
    from->problem.fractions = from->fraction;
    from->problem.no_ceilings = true;
}

static double best_time_s(sw_solver *solver, const invention *from, int repeats,
                          sw_solution **solution)
{
    double best = INFINITY;
    for (int i = 0; i < repeats; i++) {
        sw_solution_free(*solution);
        double start = now_s();
        if (sw_formulate(solver, &from->problem, solution, NULL) != SW_OK)
            exit(EXIT_FAILURE);
        best = fmin(best, now_s() - start);
    }
    return best;
}

typedef struct bench {
    sw_solver *solver;
    bool plain, shelf;
} bench;

/* The same shelf and target for SHELF_WATERS, whose contents differ. */
static void pour(invention *to, unsigned long seed)
{
    sw_content *water = &to->water[0];
    invent(to, seed / SHELF_WATERS + 1, SW_CLOSEST);
    for (int c = 0; c < SW_CARRIED_COUNT; c++)
        water->amount[c] *=
            0.5 + fmod((double)seed * 0.6180339887 * (c + 1), 1);
    to->problem.water_count = 1;
    to->fraction[0] = 1;
}

static bool answer(void *context, unsigned long seed, sw_record *to)
{
    static invention problem;
    const bench *with = context;
    sw_solution *solution = NULL;
    if (with->shelf)
        pour(&problem, seed);
    else
        invent(&problem, seed, SW_CLOSEST);
    if (with->plain || with->shelf)
        strip(&problem);
    with->solver->forgets = !with->shelf;
    double time_s = best_time_s(with->solver, &problem,
                                with->shelf ? 1 : REPEATS, &solution);
    record_problem(to, &problem);
    record_put(to, SW_OK);
    record_solution(to, solution);
    record_put(to, time_s);
    sw_solution_free(solution);
    return true;
}

int main(int argc, char **argv)
{
    bench with = {NULL, argc > 1 && strcmp(argv[1], "plain") == 0,
                  argc > 1 && strcmp(argv[1], "shelf") == 0};
    const sw_writer writer = {.answer = answer, .context = &with};
    if (argc != 5 || sw_solver_new(&with.solver, NULL) != SW_OK)
        return EXIT_FAILURE;
    int status = write_answers(&writer, argv + 2);
    sw_solver_free(with.solver);
    return status;
}
