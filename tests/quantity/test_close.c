/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Last bits decide nothing. */
#include "suite.h"

#include "quantity/ties.h"

#include <gsl/gsl_rng.h>
#include <math.h>

typedef struct item {
    double key;
    int place;
} item;

static double key_of(const void *of)
{
    return ((const item *)of)->key;
}

START_TEST(what_differs_in_its_last_bits_is_the_same)
{
    ck_assert(!sw_is_less(1, nextafter(1, 2), SW_SUMMED));
    ck_assert(!sw_is_less(0.1 + 0.2, 0.3, SW_SUMMED));
    ck_assert(!sw_is_less(0.3, 0.1 + 0.2, SW_SUMMED));
    ck_assert(!sw_is_less(0, 1e-19, SW_SUMMED));
    ck_assert(!sw_is_less(1e-30, 1e-25, SW_SUMMED));
    ck_assert(sw_is_less(1, 1 + 1e-8, SW_SUMMED));
    ck_assert(!sw_is_less(1, 1 + 1e-8, SW_SOLVED));
    ck_assert(sw_is_less(0, 1e-10, SW_SUMMED));
    ck_assert(sw_is_less(-2, -1, SW_SOLVED));
}
END_TEST

START_TEST(what_is_not_a_number_comes_last)
{
    const double none[] = {NAN, NAN};
    const double some[] = {NAN, 3, -INFINITY, 4 - 1e-9, 4, NAN};
    ck_assert(sw_is_less(INFINITY, NAN, 0) && !sw_is_less(NAN, NAN, 0));
    ck_assert(sw_is_less(5, INFINITY, 0) &&
              !sw_is_less(INFINITY, INFINITY, SW_SOLVED));
    ck_assert_uint_eq(sw_first_most(none, 2), 2);
    ck_assert_uint_eq(sw_first_most(some, 6), 3);
    ck_assert_uint_eq(sw_first_most(some, 3), 1);
    ck_assert_uint_eq(sw_first_most(NULL, 0), 0);
}
END_TEST

/* Few distinct keys, perturbed in their last bits. */
START_TEST(items_that_are_alike_stay_in_the_order_they_came_in)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_taus2);
    for (int trial = 0; trial < 500; trial++) {
        item items[20];
        for (int i = 0; i < 20; i++) {
            items[i].place = i;
            items[i].key = (double)gsl_rng_uniform_int(rng, 5) *
                           (1 + 1e-13 * gsl_rng_uniform(rng));
        }
        sw_sort_close(items, 20, sizeof *items, key_of);
        for (int i = 1; i < 20; i++) {
            double was = round(items[i - 1].key), is = round(items[i].key);
            ck_assert_double_le(was, is);
            ck_assert(was < is || items[i - 1].place < items[i].place);
        }
    }
    gsl_rng_free(rng);
}
END_TEST
