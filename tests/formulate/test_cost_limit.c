/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A closest recipe that may cost so much, or has to keep every band. */
#include "kit.h"

static void open_costed(sw_kit *kit, double most_cost_per_m3)
{
    kit_open(kit);
    kit->problem.most_cost_per_m3 = most_cost_per_m3;
    kit_target(kit, SW_K, 200);
    kit_product(kit, "potash", SW_K, 400)->price_per_kg = 2;
}

START_KIT_TEST(a_limit_on_cost_is_kept_and_priced, open_costed(kit, 0.5))
{
    /* cost 0.5 is 0.25 g/L or half the target; (cost - 1)^2 is the objective */
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 0.25, TOL_HAND_SOLVED);
    ck_assert_uint_eq(kit->solution->limit_count, 1);
    ck_assert_str_eq(kit->solution->limits[0].name, "cost max 0.5 per m3");
    ck_assert_double_eq_tol(kit->solution->limits[0].price, -1,
                            TOL_HAND_SOLVED);
}
END_TEST

START_KIT_TEST(a_limit_on_cost_that_is_far_off_changes_nothing,
               open_costed(kit, 5))
{
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 0.5, TOL_HAND_SOLVED);
    ck_assert_uint_eq(kit->solution->limit_count, 0);
}
END_TEST

START_KIT_TEST(a_limit_on_cost_can_be_in_conflict, open_costed(kit, 0.5))
{
    kit->row[0].min = 180;
    ck_assert_int_eq(kit_solve(kit), SW_OK);
    ck_assert_int_eq(kit->solution->outcome, SW_CONFLICT);
    ck_assert_uint_eq(kit->solution->limit_count, 2);
}
END_TEST

START_KIT_TEST(a_limit_on_a_shelf_that_costs_nothing_is_no_limit,
               open_costed(kit, 0.5))
{
    kit->product[0].price_per_kg = 0;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 0.5, TOL_HAND_SOLVED);
}
END_TEST

START_KIT_TEST(limits_on_cost_that_are_refused, open_costed(kit, -1))
{
    ck_assert_int_eq(kit_solve(kit), SW_ERR_VALUE);
    kit->problem.most_cost_per_m3 = INFINITY;
    ck_assert_int_eq(kit_solve(kit), SW_ERR_VALUE);
    kit->problem.most_cost_per_m3 = 1;
    kit->product[0].price_per_kg = NAN;
    ck_assert_int_eq(kit_solve(kit), SW_ERR_MISSING);
    ck_assert_uint_eq(kit->error.line, 2);
}
END_TEST

START_KIT_TEST(the_closest_can_be_asked_to_keep_the_bands, kit_open(kit))
{
    /* one product for both: K 200 wants 1 g/L, Ca 240 wants 1.2 g/L; least
     * squares would miss the band of K at 220 */
    kit_target(kit, SW_K, 200);
    kit_target(kit, SW_CA, 240)->weight = 10;
    kit_product(kit, "both", SW_K, 200)->per_g.amount[SW_CA] = 200;
    kit_optimum(kit);
    ck_assert_double_gt(kit_amount(kit, 0), 1.1001);
    kit->problem.keep_bands = true;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 1.1, TOL_HAND_SOLVED);
}
END_TEST
