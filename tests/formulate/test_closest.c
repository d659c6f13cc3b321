/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "kit.h"

START_KIT_TEST(one_product_meets_one_target, kit_open(kit))
{
    kit_target(kit, SW_K, 200);
    kit_product(kit, "potash", SW_K, 400);
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 0.5, TOL_HAND_SOLVED);
    ck_assert_uint_eq(kit->solution->limit_count, 0);
}
END_TEST

START_KIT_TEST(a_product_of_two_components_balances_their_squares,
               kit_open(kit))
{
    /* (x - 1)^2 + (x / 2 - 1)^2 is least at 1.5 / 1.25 */
    kit_both(kit, 1);
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 1.2, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(kit->solution->certificate.objective, 0.2,
                            TOL_HAND_SOLVED);
}
END_TEST

START_KIT_TEST(a_weight_multiplies_its_square, kit_open(kit))
{
    /* (x - 1)^2 + 4 (x / 2 - 1)^2 is least at 3 / 2 */
    kit_both(kit, 4);
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 1.5, TOL_HAND_SOLVED);
}
END_TEST

START_KIT_TEST(a_weight_of_zero_leaves_its_target_out, kit_open(kit))
{
    kit_both(kit, 0);
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 1, TOL_HAND_SOLVED);
}
END_TEST

START_KIT_TEST(a_target_of_zero_is_measured_by_its_max, kit_open(kit))
{
    /* (x - 1)^2 + (x / 3)^2 is least at 0.9 */
    kit_target(kit, SW_K, 100);
    kit_row(kit, SW_CL, 0, NAN, 300);
    kit_product(kit, "chloride", SW_K, 100)->per_g.amount[SW_CL] = 100;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 0.9, TOL_HAND_SOLVED);
}
END_TEST

START_KIT_TEST(a_max_binds_and_has_its_price, kit_open(kit))
{
    /* (c / 200 - 1)^2 at c = 160: d/dc = 2 (160 - 200) / 200^2 */
    kit_row(kit, SW_K, 200, NAN, 160);
    kit_product(kit, "potash", SW_K, 400);
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 0.4, TOL_HAND_SOLVED);
    ck_assert_uint_eq(kit->solution->limit_count, 1);
    const sw_limit *limit = &kit->solution->limits[0];
    ck_assert_str_eq(limit->name, "K max 160 mg/L (target.csv line 2)");
    ck_assert_uint_eq(limit->line, 2);
    ck_assert_double_eq_tol(limit->bound, 160, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(limit->price, -0.002, TOL_HAND_SOLVED);
}
END_TEST

START_KIT_TEST(a_min_binds_and_has_its_price, kit_open(kit))
{
    kit_row(kit, SW_K, 200, 250, NAN);
    kit_product(kit, "potash", SW_K, 400);
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 0.625, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(kit->solution->limits[0].price, 2 * 50. / 200 / 200,
                            TOL_HAND_SOLVED);
}
END_TEST

START_KIT_TEST(a_component_with_limits_alone_is_no_target, kit_open(kit))
{
    kit_target(kit, SW_K, 200);
    kit_row(kit, SW_CL, NAN, NAN, 90);
    kit_product(kit, "chloride", SW_K, 400)->per_g.amount[SW_CL] = 300;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 0.3, TOL_HAND_SOLVED);
    ck_assert_str_eq(kit->solution->limits[0].name,
                     "Cl max 90 mg/L (target.csv line 3)");
}
END_TEST

