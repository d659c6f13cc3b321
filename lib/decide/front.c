/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Fit against cost: the least misfit for each cost (the epsilon-constraint
 * method; Haimes, Lasdon & Wismer 1971), each point a solve with its own
 * proof.  Misfit and cost are convex, so every best compromise is on the curve
 * and none lies below a line between two of its points.
 */
#include "decide/few.h"

#include "quantity/status.h"

#include <math.h>
#include <stdlib.h>

/* Ends this near in cost, as a share of it, are one. */
static const double same_cost = 1e-9;
/* As good as no cost at all, which would be no limit. */
static const double no_cost = 1e-12;
enum { MOST_POINTS = 200 };

static double cost_of(const sw_shelf *shelf, const sw_recipe *recipe)
{
    double sum = 0;
    for (size_t j = 0; j < recipe->count; j++)
        if (recipe->g_per_l[j] > 0)
            sum += recipe->g_per_l[j] * shelf->products[j].price_per_kg;
    return sum;
}

sw_front_point sw_front_point_of(const sw_problem *problem,
                                 sw_solution *solution)
{
    sw_front_point made = {
        .objective = solution->certificate.objective,
        .lower_bound = solution->certificate.lower_bound,
        .cost_per_m3 = cost_of(problem->shelf, &solution->recipe),
        .slope = NAN,
        .products = sw_count_chosen(problem->shelf, &solution->recipe),
        .misses_ph = solution->misses_ph,
        .recipe = solution->recipe,
    };
    solution->recipe = (sw_recipe){0};
    return made;
}

static double slope_of(const sw_solution *solution)
{
    for (size_t i = 0; i < solution->limit_count; i++)
        if (solution->limits[i].kind == SW_SIDE_COST)
            return solution->limits[i].price;
    return 0;
}

/* One point for at most `cost`; false when there is no recipe. */
static sw_status add_point(sw_solver *solver, const sw_problem *within,
                           double cost, sw_front *front, sw_error *error)
{
    sw_problem problem = *within;
    sw_solution *solution;
    problem.most_cost_per_m3 = cost;
    sw_status status = sw_formulate(solver, &problem, &solution, error);
    if (status != SW_OK)
        return status;
    if (solution->recipe.count) {
        sw_front_point *point = &front->points[front->count++];
        double slope = slope_of(solution);
        *point = sw_front_point_of(&problem, solution);
        point->slope = slope;
    }
    sw_solution_free(solution);
    return SW_OK;
}

/* What the cheapest recipe costs; NaN when there is none. */
static sw_status least_cost(sw_solver *solver, const sw_problem *problem,
                            double *cost, sw_error *error)
{
    sw_problem cheapest = *problem;
    sw_solution *solution;
    cheapest.objective = SW_CHEAPEST;
    cheapest.keep_bands = false;
    sw_status status = sw_formulate(solver, &cheapest, &solution, error);
    *cost = NAN;
    if (status == SW_OK && solution->outcome == SW_OPTIMAL)
        *cost = solution->certificate.objective;
    sw_solution_free(solution);
    return status;
}

static sw_status trade_cost(sw_solver *solver, const sw_problem *problem,
                            size_t count, sw_front *front, sw_error *error)
{
    double least;
    sw_problem within = *problem;
    within.objective = SW_CLOSEST;
    within.keep_bands = true;
    sw_status status = least_cost(solver, problem, &least, error);
    if (status == SW_OK && !isnan(least))
        status = add_point(solver, &within, 0, front, error);
    if (status != SW_OK || !front->count)
        return status;
    double most = front->points[0].cost_per_m3;
    if (!(most - least > same_cost * most))
        return SW_OK;
    for (size_t i = 1; status == SW_OK && i < count; i++) {
        double share = (double)i / (double)(count - 1);
        double cost = i + 1 < count
                          ? most + share * (least - most)
                          : fmax(least * (1 + same_cost), no_cost * most);
        status = add_point(solver, &within, cost, front, error);
    }
    /* where nothing cheaper is, what less would cost is not one number */
    if (front->count > 1)
        front->points[front->count - 1].slope = NAN;
    return status;
}

static sw_status check(const sw_problem *problem, sw_trade trade, size_t count,
                       sw_error *error)
{
    if (count < 2 || count > MOST_POINTS)
        return sw_fail(error, SW_ERR_VALUE,
                       "a front of %zu points, expected 2 to %d", count,
                       MOST_POINTS);
    if (trade == SW_TRADE_PRODUCTS && problem->objective == SW_CHEAPEST)
        return sw_fail(error, SW_ERR_VALUE,
                       "the number of products is set against the fit, not "
                       "against the cost");
    return SW_OK;
}

static sw_status fill(const sw_problem *problem, size_t count, sw_front *front,
                      sw_error *error)
{
    sw_solver *solver;
    front->points = calloc(count, sizeof *front->points);
    if (!front->points)
        return sw_fail_memory(error);
    sw_status status = sw_solver_new(&solver, error);
    if (status != SW_OK)
        return status;
    status = front->trade == SW_TRADE_COST
                 ? trade_cost(solver, problem, count, front, error)
                 : sw_front_few(solver, problem, count, front, error);
    sw_solver_free(solver);
    return status;
}

sw_status sw_front_find(const sw_problem *problem, sw_trade trade, size_t count,
                        sw_front **front, sw_error *error)
{
    *front = NULL;
    sw_status status = check(problem, trade, count, error);
    if (status != SW_OK)
        return status;
    sw_front *made = calloc(1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    made->trade = trade;
    status = fill(problem, count, made, error);
    if (status == SW_OK && made->count) {
        *front = made;
        return SW_OK;
    }
    sw_front_free(made);
    return status;
}

void sw_front_free(sw_front *front)
{
    if (!front)
        return;
    for (size_t i = 0; front->points && i < front->count; i++) {
        free(front->points[i].recipe.g_per_l);
        free(front->points[i].recipe.most_g_per_l);
    }
    free(front->points);
    free(front);
}
