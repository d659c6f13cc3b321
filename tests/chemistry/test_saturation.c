/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Saturation indices and the pH from which a solid may form. */
#include "suite.h"

#include "chemistry/saturation.h"
#include "quantity/formula.h"
#include "tolerances.h"

static const sw_conditions CONDITIONS = {25, 4.2e-4, NULL, NULL};

static sw_content feed(void)
{
    sw_content c = {0};
    double *a = c.amount;
    a[SW_NO3_N] = 196;
    a[SW_NH4_N] = 14;
    a[SW_P] = 31;
    a[SW_K] = 235;
    a[SW_CA] = 160;
    a[SW_MG] = 49;
    a[SW_S] = 64;
    a[SW_FE] = 2;
    a[SW_CHELATED_FE] = 2;
    a[SW_ALKALINITY] = 0.1;
    return c;
}

static sw_chemistry chemistry_of(const sw_content *c, sw_carbonate carbonate)
{
    sw_chemistry out;
    ck_assert_int_eq(sw_equilibrate(c, &CONDITIONS, carbonate, &out, NULL),
                     SW_OK);
    for (int i = 0; i < SW_SOLID_COUNT; i++)
        ck_assert_double_nan(out.saturation[i].ph_onset);
    ck_assert_int_eq(sw_onsets(c, &CONDITIONS, carbonate, out.saturation, NULL),
                     SW_OK);
    return out;
}

START_TEST(every_solid_has_a_name_and_a_formula)
{
    ck_assert_str_eq(sw_solid_name(SW_GYPSUM), "gypsum");
    ck_assert_str_eq(sw_solid_formula(SW_STRUVITE), "MgNH4PO4·6H2O");
    ck_assert_ptr_null(sw_solid_name(SW_SOLID_COUNT));
    ck_assert_ptr_null(sw_solid_formula(SW_SOLID_COUNT));
}
END_TEST

START_TEST(two_solids_seldom_form)
{
    int count = 0;
    for (int i = 0; i < SW_SOLID_COUNT; i++)
        count += sw_seldom_forms((sw_solid)i);
    ck_assert_int_eq(count, 2);
    ck_assert(sw_seldom_forms(SW_HYDROXYAPATITE));
    ck_assert(sw_seldom_forms(SW_MANGANESE_PHOSPHATE));
}
END_TEST

START_TEST(a_solid_without_one_of_its_ions_has_no_index)
{
    sw_content c = feed();
    c.amount[SW_S] = 0;
    sw_chemistry out = chemistry_of(&c, SW_CARBONATE_KEPT);
    ck_assert(!out.saturation[SW_GYPSUM].defined);
    ck_assert_double_nan(out.saturation[SW_GYPSUM].index);
    ck_assert_double_nan(out.saturation[SW_GYPSUM].ph_onset);
    ck_assert(!out.saturation[SW_CALCITE].defined);
    ck_assert(out.saturation[SW_BRUSHITE].defined);
}
END_TEST

START_TEST(chelated_iron_forms_no_solid)
{
    sw_content c = feed();
    sw_chemistry out = chemistry_of(&c, SW_CARBONATE_KEPT);
    ck_assert(!out.saturation[SW_IRON_PHOSPHATE].defined);
    ck_assert(!out.saturation[SW_IRON_HYDROXIDE].defined);
}
END_TEST

START_TEST(bare_iron_is_oversaturated_in_a_feed)
{
    sw_content c = feed();
    c.amount[SW_CHELATED_FE] = 0;
    sw_chemistry out = chemistry_of(&c, SW_CARBONATE_KEPT);
    ck_assert_double_gt(out.saturation[SW_IRON_PHOSPHATE].index, 1);
    out = chemistry_of(&c, SW_CARBONATE_AIRED);
    ck_assert_double_gt(out.saturation[SW_IRON_PHOSPHATE].index, 1);
}
END_TEST

