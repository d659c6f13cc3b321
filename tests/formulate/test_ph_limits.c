/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "kit.h"

/* An alkaline well (invented) and the salts of a usual feed, no acid yet. */
static void open_well(sw_kit *kit)
{
    static const char *const salts[] = {"Ca(NO3)2·4H2O", "KNO3", "KH2PO4",
                                        "MgSO4·7H2O", "K2SO4"};
    kit_open(kit);
    kit->water[0].amount[SW_CA] = 50;
    kit->water[0].amount[SW_MG] = 8;
    kit->water[0].amount[SW_ALKALINITY] = 3.2;
    kit->water[0].amount[SW_CARBON] = 3.6;
    kit_target(kit, SW_NO3_N, 150);
    kit_target(kit, SW_P, 40);
    kit_target(kit, SW_K, 220);
    kit_target(kit, SW_CA, 150);
    kit_target(kit, SW_MG, 40);
    kit_target(kit, SW_S, 60);
    for (size_t i = 0; i < sizeof salts / sizeof *salts; i++)
        kit_salt(kit, salts[i]);
}

static const sw_limit *limit_called(const sw_kit *kit, const char *start)
{
    for (size_t i = 0; i < kit->solution->limit_count; i++)
        if (strncmp(kit->solution->limits[i].name, start, strlen(start)) == 0)
            return &kit->solution->limits[i];
    return NULL;
}

START_KIT_TEST(an_acid_is_chosen_to_reach_the_max, open_well(kit))
{
    kit_ph_row(kit, NAN, NAN, 5.3);
    kit_salt(kit, "HNO3");
    kit_salt(kit, "H3PO4");
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_ph(kit), 5.3, TOL_SETTLED_PH);
    ck_assert_ptr_nonnull(limit_called(kit, "pH max 5.3 (target.csv line 8)"));
}
END_TEST

static void open_for_acid(sw_kit *kit, const sw_start *start)
{
    open_well(kit);
    kit_ph_row(kit, NAN, NAN, 5.3);
    kit_salt(kit, "HNO3");
    kit->problem.conditions.start = start;
    kit_optimum(kit);
}

START_TEST(the_start_of_a_solution_changes_no_ph)
{
    sw_kit cold, warm;
    open_for_acid(&cold, NULL);
    ck_assert_ptr_nonnull(cold.solution->start);
    open_for_acid(&warm, cold.solution->start);
    ck_assert_double_eq_tol(kit_ph(&warm), 5.3, TOL_SETTLED_PH);
    warm.problem.conditions.start = NULL;
    double from_nothing = kit_ph(&warm);
    warm.problem.conditions.start = cold.solution->start;
    ck_assert_double_eq_tol(kit_ph(&warm), from_nothing, TOL_SAME_PH);
    kit_close(&warm);
    kit_close(&cold);
}
END_TEST

START_KIT_TEST(a_min_keeps_the_acid_back, open_well(kit))
{
    kit_ph_row(kit, NAN, 5.85, 6.5);
    kit_salt(kit, "HNO3");
    kit_salt(kit, "H3PO4");
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_ph(kit), 5.85, TOL_SETTLED_PH);
    ck_assert_double_gt(limit_called(kit, "pH min")->price, 0);
}
END_TEST

START_KIT_TEST(a_window_that_holds_anyway_costs_nothing, open_well(kit))
{
    kit_salt(kit, "HNO3");
    kit_salt(kit, "H3PO4");
    kit_optimum(kit);
    double free_of_limits = kit_ph(kit);
    kit_ph_row(kit, NAN, free_of_limits - 0.5, free_of_limits + 0.5);
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_ph(kit), free_of_limits, TOL_SETTLED_PH);
    ck_assert_uint_eq(kit->solution->limit_count, 0);
}
END_TEST

