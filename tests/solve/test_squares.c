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
    double cost[2][MOST_COLUMNS];
    size_t costs;
    bool short_of_pivots;
    size_t solved;
    bool first; /* which of those that are as good is looked at */
    sw_fit fit;
    double y[MOST_COLUMNS], column_price[MOST_COLUMNS], row_price[MOST_ROWS];
} task;

/* The points with the same deviations are those as good: of them the first cost
 * is least, then the next, then each column most in turn. */
static void check_first(sw_solver *solver, const sw_form *form,
                        const sw_terms *terms, const task *t, const double *y)
{
    size_t n = t->columns, row = t->rows + t->terms;
    sw_form met = sw_form_wider(solver, form, 0, t->terms + n + 2);
    for (size_t e = 0; e < t->terms; e++) {
        double at = sw_row_value(terms->matrix, e, n, y);
        sw_form_bound_term(&met, t->rows + e, terms, e, at - 1e-8, at + 1e-8);
    }
    for (size_t k = 0; k < t->costs + n; k++, row++) {
        double cost[MOST_COLUMNS] = {0}, least = 0, is = 0;
        if (k < t->costs)
            memcpy(cost, t->cost[k], sizeof cost);
        else
            cost[k - t->costs] = -1;
        met.rows = row;
        sw_lp *lp = sw_lp_new(solver, &met);
        for (size_t j = 0; j < n; j++)
            sw_lp_set_cost(lp, j, cost[j]);
        ck_assert_int_eq(sw_lp_solve(lp, SW_LP_PRIMAL), SW_LP_OPTIMAL);
        for (size_t j = 0; j < n; j++) {
            least += cost[j] * sw_lp_value(lp, j);
            is += cost[j] * y[j];
        }
        sw_lp_free(lp);
        ck_assert_msg(is - least < 1e-4, "%zu: %g, least %g", k, is, least);
        memcpy(sw_form_at(&met, row, 0), cost, n * sizeof *cost);
        met.row_low[row] = -INFINITY;
        met.row_high[row] = is + 1e-8;
    }
}

static sw_status solve(sw_solver *solver, void *context)
{
    task *t = context;
    const sw_form form = {t->columns, t->rows,    t->matrix,  t->low,
                          t->high,    t->row_low, t->row_high};
    const sw_terms terms = {t->terms, t->squares, t->goal, 0};
    t->costs = t->costs ? t->costs : 1;
    const sw_order order = {t->costs, {t->cost[0], t->cost[1]}};
    solver->pivot_limit = t->short_of_pivots ? 0 : 100000;
    sw_fit_squares(solver, &form, &terms, &order, &t->fit);
    solver->pivot_limit = 100000;
    if (t->first && t->fit.outcome == SW_OPTIMAL)
        check_first(solver, &form, &terms, t, t->fit.point.y);
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
        ck_assert(t->y[j] >= t->low[j] && t->y[j] <= t->high[j]); /* exactly */
        check_bound(t->y[j], t->low[j], t->high[j], t->column_price[j]);
        ck_assert_double_eq_tol(pull[j], t->column_price[j], 1e-8);
    }
    ck_assert_double_eq_tol(t->fit.objective, objective, 1e-9);
}

static double drawn(gsl_rng *rng, double low, double high)
{
    return low + (high - low) * gsl_rng_uniform(rng);
}

/* So that the low ends of all columns are within. */
static void bound_rows(gsl_rng *rng, task *t)
{
    for (size_t i = 0; i < t->rows; i++) {
        double at = sum_of(t->matrix + i * t->columns, t->low, t->columns);
        bool ends = gsl_rng_uniform_int(rng, 2) > 0;
        t->row_low[i] = at - drawn(rng, 0, 0.5);
        t->row_high[i] = ends ? at + drawn(rng, 0, 0.5) : INFINITY;
    }
}

static task draw(gsl_rng *rng)
{
    task t = {.columns = 1 + gsl_rng_uniform_int(rng, 8),
              .rows = gsl_rng_uniform_int(rng, 6),
              .terms = 1 + gsl_rng_uniform_int(rng, 8)};
    for (size_t j = 0; j < t.columns; j++) {
        t.low[j] = gsl_rng_uniform_int(rng, 2) ? 0 : drawn(rng, 0, 0.1);
        t.high[j] = gsl_rng_uniform_int(rng, 3) ? drawn(rng, 0.1, 1) : INFINITY;
        t.cost[0][j] = drawn(rng, 0.1, 1);
    }
    for (size_t k = 0; k < t.rows * t.columns; k++)
        t.matrix[k] = drawn(rng, -1, 1);
    bound_rows(rng, &t);
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
        t.cost[0][j] = drawn(rng, 0.1, 1);
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
                  .cost = {{cases[i].cost[0], cases[i].cost[1], 3, 1}}};
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

