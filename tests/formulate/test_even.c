/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "kit.h"

#include <gsl/gsl_rng.h>

static void open_even(sw_kit *kit)
{
    kit_open(kit);
    kit->problem.objective = SW_EVEN;
}

START_KIT_TEST(two_deviations_meet_half_way, open_even(kit))
{
    /* x - 1 = 1 - x / 2 at 4/3 */
    kit_both(kit, 1);
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 4. / 3, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(kit->solution->certificate.objective, 1. / 3,
                            TOL_HAND_SOLVED);
}
END_TEST

START_KIT_TEST(a_weight_multiplies_its_deviation, open_even(kit))
{
    /* x - 1 = 3 (1 - x / 2) at 1.6 */
    kit_both(kit, 3);
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 1.6, TOL_HAND_SOLVED);
}
END_TEST

START_KIT_TEST(a_target_the_water_decides_spoils_no_other, open_even(kit))
{
    kit->water[0].amount[SW_CA] = 300;
    kit_target(kit, SW_CA, 150);
    kit_target(kit, SW_K, 200);
    kit_target(kit, SW_MG, 50);
    kit_product(kit, "potash", SW_K, 400);
    kit_product(kit, "epsom", SW_MG, 100);
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit->solution->certificate.objective, 1,
                            TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 0.5, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(kit_amount(kit, 1), 0.5, TOL_HAND_SOLVED);
}
END_TEST

START_KIT_TEST(a_limit_that_binds_has_its_price, open_even(kit))
{
    kit_row(kit, SW_K, 200, NAN, 150);
    kit_product(kit, "potash", SW_K, 400);
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit->solution->certificate.objective, 0.25,
                            TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(kit->solution->limits[0].price, -1. / 200,
                            TOL_HAND_SOLVED);
}
END_TEST

START_KIT_TEST(an_exact_fit_has_no_deviation, open_even(kit))
{
    kit_target(kit, SW_K, 200);
    kit_target(kit, SW_MG, 50);
    kit_product(kit, "potash", SW_K, 400);
    kit_product(kit, "epsom", SW_MG, 100);
    kit_optimum(kit);
    ck_assert_double_le(kit->solution->certificate.objective, TOL_HAND_SOLVED);
}
END_TEST

/* Of what can be met exactly there is nothing left to gain, whatever rounding
 * leaves of the prices. */
START_TEST(what_is_met_exactly_is_proved)
{
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    for (int i = 0; i < 40; i++) {
        sw_kit kit;
        kit_open(&kit);
        kit.problem.objective = SW_EVEN;
        sw_content wanted = {0};
        for (int j = 0; j < 5; j++) {
            sw_product *product = kit_product(&kit, "mixture", SW_K, 0);
            for (int c = 0; c < 7; c++)
                product->per_g.amount[c] = 300 * gsl_rng_uniform(random);
            sw_content_add(&wanted, gsl_rng_uniform(random), &product->per_g);
        }
        for (int c = 0; c < 7; c++)
            kit_target(&kit, (sw_component)c, wanted.amount[c]);
        kit_optimum(&kit);
        ck_assert_double_le(kit.solution->certificate.objective, 1e-9);
        kit_close(&kit);
    }
    gsl_rng_free(random);
}
END_TEST
