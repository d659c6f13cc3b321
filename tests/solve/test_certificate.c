/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a point, a gradient and prices prove, worked out by hand; and what rows
 * leave of ceilings. */
#include "suite.h"
#include "tolerances.h"

#include "solve/form.h"

#include <float.h>
#include <math.h>

/* 1 <= y0 <= 3, -2 <= y1 <= 4, -1 <= y0 + 2 y1 <= 5; the slope there, and the
 * price of the row. */
typedef struct claim {
    double y[2], slope[2], price;
    double row_low, row_high, ceiling; /* of y1 */
    double slack, kkt, outside;
} claim;

static void check(const claim *c, size_t number)
{
    double matrix[] = {1, 2}, low[] = {1, -2}, high[] = {3, 4};
    double row_low = c->row_low, row_high = c->row_high, price = c->price;
    double ceiling[] = {3, c->ceiling}, y[] = {c->y[0], c->y[1]}, left[2];
    double slope[] = {c->slope[0], c->slope[1]};
    double size[] = {fabs(slope[0]), fabs(slope[1])};
    const sw_form form = {2, 1, matrix, low, high, &row_low, &row_high};
    const sw_gradient gradient = {slope, size};
    const sw_point point = {y, &price, left};
    sw_proof is = sw_prove(&form, &gradient, ceiling, &point);
    ck_assert_msg(is.kkt == c->kkt || fabs(is.kkt - c->kkt) < TOL_HAND_SOLVED,
                  "case %zu: %.17g", number, is.kkt);
    if (isinf(c->kkt))
        return;
    ck_assert_msg(fabs(is.slack - c->slack) < TOL_HAND_SOLVED,
                  "case %zu: slack %.17g", number, is.slack);
    ck_assert_msg(fabs(is.outside - c->outside) < TOL_HAND_SOLVED,
                  "case %zu: outside %.17g", number, is.outside);
    for (size_t j = 0; j < 2; j++)
        ck_assert_double_eq_tol(left[j], slope[j] - price * matrix[j],
                                TOL_HAND_SOLVED);
}

