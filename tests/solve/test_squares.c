/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Least squares within limits, held against the conditions of Karush, Kuhn and
 * Tucker (Nocedal & Wright 2006, theorem 12.1), which suffice where squares are
 * summed; and which of the points that are as good is taken. */
#include "suite.h"
#include "tolerances.h"

#include "solve/fit.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_rng.h>

enum { MOST_COLUMNS = 24, MOST_ROWS = 24, MOST_TERMS = 24 };

typedef struct task {
    size_t columns, rows, terms;
    double matrix[MOST_ROWS * MOST_COLUMNS], row_low[MOST_ROWS],
        row_high[MOST_ROWS], low[MOST_COLUMNS], high[MOST_COLUMNS];
    double squares[MOST_TERMS * MOST_COLUMNS], goal[MOST_TERMS];
    double cost[MOST_COLUMNS];
    sw_fit fit;
    double y[MOST_COLUMNS], column_price[MOST_COLUMNS], row_price[MOST_ROWS];
} task;

static sw_status solve(sw_solver *solver, void *context)
{
    task *t = context;
    const sw_form form = {t->columns, t->rows,    t->matrix,  t->low,
                          t->high,    t->row_low, t->row_high};
    const sw_terms terms = {t->terms, t->squares, t->goal, 0};
    const sw_order order = {1, {t->cost}};
    solver->pivot_limit = 100000;
    sw_fit_squares(solver, &form, &terms, &order, &t->fit);
    memcpy(t->y, t->fit.point.y, t->columns * sizeof(double));
    memcpy(t->column_price, t->fit.point.column_price,
           t->columns * sizeof(double));
    memcpy(t->row_price, t->fit.point.row_price, t->rows * sizeof(double));
    return SW_OK;
}

static sw_solver *new_solver(void)
{
    sw_solver *solver = NULL;
    ck_assert_int_eq(sw_solver_new(&solver, NULL), SW_OK);
    return solver;
}

static double sum_of(const double *row, const double *y, size_t columns)
{
    double sum = 0;
    for (size_t j = 0; j < columns; j++)
        sum += row[j] * y[j];
    return sum;
}

static void check_bound(double at, double low, double high, double price)
{
    ck_assert_double_ge(at, low - 1e-9);
    ck_assert_double_le(at, high + 1e-9);
    if (price > 1e-8)
        ck_assert_double_eq_tol(at, low, 1e-8);
    else if (price < -1e-8)
        ck_assert_double_eq_tol(at, high, 1e-8);
}

/* Within its limits, held back only by those it stands at, and by these in full
 * as the squares pull. */
static void check_least(const task *t)
{
    size_t n = t->columns;
    double pull[MOST_COLUMNS] = {0}, objective = 0;
    ck_assert_int_eq(t->fit.outcome, SW_OPTIMAL);
    for (size_t e = 0; e < t->terms; e++) {
        double off = sum_of(t->squares + e * n, t->y, n) - t->goal[e];
        objective += off * off;
        for (size_t j = 0; j < n; j++)
            pull[j] += 2 * off * t->squares[e * n + j];
    }
    for (size_t i = 0; i < t->rows; i++) {
        check_bound(sum_of(t->matrix + i * n, t->y, n), t->row_low[i],
                    t->row_high[i], t->row_price[i]);
        for (size_t j = 0; j < n; j++)
            pull[j] -= t->row_price[i] * t->matrix[i * n + j];
    }
    for (size_t j = 0; j < n; j++) {
        check_bound(t->y[j], t->low[j], t->high[j], t->column_price[j]);
        ck_assert_double_eq_tol(pull[j], t->column_price[j], 1e-8);
    }
    ck_assert_double_eq_tol(t->fit.objective, objective, 1e-9);
}

static double drawn(gsl_rng *rng, double low, double high)
{
    return low + (high - low) * gsl_rng_uniform(rng);
}

static task draw(gsl_rng *rng)
{
    task t = {.columns = 1 + gsl_rng_uniform_int(rng, 8),
              .rows = gsl_rng_uniform_int(rng, 6),
              .terms = 1 + gsl_rng_uniform_int(rng, 8)};
    for (size_t j = 0; j < t.columns; j++) {
        t.low[j] = gsl_rng_uniform_int(rng, 2) ? 0 : drawn(rng, -0.5, 0);
        t.high[j] = gsl_rng_uniform_int(rng, 3) ? drawn(rng, 0.1, 1) : INFINITY;
        t.cost[j] = drawn(rng, 0.1, 1);
    }
    for (size_t k = 0; k < t.rows * t.columns; k++)
        t.matrix[k] = drawn(rng, -1, 1);
    for (size_t i = 0; i < t.rows; i++) {
        t.row_low[i] = -drawn(rng, 0, 0.5);
        t.row_high[i] =
            gsl_rng_uniform_int(rng, 2) ? drawn(rng, 0, 0.5) : INFINITY;
    }
    for (size_t k = 0; k < t.terms * t.columns; k++)
        t.squares[k] = drawn(rng, 0, 1);
    for (size_t e = 0; e < t.terms; e++)
        t.goal[e] = drawn(rng, 0, 2);
    return t;
}