START_KIT_TEST(products_keep_their_min_max_and_fixed_amounts, kit_open(kit))
{
    kit_target(kit, SW_K, 200);
    kit_target(kit, SW_CA, 100);
    kit_target(kit, SW_MG, 50);
    kit_product(kit, "a", SW_K, 400)->max_g_per_l = 0.25;
    kit_product(kit, "b", SW_CA, 100)->min_g_per_l = 1.5;
    kit_product(kit, "c", SW_MG, 100)->fixed_g_per_l = 0.75;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 0.25, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(kit_amount(kit, 1), 1.5, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(kit_amount(kit, 2), 0.75, TOL_HAND_SOLVED);
    ck_assert_uint_eq(kit->solution->limit_count, 3);
    ck_assert_str_eq(kit->solution->limits[0].name,
                     "a max 0.25 g/L (shelf.csv line 2)");
    ck_assert_str_eq(kit->solution->limits[2].name,
                     "c fixed 0.75 g/L (shelf.csv line 4)");
    /* d/dx (0.5 x / 0.25 ...): (400 x / 200 - 1)^2 at x = 0.25 */
    ck_assert_double_eq_tol(kit->solution->limits[0].price, -2,
                            TOL_HAND_SOLVED);
}
END_TEST

START_KIT_TEST(water_above_a_target_gets_nothing_more, kit_open(kit))
{
    kit->water[0].amount[SW_CA] = 240;
    kit_target(kit, SW_CA, 200);
    kit_target(kit, SW_K, 100);
    kit_product(kit, "lime", SW_CA, 200);
    kit_product(kit, "potash", SW_K, 400);
    kit_optimum(kit);
    ck_assert_double_eq(kit_amount(kit, 0), 0);
    ck_assert_double_eq_tol(kit_amount(kit, 1), 0.25, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(kit->solution->certificate.objective, 0.04,
                            TOL_HAND_SOLVED);
}
END_TEST

START_KIT_TEST(nitrogen_is_the_sum_of_its_forms, kit_open(kit))
{
    kit_target(kit, SW_N, 100);
    kit_target(kit, SW_NO3_N, 80);
    sw_product *nitrate = kit_product(kit, "a", SW_NO3_N, 160);
    nitrate->per_g.amount[SW_N] = 160;
    sw_product *ammonium = kit_product(kit, "b", SW_NH4_N, 200);
    ammonium->per_g.amount[SW_N] = 200;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 0.5, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(kit_amount(kit, 1), 0.1, TOL_HAND_SOLVED);
}
END_TEST

/* x K and y Ca, K:Ca at most 1: x = y = z; (z - 2)^2/4 + (z - 1)^2. */
START_KIT_TEST(a_ratio_binds_and_its_price_is_the_slope, kit_open(kit))
{
    kit_target(kit, SW_K, 200);
    kit_target(kit, SW_CA, 100);
    sw_target_row *ratio = kit_ratio(kit, SW_K, SW_CA, NAN, 1);
    kit_product(kit, "potash", SW_K, 100);
    kit_product(kit, "lime", SW_CA, 100);
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 1.2, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(kit_amount(kit, 1), 1.2, TOL_HAND_SOLVED);
    ck_assert_str_eq(kit->solution->limits[0].name,
                     "ratio max 1 (target.csv line 4)");
    double price = kit->solution->limits[0].price;
    double least = kit->solution->certificate.objective;
    ratio->max = 1 + SLOPE_STEP;
    kit_optimum(kit);
    double slope = (kit->solution->certificate.objective - least) / SLOPE_STEP;
    ck_assert_double_eq_tol(price, slope, TOL_SLOPE);
}
END_TEST

START_KIT_TEST(a_ratio_counts_what_the_water_brings, kit_open(kit))
{
    kit->water[0].amount[SW_CA] = 60;
    kit_target(kit, SW_K, 300);
    kit_ratio(kit, SW_K, SW_CA, NAN, 2);
    kit_product(kit, "potash", SW_K, 400);
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 0.3, TOL_HAND_SOLVED);
}
END_TEST

static bool names_limit(const sw_kit *kit, const char *name)
{
    for (size_t i = 0; i < kit->solution->within_count; i++)
        if (!strcmp(kit->solution->within[i].name, name))
            return true;
    return false;
}

static bool says(const sw_kit *kit, const char *code)
{
    for (size_t i = 0; i < kit->solution->notes.count; i++)
        if (!strcmp(kit->solution->notes.items[i].code, code))
            return true;
    return false;
}

/* 200 mg/L of K, and of nothing else but by the ratio. */
static void open_ratio(sw_kit *kit, double target, double min, double max)
{
    kit_open(kit);
    kit_target(kit, SW_K, 200);
    kit_ratio(kit, SW_K, SW_CA, min, max)->target = target;
    kit_product(kit, "potash", SW_K, 100);
    kit_product(kit, "lime", SW_CA, 100);
}

START_KIT_TEST(a_ratio_with_a_target_alone_is_sought_within_ten_percent,
               open_ratio(kit, 2, NAN, NAN))
{
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 2, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(kit_amount(kit, 1), 2 / 2.2, TOL_HAND_SOLVED);
    ck_assert(names_limit(kit, "ratio min 1.8 (accepted range of its target, "
                               "target.csv line 3)"));
    ck_assert(names_limit(kit, "ratio max 2.2 (accepted range of its target, "
                               "target.csv line 3)"));
    ck_assert(says(kit, "band-as-limit"));
    kit->problem.keep_bands = true;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 1), 2 / 2.2, TOL_HAND_SOLVED);
}
END_TEST

START_KIT_TEST(an_end_of_a_ratio_that_is_given_stands,
               open_ratio(kit, 2, 1.5, 4))
{
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 1), 2 / 4.0, TOL_HAND_SOLVED);
    ck_assert(!says(kit, "band-as-limit"));
    kit->row[1].max = NAN;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 1), 2 / 2.2, TOL_HAND_SOLVED);
    ck_assert(names_limit(kit, "ratio min 1.5 (target.csv line 3)"));
}
END_TEST

/* 0 asks for no more than its max; a weight of 0 and a shelf without what it
 * takes leave the ratio alone, and what they ask for is not given up for it. */