START_KIT_TEST(the_price_of_a_ph_is_the_slope_of_the_objective, open_well(kit))
{
    sw_target_row *row = kit_ph_row(kit, NAN, NAN, 5.3);
    kit_salt(kit, "HNO3");
    kit_optimum(kit);
    double price = limit_called(kit, "pH max")->price;
    double least = kit->solution->certificate.objective;
    row->max = 5.3 + PH_STEP;
    kit_optimum(kit);
    double slope = (kit->solution->certificate.objective - least) / PH_STEP;
    ck_assert_double_eq_tol(price / slope, 1, TOL_PH_SLOPE);
}
END_TEST

START_KIT_TEST(without_an_acid_no_phosphate_is_pressed_into_its_place,
               open_well(kit))
{
    kit_optimum(kit);
    double phosphate = kit_amount(kit, 2);
    kit_ph_row(kit, NAN, 5.5, 6.0)->target = 5.8;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_amount(kit, 2), phosphate, TOL_HAND_SOLVED);
    ck_assert_double_gt(kit_ph(kit), 6.0);
    ck_assert(kit_note(kit, "no-acid"));
}
END_TEST

/* Of a soft water: what keeps the pH up is the acid's max, and is named. */
START_TEST(acid_that_will_not_do_is_poured_up_to_its_max)
{
    for (int mg_per_l = 1; mg_per_l <= 3; mg_per_l++) {
        sw_kit kit;
        open_well(&kit);
        kit.water[0].amount[SW_ALKALINITY] = 0.2;
        kit.water[0].amount[SW_CARBON] = 0.225;
        kit_ph_row(&kit, NAN, NAN, 5.3);
        kit_salt(&kit, "HNO3")->max_g_per_l = mg_per_l * 1e-3;
        kit_optimum(&kit);
        ck_assert_double_gt(kit_ph(&kit), 5.4);
        ck_assert_double_eq(kit_amount(&kit, 5), mg_per_l * 1e-3);
        ck_assert_ptr_nonnull(limit_called(&kit, "HNO3 max"));
        ck_assert(kit_note(&kit, "acid-short"));
        kit_close(&kit);
    }
}
END_TEST

START_KIT_TEST(an_acid_water_without_a_base_gets_no_more_acid, open_well(kit))
{
    kit->water[0].amount[SW_ALKALINITY] = 0;
    kit->water[0].amount[SW_CARBON] = 0.02;
    kit_ph_row(kit, NAN, 5.6, 6.0);
    kit_salt(kit, "HNO3");
    kit_optimum(kit);
    ck_assert_double_eq(kit_amount(kit, 5), 0);
    ck_assert(kit_note(kit, "no-base"));
}
END_TEST

/* Its sulfur is no reason to make a feed as acid as that. */
START_KIT_TEST(a_bisulfate_is_an_acid, open_well(kit))
{
    kit->water[0].amount[SW_ALKALINITY] = 0.2;
    kit->water[0].amount[SW_CARBON] = 0.25;
    kit->product[4].max_g_per_l = 0;
    kit_salt(kit, "NaHSO4");
    kit_optimum(kit);
    ck_assert_double_gt(kit_amount(kit, 5), 0);
    ck_assert_double_eq_tol(kit_ph(kit), 5.5, TOL_SETTLED_PH);
    ck_assert(kit_note(kit, "acid-held-back"));
    kit->water[0].amount[SW_ALKALINITY] = 3.2;
    kit_ph_row(kit, NAN, NAN, 6.0);
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_ph(kit), 6.0, TOL_SETTLED_PH);
}
END_TEST

/* A limit at the target that gave way counts it as half a unit of range does,
 * on either side. */