/* Fe2+ + 1/4 O2 + 3/2 H2O = FeOOH + 2 H+: the air makes an iron water acid. */
START_TEST(airing_an_iron_water_takes_up_its_alkalinity)
{
    sw_content c = {0};
    c.amount[SW_ALKALINITY] = 0.5;
    c.amount[SW_FE] = 0.25 * 55.845;
    sw_chemistry iron = chemistry_of(&c, SW_CARBONATE_AIRED);
    c.amount[SW_FE] = 0;
    sw_chemistry none = chemistry_of(&c, SW_CARBONATE_AIRED);
    ck_assert_double_lt(iron.ph, none.ph - 0.5);
}
END_TEST

/* The pH of the onset, brought about by strong base, has index 0. */
START_TEST(at_its_onset_a_solid_is_just_saturated)
{
    sw_content c = feed();
    sw_chemistry out = chemistry_of(&c, SW_CARBONATE_KEPT);
    double onset = out.saturation[SW_BRUSHITE].ph_onset;
    ck_assert_double_gt(onset, out.ph);
    sw_constants constants;
    sw_constants_at(25, &constants);
    sw_speciation s = {.constants = &constants, .ph_given = true, .ph = onset};
    ck_assert_int_eq(
        sw_totals_of(&c, constants.water_kg_per_l, false, &s.totals, NULL),
        SW_OK);
    ck_assert_int_eq(sw_speciate(&s, NULL), SW_OK);
    ck_assert_double_eq_tol(sw_ln_saturation(&s, &constants.solid[SW_BRUSHITE]),
                            0, TOL_ONSET);
}
END_TEST

START_TEST(onsets_come_sooner_for_the_less_soluble)
{
    sw_content c = feed();
    sw_chemistry out = chemistry_of(&c, SW_CARBONATE_KEPT);
    ck_assert_double_lt(out.saturation[SW_HYDROXYAPATITE].ph_onset,
                        out.saturation[SW_BRUSHITE].ph_onset);
    ck_assert_double_lt(out.saturation[SW_BRUSHITE].ph_onset,
                        out.saturation[SW_ACP].ph_onset);
    ck_assert_double_nan(out.saturation[SW_GYPSUM].ph_onset);
}
END_TEST

/* CRC Handbook: 0.205 g of CaSO4 in 100 g of water at 25 degC. */
START_TEST(a_saturated_gypsum_solution_has_index_zero)
{
    double molar_mass;
    sw_content per_g;
    sw_content c = {0};
    ck_assert_int_eq(sw_formula_content("CaSO4", 1, &per_g, &molar_mass, NULL),
                     SW_OK);
    sw_content_add(&c, 2.05 * 0.997, &per_g);
    sw_chemistry out = chemistry_of(&c, SW_CARBONATE_KEPT);
    ck_assert_double_eq_tol(out.saturation[SW_GYPSUM].index, 0, TOL_GYPSUM);
}
END_TEST

/* Stumm & Morgan 1996: calcite in water under 10^-3.5 atm of CO2, pH 8.3 and 1
 * meq/L of alkalinity (value from memory). */
START_TEST(calcite_in_water_in_air_comes_to_ph_8_3)
{
    sw_content c = {0};
    sw_chemistry out;
    sw_conditions then = {25, 3.162e-4, NULL, NULL};
    c.amount[SW_CA] = 0.5 * 40.078;
    c.amount[SW_ALKALINITY] = 1;
    ck_assert_int_eq(sw_equilibrate(&c, &then, SW_CARBONATE_AIRED, &out, NULL),
                     SW_OK);
    ck_assert_double_eq_tol(out.ph, 8.3, 0.05);
    ck_assert_double_eq_tol(out.saturation[SW_CALCITE].index, 0, 0.1);
}
END_TEST

/* Under the air's CO2 carbonate grows beyond all bounds as the pH rises. */
START_TEST(an_onset_is_found_below_where_the_model_ends)
{
    sw_content c = {0};
    c.amount[SW_CA] = 40;
    c.amount[SW_ALKALINITY] = 0.5;
    sw_chemistry out = chemistry_of(&c, SW_CARBONATE_AIRED);
    ck_assert_double_ge(out.saturation[SW_CALCITE].ph_onset, 7.5);
    ck_assert_double_le(out.saturation[SW_CALCITE].ph_onset, 8.6);
}
END_TEST
