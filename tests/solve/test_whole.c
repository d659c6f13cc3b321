/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whole numbers by branch and bound: found, none, and given up. */
#include "suite.h"

#include "solve/lp.h"

enum { MOST_COLUMNS = 24 };

/* 2 y1 + 2 y2 + ... = sum, each y 0 or 1 and the dearer the later: no odd sum
 * can be had, and it takes a search of everything to see that. */
typedef struct sum_of_twos {
    size_t columns;
    double sum;
    int nodes;
    sw_lp_end end;
    double taken;
} sum_of_twos;

static sw_status branch(sw_solver *solver, void *context)
{
    sum_of_twos *of = context;
    double matrix[MOST_COLUMNS], low[MOST_COLUMNS] = {0}, high[MOST_COLUMNS];
    for (size_t j = 0; j < of->columns; j++) {
        matrix[j] = 2;
        high[j] = 1;
    }
    const sw_form form = {of->columns, 1,        matrix,  low,
                          high,        &of->sum, &of->sum};
    sw_lp *lp = sw_lp_new(solver, &form);
    for (size_t j = 0; j < of->columns; j++) {
        sw_lp_make_whole(lp, j);
        sw_lp_set_cost(lp, j, (double)(j + 1));
    }
    of->end = sw_lp_branch(lp, of->nodes);
    for (size_t j = 0; of->end == SW_LP_OPTIMAL && j < of->columns; j++)
        of->taken += (double)(j + 1) * sw_lp_whole_value(lp, j);
    sw_lp_free(lp);
    return SW_OK;
}

static sum_of_twos branched(size_t columns, double sum, int nodes)
{
    sum_of_twos of = {.columns = columns, .sum = sum, .nodes = nodes};
    sw_solver *solver = NULL;
    ck_assert_int_eq(sw_solver_new(&solver, NULL), SW_OK);
    solver->pivot_limit = 100000;
    ck_assert_int_eq(sw_solver_run(solver, branch, &of), SW_OK);
    sw_solver_free(solver);
    return of;
}

START_TEST(the_cheapest_whole_numbers_are_found)
{
    sum_of_twos of = branched(MOST_COLUMNS, 12, 1000);
    ck_assert_int_eq(of.end, SW_LP_OPTIMAL);
    ck_assert_double_eq_tol(of.taken, 1 + 2 + 3 + 4 + 5 + 6, 1e-9);
}
END_TEST

START_TEST(what_no_whole_numbers_make_is_proved)
{
    ck_assert_int_eq(branched(2, 1, 1000).end, SW_LP_INFEASIBLE);
    ck_assert_int_eq(branched(2, 5, 1000).end, SW_LP_INFEASIBLE);
}
END_TEST

START_TEST(a_search_that_is_too_long_is_given_up)
{
    ck_assert_int_eq(branched(12, 11, 50).end, SW_LP_PIVOTS);
}
END_TEST