START_TEST(a_target_at_its_limit_counts_as_one_within_its_range)
{
    for (int acid = 0; acid < 2; acid++) {
        double sum[2];
        for (int limited = 0; limited < 2; limited++) {
            sw_kit kit;
            open_well(&kit);
            kit.problem.nearest = true;
            kit.water[0].amount[SW_ALKALINITY] = acid ? 3.2 : 0;
            kit.water[0].amount[SW_CARBON] = 3.5;
            sw_target_row *row = kit_ph_row(&kit, 5.8, NAN, NAN);
            *(acid ? &row->max : &row->min) = limited ? 5.8 : NAN;
            kit_salt(&kit, acid ? "HNO3" : "KOH")->max_g_per_l = 0.01;
            kit_optimum(&kit);
            ck_assert_double_gt(fabs(kit_ph(&kit) - 5.8), 0.1);
            sum[limited] = kit.solution->certificate.objective;
            kit_close(&kit);
        }
        ck_assert_double_eq_tol(sum[1], sum[0], 1e-3 * sum[0]);
    }
}
END_TEST

START_KIT_TEST(a_target_counts_as_one_among_the_others, open_well(kit))
{
    kit_ph_row(kit, NAN, 5.5, 6.2)->target = 5.8;
    kit_salt(kit, "HNO3");
    kit_optimum(kit);
    double off = fabs(kit_ph(kit) - 5.8);
    ck_assert_double_le(off, 0.05);
    ck_assert_uint_eq(kit->solution->limit_count, 0);
    kit->row[6].weight = 100;
    kit_optimum(kit);
    ck_assert_double_le(fabs(kit_ph(kit) - 5.8), off / 20);
    kit->row[6].weight = 0;
    kit_optimum(kit);
    ck_assert_double_gt(fabs(kit_ph(kit) - 5.8), 2 * off);
}
END_TEST

/* Measured by the same half unit as one in the middle of a range of one. */
static double objective_of(sw_objective objective, double weight)
{
    sw_kit kit;
    open_well(&kit);
    sw_target_row *row = kit_ph_row(&kit, 5.8, NAN, NAN);
    kit.target.count = 1;
    *kit.row = *row;
    kit.row->weight = weight;
    kit.shelf.count = 0;
    kit_salt(&kit, "HNO3")->fixed_g_per_l = 0.01;
    kit.problem.objective = objective;
    kit_optimum(&kit);
    double found = kit.solution->certificate.objective;
    kit_close(&kit);
    return found;
}

/* As of a nutrient: of the squares, or of the largest deviation itself. */
START_TEST(a_ph_that_counts_four_times_is_off_by_four_times_as_much)
{
    static const sw_objective objectives[] = {SW_CLOSEST, SW_EVEN};
    for (size_t i = 0; i < 2; i++) {
        double once = objective_of(objectives[i], 1);
        ck_assert_double_gt(once, 1e-3);
        ck_assert_double_eq_tol(objective_of(objectives[i], 4) / once, 4,
                                TOL_HAND_SOLVED);
    }
}
END_TEST

START_KIT_TEST(a_target_at_the_end_of_its_range_counts_no_more, open_well(kit))
{
    kit_ph_row(kit, NAN, 5.3, 6.3)->target = 5.8;
    kit_salt(kit, "HNO3");
    kit_optimum(kit);
    double middle = kit_ph(kit);
    for (int end = 0; end < 2; end++) {
        kit->row[6].min = end ? 5.3 : 5.8;
        kit->row[6].max = end ? 5.8 : 6.3;
        kit_optimum(kit);
        ck_assert_double_eq_tol(
            kit_ph(kit), end ? fmin(middle, 5.8) : fmax(middle, 5.8), 2e-3);
    }
}
END_TEST

START_KIT_TEST(a_base_lifts_an_acid_water_to_its_target, open_well(kit))
{
    kit->water[0].amount[SW_ALKALINITY] = -0.5;
    kit->water[0].amount[SW_CARBON] = 0.02;
    kit_ph_row(kit, NAN, NAN, NAN)->target = 5.8;
    kit_salt(kit, "KHCO3");
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_ph(kit), 5.8, 0.05);
    ck_assert_double_gt(kit_amount(kit, 5), 0);
}
END_TEST

