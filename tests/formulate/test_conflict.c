/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "kit.h"

static void expect_conflict(sw_kit *kit)
{
    ck_assert_msg(kit_solve(kit) == SW_OK, "%s", kit->error.message);
    ck_assert_int_eq(kit->solution->outcome, SW_CONFLICT);
    ck_assert_uint_eq(kit->solution->recipe.count, 0);
    ck_assert_ptr_null(kit->solution->recipe.g_per_l);
    ck_assert_ptr_null(kit->solution->fractions);
    ck_assert(isnan(kit->solution->certificate.objective));
}

static bool names(const sw_kit *kit, const char *name)
{
    for (size_t i = 0; i < kit->solution->limit_count; i++)
        if (strcmp(kit->solution->limits[i].name, name) == 0)
            return true;
    return false;
}

START_KIT_TEST(a_limit_the_water_alone_breaks_is_named_alone, kit_open(kit))
{
    kit->water[0].amount[SW_CA] = 212;
    kit_row(kit, SW_CA, 180, NAN, 200);
    kit_row(kit, SW_K, 200, 150, 250);
    kit_product(kit, "potash", SW_K, 400);
    expect_conflict(kit);
    ck_assert_uint_eq(kit->solution->limit_count, 1);
    ck_assert(names(kit, "Ca max 200 mg/L (target.csv line 2)"));
}
END_TEST

START_KIT_TEST(a_min_and_a_product_max_conflict, kit_open(kit))
{
    kit_row(kit, SW_K, 200, 180, 250);
    kit_row(kit, SW_MG, 50, 40, 60);
    kit_product(kit, "potash", SW_K, 400)->max_g_per_l = 0.25;
    kit_product(kit, "epsom", SW_MG, 100);
    expect_conflict(kit);
    ck_assert_uint_eq(kit->solution->limit_count, 2);
    ck_assert(names(kit, "K min 180 mg/L (target.csv line 2)"));
    ck_assert(names(kit, "potash max 0.25 g/L (shelf.csv line 2)"));
}
END_TEST

START_KIT_TEST(a_fixed_product_and_a_max_conflict, kit_open(kit))
{
    kit_row(kit, SW_K, 200, NAN, 250);
    kit_product(kit, "premix", SW_K, 400)->fixed_g_per_l = 1;
    kit_product(kit, "potash", SW_K, 400)->min_g_per_l = 0.01;
    expect_conflict(kit);
    ck_assert_uint_eq(kit->solution->limit_count, 2);
    ck_assert(names(kit, "premix fixed 1 g/L (shelf.csv line 2)"));
}
END_TEST

START_KIT_TEST(two_minima_of_products_and_a_max_conflict, kit_open(kit))
{
    kit_row(kit, SW_K, 200, NAN, 250);
    kit_product(kit, "a", SW_K, 400)->min_g_per_l = 0.4;
    kit_product(kit, "b", SW_K, 400)->min_g_per_l = 0.4;
    expect_conflict(kit);
    ck_assert_uint_eq(kit->solution->limit_count, 3);
}
END_TEST

START_KIT_TEST(a_ratio_and_two_minima_conflict, kit_open(kit))
{
    kit_row(kit, SW_K, 200, 190, NAN);
    kit_row(kit, SW_CA, 100, NAN, 120);
    kit_ratio(kit, SW_K, SW_CA, NAN, 1.5);
    kit_product(kit, "potash", SW_K, 400);
    kit_product(kit, "lime", SW_CA, 200);
    expect_conflict(kit);
    ck_assert_uint_eq(kit->solution->limit_count, 3);
    ck_assert(names(kit, "ratio max 1.5 (target.csv line 4)"));
}
END_TEST

/* Calcium and magnesium beside a phosphorus and a boron that nothing brings:
 * one ratio alone in the way, or both. */
START_TEST(ratios_that_leave_nothing_of_a_target_are_given_up)
{
    for (int in_the_way = 1; in_the_way <= 3; in_the_way++) {
        sw_kit kit;
        kit_open(&kit);
        kit.problem.nearest = true;
        kit_target(&kit, SW_CA, 100);
        kit_target(&kit, SW_MG, 50);
        if (in_the_way & 1)
            kit_ratio(&kit, SW_P, SW_CA, 1, NAN);
        if (in_the_way & 2)
            kit_ratio(&kit, SW_B, SW_MG, 1, NAN);
        kit_product(&kit, "lime", SW_CA, 100);
        kit_product(&kit, "magnesia", SW_MG, 100);
        kit_optimum(&kit);
        ck_assert_double_eq_tol(kit_amount(&kit, 0), 1, TOL_HAND_SOLVED);
        ck_assert_double_eq_tol(kit_amount(&kit, 1), 0.5, TOL_HAND_SOLVED);
        kit_close(&kit);
    }
}
END_TEST

START_KIT_TEST(limits_of_one_component_out_of_reach_of_any_blend, kit_open(kit))
{
    kit->water[0].amount[SW_NA] = 60;
    kit->water[1].amount[SW_NA] = 90;
    kit->problem.water_count = 2;
    kit_target(kit, SW_K, 200);
    kit_row(kit, SW_NA, NAN, NAN, 50);
    kit_product(kit, "potash", SW_K, 400);
    expect_conflict(kit);
    ck_assert_uint_eq(kit->solution->limit_count, 1);
    ck_assert(names(kit, "Na max 50 mg/L (target.csv line 3)"));
}
END_TEST

START_KIT_TEST(a_band_in_conflict_says_that_it_is_one, kit_open(kit))
{
    kit->problem.objective = SW_CHEAPEST;
    kit_target(kit, SW_K, 200);
    kit_target(kit, SW_ZN, 0.3);
    kit_product(kit, "potash", SW_K, 400)->price_per_kg = 1;
    expect_conflict(kit);
    ck_assert_uint_eq(kit->solution->limit_count, 1);
    ck_assert(names(kit, "Zn min 0.27 mg/L (accepted range of its target, "
                         "target.csv line 3)"));
}
END_TEST

START_KIT_TEST(every_objective_finds_the_same_conflict, kit_open(kit))
{
    kit_row(kit, SW_K, 200, 180, 250);
    sw_product *potash = kit_product(kit, "potash", SW_K, 400);
    potash->max_g_per_l = 0.25;
    potash->price_per_kg = 1;
    potash->line = 0;
    for (int objective = SW_CLOSEST; objective <= SW_CHEAPEST; objective++) {
        kit->problem.objective = (sw_objective)objective;
        expect_conflict(kit);
        ck_assert_uint_eq(kit->solution->limit_count, 2);
        ck_assert(names(kit, "potash max 0.25 g/L"));
    }
}
END_TEST