/* Few terms, so that many points are as good, and costs that tie. */
static task draw_ties(gsl_rng *rng)
{
    task t = draw(rng);
    t.first = true;
    t.costs = 1 + gsl_rng_uniform_int(rng, 2);
    t.terms = 1 + gsl_rng_uniform_int(rng, 2);
    for (size_t j = 0; j < t.columns; j++) {
        t.high[j] = drawn(rng, 0.1, 1);
        for (size_t k = 0; k < 2; k++)
            t.cost[k][j] = (double)gsl_rng_uniform_int(rng, 3);
        for (size_t e = 0; e < t.terms; e++)
            t.squares[e * t.columns + j] = (double)gsl_rng_uniform_int(rng, 3);
        for (size_t i = 0; i < t.rows; i++)
            t.matrix[i * t.columns + j] =
                (double)gsl_rng_uniform_int(rng, 3) - 1;
    }
    bound_rows(rng, &t);
    return t;
}

START_TEST(of_any_points_as_good_the_first_by_the_costs_is_taken)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    sw_solver *solver = new_solver();
    for (int round = 0; round < sw_cases(300); round++) {
        task t = draw_ties(rng);
        if (round % 4 == 0) {
            sw_solver_free(solver);
            solver = new_solver();
        }
        ck_assert_int_eq(sw_solver_run(solver, solve, &t), SW_OK);
        check_least(&t);
        t.goal[0] *= 1.01;
        ck_assert_int_eq(sw_solver_run(solver, solve, &t), SW_OK);
        check_least(&t);
    }
    sw_solver_free(solver);
    gsl_rng_free(rng);
}
END_TEST

/* Without a pivot a point is told from those as good on foot, or it is said
 * that none was. */
START_TEST(what_could_not_be_told_apart_in_time_is_not_called_the_first)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    size_t ended = 0, cut = 0;
    for (int round = 0; round < sw_cases(200); round++) {
        task t = draw_ties(rng);
        sw_solver *solver = new_solver();
        t.short_of_pivots = true;
        ck_assert_int_eq(sw_solver_run(solver, solve, &t), SW_OK);
        if (t.fit.outcome == SW_OPTIMAL)
            check_least(&t);
        ended += t.fit.outcome == SW_OPTIMAL;
        cut += t.fit.outcome == SW_LIMIT;
        sw_solver_free(solver);
    }
    ck_assert_int_gt((int)ended, sw_cases(200) / 4);
    ck_assert_int_gt((int)cut, 0);
    gsl_rng_free(rng);
}
END_TEST

/* A shelf of salts and traces, each of some of the terms; of some pairs the
 * second is the first in another measure, but for 1e-2 to 1e-15 of it and for a
 * hair in a term of all (a pH).  Few goals pull against each other. */
static task draw_alike(gsl_rng *rng)
{
    task t = {.columns = 4 + 2 * gsl_rng_uniform_int(rng, 5),
              .rows = gsl_rng_uniform_int(rng, 4),
              .terms = 3 + gsl_rng_uniform_int(rng, 10)};
    size_t n = t.columns;
    for (size_t j = 0; j < n; j++) {
        double unit = drawn(rng, 0.3, 2);
        double apart = pow(10, -drawn(rng, 2, 15));
        bool alike = j % 2 && gsl_rng_uniform_int(rng, 3);
        t.high[j] = gsl_rng_uniform_int(rng, 2) ? drawn(rng, 0.5, 2) : 1e6;
        t.cost[0][j] = drawn(rng, 0.001, 1);
        for (size_t e = 0; e < t.terms + t.rows; e++) {
            double *row =
                e < t.terms ? t.squares + e * n : t.matrix + (e - t.terms) * n;
            double trace = e + 1 == t.terms ? 1e-5 : 1;
            bool has = trace < 1 || e == j / 2 % (t.terms - 1) ||
                       gsl_rng_uniform_int(rng, 4) == 0;
            row[j] = alike ? row[j - 1] * unit * (1 + apart * drawn(rng, -1, 1))
                     : has ? drawn(rng, 0.2, 1) * trace
                           : 0;
        }
    }
    bound_rows(rng, &t);
    for (size_t e = 0; e < t.terms; e++)
        t.goal[e] = drawn(rng, 0.2, 1);
    return t;
}

