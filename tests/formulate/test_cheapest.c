/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "kit.h"

/* Potash is cheap and brings chloride, sulfate is dear and brings none. */
static void open_cheapest(sw_kit *kit)
{
    kit_open(kit);
    kit->problem.objective = SW_CHEAPEST;
    kit_row(kit, SW_K, NAN, 200, NAN);
    kit_row(kit, SW_CL, NAN, NAN, 100);
    sw_product *cheap = kit_product(kit, "muriate", SW_K, 500);
    cheap->per_g.amount[SW_CL] = 400;
    cheap->price_per_kg = 1;
    kit_product(kit, "sulfate", SW_K, 400)->price_per_kg = 2;
}

START_KIT_TEST(the_cheap_one_is_used_as_far_as_its_limit_allows,
               open_cheapest(kit))
{
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 0), 0.25, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(kit_amount(kit, 1), 75. / 400, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(kit->solution->certificate.objective, 0.625,
                            TOL_HAND_SOLVED);
}
END_TEST

START_KIT_TEST(limits_have_prices_in_cost_per_unit, open_cheapest(kit))
{
    /* 1 mg/L of K more: 1/400 g of sulfate; 1 mg/L of Cl more: 1/400 g of
     * muriate instead of 500/400/400 g of sulfate */
    kit_optimum(kit);
    ck_assert_uint_eq(kit->solution->limit_count, 2);
    ck_assert_double_eq_tol(kit->solution->limits[0].price, 2. / 400,
                            TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(kit->solution->limits[1].price,
                            1. / 400 - 2 * 500. / 400 / 400, TOL_HAND_SOLVED);
}
END_TEST

START_KIT_TEST(a_target_without_limits_is_kept_within_its_band,
               open_cheapest(kit))
{
    kit->row[0].min = NAN;
    kit->row[0].target = 200;
    kit_optimum(kit);
    double potassium = 500 * kit_amount(kit, 0) + 400 * kit_amount(kit, 1);
    ck_assert_double_eq_tol(potassium, 180, TOL_HAND_SOLVED * 200);
    ck_assert(kit_note(kit, "band-as-limit"));
}
END_TEST

START_KIT_TEST(a_product_without_a_price_is_named, open_cheapest(kit))
{
    kit->product[1].price_per_kg = NAN;
    ck_assert_int_eq(kit_solve(kit), SW_ERR_MISSING);
    ck_assert_ptr_nonnull(strstr(kit->error.message, "sulfate"));
    ck_assert_str_eq(kit->error.file, "shelf.csv");
    ck_assert_uint_eq(kit->error.line, 3);
}
END_TEST

START_KIT_TEST(a_target_without_any_limit_is_refused, open_cheapest(kit))
{
    kit->target.count = 1;
    kit->row[0].min = NAN;
    ck_assert_int_eq(kit_solve(kit), SW_ERR_MISSING);
}
END_TEST

START_KIT_TEST(what_nobody_asks_for_is_not_used, open_cheapest(kit))
{
    kit_product(kit, "gift", SW_SI, 100)->price_per_kg = 0;
    kit_optimum(kit);
    ck_assert_double_eq(kit_amount(kit, 2), 0);
}
END_TEST
