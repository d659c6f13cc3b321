/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"
#include "tolerances.h"

#include "solve/fit.h"

#include <math.h>

/*
 * (y0 - 2)^2 + (y1 - 1)^2, 0 <= y <= 3, y0 + y1 <= 2: least at (1.5, 0.5),
 * 0.5; the row's price is -1.
 */
typedef struct sw_example {
    double matrix[2];
    double low[2];
    double high[2];
    double row_low[1];
    double row_high[1];
    double squares[4];
    double goal[2];
    sw_form form;
    sw_terms terms;
} sw_example;

static void set_up(sw_example *example)
{
    *example = (sw_example){.matrix = {1, 1},
                            .high = {3, 3},
                            .row_low = {-INFINITY},
                            .row_high = {2},
                            .squares = {1, 0, 0, 1},
                            .goal = {2, 1}};
    example->form = (sw_form){.columns = 2,
                              .rows = 1,
                              .matrix = example->matrix,
                              .low = example->low,
                              .high = example->high,
                              .row_low = example->row_low,
                              .row_high = example->row_high};
    example->terms = (sw_terms){
        .count = 2, .matrix = example->squares, .goal = example->goal};
}

static void in_solver(sw_status (*work)(sw_solver *, void *))
{
    sw_solver *solver = NULL;
    ck_assert_int_eq(sw_solver_new(&solver, NULL), SW_OK);
    ck_assert_int_eq(sw_solver_run(solver, work, NULL), SW_OK);
    sw_solver_free(solver);
}

/* One that is handed the example, within a solver's run. */
#define START_SOLVER_TEST(name)                                                \
    static void name##_in(sw_solver *solver, sw_example *example);             \
    static sw_status name##_work(sw_solver *solver, void *task)                \
    {                                                                          \
        sw_example example;                                                    \
        (void)task;                                                            \
        set_up(&example);                                                      \
        name##_in(solver, &example);                                           \
        return SW_OK;                                                          \
    }                                                                          \
    START_TEST(name)                                                           \
    {                                                                          \
        in_solver(name##_work);                                                \
    }                                                                          \
    static void name##_in(sw_solver *solver,                                   \
                          sw_example *example CK_ATTRIBUTE_UNUSED)

static double value_of(const sw_example *example, const double *y)
{
    double deviation[2];
    return sw_terms_value(&example->terms, 2, y, deviation);
}

/* Proof at (a, b) with the row's price `price`. */
static sw_proof prove_at(sw_solver *solver, sw_example *example, double a,
                         double b, double price)
{
    sw_point point = sw_point_take(solver, &example->form);
    sw_gradient gradient = sw_gradient_take(solver, &example->form);
    double deviation[2];
    point.y[0] = a;
    point.y[1] = b;
    point.row_price[0] = price;
    sw_terms_value(&example->terms, 2, point.y, deviation);
    sw_terms_gradient(&example->terms, 2, deviation, &gradient);
    return sw_prove(&example->form, &gradient, example->high, &point);
}

START_SOLVER_TEST(any_point_and_any_price_bound_the_optimum_from_below)
{
    for (double a = 0; a <= 2; a += 0.125)
        for (double b = 0; b <= 2 - a; b += 0.125)
            for (double price = -4; price <= 4; price += 0.5) {
                const double y[] = {a, b};
                sw_proof proof = prove_at(solver, example, a, b, price);
                ck_assert_double_le(value_of(example, y) - proof.slack, 0.5);
                ck_assert_double_ge(proof.slack, 0);
            }
}
END_TEST

START_SOLVER_TEST(only_the_optimum_with_its_prices_is_proved)
{
    sw_proof proof = prove_at(solver, example, 1.5, 0.5, -1);
    ck_assert_double_le(proof.slack, TOL_HAND_SOLVED);
    ck_assert_double_le(proof.kkt, TOL_HAND_SOLVED);
    proof = prove_at(solver, example, 1.5, 0.5, 0);
    ck_assert_double_gt(proof.kkt, 0.1);
    proof = prove_at(solver, example, 1, 0.5, -1);
    ck_assert_double_gt(proof.kkt, 0.1);
    proof = prove_at(solver, example, 1.5, 0.75, -1);
    ck_assert_double_gt(proof.kkt, 0.05);
    proof = prove_at(solver, example, 2, 1, 0); /* where the row is not kept */
    ck_assert_double_gt(proof.outside, 0.1);
    ck_assert_double_ge(proof.kkt, proof.outside);
    proof = prove_at(solver, example, NAN, 0.5, -1);
    ck_assert(isinf(proof.kkt));
}
END_TEST

