/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Published rules for neutralising alkalinity with acid.  Those that are sound
 * are met; those that are not are named with the reason, and must not be met.
 *
 * Sources: Univ. Massachusetts Extension, Adjusting Alkalinity with Acids;
 * North Carolina State Univ., Horticulture Information Leaflet 558 (Bailey,
 * Bilderback, Bir; values from memory); Florida FAWN/IFAS table A-2-1.
 */
#include "suite.h"

#include <math.h>

#include "assess/ph_dose.h"
#include "chemistry/ph_row.h"
#include "quantity/formula.h"
#include "tolerances.h"

static const double FL_OZ_ML = 29.5735;
static const double GAL_L = 3.785412;
static const double CACO3_MG_PER_MEQ = 50.043;
static const sw_conditions CONDITIONS = {25, 4.2e-4, NULL, NULL};

/* What one mL of an acid of a strength and density carries. */
static sw_content per_ml(const char *formula, double strength, double density)
{
    sw_content per_g;
    sw_content out = {0};
    ck_assert_int_eq(sw_formula_content(formula, strength, &per_g, NULL, NULL),
                     SW_OK);
    sw_content_add(&out, density, &per_g);
    return out;
}

/* One fluid ounce in some gallons, per litre. */
static sw_content ounce_in(double gallons, sw_content acid)
{
    sw_content out = {0};
    sw_content_add(&out, FL_OZ_ML / (gallons * GAL_L), &acid);
    return out;
}

static double neutralised_caco3(const sw_content *c)
{
    return -c->amount[SW_ALKALINITY] * CACO3_MG_PER_MEQ;
}

/* mL of acid in 100 gal that 1 mg/L CaCO3 takes. */
static double ml_per_caco3(sw_content acid)
{
    return 100 * GAL_L / neutralised_caco3(&acid);
}

START_TEST(sulfuric_acid_agrees_with_massachusetts)
{
    sw_content c = ounce_in(100, per_ml("H2SO4", 0.93, 1.835));
    ck_assert_double_eq_tol(c.amount[SW_S], 43.6, 0.05);
    ck_assert_double_eq_tol(neutralised_caco3(&c) / 136.0, 1, TOL_ACID_TABLE);
}
END_TEST

/*
 * The nitrogen it prints for an ounce, 14.3 to 14.6 mg/L, is left out: acid of
 * the stated 63 % brings 15.1, and the table was read through a poor copy.
 */
START_TEST(the_nitric_factor_agrees_with_massachusetts)
{
    sw_content acid = per_ml("HNO3", 0.63, 1.381);
    ck_assert_double_eq_tol(ml_per_caco3(acid) / 0.56, 1, TOL_ACID_FACTOR);
}
END_TEST

START_TEST(the_added_element_agrees_with_north_carolina)
{
    sw_content n = ounce_in(1000, per_ml("HNO3", 0.67, 1.40));
    sw_content p = ounce_in(1000, per_ml("H3PO4", 0.75, 1.58));
    sw_content s = ounce_in(1000, per_ml("H2SO4", 0.35, 1.26));
    ck_assert_double_eq_tol(n.amount[SW_NO3_N] / 1.64, 1, TOL_ACID_TABLE);
    ck_assert_double_eq_tol(p.amount[SW_P] / 2.90, 1, TOL_ACID_TABLE);
    ck_assert_double_eq_tol(s.amount[SW_S] / 1.14, 1, TOL_ACID_TABLE);
}
END_TEST

/* Leaflet 558: neutralising about 80 % of the alkalinity gives pH 5.8. */
START_TEST(eighty_percent_neutralised_is_about_ph_5_8)
{
    sw_notes notes = {0};
    sw_content c;
    sw_chemistry out;
    sw_water w = {.sample = "well",
                  .ph = 7.6,
                  .temperature_c = 25,
                  .ec_ms_per_cm = NAN,
                  .tds_mg_per_l = NAN,
                  .hardness_meq_per_l = NAN,
                  .ca_hardness_meq_per_l = NAN,
                  .alkalinity_reported = true};
    w.per_l.amount[SW_CA] = 60;
    w.per_l.amount[SW_ALKALINITY] = 3;
    ck_assert_int_eq(sw_water_complete(&w, &CONDITIONS, &c, &notes, NULL),
                     SW_OK);
    c.amount[SW_NO3_N] += 0.8 * 3 * 14.007;
    c.amount[SW_ALKALINITY] -= 0.8 * 3;
    ck_assert_int_eq(
        sw_equilibrate(&c, &CONDITIONS, SW_CARBONATE_KEPT, &out, NULL), SW_OK);
    ck_assert_double_eq_tol(out.ph, 5.8, TOL_ACID_RULE_PH);
}
END_TEST

