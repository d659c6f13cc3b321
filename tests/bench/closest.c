/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Times the closest recipe of invented problems, each the best of a few:
 *     bench_closest plain|limits FIRST COUNT FILE
 * "plain" strips every limit but amounts >= 0, so that any non-negative least
 * squares can be asked the same.  A record as in record.h, then the seconds.
 */
#include "record.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { REPEATS = 5 };

static double now_s(void)
{
    struct timespec time;
    clock_gettime(CLOCK_MONOTONIC, &time);
    return (double)time.tv_sec + 1e-9 * (double)time.tv_nsec;
}

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
}

static double best_time_s(sw_solver *solver, const invention *from,
                          sw_solution **solution)
{
    double best = INFINITY;
    for (int i = 0; i < REPEATS; i++) {
        sw_solution_free(*solution);
        double start = now_s();
        if (sw_formulate(solver, &from->problem, solution, NULL) != SW_OK)
            exit(EXIT_FAILURE);
        best = fmin(best, now_s() - start);
    }
    return best;
}

int main(int argc, char **argv)
{
    static invention problem;
    static sw_record record;
    sw_solver *solver = NULL;
    if (argc != 5 || sw_solver_new(&solver, NULL) != SW_OK)
        return EXIT_FAILURE;
    unsigned long first = strtoul(argv[2], NULL, 10);
    unsigned long count = strtoul(argv[3], NULL, 10);
    FILE *file = fopen(argv[4], "wb");
    if (!file)
        return EXIT_FAILURE;
    for (unsigned long seed = first; seed < first + count; seed++) {
        sw_solution *solution = NULL;
        invent(&problem, seed, SW_CLOSEST);
        if (strcmp(argv[1], "plain") == 0)
            strip(&problem);
        double time_s = best_time_s(solver, &problem, &solution);
        record.count = 0;
        record_problem(&record, &problem);
        record_put(&record, SW_OK);
        record_solution(&record, solution);
        record_put(&record, time_s);
        record_write(&record, file);
        sw_solution_free(solution);
    }
    sw_solver_free(solver);
    return fclose(file) == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