/* 1e6 y0 - 1e6 y1 <= 0 is a hair off where the digits of its parts are. */
START_SOLVER_TEST(a_row_of_large_parts_is_kept_to_their_digits)
{
    example->matrix[0] = 1e6;
    example->matrix[1] = -1e6;
    example->row_high[0] = 0;
    sw_proof proof = prove_at(solver, example, 1.5 + 1e-14, 1.5, 0);
    ck_assert_double_gt(proof.outside, 0);
    ck_assert_double_lt(proof.outside, 1e-13);
    proof = prove_at(solver, example, 1.5 + 1e-6, 1.5, 0);
    ck_assert_double_gt(proof.outside, 1e-8);
}
END_TEST

static sw_status walk_from(sw_solver *solver, double a, double b)
{
    sw_example example;
    set_up(&example);
    sw_active active = sw_active_take(solver, &example.form);
    sw_point point = sw_point_take(solver, &example.form);
    point.y[0] = a;
    point.y[1] = b;
    active.column[0] = a == 0 ? SW_AT_LOW : SW_BETWEEN;
    active.column[1] = b == 0 ? SW_AT_LOW : SW_BETWEEN;
    ck_assert(sw_walk(solver, &example.form, &example.terms, &active, &point));
    ck_assert_double_eq_tol(point.y[0], 1.5, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(point.y[1], 0.5, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(point.row_price[0], -1, TOL_HAND_SOLVED);
    ck_assert_int_eq(active.row[0], SW_AT_HIGH);
    return SW_OK;
}

START_SOLVER_TEST(a_walk_arrives_from_any_corner)
{
    walk_from(solver, 0, 0);
    walk_from(solver, 0, 1);
    walk_from(solver, 1, 0);
    walk_from(solver, 0.3, 0.4);
}
END_TEST

START_SOLVER_TEST(a_walk_lets_go_of_a_row_that_holds_it_back)
{
    example->row_high[0] = INFINITY;
    example->row_low[0] = 1;
    sw_active active = sw_active_take(solver, &example->form);
    sw_point point = sw_point_take(solver, &example->form);
    point.y[0] = 1;
    active.column[1] = SW_AT_LOW;
    active.row[0] = SW_AT_LOW;
    ck_assert(
        sw_walk(solver, &example->form, &example->terms, &active, &point));
    ck_assert_double_eq_tol(point.y[0], 2, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(point.y[1], 1, TOL_HAND_SOLVED);
    ck_assert_int_eq(active.row[0], SW_BETWEEN);
}
END_TEST

START_SOLVER_TEST(dependent_columns_are_seen_and_survived)
{
    example->squares[1] = 1; /* y0 + y1 near 2, and y1 near 1 ... */
    example->squares[3] = 0; /* ... of no effect */
    sw_active active = sw_active_take(solver, &example->form);
    sw_point point = sw_point_take(solver, &example->form);
    sw_frame *frame = sw_frame_of(solver, &example->form, &active);
    ck_assert(!sw_dense_is_unique(frame, &example->terms));
    sw_dense_fit(frame, &example->terms, &point);
    ck_assert_double_eq_tol(point.y[0] + point.y[1], 2, TOL_HAND_SOLVED);
    active.column[1] = SW_AT_LOW;
    frame = sw_frame_of(solver, &example->form, &active);
    ck_assert(sw_dense_is_unique(frame, &example->terms));
    active.column[0] = SW_AT_HIGH;
    frame = sw_frame_of(solver, &example->form, &active);
    ck_assert(sw_dense_is_unique(frame, &example->terms));
    sw_dense_fit(frame, &example->terms, &point);
    ck_assert_double_eq(point.y[0], 3);
}
END_TEST

START_SOLVER_TEST(fitted_terms_have_prices_beside_the_rows)
{
    double matrix[] = {1, 1};
    double held[] = {2};
    example->squares[0] = 1; /* one term, y0 - y1, beside the row y0 + y1 */
    example->squares[1] = -1;
    example->form.rows = example->terms.count = 1;
    example->form.matrix = matrix;
    example->form.row_low = example->form.row_high = held;
    sw_active active = sw_active_take(solver, &example->form);
    sw_point point = sw_point_take(solver, &example->form);
    active.row[0] = SW_AT_LOW;
    sw_frame *frame = sw_frame_of(solver, &example->form, &active);
    ck_assert(sw_dense_fit(frame, &example->terms, &point));
    const double gradient[] = {5, 1}; /* 3 rows and 2 terms */
    sw_dense_prices(frame, gradient, &point);
    ck_assert_double_eq_tol(point.row_price[0], 3, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(point.column_price[0], 2, TOL_HAND_SOLVED);
    sw_dense_prices_beside(frame, gradient, &point);
    ck_assert_double_eq_tol(point.row_price[0], 3, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(point.column_price[0], 0, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(point.column_price[1], 0, TOL_HAND_SOLVED);
}
END_TEST

START_SOLVER_TEST(dependent_rows_share_one_price)
{
    double matrix[] = {1, 1, 1, 1, 2, 2};
    double low[] = {2, 2, 4};
    example->form.rows = 3;
    example->form.matrix = matrix;
    example->form.row_low = example->form.row_high = low;
    sw_active active = sw_active_take(solver, &example->form);
    sw_point point = sw_point_take(solver, &example->form);
    for (int i = 0; i < 3; i++)
        active.row[i] = SW_AT_LOW;
    sw_frame *frame = sw_frame_of(solver, &example->form, &active);
    sw_dense_fit(frame, &example->terms, &point);
    ck_assert_double_eq_tol(point.y[0], 1.5, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(point.y[1], 0.5, TOL_HAND_SOLVED);
    const double gradient[] = {-1, -1};
    sw_dense_prices(frame, gradient, &point);
    ck_assert_double_eq_tol(point.column_price[0], 0, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(point.column_price[1], 0, TOL_HAND_SOLVED);
}
END_TEST

START_TEST(rows_lower_the_ceilings_they_bound)
{
    /* y0 - 2 y1 <= 0 and y1 <= 1 leave y0 no more than 2 */
    double matrix[] = {1, -2, 0, 1};
    double low[] = {0, 0};
    double row_low[] = {-INFINITY, -INFINITY};
    double row_high[] = {0, 1};
    double ceiling[] = {50, 60};
    sw_form form = {2, 2, matrix, low, ceiling, row_low, row_high};
    sw_lower_ceiling_by_form(&form, ceiling);
    ck_assert_double_eq_tol(ceiling[1], 1, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(ceiling[0], 2, TOL_HAND_SOLVED);
}
END_TEST

START_TEST(only_what_is_a_hair_outside_is_moved_to_its_bound)
{
    double low[] = {1, 1, 1, 1, 1}, high[] = {2, 2, 2, 2, 2};
    double y[] = {1 - 1e-12, 2 + 1e-12, 1.5, 0.9, 2.1};
    static const double tucked[] = {1, 2, 1.5, 0.9, 2.1};
    const sw_form form = {.columns = 5, .low = low, .high = high};
    sw_tuck_in(&form, y);
    for (size_t j = 0; j < 5; j++)
        ck_assert_double_eq(y[j], tucked[j]);
}
END_TEST

/* What has no end cannot be held at it. */
START_TEST(a_set_holds_only_ends_that_there_are)
{
    double one = 1, low = 0;
    static const struct {
        sw_stand column, row;
        double high, row_low, row_high;
        bool has;
    } cases[] = {{SW_AT_HIGH, SW_BETWEEN, 2, -INFINITY, INFINITY, true},
                 {SW_AT_HIGH, SW_BETWEEN, INFINITY, 0, 1, false},
                 {SW_AT_LOW, SW_AT_LOW, INFINITY, 0, INFINITY, true},
                 {SW_BETWEEN, SW_AT_LOW, 2, -INFINITY, 1, false},
                 {SW_BETWEEN, SW_AT_HIGH, 2, -INFINITY, 1, true},
                 {SW_BETWEEN, SW_AT_HIGH, 2, 0, INFINITY, false}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        double high = cases[i].high, row_low = cases[i].row_low,
               row_high = cases[i].row_high;
        sw_stand column = cases[i].column, row = cases[i].row;
        const sw_form form = {1, 1, &one, &low, &high, &row_low, &row_high};
        const sw_active active = {&column, &row};
        ck_assert_msg(sw_form_has(&form, &active) == cases[i].has, "%zu", i);
    }
}
END_TEST

/* Two columns from 0 to `ceiling` each; with a price of 1 for a sum of 4 at
 * least, of -1 for one of -1 at most, there is no point. */
START_TEST(prices_refute_what_has_no_point_and_nothing_else)
{
    static const struct {
        double row_low, row_high, price, low, ceiling;
        bool refuted;
    } cases[] = {{4, INFINITY, 1, 0, 1.9, true},
                 {4, INFINITY, 3, 0, 1.999, true},
                 {4, INFINITY, 1, 0, 2, false},
                 {4, INFINITY, 1, 0, 2 - 4e-8, false}, /* a program's slack */
                 {4, INFINITY, 1, 0, 2 - 1e-7, true},
                 {4, INFINITY, 1, 0, 2.1, false},
                 {4, INFINITY, 0, 0, 1.9, false},
                 {4, INFINITY, -1, 0, 1.9, false},
                 {-INFINITY, -1, -1, 0, 3, true},
                 {-INFINITY, -1, -1, -0.499, 3, true},
                 {-INFINITY, -1, -1, -0.5, 3, false},
                 {-INFINITY, -1, -1, -0.6, 3, false},
                 {-INFINITY, -1, 1, 0, 3, false}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_example example;
        set_up(&example);
        double ceiling[] = {cases[i].ceiling, cases[i].ceiling};
        example.low[0] = example.low[1] = cases[i].low;
        example.row_low[0] = cases[i].row_low;
        example.row_high[0] = cases[i].row_high;
        const sw_row_price priced = {0, cases[i].price};
        ck_assert_msg(sw_is_refuted(&example.form, ceiling, &priced, 1) ==
                          cases[i].refuted,
                      "case %zu", i);
    }
}
END_TEST

/* a0 y0 + a1 y1 between its ends, twice, of columns from 0 to 2: by the dual
 * method of each that has no point prices are read that prove it. */
static size_t proved_of(sw_solver *solver, const sw_form *form)
{
    sw_mark mark = sw_solver_mark(solver);
    double price[2] = {NAN, NAN};
    sw_lp *lp = sw_lp_new(solver, form);
    sw_lp_set_distinct_costs(lp);
    bool empty = sw_lp_solve(lp, SW_LP_DUAL) == SW_LP_INFEASIBLE;
    if (empty && sw_lp_read_refutation(lp, price)) {
        const sw_row_price priced[] = {{0, price[0]}, {1, price[1]}};
        ck_assert(sw_is_refuted(form, form->high, priced, 2));
    } else {
        ck_assert(!empty);
    }
    sw_lp_free(lp);
    sw_solver_release(solver, mark);
    return empty;
}

START_SOLVER_TEST(the_dual_method_leaves_a_proof_of_what_has_no_point)
{
    solver->pivot_limit = 100000;
    size_t proved = 0;
    double low[] = {0, 0}, high[] = {2, 2};
    for (int a = 0; a < 81; a++)
        for (int b = 0; b < 81; b++) {
            if (a % 9 == 4)
                continue; /* a row of nothing */
            double matrix[] = {a % 3 - 1, a / 3 % 3 - 1, b % 3 - 1,
                               b / 3 % 3 - 1};
            double row_low[] = {a / 9 % 9 - 4, b / 9 % 9 - 4};
            double row_high[] = {row_low[0] + 0.5, INFINITY};
            const sw_form form = {2, 2, matrix, low, high, row_low, row_high};
            proved += proved_of(solver, &form);
        }
    ck_assert_uint_gt(proved, 1000);
    ck_assert_uint_lt(proved, 81 * 81 - 1000);
}
END_TEST

START_SOLVER_TEST(a_point_stands_at_the_bounds_it_touches)
{
    static const struct {
        double y[2];
        sw_stand column[2], row;
    } cases[] = {{{0, 3}, {SW_AT_LOW, SW_AT_HIGH}, SW_BETWEEN},
                 {{1.5, 0.5}, {SW_BETWEEN, SW_BETWEEN}, SW_AT_HIGH},
                 {{1.5, 0.25}, {SW_BETWEEN, SW_BETWEEN}, SW_BETWEEN},
                 {{0.5, 0.5}, {SW_BETWEEN, SW_BETWEEN}, SW_AT_LOW}};
    example->row_low[0] = 1;
    sw_active active = sw_active_take(solver, &example->form);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_form_stands(&example->form, cases[i].y, &active);
        ck_assert_int_eq(active.column[0], cases[i].column[0]);
        ck_assert_int_eq(active.column[1], cases[i].column[1]);
        if (i > 0) /* the first is outside of the row */
            ck_assert_int_eq(active.row[0], cases[i].row);
    }
}
END_TEST

/* y0 + y1 is at least 5, at most 3 and at least 4, in wholes of 1, 2 and 4: of
 * what gives way the least costs 2, twice its whole by the first end, or half
 * of the second's and half of the third's. */
START_SOLVER_TEST(the_least_that_gives_way_is_found_with_its_cost)
{
    solver->pivot_limit = 1000;
    double matrix[] = {1, 1, 1, 1, 1, 1}, low[] = {0, 0}, high[] = {9, 9};
    double row_low[] = {5, -INFINITY, 4}, row_high[] = {9, 3, 9};
    const sw_form form = {2, 3, matrix, low, high, row_low, row_high};
    const struct {
        double cost[3], sum, by[3];
    } cases[] = {
        {{1, 9, 1}, 2.25, {2, 0, 0.25}},
        {{9, 2, 9}, 2, {0, 1, 0}},
        {{1, 0.5, 9}, 0.5, {0, 1, 0}},
        {{0.25, 1, 4}, 0.75, {1, 0.5, 0}},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_yield yield[3] = {{.row = 0, .whole = 1, .low_end = true},
                             {.row = 1, .whole = 2},
                             {.row = 2, .whole = 4, .low_end = true}};
        sw_active active = sw_active_take(solver, &form);
        sw_point held = sw_point_take(solver, &form);
        for (size_t k = 0; k < 3; k++)
            yield[k].cost = cases[i].cost[k];
        double sum = sw_yields_least(solver, &form, yield, 3, &held, &active);
        ck_assert_double_eq_tol(sum, cases[i].sum, TOL_HAND_SOLVED);
        for (size_t k = 0; k < 3; k++)
            ck_assert_double_eq_tol(yield[k].by, cases[i].by[k],
                                    TOL_HAND_SOLVED);
        /* with the third alone the other two still conflict */
        ck_assert(!isfinite(
            sw_yields_least(solver, &form, yield + 2, 1, &held, &active)));
    }
}
END_TEST

/* The hair that rounding is allowed grows with the number: of bounds 0, 1 and
 * 1000 a share that is within it, and one that is not. */
START_SOLVER_TEST(a_hair_is_of_the_numbers_size)
{
    static const double bounds[] = {0, 1, 1000};
    for (size_t i = 0; i < sizeof bounds / sizeof *bounds; i++)
        for (int end = -1; end <= 1; end += 2) {
            double one = 1, at = bounds[i], size = 1 + at, none = -INFINITY,
                   any = INFINITY;
            double low = end < 0 ? at : at - 1, high = low + 1;
            const sw_form column = {1, 0, NULL, &low, &high, NULL, NULL};
            const sw_form row = {1, 1, &one, &none, &any, &low, &high};
            sw_active is = sw_active_take(solver, &row);
            sw_stand stand = end < 0 ? SW_AT_LOW : SW_AT_HIGH;
            for (int within = 0; within < 2; within++) {
                double by = end * size * (within ? 0.9e-12 : 1.2e-12);
                double y = at + by;
                ck_assert_int_eq(sw_form_allows(&column, &y), within);
                ck_assert_int_eq(sw_form_allows(&row, &y), within);
                y = at - by;
                ck_assert(sw_form_allows(&column, &y));
                sw_form_stands(&column, &y, &is);
                ck_assert_int_eq(is.column[0], within ? stand : SW_BETWEEN);
                sw_form_stands(&row, &y, &is);
                ck_assert_int_eq(is.row[0], within ? stand : SW_BETWEEN);
                y = at + end * size * (within ? 0.9e-11 : 1.2e-11);
                ck_assert_int_eq(sw_is_near(&y, &at, 1), within);
                double far = at + end * size * (within ? 0.9e-10 : 1.2e-10);
                y = far;
                sw_tuck_in(&column, &y);
                ck_assert(y == (within ? at : far));
            }
        }
}
END_TEST
