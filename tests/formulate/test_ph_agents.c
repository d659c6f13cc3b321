/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which products serve the pH, and what is left alone for it. */
#include "kit.h"

#include "records/label_charge.h"

static sw_product *add_label(sw_kit *kit, const char *label)
{
    sw_product *product = kit_product(kit, label, SW_K, 0);
    product->label = product->name;
    ck_assert_int_eq(
        sw_label_compose(label, &(sw_label_names){label, NULL}, product, NULL),
        SW_OK);
    return product;
}

/* Purified water (invented) and a feed to be had from plain salts. */
static void open_purified(sw_kit *kit)
{
    static const char *const salts[] = {"Ca(NO3)2·4H2O", "KNO3", "MgSO4·7H2O",
                                        "K2SO4"};
    kit_open(kit);
    kit->water[0].amount[SW_CARBON] = 0.02;
    kit_target(kit, SW_NO3_N, 150);
    kit_target(kit, SW_P, 40);
    kit_target(kit, SW_K, 220);
    kit_target(kit, SW_CA, 150);
    kit_target(kit, SW_MG, 40);
    for (size_t i = 0; i < sizeof salts / sizeof *salts; i++)
        kit_salt(kit, salts[i]);
}

/* The amount of the product with that name. */
static double amount_of(const sw_kit *kit, const char *name)
{
    for (size_t j = 0; j < kit->shelf.count; j++)
        if (!strcmp(kit->product[j].name, name))
            return kit_amount(kit, j);
    ck_abort_msg("%s", name);
    return 0;
}

START_KIT_TEST(a_dibasic_phosphate_gives_way_to_a_monobasic_one,
               open_purified(kit))
{
    kit_salt(kit, "K2HPO4");
    kit_salt(kit, "KH2PO4");
    kit_ph_row(kit, 5.8, NAN, NAN)->max = 6.2;
    kit_optimum(kit);
    ck_assert_double_le(kit_ph(kit), 6.2);
    ck_assert_double_lt(amount_of(kit, "K2HPO4"),
                        0.2 * amount_of(kit, "KH2PO4"));
}
END_TEST

START_KIT_TEST(a_dibasic_phosphate_raises_the_ph_where_no_base_is_at_hand,
               open_purified(kit))
{
    kit_salt(kit, "K2HPO4");
    kit_salt(kit, "KH2PO4");
    kit_ph_row(kit, 6.0, NAN, NAN);
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_ph(kit), 6.0, TOL_SETTLED_PH);
    ck_assert_double_gt(amount_of(kit, "K2HPO4"), 0.01);
}
END_TEST

START_KIT_TEST(a_dibasic_phosphate_serves_where_it_is_the_only_phosphate,
               open_purified(kit))
{
    kit_salt(kit, "K2HPO4");
    kit_ph_row(kit, 5.8, NAN, NAN);
    kit_optimum(kit);
    ck_assert_double_gt(kit_finished(kit).amount[SW_P], 30);
    ck_assert_double_gt(kit_ph(kit), 7);
    ck_assert_ptr_nonnull(kit_note(kit, "no-acid"));
}
END_TEST

START_KIT_TEST(a_dibasic_phosphate_fills_what_a_monobasic_one_leaves_short,
               open_purified(kit))
{
    kit_salt(kit, "K2HPO4");
    kit_salt(kit, "KH2PO4")->max_g_per_l = 0.05;
    kit_ph_row(kit, 5.8, NAN, NAN);
    kit_optimum(kit);
    ck_assert_double_gt(kit_finished(kit).amount[SW_P], 30);
}
END_TEST

START_KIT_TEST(a_silicate_is_kept_and_its_charge_met_with_acid,
               open_purified(kit))
{
    kit_target(kit, SW_SI, 15);
    kit_salt(kit, "KH2PO4");
    kit_salt(kit, "K2SiO3");
    kit_salt(kit, "HNO3");
    kit_ph_row(kit, 5.8, NAN, NAN);
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_ph(kit), 5.8, TOL_SETTLED_PH);
    ck_assert_double_gt(kit_finished(kit).amount[SW_SI], 13);
    ck_assert_double_gt(amount_of(kit, "HNO3"), 0.01);
}
END_TEST