START_KIT_TEST(the_window_serves_where_the_target_cannot_be_held,
               open_well(kit))
{
    kit->row[1].max = 40;
    kit_ph_row(kit, NAN, NAN, 6.4)->target = 5.0;
    kit_salt(kit, "HNO3");
    kit->product[5].max_g_per_l = 0.16;
    kit_optimum(kit);
    ck_assert_double_gt(kit_ph(kit), 5.0 + TOL_SETTLED_PH);
    ck_assert_double_le(kit_ph(kit), 6.4 + TOL_SETTLED_PH);
}
END_TEST

START_KIT_TEST(an_acid_too_scarce_presses_no_phosphate_into_service,
               open_well(kit))
{
    kit_optimum(kit);
    double phosphate = kit_amount(kit, 2);
    kit_ph_row(kit, NAN, 5.5, 6.0)->target = 5.8;
    kit_salt(kit, "HNO3");
    kit->product[5].max_g_per_l = 0.05;
    kit_optimum(kit);
    ck_assert_double_le(kit_amount(kit, 2), 1.1 * phosphate);
    ck_assert(kit_note(kit, "acid-short"));
}
END_TEST

START_KIT_TEST(a_base_too_scarce_takes_no_phosphate_away, open_well(kit))
{
    kit->water[0].amount[SW_ALKALINITY] = -0.5;
    kit->water[0].amount[SW_CARBON] = 0.02;
    kit_ph_row(kit, NAN, 5.6, 6.0)->target = 5.8;
    kit_salt(kit, "KHCO3");
    kit->product[5].max_g_per_l = 0.005;
    kit_optimum(kit);
    ck_assert_double_ge(kit_amount(kit, 2), 0.9 * 40 / 227.6);
    ck_assert(kit_note(kit, "base-short"));
}
END_TEST

START_KIT_TEST(a_base_brings_potassium_no_further_than_the_max, open_well(kit))
{
    kit->water[0].amount[SW_ALKALINITY] = 0;
    kit->water[0].amount[SW_CARBON] = 0.02;
    kit_ph_row(kit, NAN, 5.5, 6.2)->target = 5.8;
    kit_salt(kit, "KOH");
    kit->product[1].max_g_per_l = 0.05; /* little nitrate of potassium */
    kit->product[4].max_g_per_l = 0.05;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_ph(kit), 6.2, TOL_SETTLED_PH);
    ck_assert_ptr_nonnull(limit_called(kit, "pH max 6.2 (target.csv line 8)"));
}
END_TEST

START_KIT_TEST(under_a_max_alone_no_acid_is_used_that_is_not_needed,
               open_well(kit))
{
    kit->water[0].amount[SW_ALKALINITY] = 0;
    kit->water[0].amount[SW_CARBON] = 0.02;
    kit_ph_row(kit, NAN, NAN, 6.2);
    kit_salt(kit, "HNO3");
    kit->product[0].max_g_per_l = 0.1; /* nitrate is short */
    kit_optimum(kit);
    ck_assert_double_eq(kit_amount(kit, 5), 0);
}
END_TEST

START_KIT_TEST(a_blend_can_reach_a_ph, open_well(kit))
{
    kit->water[1].amount[SW_CARBON] = 0.02;
    kit->problem.water_count = 2;
    kit_ph_row(kit, NAN, NAN, 6.4);
    kit_optimum(kit);
    ck_assert_double_le(kit_ph(kit), 6.4 + TOL_SETTLED_PH);
    ck_assert_double_gt(kit->solution->fractions[1], 0.1);
}
END_TEST

START_KIT_TEST(the_cheapest_recipe_keeps_the_ph_too, open_well(kit))
{
    kit_ph_row(kit, NAN, 5.4, 5.9);
    kit_salt(kit, "HNO3");
    kit_salt(kit, "H3PO4");
    for (size_t j = 0; j < kit->shelf.count; j++)
        kit->product[j].price_per_kg = 1;
    kit->problem.objective = SW_CHEAPEST;
    kit_optimum(kit);
    ck_assert_double_ge(kit_ph(kit), 5.4 - TOL_SETTLED_PH);
    ck_assert_double_le(kit_ph(kit), 5.9 + TOL_SETTLED_PH);
}
END_TEST

