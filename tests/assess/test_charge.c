/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Charge balance: Standard Methods 1030 E (limits from memory) and the
 * published design of Steiner 1961 (Plant and Soil 15:134), 20 meq/L of each
 * sign.
 */
#include "suite.h"
#include "tolerances.h"

#include "assess/charge.h"
#include "assess/guidelines.h"

#include <math.h>

/* Everything major reported; in meq/L. */
static sw_water water_of(double ca, double mg, double na, double cl, double so4,
                         double alkalinity)
{
    sw_water w = {.ph = 7.5, .alkalinity_reported = true};
    const sw_component majors[] = {SW_CA, SW_MG, SW_NA, SW_CL, SW_S};
    const double meq[] = {ca, mg, na, cl, so4};
    for (int i = 0; i < 5; i++) {
        w.reported[majors[i]] = true;
        w.per_l.amount[majors[i]] = meq[i] / sw_meq_per_mg(majors[i]);
    }
    w.per_l.amount[SW_ALKALINITY] = alkalinity;
    return w;
}

static sw_charge charge_of(const sw_water *water)
{
    sw_charge charge;
    sw_charge_add_up(water, &charge);
    return charge;
}

/* N 168, P 31, S 112, K 273, Ca 180, Mg 49: 12, 1, 7 and 7, 9, 4 meq/L. */
START_TEST(steiners_solution_balances_as_published)
{
    sw_water w = {.ph = 6.5};
    w.per_l.amount[SW_NO3_N] = 168.1;
    w.per_l.amount[SW_P] = 30.97;
    w.per_l.amount[SW_S] = 112.2;
    w.per_l.amount[SW_K] = 273.7;
    w.per_l.amount[SW_CA] = 180.4;
    w.per_l.amount[SW_MG] = 48.6;
    sw_charge c = charge_of(&w);
    ck_assert_double_eq_tol(c.cations_meq_per_l, 20, TOL_PUBLISHED_PPM * 20);
    ck_assert_double_eq_tol(c.anions_meq_per_l, 20, TOL_PUBLISHED_PPM * 20);
}
END_TEST

/* 6 mg/L over 26.98 g/mol are 0.2224 mmol/L. */
START_TEST(aluminium_of_an_acid_water_has_three_charges)
{
    sw_reading al = {.kind = SW_READS_OTHER, .name = "Al", .amount = 6};
    sw_water w = water_of(2, 1, 1, 1, 3, 0);
    double before = charge_of(&w).cations_meq_per_l;
    w.readings = &al;
    w.reading_count = 1;
    ck_assert_double_eq_tol(charge_of(&w).cations_meq_per_l, before, 1e-12);
    w.ph = 4.3;
    ck_assert_double_eq_tol(charge_of(&w).cations_meq_per_l,
                            before + 0.6672 + 0.0501, 1e-3);
    al.below_detection = true;
    ck_assert_double_eq_tol(charge_of(&w).cations_meq_per_l, before + 0.0501,
                            1e-3);
}
END_TEST

START_TEST(the_limit_of_1030_e_depends_on_the_anion_sum)
{
    sw_water low = water_of(0.5, 0.2, 0.3, 0.5, 0.2, 0.3);
    sw_water middle = water_of(3, 1, 2, 2, 1, 3);
    sw_water high = water_of(10, 5, 15, 20, 5, 5);
    sw_charge c = charge_of(&low);
    ck_assert_double_eq_tol(sw_charge_limit_percent(&c), 10.0, 1e-9);
    sw_water next_to_none = water_of(0.1, 0.1, 0.05, 0.1, 0.1, 0.05);
    c = charge_of(&next_to_none);
    ck_assert_double_eq_tol(sw_charge_limit_percent(&c), 40.0, 1e-9);
    c = charge_of(&middle);
    ck_assert_double_eq(sw_charge_limit_percent(&c), 2.0);
    c = charge_of(&high);
    ck_assert_double_eq(sw_charge_limit_percent(&c), 5.0);
}
END_TEST

START_TEST(the_percentage_is_the_difference_over_the_sum)
{
    sw_water w = water_of(4, 1, 1, 2, 1, 1);
    sw_charge c = charge_of(&w);
    ck_assert_double_eq_tol(sw_charge_percent(&c), 20.0, 1e-9);
    ck_assert_double_gt(c.uncertainty_meq_per_l, 0.05);
}
END_TEST

START_TEST(one_missing_ion_is_named_with_the_amount_that_closes)
{
    sw_water w = water_of(4, 2, 0, 2, 2, 5);
    w.reported[SW_NA] = false;
    sw_charge c = charge_of(&w);
    ck_assert_str_eq(c.missing, "Na");
    ck_assert_double_eq_tol(sw_charge_closing_amount(&c), 3 * 22.99,
                            TOL_ROUNDED_WEIGHT * 69);
}
END_TEST

