/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "kit.h"

/* A hard well and rain water. */
static void open_blend(sw_kit *kit)
{
    kit_open(kit);
    kit->water[0].amount[SW_CA] = 200;
    kit->water[0].amount[SW_NA] = 80;
    kit->problem.water_count = 2;
    kit_target(kit, SW_CA, 100);
    kit_product(kit, "lime", SW_CA, 200);
}

START_KIT_TEST(free_fractions_are_chosen_with_the_recipe, open_blend(kit))
{
    kit_row(kit, SW_NA, NAN, NAN, 20);
    kit_optimum(kit);
    /* no lime where the well can bring 50 of the 100: the rest is cheapest
     * from the well up to the limit of Na */
    const double *fraction = kit->solution->fractions;
    ck_assert_double_le(fraction[0], 0.25 + TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(fraction[0] + fraction[1], 1, TOL_HAND_SOLVED);
    double lime = (100 - 200 * fraction[0]) / 200;
    ck_assert_double_eq_tol(kit_amount(kit, 0), lime, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(fraction[0], 0.25, TOL_HAND_SOLVED);
}
END_TEST

START_KIT_TEST(the_blend_is_told_as_a_content, open_blend(kit))
{
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit->solution->fractions[0], 0.5, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(kit->solution->water.amount[SW_CA], 100,
                            TOL_HAND_SOLVED * 100);
    ck_assert_double_eq_tol(kit->solution->water.amount[SW_NA], 40,
                            TOL_HAND_SOLVED * 100);
}
END_TEST

START_KIT_TEST(given_fractions_are_kept, open_blend(kit))
{
    const double fractions[] = {0.1, 0.9};
    kit->problem.fractions = fractions;
    kit_optimum(kit);
    ck_assert_uint_eq(kit->solution->water_count, 2);
    ck_assert_double_eq(kit->solution->fractions[0], 0.1);
    ck_assert_double_eq(kit->solution->fractions[1], 0.9);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 0.4, TOL_HAND_SOLVED);
}
END_TEST

START_KIT_TEST(one_water_is_all_of_the_blend, open_blend(kit))
{
    kit->problem.water_count = 1;
    kit_optimum(kit);
    ck_assert_double_eq(kit->solution->fractions[0], 1);
    ck_assert_double_eq(kit_amount(kit, 0), 0);
}
END_TEST

START_KIT_TEST(every_objective_may_blend, open_blend(kit))
{
    kit->row[0].min = kit->row[0].max = 100;
    kit->product[0].price_per_kg = 1;
    for (int objective = SW_CLOSEST; objective <= SW_CHEAPEST; objective++) {
        kit->problem.objective = (sw_objective)objective;
        kit_optimum(kit);
        ck_assert_double_eq_tol(kit->solution->fractions[0], 0.5,
                                TOL_HAND_SOLVED);
        ck_assert_double_eq_tol(kit_amount(kit, 0), 0, TOL_HAND_SOLVED);
    }
}
END_TEST

START_TEST(no_more_of_a_water_is_taken_than_may_be)
{
    sw_kit kit;
    double most[] = {0.25, 1};
    open_blend(&kit);
    kit.problem.most_share = most;
    kit_optimum(&kit);
    ck_assert_double_eq_tol(kit.solution->fractions[0], 0.25, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(kit_amount(&kit, 0), 0.25, TOL_HAND_SOLVED);
    for (int held = 0; held < 2; held++) { /* else lime makes up for it */
        kit.product[0].max_g_per_l = held ? 0.1 : NAN;
        kit_optimum(&kit);
        const sw_limit *told =
            &kit.solution->within[kit.solution->within_count - 1];
        ck_assert_str_eq(told->name, "water 1 max 0.25 of the mix (our limit: "
                                     "it holds what harms)");
        ck_assert_int_eq(told->kind, SW_SIDE_WATER);
        ck_assert_int_eq(told->binds, held);
        ck_assert_int_eq(told->price < 0, held);
    }
    most[1] = 0.5;
    ck_assert_int_eq(kit_solve(&kit), SW_ERR_VALUE);
    ck_assert_ptr_nonnull(strstr(kit.error.message, "sums to 0.75"));
    kit_close(&kit);
}
END_TEST
