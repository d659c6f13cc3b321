/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Corners that are the first by a cost: those of earlier questions, and those
 * of another cost among them. */
#include "suite.h"

#include "solve/fit.h"

#include <math.h>

/* The cheapest of y0 + y1 >= 1: all of it from the first column, as long as the
 * second costs `more` of it more, in a money of which the first costs `unit`.
 */
typedef struct question {
    double unit, more;
    bool alone, found;
} question;

static sw_status recall(sw_solver *solver, void *context)
{
    question *q = context;
    double matrix[] = {1, 1}, low[] = {0, 0}, high[] = {3, 3};
    double row_low[] = {1}, row_high[] = {INFINITY}, y[] = {NAN, NAN};
    double cost[] = {q->unit, q->unit * (1 + q->more)};
    const sw_form form = {2, 1, matrix, low, high, row_low, row_high};
    const sw_order order = {1, {cost}};
    sw_active active = sw_active_take(solver, &form);
    active.column[1] = active.row[0] = SW_AT_LOW;
    sw_remember(solver, SW_KEPT_CORNERS, &form, 7, &active);
    q->found = sw_recall_corner(solver, &form, 7, &order, q->alone, y, &active);
    ck_assert(!q->found || (y[0] == 1 && y[1] == 0));
    ck_assert(
        !sw_recall_corner(solver, &form, 8, &order, q->alone, y, &active));
    return SW_OK;
}

static void run(sw_status (*work)(sw_solver *solver, void *context),
                void *context)
{
    sw_solver *solver = NULL;
    ck_assert_int_eq(sw_solver_new(&solver, NULL), SW_OK);
    ck_assert_int_eq(sw_solver_run(solver, work, context), SW_OK);
    sw_solver_free(solver);
}

static bool is_recalled(double unit, double more, bool alone)
{
    question q = {unit, more, alone, false};
    run(recall, &q);
    return q.found;
}

/* Cheaper, as cheap, and so near to it that a linear program has to say; in
 * cents or in millions. */
START_TEST(a_corner_stays_the_first_in_any_money)
{
    static const double units[] = {1e-6, 1, 1e6};
    for (size_t i = 0; i < sizeof units / sizeof *units; i++) {
        ck_assert(is_recalled(units[i], 0.1, true));
        ck_assert(is_recalled(units[i], 1e-7, true));
        ck_assert(!is_recalled(units[i], 1e-9, true));
        ck_assert(!is_recalled(units[i], 1e-9, false));
        ck_assert(!is_recalled(units[i], 1e-11, true));
        ck_assert(is_recalled(units[i], 1e-11, false));
        ck_assert(!is_recalled(units[i], -0.1, false));
    }
}
END_TEST

START_TEST(where_nothing_costs_anything_no_corner_is_alone)
{
    ck_assert(!is_recalled(0, 0, true));
    ck_assert(is_recalled(0, 0, false));
}
END_TEST

/* Where y0 + y1 <= 1 holds a corner up, there is a cheaper one. */
static sw_status recall_held(sw_solver *solver, void *context)
{
    (void)context;
    double matrix[] = {1, 1}, low[] = {0, 0}, high[] = {3, 3};
    double row_low[] = {-INFINITY}, row_high[] = {1}, y[] = {NAN, NAN};
    double cost[] = {1, 2};
    const sw_form form = {2, 1, matrix, low, high, row_low, row_high};
    const sw_order order = {1, {cost}};
    sw_active active = sw_active_take(solver, &form);
    active.column[1] = SW_AT_LOW;
    active.row[0] = SW_AT_HIGH;
    sw_remember(solver, SW_KEPT_CORNERS, &form, 7, &active);
    ck_assert(!sw_recall_corner(solver, &form, 7, &order, true, y, &active));
    cost[0] = -1;
    ck_assert(sw_recall_corner(solver, &form, 7, &order, true, y, &active));
    ck_assert_double_eq(y[0], 1);
    return SW_OK;
}

START_TEST(a_corner_that_a_row_holds_dear_is_not_the_first)
{
    run(recall_held, NULL);
}
END_TEST

/* Of all the points that cost as little, one with most of y0, of y1 or of y2:
 * both rows have a price and hold. */
static sw_status confine(sw_solver *solver, void *context)
{
    (void)context;
    solver->pivot_limit = 1000;
    for (size_t most = 0; most < 3; most++) {
        double matrix[] = {1, 1, 0, 0, 0, 1}, low[] = {0, 0, 0};
        double high[] = {3, 3, 3}, row_low[] = {1, 0.5};
        double row_high[] = {INFINITY, INFINITY};
        const sw_form form = {3, 2, matrix, low, high, row_low, row_high};
        sw_lp *lp = sw_lp_new(solver, &form);
        sw_lp_set_costs(lp, (const double[]){1, 1, 1});
        ck_assert_int_eq(sw_lp_solve(lp, SW_LP_DUAL), SW_LP_OPTIMAL);
        ck_assert_uint_eq(sw_lp_confine(lp), 1); /* y0 for y1, or y1 for y0 */
        for (size_t j = 0; j < 3; j++)
            sw_lp_set_cost(lp, j, j == most ? -1 : 0);
        ck_assert_int_eq(sw_lp_solve(lp, SW_LP_PRIMAL), SW_LP_OPTIMAL);
        for (size_t j = 0; j < 2; j++)
            ck_assert(most == 2 ||
                      fabs(sw_lp_value(lp, j) - (j == most)) < 1e-9);
        ck_assert_double_eq_tol(sw_lp_value(lp, 2), 0.5, 1e-9);
        sw_lp_free(lp);
    }
    return SW_OK;
}

START_TEST(what_was_found_to_be_least_stays_so_where_more_is_asked)
{
    run(confine, NULL);
}
END_TEST

/* Without a cost any corner will do: the lowest, where the form allows it. */
static sw_status find_lowest(sw_solver *solver, void *context)
{
    (void)context;
    double matrix[] = {1, 1}, low[] = {0.25, 0.5}, high[] = {3, 3};
    double row_low[] = {-INFINITY}, row_high[] = {2}, y[] = {NAN, NAN};
    const sw_form form = {2, 1, matrix, low, high, row_low, row_high};
    sw_active active = sw_active_take(solver, &form);
    active.row[0] = active.column[1] = SW_AT_HIGH;
    solver->pivot_limit = 1000;
    ck_assert_int_eq(sw_lp_corner(solver, &form, NULL, y, &active),
                     SW_LP_OPTIMAL);
    ck_assert(y[0] == 0.25 && y[1] == 0.5);
    ck_assert_int_eq(active.column[0], SW_AT_LOW);
    ck_assert_int_eq(active.column[1], SW_AT_LOW);
    ck_assert_int_eq(active.row[0], SW_BETWEEN);
    row_low[0] = 1.5;
    ck_assert_int_eq(sw_lp_corner(solver, &form, NULL, y, &active),
                     SW_LP_OPTIMAL);
    ck_assert_double_eq_tol(y[0] + y[1], 1.5, 1e-9);
    ck_assert_int_eq(active.row[0], SW_AT_LOW);
    return SW_OK;
}

START_TEST(without_a_cost_the_lowest_corner_will_do)
{
    run(find_lowest, NULL);
}
END_TEST
