/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Mixes of waters whose best shares and ranges are known by hand. */
#include "../formulate/kit.h"

/* Ca 100 and Ca 20 mg/L; Ca is wanted at 60 and no product brings it. */
static void open_two(sw_kit *kit)
{
    kit_open(kit);
    kit->problem.water_count = 2;
    kit->water[0].amount[SW_CA] = 100;
    kit->water[1].amount[SW_CA] = 20;
    kit_target(kit, SW_CA, 60);
    kit_product(kit, "potash", SW_K, 400);
}

static sw_blend *find(sw_kit *kit)
{
    sw_blend *blend;
    ck_assert_msg(
        sw_blend_find(kit->solver, &kit->problem, &blend, &kit->error) == SW_OK,
        "%s", kit->error.message);
    return blend;
}

START_KIT_TEST(the_best_mix_hits_a_target_between_two_waters, open_two(kit))
{
    sw_blend *blend = find(kit);
    ck_assert_int_eq(blend->best->outcome, SW_OPTIMAL);
    ck_assert_double_eq_tol(blend->best->fractions[0], 0.5, TOL_HAND_SOLVED);
    sw_blend_free(blend);
}
END_TEST

START_KIT_TEST(the_range_of_a_share_is_that_of_the_targets_band, open_two(kit))
{
    sw_blend *blend = find(kit);
    ck_assert_int_eq(blend->range, SW_OPTIMAL);
    ck_assert_double_eq_tol(blend->lowest[0], (54.0 - 20) / 80,
                            TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(blend->highest[0], (66.0 - 20) / 80,
                            TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(blend->lowest[1], 1 - (66.0 - 20) / 80,
                            TOL_HAND_SOLVED);
    sw_blend_free(blend);
}
END_TEST

START_KIT_TEST(a_limit_takes_the_place_of_the_band, open_two(kit))
{
    kit->row[0].max = 62;
    sw_blend *blend = find(kit);
    ck_assert_double_eq_tol(blend->highest[0], 42.0 / 80, TOL_HAND_SOLVED);
    sw_blend_free(blend);
}
END_TEST

START_KIT_TEST(no_range_is_told_where_no_mix_meets_every_target, open_two(kit))
{
    kit->row[0].target = 10;
    sw_blend *blend = find(kit);
    ck_assert_int_eq(blend->best->outcome, SW_OPTIMAL);
    ck_assert_int_eq(blend->range, SW_CONFLICT);
    ck_assert_double_nan(blend->lowest[0]);
    ck_assert_double_nan(blend->highest[1]);
    sw_blend_free(blend);
}
END_TEST

START_KIT_TEST(what_a_water_costs_moves_the_cheapest_mix, open_two(kit))
{
    const double price[] = {3.0, 1.0};
    kit->product[0].price_per_kg = 1;
    kit->problem.objective = SW_CHEAPEST;
    kit->problem.water_price_per_m3 = price;
    sw_blend *blend = find(kit);
    ck_assert_double_eq_tol(blend->best->fractions[0], 34.0 / 80,
                            TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(blend->best->certificate.objective,
                            1 + 2 * 34.0 / 80, TOL_HAND_SOLVED);
    sw_blend_free(blend);
}
END_TEST

/* An alkaline water and an acid one. */
static void open_alkaline(sw_kit *kit)
{
    kit_open(kit);
    kit->problem.water_count = 2;
    kit->water[0].amount[SW_ALKALINITY] = 2;
    kit->water[0].amount[SW_CARBON] = 2.2;
    kit->water[1].amount[SW_ALKALINITY] = -0.5;
    kit_row(kit, SW_K, 10, 10, 10);
    kit_product(kit, "potash", SW_K, 400);
}

static void ask_for_ph(sw_kit *kit, bool aired, double ph)
{
    sw_target_row *row = kit_row(kit, SW_CA, ph, NAN, NAN);
    row->kind = SW_TARGET_PH;
    row->aired = aired;
    row->name = aired ? "pH aired" : "pH";
}

static double ph_at(const sw_kit *kit, double share, sw_carbonate carbonate)
{
    sw_chemistry chemistry;
    sw_content mix = {{0}};
    mix.amount[SW_K] = 10;
    sw_content_add(&mix, share, &kit->water[0]);
    sw_content_add(&mix, 1 - share, &kit->water[1]);
    ck_assert_int_eq(sw_equilibrate(&mix, &kit->problem.conditions, carbonate,
                                    &chemistry, NULL),
                     SW_OK);
    return chemistry.ph;
}

static void check_ends(sw_kit *kit, sw_carbonate at_lowest, double low,
                       sw_carbonate at_highest, double high)
{
    sw_blend *blend = find(kit);
    ck_assert_int_eq(blend->range, SW_OPTIMAL);
    ck_assert_double_eq_tol(ph_at(kit, blend->lowest[0], at_lowest), low,
                            TOL_RANGE_PH);
    ck_assert_double_eq_tol(ph_at(kit, blend->highest[0], at_highest), high,
                            TOL_RANGE_PH);
    sw_blend_free(blend);
}

START_KIT_TEST(the_band_of_a_ph_bounds_the_shares, open_alkaline(kit))
{
    ask_for_ph(kit, false, 5.8);
    check_ends(kit, SW_CARBONATE_KEPT, 5.3, SW_CARBONATE_KEPT, 6.3);
}
END_TEST

/* As mixed these shares have a pH of 5.2 to 6.2. */
START_KIT_TEST(the_band_of_a_ph_aired_bounds_the_shares, open_alkaline(kit))
{
    ask_for_ph(kit, true, 7.2);
    check_ends(kit, SW_CARBONATE_AIRED, 6.7, SW_CARBONATE_AIRED, 7.7);
}
END_TEST

START_KIT_TEST(of_two_ph_each_bounds_the_shares, open_alkaline(kit))
{
    ask_for_ph(kit, false, 5.8);
    ask_for_ph(kit, true, 7.2);
    check_ends(kit, SW_CARBONATE_KEPT, 5.3, SW_CARBONATE_AIRED, 7.7);
}
END_TEST

/* No side that nobody gave narrows the mix. */
START_TEST(one_limit_of_a_ph_leaves_the_other_side_open)
{
    const double low[] = {NAN, 5.3, 5.3, NAN};
    const double high[] = {NAN, NAN, 6.3, 6.3};
    double lowest[4];
    double highest[4];
    for (int i = 0; i < 4; i++) {
        sw_kit kit;
        open_alkaline(&kit);
        if (i > 0) {
            sw_target_row *ph = kit_row(&kit, SW_CA, NAN, low[i], high[i]);
            ph->kind = SW_TARGET_PH;
            ph->name = "pH";
        }
        sw_blend *blend = find(&kit);
        ck_assert_int_eq(blend->range, SW_OPTIMAL);
        lowest[i] = blend->lowest[0];
        highest[i] = blend->highest[0];
        sw_blend_free(blend);
        kit_close(&kit);
    }
    ck_assert_double_eq_tol(lowest[1], lowest[2], TOL_RANGE_PH);
    ck_assert_double_eq_tol(highest[3], highest[2], TOL_RANGE_PH);
    ck_assert_double_eq_tol(highest[1], 1, TOL_HAND_SOLVED);
    ck_assert_double_lt(lowest[3], lowest[2]);
}
END_TEST

START_KIT_TEST(a_ph_that_no_mix_has_leaves_no_range, kit_open(kit))
{
    kit->problem.water_count = 2;
    for (int k = 0; k < 2; k++) {
        kit->water[k].amount[SW_ALKALINITY] = 2 + k;
        kit->water[k].amount[SW_CARBON] = 2.2 + k;
    }
    sw_target_row *ph = kit_row(kit, SW_CA, NAN, NAN, 5.0);
    ph->kind = SW_TARGET_PH;
    ph->name = "pH";
    kit_row(kit, SW_K, 10, NAN, NAN);
    kit_product(kit, "potash", SW_K, 400);
    sw_blend *blend = find(kit);
    ck_assert_int_eq(blend->range, SW_CONFLICT);
    sw_blend_free(blend);
}
END_TEST

START_KIT_TEST(one_water_is_no_mix, open_two(kit))
{
    sw_blend *blend;
    kit->problem.water_count = 1;
    ck_assert_int_eq(
        sw_blend_find(kit->solver, &kit->problem, &blend, &kit->error),
        SW_ERR_VALUE);
    ck_assert_ptr_null(blend);
    ck_assert_ptr_nonnull(strstr(kit->error.message, "two waters"));
}
END_TEST

START_KIT_TEST(shares_that_are_given_are_not_looked_for, open_two(kit))
{
    sw_blend *blend;
    const double half[] = {0.5, 0.5};
    kit->problem.fractions = half;
    ck_assert_int_eq(
        sw_blend_find(kit->solver, &kit->problem, &blend, &kit->error),
        SW_ERR_VALUE);
    ck_assert_ptr_null(blend);
}
END_TEST

START_KIT_TEST(errors_of_formulate_come_through, open_two(kit))
{
    sw_blend *blend;
    kit->target.count = 0;
    ck_assert_int_eq(
        sw_blend_find(kit->solver, &kit->problem, &blend, &kit->error),
        SW_ERR_MISSING);
    ck_assert_ptr_null(blend);
}
END_TEST

START_KIT_TEST(a_water_without_a_price_among_priced_ones_is_refused,
               open_two(kit))
{
    sw_blend *blend;
    const double price[] = {1.0, NAN};
    kit->problem.water_price_per_m3 = price;
    ck_assert_int_eq(
        sw_blend_find(kit->solver, &kit->problem, &blend, &kit->error),
        SW_ERR_VALUE);
    ck_assert_ptr_nonnull(strstr(kit->error.message, "price of water 2"));
}
END_TEST

START_TEST(typical_purified_water_is_a_water_that_balances)
{
    sw_waters *waters;
    sw_content per_l;
    sw_chemistry chemistry;
    sw_notes notes = {0};
    sw_conditions conditions = sw_conditions_default();
    ck_assert_int_eq(sw_purified_water(&waters, NULL), SW_OK);
    ck_assert_uint_eq(waters->count, 1);
    ck_assert_str_eq(waters->items[0].sample, "purified");
    ck_assert_int_eq(
        sw_water_complete(&waters->items[0], &conditions, &per_l, &notes, NULL),
        SW_OK);
    ck_assert_int_eq(sw_equilibrate(&per_l, &conditions, SW_CARBONATE_KEPT,
                                    &chemistry, NULL),
                     SW_OK);
    ck_assert_double_eq_tol(chemistry.cations_meq_per_l,
                            chemistry.anions_meq_per_l, TOL_PURIFIED_MEQ);
    sw_notes_free(&notes);
    sw_waters_free(waters);
}
END_TEST

/* 10 mmol/L of salt conduct 1.19 mS/cm at 25 degC (CRC Handbook), so that an EC
 * of 0.6 is half of it, a little less for the strength; 5 meq/L of Ca alone
 * add 0.26.  K is brought. */
static double least_purified(double ca_mg_per_l, double ca_min, double ec_max)
{
    sw_kit kit;
    double share;
    const sw_content purified = {{0}};
    kit_open(&kit);
    kit.water[0].amount[SW_NA] = 229.9;
    kit.water[0].amount[SW_CL] = 354.5;
    kit.water[0].amount[SW_CA] = ca_mg_per_l;
    kit_target(&kit, SW_K, 4);
    kit_product(&kit, "potash", SW_K, 400);
    kit_row(&kit, SW_CA, NAN, ca_min, NAN);
    sw_target_row *ec = kit_row(&kit, SW_K, NAN, NAN, ec_max);
    ec->kind = SW_TARGET_EC;
    ec->name = "EC";
    ck_assert_int_eq(sw_purified_least(kit.solver, &kit.problem, &purified,
                                       &share, &kit.error),
                     SW_OK);
    kit_close(&kit);
    return share;
}

/* Each percent is tried as it would be mixed; less than 40 % of the water has
 * too little Ca, and no recipe. */
START_TEST(as_much_purified_water_as_every_target_asks_is_found)
{
    ck_assert_double_eq_tol(least_purified(0, NAN, 0.6), 0.5, 0.03);
    ck_assert_double_eq_tol(least_purified(100, 40, 1.1), 0.24, 0.03);
    ck_assert_double_eq(least_purified(0, NAN, 1.3), 0);
    ck_assert_double_nan(least_purified(100, 40, 0.3));
}
END_TEST