START_TEST(acid_and_carbonate_do_not_cancel_in_purified_water)
{
    static const char *const bases[] = {"KHCO3", "K2CO3", "KOH"};
    for (size_t i = 0; i < sizeof bases / sizeof *bases; i++) {
        sw_kit kit;
        open_purified(&kit);
        kit_salt(&kit, "KH2PO4");
        kit_salt(&kit, "HNO3");
        kit_salt(&kit, bases[i]);
        kit_ph_row(&kit, 5.8, NAN, NAN);
        kit_optimum(&kit);
        ck_assert_double_eq(amount_of(&kit, "HNO3"), 0);
        ck_assert_double_gt(amount_of(&kit, bases[i]), 0);
        ck_assert_double_eq_tol(kit_ph(&kit), 5.8, TOL_SETTLED_PH);
        kit_close(&kit);
    }
}
END_TEST

START_KIT_TEST(a_base_serves_alone_where_it_alone_brings_a_nutrient,
               open_purified(kit))
{
    kit->product[1].max_g_per_l = 0; /* no nitrate or sulfate of potassium */
    kit->product[3].max_g_per_l = 0;
    kit_salt(kit, "KH2PO4");
    kit_salt(kit, "HNO3");
    kit_salt(kit, "KHCO3");
    kit_ph_row(kit, 5.8, NAN, NAN);
    kit_optimum(kit);
    ck_assert_double_eq(amount_of(kit, "HNO3"), 0);
    ck_assert_double_gt(amount_of(kit, "KHCO3"), 0.1);
    ck_assert_double_le(kit_ph(kit), 6.5 + TOL_SETTLED_PH);
}
END_TEST

START_KIT_TEST(a_bicarbonate_is_a_base_where_it_moves_a_ph_but_little,
               open_purified(kit))
{
    kit_salt(kit, "KH2PO4");
    kit_salt(kit, "KHCO3");
    kit_ph_row(kit, 6.9, NAN, NAN);
    kit_optimum(kit);
    ck_assert_double_gt(amount_of(kit, "KHCO3"), 0.1);
    ck_assert_double_ge(kit_ph(kit), 6.4); /* the accepted range */
}
END_TEST

START_KIT_TEST(without_a_ph_an_acid_as_nitrogen_stops_where_crops_stand_it,
               open_purified(kit))
{
    kit->product[0].max_g_per_l = 0.2; /* little nitrate but the acid's */
    kit->product[1].max_g_per_l = 0.2;
    kit_salt(kit, "KH2PO4");
    kit_salt(kit, "HNO3");
    kit->water[0].amount[SW_ALKALINITY] = 2;
    kit->water[0].amount[SW_CARBON] = 2.2;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_ph(kit), 5.5, TOL_SETTLED_PH);
    ck_assert_double_gt(amount_of(kit, "HNO3"), 0.05);
    ck_assert_ptr_nonnull(strstr(kit_note(kit, "acid-held-back"), "5.5"));
    ck_assert_uint_eq(kit->solution->limit_count, 3);
}
END_TEST

START_KIT_TEST(without_a_ph_an_acid_fixed_on_the_shelf_is_kept,
               open_purified(kit))
{
    kit_salt(kit, "KH2PO4");
    kit_salt(kit, "HNO3")->fixed_g_per_l = 0.3;
    kit_optimum(kit);
    ck_assert_double_eq(amount_of(kit, "HNO3"), 0.3);
    ck_assert_double_lt(kit_ph(kit), 4);
}
END_TEST

START_KIT_TEST(without_a_ph_an_acid_within_the_usual_range_is_a_nutrient,
               open_purified(kit))
{
    kit->product[0].max_g_per_l = 0.85;
    kit->product[1].max_g_per_l = 0.3;
    kit_salt(kit, "KH2PO4");
    kit_salt(kit, "HNO3");
    kit->water[0].amount[SW_ALKALINITY] = 4;
    kit->water[0].amount[SW_CARBON] = 4.4;
    kit_optimum(kit);
    ck_assert_double_gt(amount_of(kit, "HNO3"), 0.02);
    ck_assert_double_gt(kit_ph(kit), 5.5);
    ck_assert_ptr_null(kit_note(kit, "acid-held-back"));
}
END_TEST

START_KIT_TEST(without_a_ph_a_base_as_potassium_stops_too, open_purified(kit))
{
    kit->product[1].max_g_per_l = 0;
    kit->product[3].max_g_per_l = 0;
    kit_salt(kit, "KH2PO4");
    kit_salt(kit, "KOH");
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_ph(kit), 6.5, TOL_SETTLED_PH);
    ck_assert_ptr_nonnull(kit_note(kit, "base-held-back"));
}
END_TEST