START_KIT_TEST(an_ec_is_only_judged, open_well(kit))
{
    sw_target_row *ec = kit_row(kit, SW_K, 2, 1.8, 2.2);
    ec->kind = SW_TARGET_EC;
    kit_optimum(kit);
    ck_assert_uint_eq(kit->solution->notes.count, 1);
    ck_assert_str_eq(kit->solution->notes.items[0].code, "ec-judged-only");
}
END_TEST

START_KIT_TEST(conditions_out_of_their_domain_are_refused, open_well(kit))
{
    kit_ph_row(kit, NAN, NAN, 6);
    kit->problem.conditions.temperature_c = 80;
    ck_assert_int_eq(kit_solve(kit), SW_ERR_VALUE);
    ck_assert(kit->error.message[0] != '\0');
}
END_TEST

/* Potassium for which a phosphate, a bicarbonate and an alkali compete, and P
 * that nobody asks for (invented). */
static void open_unasked_phosphate(sw_kit *kit)
{
    kit_open(kit);
    kit->water[0].amount[SW_ALKALINITY] = 3;
    kit->water[0].amount[SW_CARBON] = 3.5;
    kit->water[0].amount[SW_CA] = 40;
    kit_target(kit, SW_NO3_N, 100);
    kit_target(kit, SW_K, 200);
    kit_target(kit, SW_CA, 120);
    kit_salt(kit, "Ca(NO3)2·4H2O");
    kit_salt(kit, "KH2PO4");
}

static double potassium_of(const sw_kit *kit)
{
    double sum = 0;
    for (size_t j = 0; j < kit->shelf.count; j++)
        sum += kit_amount(kit, j) * kit->product[j].per_g.amount[SW_K];
    return sum;
}

START_KIT_TEST(a_phosphate_as_potassium_settles_beside_bases,
               open_unasked_phosphate(kit))
{
    kit_salt(kit, "KHCO3");
    kit_salt(kit, "KOH");
    kit_ph_row(kit, NAN, 6.4, 6.9);
    kit_optimum(kit);
    ck_assert_ptr_null(kit_note(kit, "ph-unsettled"));
    ck_assert_double_ge(kit_ph(kit), 6.4 - TOL_SETTLED_PH);
    ck_assert_double_le(kit_ph(kit), 6.9 + TOL_SETTLED_PH);
    ck_assert_double_eq_tol(potassium_of(kit), 200, 1e-6);
}
END_TEST

START_KIT_TEST(no_phosphate_stands_in_for_the_acid_that_is_missing,
               open_unasked_phosphate(kit))
{
    kit_salt(kit, "KNO3");
    kit_ph_row(kit, NAN, 4.5, 5);
    kit_optimum(kit);
    ck_assert_double_le(potassium_of(kit), 220 * (1 + 1e-9));
    ck_assert_ptr_nonnull(kit_note(kit, "no-acid"));
}
END_TEST

/* The acid that makes it, not a base that is missing. */
START_TEST(an_acid_that_the_shelf_fixes_is_named)
{
    for (int fixed = 0; fixed < 2; fixed++) {
        sw_kit kit;
        open_well(&kit);
        kit_ph_row(&kit, NAN, 5.5, 6.0);
        sw_product *acid = kit_salt(&kit, "HNO3");
        acid->min_g_per_l = fixed ? 0 : 0.5;
        acid->fixed_g_per_l = fixed ? 0.5 : NAN;
        acid->line = 11;
        kit_optimum(&kit);
        const char *said = kit_note(&kit, "agent-fixed");
        ck_assert_ptr_nonnull(said);
        ck_assert_ptr_nonnull(strstr(said, "line 11"));
        ck_assert(!kit_note(&kit, "no-base"));
        kit_close(&kit);
    }
}
END_TEST