START_TEST(a_proof_is_what_is_worked_out_by_hand)
{
    const double any = INFINITY, third = 1.0 / 3;
    const claim cases[] = {
        /* y0 may fall by 1 at a slope of 3, y1 rise by 3 at one of -2; beside
         * the steepest, and the distance beside the place */
        {{2, 1}, {3, -2}, 0, -1, 5, 4, 3 + 6, 0.5, 0},
        {{2, 1}, {3, -2}, 0, -1, 5, 3.5, 3 + 5, 0.5, 0},
        {{2, 1}, {-3, 2}, 0, -1, 5, 4, 3 + 6, 0.5, 0},
        {{2, 0}, {0, 0}, 0, -1, 5, 4, 0, 0, 0},
        {{1, 0}, {3, 0}, 0, -1, 5, 4, 0, 0, 0},
        {{3, 0}, {-3, 0}, 0, -1, 5, 4, 0, 0, 0},
        /* less a price of the row: its 4 may fall by 5, or rise by 1 */
        {{2, 1}, {3, -2}, 1, -1, 5, 4, 2 + 12 + 5, 1, 0},
        {{2, 1}, {3, -2}, -1, -1, 5, 4, 4 + 0 + 1, third, 0},
        {{1, -1}, {1, 2}, 1, -1, 5, 4, 0, 0, 0},
        {{1, 2}, {-1, -2}, -1, -1, 5, 4, 0, 0, 0},
        {{1, 1.5}, {1, 2}, 1, -1, 5, 4, 5, 1 / 3.0, 0},
        /* a price of an end that there is not is none, nor one of rounding */
        {{2, 1}, {3, -2}, 1, -any, 5, 4, 3 + 6, 0.5, 0},
        {{2, 1}, {3, -2}, -1, -1, any, 4, 3 + 6, 0.5, 0},
        {{2, 1}, {3, -2}, -1, -any, 5, 4, 5, third, 0},
        {{1, 1}, {0, 0}, 1.5e-14, -any, any, 4, 0, 0, 0},
        /* outside of a column, or of the row */
        {{4, 0}, {0, 0}, 0, -1, 5, 4, 0, 0.2, 0.2},
        {{0.5, 1}, {0, 0}, 0, -1, 5, 4, 0, third, third},
        {{2, 2}, {0, 0}, 0, -1, 5, 4, 0, 1 / 7.0, 1 / 7.0},
        {{2, -1.75}, {0, 0}, 0, -1, 5, 4, 0, 0.5 / 6.5, 0.5 / 6.5},
        {{4, 0.5}, {0, 0}, 0, -1, 4, 4, 0, 0.2, 0.2},
        /* what is no number proves nothing */
        {{2, NAN}, {0, 0}, 0, -1, 5, 4, 0, any, 0},
        {{2, 1}, {0, any}, 0, -1, 5, 4, 0, any, 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        check(&cases[i], i);
}
END_TEST

/* A price of so many roundings of the steepest slope is dropped. */
START_TEST(what_rounding_leaves_of_a_price_is_none)
{
    static const double steepest[] = {0, 9};
    for (size_t i = 0; i < 2; i++)
        for (int kept = 0; kept < 2; kept++) {
            double one = 1, zero = 0, y = 0.5, left;
            double slope = steepest[i];
            double price = (kept ? 220 : 180) * DBL_EPSILON * (1 + steepest[i]);
            const sw_form form = {1, 1, &one, &zero, &one, &zero, &one};
            const sw_gradient gradient = {&slope, &slope};
            const sw_point point = {&y, &price, &left};
            (void)sw_prove(&form, &gradient, &one, &point);
            ck_assert_int_eq(price > 0, kept);
        }
}
END_TEST

/* Slopes that cancel are none but for the rounding of their parts, over the
 * farther end: 3 roundings of 1e10. */
START_TEST(rounding_of_a_slope_is_counted_in)
{
    static const struct {
        double y, farther;
    } cases[] = {{1.5, 1.5}, {2.75, 1.75}};
    for (size_t i = 0; i < 2; i++) {
        double one = 1, low = 1, high = 3, none = -INFINITY, any = INFINITY;
        double y = cases[i].y, price = 0, left, slope = 0, size = 1e10;
        const sw_form form = {1, 1, &one, &low, &high, &none, &any};
        const sw_gradient gradient = {&slope, &size};
        const sw_point point = {&y, &price, &left};
        double want = 3 * DBL_EPSILON * 1e10 * cases[i].farther;
        ck_assert_double_eq_tol(sw_prove(&form, &gradient, &high, &point).slack,
                                want, 1e-9 * want);
    }
}
END_TEST

/* Of 1 <= y0, -2 <= y1, with ceilings of 50 and 30. */
START_TEST(a_row_leaves_of_a_ceiling_what_the_low_ends_of_others_do)
{
    static const struct {
        double a[2], row_low, row_high, ceiling[2];
    } cases[] = {
        {{2, 1}, -INFINITY, 6, {4, 4}},    /* 2 y0 <= 6 + 2, y1 <= 6 - 2 */
        {{2, -1}, -INFINITY, 6, {18, 30}}, /* 2 y0 <= 6 + 30 */
        {{-2, -1}, -6, INFINITY, {4, 4}},  /* the same as the first */
        {{0, 4}, -INFINITY, 6, {50, 1.5}}, /* nothing of y0 */
        {{1, 1}, -INFINITY, -7, {1, -2}},  /* no point: their low ends */
        {{1, -1}, -3, 4, {34, 30}},        /* y0 <= 4 + 30 */
        {{1, -10}, -3, 4, {50, 5.3}},      /* 10 y1 <= 50 + 3, y0 <= 57 */
        {{1, 1}, -INFINITY, INFINITY, {50, 30}},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        double matrix[] = {cases[i].a[0], cases[i].a[1]};
        double low[] = {1, -2}, ceiling[] = {50, 30};
        double row_low = cases[i].row_low, row_high = cases[i].row_high;
        const sw_form form = {2, 1, matrix, low, ceiling, &row_low, &row_high};
        double is[] = {50, 30};
        sw_lower_ceiling_by_form(&form, is);
        for (size_t j = 0; j < 2; j++)
            ck_assert_msg(fabs(is[j] - cases[i].ceiling[j]) < TOL_HAND_SOLVED,
                          "case %zu: %.17g", i, is[j]);
    }
    double matrix[] = {1, 0, 0, 1}, high[] = {7, 8}, is[] = {50, 30};
    double low[] = {1, -2};
    const sw_form form = {.columns = 2, .low = low};
    sw_lower_ceiling(&form, matrix, 2, high, is);
    ck_assert(is[0] == 7 && is[1] == 8);
}
END_TEST