START_KIT_TEST(without_a_ph_acid_and_base_do_not_cancel_either,
               open_purified(kit))
{
    kit->product[0].max_g_per_l = 0.8; /* the rest of nitrate is the acid's */
    kit->product[1].max_g_per_l = 0.3;
    kit_salt(kit, "KH2PO4");
    kit_salt(kit, "HNO3");
    kit_salt(kit, "KHCO3");
    for (size_t j = 0; j < kit->shelf.count; j++)
        kit->product[j].price_per_kg = j == 3 ? 10 : 1; /* dear K2SO4 */
    kit_optimum(kit);
    ck_assert_double_eq(amount_of(kit, "KHCO3"), 0);
    ck_assert_double_gt(amount_of(kit, "K2SO4"), 0.1);
}
END_TEST

START_KIT_TEST(without_a_ph_a_base_meets_no_acid_even_for_its_potassium,
               open_purified(kit))
{
    kit->product[1].max_g_per_l = 0;
    kit->product[3].max_g_per_l = 0;
    kit_salt(kit, "KH2PO4");
    kit_salt(kit, "HNO3");
    kit_salt(kit, "KHCO3");
    kit_optimum(kit);
    ck_assert_double_gt(kit_finished(kit).amount[SW_K], 110);
    ck_assert_double_eq(amount_of(kit, "HNO3"), 0);
    ck_assert_ptr_nonnull(kit_note(kit, "base-held-back"));
    ck_assert_double_le(kit_ph(kit), 6.5 + TOL_SETTLED_PH);
}
END_TEST

START_KIT_TEST(a_label_that_leaves_an_anion_out_is_no_base, kit_open(kit))
{
    kit_target(kit, SW_K, 200);
    add_label(kit, "K2O 50");
    kit_optimum(kit);
    ck_assert_double_gt(kit_amount(kit, 0), 0.4);
}
END_TEST

START_KIT_TEST(a_label_that_states_its_alkalinity_is_a_base, kit_open(kit))
{
    kit_target(kit, SW_K, 200);
    add_label(kit, "K2O 47; alkalinity 10");
    kit_optimum(kit);
    ck_assert_double_lt(kit_amount(kit, 0), 0.1);
    ck_assert_ptr_nonnull(kit_note(kit, "agent-left-out"));
}
END_TEST

/* In purified water KH2PO4 alone is below pH 5: the least pH costs P. */
START_KIT_TEST(a_limit_that_nutrients_are_given_up_for_asks_for_a_base,
               open_purified(kit))
{
    kit_salt(kit, "KH2PO4");
    kit_ph_row(kit, 5.8, NAN, NAN)->min = 5.5;
    kit_optimum(kit);
    ck_assert_double_lt(kit_finished(kit).amount[SW_P], 20);
    ck_assert_ptr_nonnull(kit_note(kit, "no-base"));
}
END_TEST

START_KIT_TEST(borax_is_no_base, open_purified(kit))
{
    kit_salt(kit, "KH2PO4");
    kit_salt(kit, "Na2B4O7·10H2O");
    kit_ph_row(kit, 6.5, NAN, NAN);
    kit_optimum(kit);
    ck_assert_double_eq(amount_of(kit, "Na2B4O7·10H2O"), 0);
    ck_assert_ptr_nonnull(kit_note(kit, "no-base"));
}
END_TEST

START_KIT_TEST(citric_acid_lowers_a_ph, open_purified(kit))
{
    kit->water[0].amount[SW_ALKALINITY] = 2;
    kit->water[0].amount[SW_CARBON] = 2.2;
    kit_salt(kit, "KH2PO4");
    kit_salt(kit, "C6H8O7·H2O");
    kit_ph_row(kit, 5.8, NAN, NAN);
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_ph(kit), 5.8, TOL_SETTLED_PH);
    ck_assert_double_gt(amount_of(kit, "C6H8O7·H2O"), 0.05);
}
END_TEST

/* Alkaline, hard water: the acid takes more nitrogen than the feed wants. */
static void open_hard(sw_kit *kit)
{
    open_purified(kit);
    kit->row[0].target = 60;
    kit->water[0].amount[SW_ALKALINITY] = 7;
    kit->water[0].amount[SW_CARBON] = 7.4;
    kit->water[0].amount[SW_CA] = 100;
    kit_salt(kit, "KH2PO4");
    kit_salt(kit, "HNO3");
    kit_ph_row(kit, 5.8, NAN, NAN);
}