START_KIT_TEST(a_ratio_is_sought_where_that_is_asked_and_the_shelf_can,
               open_ratio(kit, 0, NAN, 4))
{
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 1), 2 / 4.0, TOL_HAND_SOLVED);
    ck_assert(!says(kit, "band-as-limit"));
    kit->row[1] = (sw_target_row){.kind = SW_TARGET_RATIO,
                                  .component = SW_K,
                                  .other = SW_CA,
                                  .name = "K:Ca",
                                  .target = 2,
                                  .min = NAN,
                                  .max = NAN};
    kit_optimum(kit);
    ck_assert_double_eq(kit_amount(kit, 1), 0);
    ck_assert(!says(kit, "ratio-unserved"));
    kit->row[1].weight = 1;
    kit->product[1].max_g_per_l = 0;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 2, TOL_HAND_SOLVED);
    ck_assert(says(kit, "ratio-unserved"));
}
END_TEST

START_KIT_TEST(a_trace_element_of_a_ratio_is_brought_for_it, kit_open(kit))
{
    kit_target(kit, SW_FE, 2);
    kit_ratio(kit, SW_FE, SW_MN, NAN, NAN)->target = 4;
    kit_product(kit, "iron", SW_FE, 60);
    kit_product(kit, "manganese", SW_MN, 325);
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 2 / 60.0, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(kit_amount(kit, 1), 2 / 4.4 / 325, TOL_HAND_SOLVED);
}
END_TEST

START_KIT_TEST(micronutrients_are_as_exact_as_macronutrients, kit_open(kit))
{
    kit_target(kit, SW_MO, 0.05);
    kit_target(kit, SW_K, 200);
    kit_product(kit, "molybdate", SW_MO, 396);
    kit_product(kit, "potash", SW_K, 40)->per_g.amount[SW_MO] = 1e-4;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 1), 5, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(kit_amount(kit, 0) / ((0.05 - 5e-4) / 396), 1,
                            TOL_HAND_SOLVED);
}
END_TEST

START_KIT_TEST(what_nothing_reaches_is_left_as_it_is, kit_open(kit))
{
    kit_target(kit, SW_K, 200);
    kit_target(kit, SW_ZN, 0.3);
    kit_product(kit, "potash", SW_K, 400);
    kit_product(kit, "salt", SW_NA, 390);
    kit_optimum(kit);
    ck_assert_double_eq(kit_amount(kit, 1), 0);
    ck_assert_double_eq_tol(kit->solution->certificate.objective, 1,
                            TOL_HAND_SOLVED);
}
END_TEST

/* 1.9 mg/L of the water's own: none of it toward 2 or a min, all of it under
 * a max; and none under the max of another. */
START_TEST(iron_of_the_water_is_not_counted_on)
{
    static const double target[] = {2, 2, 2, NAN, 2},
                        min[] = {NAN, NAN, NAN, 1.2, NAN},
                        max[] = {NAN, 2.5, 1.5, NAN, NAN},
                        added[] = {2, 0.6, 0, 1.2, 2};
    for (int i = 0; i < 5; i++) {
        sw_kit kit;
        kit_open(&kit);
        kit.water[0].amount[SW_WATER_FE] = 1.9;
        kit.problem.nearest = true;
        kit_row(&kit, i < 4 ? SW_FE : SW_MN, target[i], min[i],
                i < 4 ? max[i] : 2.5);
        kit_product(&kit, "chelate", i < 4 ? SW_FE : SW_MN, 110);
        kit_target(&kit, SW_K, 200);
        kit_product(&kit, "potash", SW_K, 400);
        kit_optimum(&kit);
        ck_assert_double_eq_tol(110 * kit_amount(&kit, 0), added[i], 1e-6);
        kit_close(&kit);
    }
}
END_TEST

/* Of 100 mg/L no verdict tells 2.5e-5 apart, whatever least is allowed. */
START_TEST(what_no_target_could_tell_is_not_poured)
{
    static const double rest_mg_per_l[] = {2.2e-5, 2.8e-5};
    for (int i = 0; i < 2; i++) {
        sw_kit kit;
        kit_open(&kit);
        kit_row(&kit, SW_K, 100, 0, NAN);
        kit_product(&kit, "potash", SW_K, 400)->max_g_per_l =
            (100 - rest_mg_per_l[i]) / 400;
        kit_product(&kit, "other", SW_K, 100);
        kit_optimum(&kit);
        ck_assert_int_eq(kit_amount(&kit, 1) > 0, i);
        if (i == 0) /* which the proof does not hide */
            ck_assert_double_ge(kit.solution->certificate.gap,
                                0.99 * pow(rest_mg_per_l[i] / 100, 2));
        kit_close(&kit);
    }
}
END_TEST
