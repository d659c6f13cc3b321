/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Corners of earlier questions: which are still the first, and known to be. */
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

static bool is_recalled(double unit, double more, bool alone)
{
    question q = {unit, more, alone, false};
    sw_solver *solver = NULL;
    ck_assert_int_eq(sw_solver_new(&solver, NULL), SW_OK);
    ck_assert_int_eq(sw_solver_run(solver, recall, &q), SW_OK);
    sw_solver_free(solver);
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

int main(void)
{
    const TTest *const tests[] = {
        a_corner_stays_the_first_in_any_money,
        where_nothing_costs_anything_no_corner_is_alone, NULL};
    return run_suite(suite_of("corner", tests));
}