START_KIT_TEST(an_acid_takes_its_own_nutrient_up_for_the_ph, open_hard(kit))
{
    kit_optimum(kit);
    ck_assert_double_le(kit_ph(kit), 6.5);
    ck_assert_double_gt(kit_finished(kit).amount[SW_NO3_N], 61);
    kit->row[kit->target.count - 1].max = 6.0;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_ph(kit), 6.0, TOL_SETTLED_PH);
    ck_assert_double_gt(kit_finished(kit).amount[SW_NO3_N], 66);
}
END_TEST

/* The note says so, and the proof counts it among what holds back. */
static bool is_said_to_stop(const sw_kit *kit, const char *limit)
{
    const sw_solution *s = kit->solution;
    bool binds = false;
    for (size_t i = 0; i < s->within_count; i++)
        binds |= s->within[i].binds &&
                 !strncmp(s->within[i].name, limit, strlen(limit));
    return binds && strstr(kit_note(kit, "acid-short"), limit);
}

START_KIT_TEST(a_limit_stops_the_acid_and_is_named, open_hard(kit))
{
    kit->row[0].max = 61;
    kit_optimum(kit);
    ck_assert_double_le(kit_finished(kit).amount[SW_NO3_N], 61 * (1 + 1e-9));
    ck_assert_double_gt(kit_ph(kit), 5.9);
    ck_assert(is_said_to_stop(kit, "NO3-N max 61"));
}
END_TEST

START_KIT_TEST(phosphorus_stops_phosphoric_acid_at_our_cap, open_hard(kit))
{
    kit->product[5].max_g_per_l = 0;
    kit_salt(kit, "H3PO4");
    kit_optimum(kit);
    ck_assert_double_lt(kit_finished(kit).amount[SW_P], 44);
    kit->row[kit->target.count - 1].max = 6.3;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_finished(kit).amount[SW_P], 44, 1e-6);
    ck_assert(is_said_to_stop(kit, "P max 44"));
    /* what one of the waters holds may be there, of whatever it comes */
    kit->problem.water_count = 2;
    kit->water[1] = kit->water[0];
    kit->water[1].amount[SW_P] = 46;
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit_finished(kit).amount[SW_P], 46, 1e-6);
}
END_TEST

START_KIT_TEST(an_acid_that_adds_to_what_the_water_is_over_is_named,
               open_hard(kit))
{
    kit->problem.nearest = true;
    kit->water[0].amount[SW_CL] = 200;
    kit_row(kit, SW_CL, NAN, NAN, 50);
    kit->product[5].max_g_per_l = 0;
    kit_salt(kit, "HCl");
    kit_optimum(kit);
    ck_assert_double_eq(amount_of(kit, "HCl"), 0);
    ck_assert_ptr_nonnull(
        strstr(kit_note(kit, "acid-short"), "HCl is left out"));
}
END_TEST

START_KIT_TEST(a_cap_stops_the_acid_and_is_named, open_hard(kit))
{
    kit->product[5].max_g_per_l = 0.1;
    kit->product[4].min_g_per_l = 0.4; /* more than there is phosphorus for */
    kit_optimum(kit);
    ck_assert_double_eq(amount_of(kit, "HNO3"), 0.1);
    ck_assert_double_eq(amount_of(kit, "KH2PO4"), 0.4);
    ck_assert(is_said_to_stop(kit, "HNO3 max 0.1 g/L"));
    ck_assert_ptr_null(strstr(kit_note(kit, "acid-short"), "KH2PO4 min"));
}
END_TEST

/* A feed of pH 3 would harm roots: unless so low a pH is asked for. */
START_KIT_TEST(no_limit_is_kept_by_acid_beyond_the_ph, open_purified(kit))
{
    kit->product[0].max_g_per_l = 0.1;
    kit->product[1].max_g_per_l = 0.1;
    kit->row[0].min = 100;
    kit->row[0].max = 200;
    kit_salt(kit, "KH2PO4");
    kit_salt(kit, "HNO3");
    sw_target_row *row = kit_ph_row(kit, 5.8, NAN, NAN);
    ck_assert_int_eq(kit_solve(kit), SW_OK);
    ck_assert_int_eq(kit->solution->outcome, SW_CONFLICT);
    row->min = 2.1;
    kit_optimum(kit);
    ck_assert_double_ge(kit_finished(kit).amount[SW_NO3_N], 100 - 1e-6);
}
END_TEST

