/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

#include "invent.h"

#include <pthread.h>

static void *solve_many(void *sum)
{
    static _Thread_local invention problem;
    sw_solver *solver = NULL;
    if (sw_solver_new(&solver, NULL) != SW_OK)
        return NULL;
    for (unsigned long seed = 1; seed <= 200; seed++) {
        sw_solution *solution = NULL;
        invent(&problem, seed, SW_CLOSEST);
        if (sw_formulate(solver, &problem.problem, &solution, NULL) == SW_OK &&
            solution->outcome == SW_OPTIMAL)
            *(double *)sum += solution->certificate.objective;
        sw_solution_free(solution);
    }
    sw_solver_free(solver);
    return NULL;
}

START_TEST(threads_with_a_solver_each_find_the_same)
{
    double sum[3] = {0};
    pthread_t thread[2];
    solve_many(&sum[2]);
    for (int i = 0; i < 2; i++)
        ck_assert_int_eq(pthread_create(&thread[i], NULL, solve_many, &sum[i]),
                         0);
    for (int i = 0; i < 2; i++)
        pthread_join(thread[i], NULL);
    ck_assert_double_gt(sum[2], 0);
    ck_assert_double_eq(sum[0], sum[2]);
    ck_assert_double_eq(sum[1], sum[2]);
}
END_TEST
