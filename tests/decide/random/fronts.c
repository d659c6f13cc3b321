/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Writes invented problems with the library's two fronts as raw doubles, for
 * verify_fronts.py:
 *     fronts FIRST COUNT FILE
 * COUNT problems that have a front of cost, from seed FIRST on.
 */
#include "write.h"
#include "solver.h"

#include <stdlib.h>

enum { COST_POINTS = 9, FEW_POINTS = 4 };

static void put_front(sw_record *to, const sw_front *front)
{
    record_put(to, front ? (double)front->count : 0);
    for (size_t i = 0; front && i < front->count; i++) {
        record_put(to, front->points[i].objective);
        record_put(to, front->points[i].lower_bound);
        record_put(to, front->points[i].cost_per_m3);
        record_put(to, front->points[i].slope);
        record_put(to, (double)front->points[i].products);
    }
}

/* The ends by themselves: closest, and cheapest. */
static void put_end(sw_record *to, const sw_problem *problem,
                    sw_objective objective)
{
    sw_solver *solver;
    sw_solution *solution;
    sw_problem end = *problem;
    end.objective = objective;
    if (sw_solver_new(&solver, NULL) != SW_OK ||
        sw_formulate(solver, &end, &solution, NULL) != SW_OK)
        abort();
    record_put(to, solution->certificate.objective);
    sw_solution_free(solution);
    sw_solver_free(solver);
}

static bool answer(void *unused, unsigned long seed, sw_record *to)
{
    (void)unused;
    static invention problem;
    sw_front *cost;
    sw_front *few;
    invent(&problem, seed, SW_CHEAPEST);
    record_put(to, (double)seed);
    record_problem(to, &problem);
    if (sw_front_find(one_solver(), &problem.problem, SW_TRADE_COST,
                      COST_POINTS, &cost, NULL) != SW_OK)
        return false;
    if (!cost || cost->count < 2) {
        sw_front_free(cost);
        return false;
    }
    put_front(to, cost);
    sw_front_free(cost);
    put_end(to, &problem.problem, SW_CLOSEST);
    put_end(to, &problem.problem, SW_CHEAPEST);
    problem.problem.objective = SW_CLOSEST;
    if (sw_front_find(one_solver(), &problem.problem, SW_TRADE_PRODUCTS,
                      FEW_POINTS, &few, NULL) != SW_OK)
        abort();
    put_front(to, few);
    sw_front_free(few);
    return true;
}

int main(int argc, char **argv)
{
    const sw_writer writer = {.answer = answer};
    return argc == 4 ? write_answers(&writer, argv + 1) : EXIT_FAILURE;
}