/* By a solver of its own, and by one that remembers those before. */
START_TEST(any_squares_are_least_within_any_limits)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    sw_solver *solver = new_solver();
    for (int round = 0; round < sw_cases(400); round++) {
        task t = draw(rng);
        if (round % 8 == 0) {
            sw_solver_free(solver);
            solver = new_solver();
        }
        ck_assert_int_eq(sw_solver_run(solver, solve, &t), SW_OK);
        check_least(&t);
        for (size_t e = 0; e < t.terms; e++) /* a hair of another question */
            t.goal[e] *= 1 + drawn(rng, -1e-3, 1e-3);
        ck_assert_int_eq(sw_solver_run(solver, solve, &t), SW_OK);
        check_least(&t);
    }
    sw_solver_free(solver);
    gsl_rng_free(rng);
}
END_TEST

/* At no product at all every ratio between two of them holds. */
static task draw_cone(gsl_rng *rng)
{
    task t = {.columns = MOST_COLUMNS - gsl_rng_uniform_int(rng, 12),
              .rows = MOST_ROWS - gsl_rng_uniform_int(rng, 12),
              .terms = 4 + gsl_rng_uniform_int(rng, 12)};
    for (size_t j = 0; j < t.columns; j++) {
        t.high[j] = INFINITY;
        t.cost[j] = drawn(rng, 0.1, 1);
    }
    for (size_t k = 0; k < t.rows * t.columns; k++)
        t.matrix[k] = gsl_rng_uniform_int(rng, 3) ? 0 : drawn(rng, -1, 1);
    for (size_t i = 0; i < t.rows; i++)
        t.row_high[i] = INFINITY;
    for (size_t k = 0; k < t.terms * t.columns; k++)
        t.squares[k] = gsl_rng_uniform_int(rng, 2) ? 0 : drawn(rng, 0, 1);
    for (size_t e = 0; e < t.terms; e++)
        t.goal[e] = drawn(rng, 0, 2);
    return t;
}

START_TEST(at_the_tip_of_a_cone_no_walk_goes_round_in_circles)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    for (int round = 0; round < sw_cases(100); round++) {
        task t = draw_cone(rng);
        sw_solver *solver = new_solver();
        ck_assert_int_eq(sw_solver_run(solver, solve, &t), SW_OK);
        check_least(&t);
        sw_solver_free(solver);
    }
    gsl_rng_free(rng);
}
END_TEST

/* Pairs of products that are the same but for their cost: all of the cheaper,
 * up to its end, then the rest of the other; of equal cost the first. */
START_TEST(of_points_as_good_the_cheapest_is_taken_then_the_first)
{
    static const struct {
        double goal, high, cost[2], y[2];
    } cases[] = {
        {0.5, 1, {1, 2}, {0.5, 0}},        {0.5, 1, {2, 1}, {0, 0.5}},
        {1.5, 1, {1, 2}, {1, 0.5}},        {1.5, 1, {2, 1}, {0.5, 1}},
        {0.5, 1, {1, 1}, {0.5, 0}},        {1.5, 1, {1, 1}, {1, 0.5}},
        {2.5, 1, {1, 2}, {1, 1}},          {0.5, 1, {0, 0}, {0.5, 0}},
        {0.5, 0.25, {2, 1}, {0.25, 0.25}}, {0.4, 0.25, {2, 1}, {0.15, 0.25}}};
    sw_solver *solver = new_solver();
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        task t = {.columns = 4,
                  .terms = 2,
                  .squares = {1, 1, 0, 0, 0, 0, 1, 1},
                  .goal = {cases[i].goal, cases[0].goal},
                  .high = {cases[i].high, cases[i].high, 1, 1},
                  .cost = {cases[i].cost[0], cases[i].cost[1], 3, 1}};
        ck_assert_int_eq(sw_solver_run(solver, solve, &t), SW_OK);
        check_least(&t);
        const double want[] = {cases[i].y[0], cases[i].y[1], 0, 0.5};
        for (size_t j = 0; j < t.columns; j++)
            ck_assert_msg(fabs(t.y[j] - want[j]) <= TOL_HAND_SOLVED,
                          "case %zu column %zu: %.17g", i, j, t.y[j]);
    }
    sw_solver_free(solver);
}
END_TEST