/* Without the second of each pair no other is closer but for what the second
 * is more than the first. */
START_TEST(products_as_good_as_alike_are_solved_as_either_alone)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    for (int round = 0; round < sw_cases(1000); round++) {
        task t = draw_alike(rng);
        sw_solver *solver = new_solver();
        ck_assert_int_eq(sw_solver_run(solver, solve, &t), SW_OK);
        ck_assert_msg(t.fit.outcome == SW_OPTIMAL, "round %d", round);
        check_least(&t);
        double both = t.fit.objective;
        for (size_t odd = 0; odd < 2; odd++) {
            task alone = t;
            for (size_t j = odd; j < t.columns; j += 2)
                alone.high[j] = alone.low[j];
            ck_assert_int_eq(sw_solver_run(solver, solve, &alone), SW_OK);
            check_least(&alone);
            ck_assert_double_le(both, alone.fit.objective * (1 + 1e-9) + 1e-12);
        }
        sw_solver_free(solver);
    }
    gsl_rng_free(rng);
}
END_TEST

/* The cheapest, then the next cost, then the first columns; no squares. */
static sw_status solve_cost(sw_solver *solver, void *context)
{
    task *t = context;
    const sw_form form = {t->columns, t->rows,    t->matrix,  t->low,
                          t->high,    t->row_low, t->row_high};
    const sw_terms none = {.count = 0};
    const sw_order order = {t->costs, {t->cost[0], t->cost[1]}};
    solver->pivot_limit = 100000;
    sw_fit_cost(solver, &form, &order, &t->fit);
    bool any = true; /* no more can be had than all of everything */
    for (size_t i = 0; i < t->rows; i++)
        any = any && sum_of(t->matrix + i * t->columns, t->high, t->columns) >=
                         t->row_low[i];
    ck_assert_int_eq(t->fit.outcome, any ? SW_OPTIMAL : SW_CONFLICT);
    ck_assert_int_eq(t->fit.has_point, any);
    if (!any)
        return SW_OK;
    t->solved++;
    ck_assert(sw_form_allows(&form, t->fit.point.y));
    ck_assert_double_eq_tol(t->fit.objective,
                            sum_of(t->cost[0], t->fit.point.y, t->columns),
                            1e-12);
    check_first(solver, &form, &none, t, t->fit.point.y);
    return SW_OK;
}

START_TEST(the_cheapest_is_the_first_of_those_as_cheap)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    sw_solver *solver = new_solver();
    size_t solved = 0;
    for (int round = 0; round < sw_cases(200); round++) {
        task t = draw_ties(rng);
        t.terms = 0;
        for (size_t i = 0; i < t.rows; i++) { /* something is asked for */
            t.row_low[i] += 0.3 * gsl_rng_uniform(rng);
            t.row_high[i] = INFINITY;
            for (size_t j = 0; j < t.columns; j++)
                t.matrix[i * t.columns + j] =
                    fabs(t.matrix[i * t.columns + j]) + (j == i);
        }
        ck_assert_int_eq(sw_solver_run(solver, solve_cost, &t), SW_OK);
        ck_assert_int_eq(sw_solver_run(solver, solve_cost, &t), SW_OK);
        solved += t.solved;
    }
    ck_assert_int_gt((int)solved, sw_cases(200));
    sw_solver_free(solver);
    gsl_rng_free(rng);
}
END_TEST

/* The largest deviation is the least that a program of our own finds: a column
 * for it, and each deviation on both sides below it. */