START_KIT_TEST(acid_goes_no_lower_than_the_accepted_range, kit_open(kit))
{
    /* water of 3 meq/L; without acid no recipe has its nitrate, with as much
     * as the nitrate would like the pH falls far below */
    kit->water[0].amount[SW_ALKALINITY] = 3;
    kit->water[0].amount[SW_CARBON] = 3.3;
    kit->water[0].amount[SW_CA] = 60;
    kit_row(kit, SW_NO3_N, 80, 20, NAN);
    kit_target(kit, SW_K, 100);
    kit_ph_row(kit, 5.8, NAN, NAN);
    kit_salt(kit, "K2SO4");
    kit_salt(kit, "HNO3");
    kit_optimum(kit);
    /* down to the end of the accepted range, and no further */
    ck_assert_double_eq_tol(kit_ph(kit), 5.3, TOL_SETTLED_PH);
    ck_assert_double_gt(kit_finished(kit).amount[SW_NO3_N], 20);
}
END_TEST

START_KIT_TEST(a_second_acid_goes_on_where_the_first_is_used_up, open_hard(kit))
{
    kit->product[5].max_g_per_l = 0.2;
    kit_salt(kit, "H2SO4");
    kit_optimum(kit);
    ck_assert_double_gt(amount_of(kit, "H2SO4"), 0.05);
    ck_assert_double_eq_tol(kit_ph(kit), 5.8, TOL_SETTLED_PH);
}
END_TEST

START_TEST(every_objective_uses_a_scarce_acid_up)
{
    static const sw_objective objectives[] = {SW_CLOSEST, SW_EVEN, SW_CHEAPEST};
    for (size_t i = 0; i < sizeof objectives / sizeof *objectives; i++) {
        sw_kit kit;
        open_purified(&kit);
        kit.water[0].amount[SW_ALKALINITY] = 3;
        kit.water[0].amount[SW_CARBON] = 3.2;
        kit_salt(&kit, "KH2PO4");
        kit_salt(&kit, "HNO3")->max_g_per_l = 0.05;
        for (size_t j = 0; j < kit.shelf.count; j++)
            kit.product[j].price_per_kg = 1;
        kit_ph_row(&kit, 5.8, NAN, NAN);
        kit.problem.objective = objectives[i];
        kit_optimum(&kit);
        ck_assert_double_eq(amount_of(&kit, "HNO3"), 0.05);
        ck_assert_ptr_nonnull(kit_note(&kit, "acid-short"));
        kit_close(&kit);
    }
}
END_TEST

START_KIT_TEST(a_window_out_of_reach_is_come_near_to_from_below,
               open_purified(kit))
{
    kit->water[0].amount[SW_ALKALINITY] = -1;
    kit_salt(kit, "KH2PO4");
    kit_salt(kit, "KOH")->max_g_per_l = 0.02;
    sw_target_row *row = kit_ph_row(kit, NAN, NAN, NAN);
    row->min = 5.6;
    row->max = 6.2;
    kit_optimum(kit);
    ck_assert_double_eq(amount_of(kit, "KOH"), 0.02);
    ck_assert_double_lt(kit_ph(kit), 5.6);
    ck_assert_ptr_nonnull(strstr(kit_note(kit, "base-short"), "KOH"));
}
END_TEST

START_KIT_TEST(a_blend_comes_as_near_as_its_waters_allow, open_purified(kit))
{
    kit_salt(kit, "KH2PO4");
    for (int k = 0; k < 2; k++) {
        kit->water[k].amount[SW_ALKALINITY] = 3 - k;
        kit->water[k].amount[SW_CARBON] = 3.2 - k;
    }
    kit->problem.water_count = 2;
    kit_ph_row(kit, 5.8, NAN, NAN);
    kit_optimum(kit);
    ck_assert_double_eq_tol(kit->solution->fractions[1], 1, 1e-9);
    ck_assert_double_gt(kit_ph(kit), 5.8);
}
END_TEST

START_KIT_TEST(a_limit_alone_is_told_when_it_is_missed, open_hard(kit))
{
    kit->product[5].max_g_per_l = 0;
    kit->row[kit->target.count - 1].target = NAN;
    kit->row[kit->target.count - 1].max = 6.2;
    kit_optimum(kit);
    ck_assert_ptr_nonnull(strstr(kit_note(kit, "no-acid"), "to 6.2"));
}
END_TEST