START_TEST(missing_alkalinity_closes_in_meq)
{
    sw_water w = water_of(4, 2, 1, 2, 2, 0);
    w.alkalinity_reported = false;
    sw_charge c = charge_of(&w);
    ck_assert_str_eq(c.missing, "alkalinity");
    ck_assert_double_eq_tol(sw_charge_closing_amount(&c), 3, 1e-9);
}
END_TEST

/* 35.453 mg of chloride and 22.990 of sodium are a meq. */
START_TEST(what_is_below_detection_may_be_as_much_as_its_limit)
{
    static const double limits[] = {0.5, 1, 20};
    for (int i = 0; i < 6; i++) {
        sw_component component = i % 2 ? SW_CL : SW_NA;
        double limit = limits[i / 2], meq = limit / (i % 2 ? 35.453 : 22.990);
        sw_water w = water_of(2, 0.5, 0, 0, 0.5, 1.5);
        sw_reading below = {.kind = SW_READS_COMPONENT,
                            .component = component,
                            .amount = limit,
                            .below_detection = true};
        w.readings = &below;
        w.reading_count = 1;
        w.below_detection[component] = true;
        sw_charge c = charge_of(&w);
        ck_assert_double_eq_tol(c.hidden_anions_meq_per_l, i % 2 ? meq : 0,
                                TOL_ROUNDED_WEIGHT);
        ck_assert_double_eq_tol(c.hidden_cations_meq_per_l, i % 2 ? 0 : meq,
                                TOL_ROUNDED_WEIGHT);
    }
}
END_TEST

/* What is not reported may be of either sign, where it is of that of the gap.
 */
START_TEST(a_gap_may_be_of_what_the_report_lacks)
{
    sw_charge c;
    for (int sign = -1; sign <= 1; sign += 2) {
        sw_water w = water_of(2, 0.5, 0.5, 1 - sign * 0.8, 0.5, 1.5);
        ck_assert_double_eq(sw_charge_either_gap(&w, &c), 0);
        w.reported[sign > 0 ? SW_S : SW_NA] = false;
        ck_assert_double_eq_tol(sw_charge_either_gap(&w, &c), sign * 0.8, 1e-9);
        w.reported[SW_S] = w.reported[SW_NA] = true;
        w.reported[sign > 0 ? SW_NA : SW_S] = false;
        ck_assert_double_eq(sw_charge_either_gap(&w, &c), 0);
    }
}
END_TEST

START_TEST(nothing_closes_when_two_are_missing_or_the_sign_is_wrong)
{
    sw_water w = water_of(4, 2, 0, 0, 2, 3);
    w.reported[SW_NA] = w.reported[SW_CL] = false;
    sw_charge c = charge_of(&w);
    ck_assert_str_eq(c.missing, "Na, Cl");
    ck_assert_double_nan(sw_charge_closing_amount(&c));
    w.reported[SW_CL] = true;
    c = charge_of(&w);
    ck_assert_double_nan(sw_charge_closing_amount(&c));
}
END_TEST

START_TEST(an_acid_water_needs_no_alkalinity_and_counts_its_hydrogen)
{
    sw_water w = water_of(0.1, 0.1, 0.3, 0.4, 0.2, 0);
    w.ph = 4.0;
    w.alkalinity_reported = false;
    sw_charge c = charge_of(&w);
    ck_assert_str_eq(c.missing, "");
    ck_assert_double_eq_tol(c.cations_meq_per_l, 0.6, 1e-9);
}
END_TEST

START_TEST(an_empty_report_has_no_percentage)
{
    sw_water w = {.ph = NAN};
    sw_charge c = charge_of(&w);
    ck_assert_int_eq(c.missing_count, 6);
    ck_assert_double_nan(sw_charge_percent(&c));
    ck_assert_double_nan(sw_charge_limit_percent(&c));
}
END_TEST

START_TEST(what_carries_no_charge_counts_for_none)
{
    ck_assert_double_eq(sw_meq_per_mg(SW_B), 0.0);
    ck_assert_double_eq(sw_meq_per_mg(SW_UREA_N), 0.0);
    ck_assert_double_eq_tol(sw_meq_per_mg(SW_S), 2 / 32.06, 1e-4);
}
END_TEST

/* Richards 1954: Na / sqrt((Ca + Mg) / 2), all in meq/L. */
START_TEST(the_sodium_adsorption_ratio_follows_its_definition)
{
    sw_content content = {{0}};
    content.amount[SW_NA] = 10 * 22.99;
    content.amount[SW_CA] = 4 * 20.04;
    content.amount[SW_MG] = 4 * 12.15;
    ck_assert_double_eq_tol(sw_sodium_adsorption_ratio(&content), 5.0,
                            TOL_ROUNDED_WEIGHT * 5);
    content.amount[SW_CA] = content.amount[SW_MG] = 0;
    ck_assert_double_nan(sw_sodium_adsorption_ratio(&content));
}
END_TEST