static sw_status solve_worst(sw_solver *solver, void *context)
{
    task *t = context;
    size_t n = t->columns;
    const sw_form form = {n,       t->rows,    t->matrix,  t->low,
                          t->high, t->row_low, t->row_high};
    const sw_terms terms = {t->terms, t->squares, t->goal, 0};
    const sw_order order = {t->costs, {t->cost[0], t->cost[1]}};
    double largest = 0;
    solver->pivot_limit = 100000;
    sw_fit_worst(solver, &form, &terms, &order, &t->fit);
    ck_assert_int_eq(t->fit.outcome, SW_OPTIMAL);
    sw_form wide = sw_form_wider(solver, &form, 1, 2 * t->terms);
    wide.high[n] = INFINITY;
    for (size_t e = 0; e < t->terms; e++) {
        double off = sum_of(t->squares + e * n, t->fit.point.y, n) - t->goal[e];
        largest = fmax(largest, fabs(off));
        for (size_t side = 0; side < 2; side++) {
            size_t row = t->rows + 2 * e + side;
            double sign = side ? -1 : 1;
            for (size_t j = 0; j < n; j++)
                *sw_form_at(&wide, row, j) = sign * t->squares[e * n + j];
            *sw_form_at(&wide, row, n) = -1;
            wide.row_low[row] = -INFINITY;
            wide.row_high[row] = sign * t->goal[e];
        }
    }
    sw_lp *lp = sw_lp_new(solver, &wide);
    sw_lp_set_cost(lp, n, 1);
    ck_assert_int_eq(sw_lp_solve(lp, SW_LP_PRIMAL), SW_LP_OPTIMAL);
    ck_assert_double_eq_tol(t->fit.objective, sw_lp_value(lp, n), 1e-7);
    sw_lp_free(lp);
    ck_assert_double_eq_tol(t->fit.objective, largest, 1e-9);
    ck_assert(sw_form_allows(&form, t->fit.point.y));
    return SW_OK;
}

START_TEST(the_largest_deviation_is_the_least_there_is)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    for (int round = 0; round < sw_cases(200); round++) {
        task t = round % 2 ? draw(rng) : draw_ties(rng);
        sw_solver *solver = new_solver();
        t.costs = 1;
        for (size_t j = 0; j < t.columns; j++)
            t.high[j] = fmin(t.high[j], 3);
        ck_assert_int_eq(sw_solver_run(solver, solve_worst, &t), SW_OK);
        sw_solver_free(solver);
    }
    gsl_rng_free(rng);
}
END_TEST

/* (2 y0 - 4)^2 + (y1 - 1)^2 from (0, 0), with 1e-3 of the squares of the way
 * beside them, of which half are left as long as it goes on: y0 is 8 / (4 + w),
 * y1 1 / (1 + w). */
static sw_status solve_beside(sw_solver *solver, void *context)
{
    (void)context;
    double squares[] = {2, 0, 0, 1}, goal[] = {4, 1};
    double low[] = {0, 0}, high[] = {3, 3}, cost[] = {1, 1};
    double before[] = {0, 0}, way[] = {NAN, NAN}, weight = 1e-3;
    const sw_form form = {2, 0, NULL, low, high, NULL, NULL};
    const sw_terms terms = {2, squares, goal, 0};
    const sw_order order = {1, {cost}};
    sw_beside beside = {0, before, way};
    sw_fit fit;
    solver->pivot_limit = 1000;
    for (int turn = 0; turn < 4; turn++) {
        /* from the other side the third time: a turn, which doubles it */
        before[0] = turn == 2 ? 3 : 0;
        sw_fit_squares_beside(solver, &form, &terms, &order, &beside, &fit);
        double y[] = {(8 + weight * before[0]) / (4 + weight),
                      1 / (1 + weight)};
        ck_assert(fit.has_point && fit.outcome == SW_LIMIT);
        for (size_t j = 0; j < 2; j++) {
            ck_assert_double_eq_tol(fit.point.y[j], y[j], TOL_HAND_SOLVED);
            ck_assert_double_eq_tol(way[j], y[j] - before[j], TOL_HAND_SOLVED);
        }
        double off = 2 * y[0] - 4;
        ck_assert_double_eq_tol(fit.objective,
                                off * off + (y[1] - 1) * (y[1] - 1), 1e-12);
        weight *= turn < 2 ? 0.5 : 2;
        ck_assert_double_eq_tol(beside.weight, weight, 1e-18);
    }
    before[0] = 2;
    before[1] = 1; /* where nothing moves it is proved */
    sw_fit_squares_beside(solver, &form, &terms, &order, &beside, &fit);
    ck_assert_int_eq(fit.outcome, SW_OPTIMAL);
    sw_fit_squares_beside(solver, &form, &terms, &order, NULL, &fit);
    ck_assert_int_eq(fit.outcome, SW_OPTIMAL);
    ck_assert_double_eq_tol(fit.point.y[0], 2, TOL_HAND_SOLVED);
    return SW_OK;
}

START_TEST(squares_of_the_way_stand_beside_and_are_left_out_of_the_proof)
{
    sw_solver *solver = new_solver();
    ck_assert_int_eq(sw_solver_run(solver, solve_beside, NULL), SW_OK);
    sw_solver_free(solver);
}
END_TEST