/*
 * The amount told of 93 % sulfuric acid for pH 5.8 in a closed tank is that of
 * Leaflet 558's rule by the factor of Florida's table, 8.7 mL in 100 gal for
 * each meq/L at 80 %; an open tank takes all of the alkalinity.
 */
START_TEST(the_acid_told_for_a_water_agrees_with_the_rules)
{
    sw_product *acid;
    sw_ph_amount closed, open;
    sw_content water = {0};
    ck_assert_int_eq(sw_catalogue_find("sulfuric acid 93 %", &acid, NULL),
                     SW_OK);
    water.amount[SW_CA] = 100;
    water.amount[SW_ALKALINITY] = 5;
    water.amount[SW_CARBON] = 5.3;
    sw_ph_goal goal = {&water, CONDITIONS, SW_CARBONATE_KEPT, 5.8};
    ck_assert_int_eq(sw_ph_dose(&goal, acid, &closed, NULL), SW_OK);
    goal.carbonate = SW_CARBONATE_AIRED;
    ck_assert_int_eq(sw_ph_dose(&goal, acid, &open, NULL), SW_OK);
    double per_100_gal = 100 * GAL_L;
    ck_assert_double_eq_tol(closed.ml_per_l * per_100_gal / (8.7 * 5), 1,
                            TOL_ACID_RULE_SHARE);
    ck_assert_double_eq_tol(open.ml_per_l * per_100_gal * 0.8 / (8.7 * 5), 1,
                            TOL_ACID_FACTOR);
    sw_product_free(acid);
}
END_TEST

/* Florida: mL per 100 gal for 80 % of each meq/L. */
static double florida_factor(sw_content acid)
{
    return 0.8 * 100 * GAL_L / -acid.amount[SW_ALKALINITY];
}

START_TEST(strong_acids_agree_with_florida)
{
    ck_assert_double_eq_tol(florida_factor(per_ml("H2SO4", 0.93, 1.83)) / 8.7,
                            1, TOL_ACID_FACTOR);
    ck_assert_double_eq_tol(florida_factor(per_ml("HCl", 0.32, 1.16)) / 29.6, 1,
                            TOL_ACID_FACTOR);
}
END_TEST

/* Protons a mol of phosphoric acid gives at a pH, in all but pure water. */
static double protons_given(double ph)
{
    sw_content none = {0};
    sw_ph_row row;
    ck_assert_int_eq(sw_ph_row_at(ph, &none, &CONDITIONS, &row, NULL), SW_OK);
    return 1 - row.coefficient[SW_P] * 30.974;
}

/* By pKa2 = 7.2: the share of HPO4 2- adds to the first proton. */
START_TEST(phosphoric_acid_gives_little_more_than_one_proton)
{
    static const double expected[][2] = {
        {5.5, 1.02}, {5.8, 1.04}, {6.0, 1.06}, {6.2, 1.09}, {6.35, 1.12}};
    for (size_t i = 0; i < 5; i++)
        ck_assert_double_eq_tol(protons_given(expected[i][0]), expected[i][1],
                                0.01);
}
END_TEST

/*
 * Not met: 0.23 mL of 93 % sulfuric acid per mg/L in 100 gal, and the worked
 * example of 23 mL.  The same table's 136.0 mg/L for an ounce gives 0.217, so
 * the factor was rounded up by 6 %.
 */
START_TEST(the_sulfuric_factor_of_massachusetts_is_not_copied)
{
    double factor = ml_per_caco3(per_ml("H2SO4", 0.93, 1.835));
    ck_assert_double_eq_tol(factor, FL_OZ_ML / 136.0, 0.001);
    ck_assert_double_gt(0.23 / factor, 1.05);
}
END_TEST

/*
 * Not met: 25.6 mg/L of P and 45.0 mg/L CaCO3 from an ounce of 75 % phosphoric
 * acid.  They need a density near 1.38; that acid's is 1.58.
 */
START_TEST(the_phosphoric_row_of_massachusetts_is_not_copied)
{
    sw_content right = ounce_in(100, per_ml("H3PO4", 0.75, 1.58));
    sw_content wrong = ounce_in(100, per_ml("H3PO4", 0.75, 1.38));
    ck_assert_double_gt(right.amount[SW_P] / 25.6, 1.12);
    ck_assert_double_eq_tol(wrong.amount[SW_P] / 25.6, 1, TOL_ACID_TABLE);
}
END_TEST

/*
 * Not met: 6.8 mL of 85 % phosphoric acid, which counts three protons.  Near
 * pH 4.75 it gives one, so it takes three times as much.
 */
START_TEST(the_phosphoric_factor_of_florida_is_not_copied)
{
    sw_content acid = per_ml("H3PO4", 0.85, 1.69);
    double factor = florida_factor(acid) / protons_given(4.75);
    ck_assert_double_eq_tol(factor, 20.6, 0.2);
    ck_assert_double_gt(factor / 6.8, 2.9);
}
END_TEST
