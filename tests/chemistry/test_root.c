/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One unknown between two bounds: found, or said why not. */
#include "suite.h"

#include <math.h>

#include "chemistry/root.h"
#include "quantity/status.h"

static sw_status square_less_two(double x, void *context, double *y,
                                 sw_error *error)
{
    (void)context;
    (void)error;
    *y = x * x - 2;
    return SW_OK;
}

static sw_status step(double x, void *context, double *y, sw_error *error)
{
    (void)context;
    (void)error;
    *y = x < 0.3 ? -1 : 1;
    return SW_OK;
}

/* Fails after as many calls as the context counts. */
static sw_status weary(double x, void *context, double *y, sw_error *error)
{
    int *left = context;
    *y = x * x * x - 2;
    if ((*left)-- > 0)
        return SW_OK;
    return sw_fail(error, SW_ERR_VALUE, "no more");
}

START_TEST(a_bracketed_root_is_found)
{
    double root;
    sw_search search = {square_less_two, NULL, 0, 2, 1e-12};
    ck_assert_int_eq(sw_root_find(&search, &root, NULL), SW_OK);
    ck_assert_double_eq_tol(root, sqrt(2), 1e-11);
}
END_TEST

START_TEST(bounds_without_a_root_are_refused)
{
    double root;
    sw_error error;
    sw_search search = {square_less_two, NULL, 2, 3, 1e-12};
    ck_assert_int_eq(sw_root_find(&search, &root, &error), SW_ERR_NUMERIC);
    ck_assert_str_ne(error.message, "");
}
END_TEST

START_TEST(a_tolerance_out_of_reach_ends_the_search)
{
    double root;
    sw_search search = {step, NULL, 0, 1, 0};
    ck_assert_int_eq(sw_root_find(&search, &root, NULL), SW_ERR_NUMERIC);
}
END_TEST

START_TEST(a_failure_of_the_function_is_passed_on)
{
    for (int calls = 0; calls < 4; calls++) {
        int left = calls;
        double root;
        sw_error error;
        sw_search search = {weary, &left, -1, 3, 1e-15};
        ck_assert_int_eq(sw_root_find(&search, &root, &error), SW_ERR_VALUE);
        ck_assert_str_eq(error.message, "no more");
    }
}
END_TEST
