/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The equilibrium from the outside: pH, carbon, and the linear pH row. */
#include "suite.h"

#include <math.h>

#include "chemistry/ph_row.h"
#include "tolerances.h"

/* A full nutrient feed without iron, mmol/L; alkalinity from its charges. */
static sw_content feed(double alkalinity)
{
    sw_content c = {0};
    c.amount[SW_NO3_N] = (14 - alkalinity) * 14.007;
    c.amount[SW_NH4_N] = 14.007;
    c.amount[SW_P] = 30.974;
    c.amount[SW_K] = 6 * 39.098;
    c.amount[SW_CA] = 4 * 40.078;
    c.amount[SW_MG] = 2 * 24.305;
    c.amount[SW_S] = 2 * 32.06;
    c.amount[SW_ALKALINITY] = alkalinity;
    return c;
}

START_TEST(pure_water_is_neutral_when_closed)
{
    sw_content none = {0};
    sw_conditions at = sw_conditions_default();
    sw_chemistry out;
    ck_assert_int_eq(sw_equilibrate(&none, &at, SW_CARBONATE_KEPT, &out, NULL),
                     SW_OK);
    ck_assert_double_eq_tol(out.ph, 7.0, 0.005);
}
END_TEST

START_TEST(pure_water_in_air_is_at_its_known_acidity)
{
    sw_content none = {0};
    sw_conditions at = sw_conditions_default();
    sw_chemistry out;
    ck_assert_int_eq(sw_equilibrate(&none, &at, SW_CARBONATE_AIRED, &out, NULL),
                     SW_OK);
    ck_assert_double_eq_tol(out.ph, 5.61, 0.02);
}
END_TEST

START_TEST(the_linear_row_and_the_equilibrium_agree)
{
    sw_conditions at = sw_conditions_default();
    sw_content c = feed(0.1);
    sw_ph_row row;
    sw_chemistry out;
    for (int round = 0; round < 6; round++) {
        ck_assert_int_eq(sw_ph_row_at(5.8, &c, &at, &row, NULL), SW_OK);
        double surplus = row.constant;
        for (int i = 0; i < SW_CARRIED_COUNT; i++)
            surplus += row.coefficient[i] * c.amount[i];
        c.amount[SW_ALKALINITY] -= surplus;
    }
    ck_assert_int_eq(sw_equilibrate(&c, &at, SW_CARBONATE_KEPT, &out, NULL),
                     SW_OK);
    ck_assert_double_eq_tol(out.ph, 5.8, 1e-6);
}
END_TEST

START_TEST(the_row_is_positive_when_the_solution_is_more_alkaline)
{
    sw_conditions at = sw_conditions_default();
    sw_content c = feed(0.1);
    sw_ph_row row;
    c.amount[SW_ALKALINITY] += 1;
    ck_assert_int_eq(sw_ph_row_at(5.8, &c, &at, &row, NULL), SW_OK);
    double surplus = row.constant;
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        surplus += row.coefficient[i] * c.amount[i];
    ck_assert_double_gt(surplus, 0.5);
}
END_TEST

START_TEST(what_the_guess_lacks_still_has_its_share)
{
    sw_conditions at = sw_conditions_default();
    sw_content none = {0};
    sw_ph_row row;
    ck_assert_int_eq(sw_ph_row_at(5.8, &none, &at, &row, NULL), SW_OK);
    /* H2PO4- = HPO4 2- + H+, pK 7.2: 4 % at pH 5.8; nitrate has no share. */
    ck_assert_double_eq_tol(-30.974 * row.coefficient[SW_P], 0.039, 0.002);
    /* what an ion does to the activity of protons: little even in water so
     * pure that the first ions count most */
    ck_assert_double_lt(fabs(14.007 * row.coefficient[SW_NO3_N]), 1e-3);
    ck_assert_double_eq(row.coefficient[SW_ALKALINITY], 1);
}
END_TEST

static double excess_at(const sw_content *content, double ph, bool aired)
{
    sw_conditions at = sw_conditions_default();
    sw_constants room;
    sw_ph_memory memory = {
        .ph = ph, .guess = content, .aired = aired, .room = &room};
    ck_assert_int_eq(sw_ph_rows_near((sw_ph_memory *[]){&memory}, 1, &at, NULL),
                     SW_OK);
    return sw_ph_row_sum(&memory.row, content) + memory.row.constant;
}

/* What a label leaves out counts as sodium or chloride: either has the slope
 * that it has where everything is possible, though the guess lacks it. */
START_TEST(what_is_undeclared_may_come_in)
{
    static const struct {
        double undeclared;
        sw_component counts_as;
    } cases[] = {{-1, SW_NA}, {1, SW_CL}};
    sw_conditions at = sw_conditions_default();
    sw_content c = feed(0.1);
    c.amount[SW_CARBON] = 1;
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_content possible = c;
        possible.amount[SW_UNDECLARED] = cases[i].undeclared;
        sw_ph_row row[3];
        for (int k = 0; k < 3; k++) {
            sw_constants room;
            sw_ph_memory memory = {.ph = 7,
                                   .guess = &c,
                                   .possible = k == 0   ? NULL
                                               : k == 1 ? &possible
                                                        : &c,
                                   .room = &room};
            ck_assert_int_eq(
                sw_ph_rows_near((sw_ph_memory *[]){&memory}, 1, &at, NULL),
                SW_OK);
            row[k] = memory.row;
        }
        double all = row[0].coefficient[cases[i].counts_as];
        double it = row[1].coefficient[cases[i].counts_as];
        double none = row[2].coefficient[cases[i].counts_as];
        ck_assert_double_eq_tol(it, all, 1e-6 * fabs(all));
        ck_assert_double_gt(fabs(none - all), 1e-3 * fabs(all));
    }
}
END_TEST

/* Against differences of whole speciations of a content a thousandth apart. */
START_TEST(the_row_is_the_slope_of_the_whole_speciation)
{
    sw_conditions at = sw_conditions_default();
    for (int i = 0; i < 6; i++) {
        double ph = 5 + i / 2;
        bool aired = i % 2;
        sw_content c = feed(0.1);
        c.amount[SW_CHELATE_CHARGE] =
            i < 3 ? 0.05 : -0.05; /* anions; cations */
        sw_constants room;
        sw_ph_memory memory = {
            .ph = ph, .guess = &c, .aired = aired, .room = &room};
        ck_assert_int_eq(
            sw_ph_rows_near((sw_ph_memory *[]){&memory}, 1, &at, NULL), SW_OK);
        sw_ph_row row = memory.row;
        for (int k = 0; k < SW_CARRIED_COUNT; k++) {
            double step = 1e-3 * c.amount[k];
            sw_content more = c, less = c;
            if (step == 0)
                continue;
            more.amount[k] += step;
            less.amount[k] -= step;
            double slope =
                (excess_at(&more, ph, aired) - excess_at(&less, ph, aired)) /
                (2 * step);
            ck_assert_double_eq_tol(row.coefficient[k], slope,
                                    1e-11 + 2e-6 * fabs(slope));
        }
    }
}
END_TEST

START_TEST(chelated_metal_has_no_part_in_the_row)
{
    sw_conditions at = sw_conditions_default();
    sw_content c = feed(0.1);
    sw_ph_row row;
    ck_assert_int_eq(sw_ph_row_at(9, &c, &at, &row, NULL), SW_OK);
    ck_assert_double_lt(row.coefficient[SW_CU], 0);
    ck_assert_double_eq(row.coefficient[SW_CU],
                        -row.coefficient[SW_CHELATED_CU]);
}
END_TEST

START_TEST(a_row_out_of_its_domain_is_refused)
{
    sw_conditions at = sw_conditions_default();
    sw_conditions cold = {1, 4.2e-4, NULL, NULL};
    sw_content c = feed(0.1);
    sw_ph_row row;
    ck_assert_int_eq(sw_ph_row_at(1, &c, &at, &row, NULL), SW_ERR_VALUE);
    ck_assert_int_eq(sw_ph_row_at(NAN, &c, &at, &row, NULL), SW_ERR_VALUE);
    ck_assert_int_eq(sw_ph_row_at(13, &c, &at, &row, NULL), SW_ERR_VALUE);
    ck_assert_int_eq(sw_ph_row_at(6, &c, &cold, &row, NULL), SW_ERR_VALUE);
    c.amount[SW_K] = -3;
    ck_assert_int_eq(sw_ph_row_at(6, &c, &at, &row, NULL), SW_ERR_VALUE);
    c.amount[SW_K] = 90000;
    c.amount[SW_CL] = 80000;
    ck_assert_int_eq(sw_ph_row_at(6, &c, &at, &row, NULL), SW_ERR_VALUE);
}
END_TEST

START_TEST(an_equilibrium_out_of_its_domain_is_refused)
{
    sw_conditions at = sw_conditions_default();
    sw_conditions cold = {1, 4.2e-4, NULL, NULL};
    sw_content c = feed(0.1);
    sw_chemistry out;
    ck_assert_int_eq(sw_equilibrate(&c, &cold, SW_CARBONATE_KEPT, &out, NULL),
                     SW_ERR_VALUE);
    c.amount[SW_CL] = -1;
    ck_assert_int_eq(sw_equilibrate(&c, &at, SW_CARBONATE_KEPT, &out, NULL),
                     SW_ERR_VALUE);
    c.amount[SW_CL] = 80000;
    c.amount[SW_K] = 90000;
    ck_assert_int_eq(sw_equilibrate(&c, &at, SW_CARBONATE_KEPT, &out, NULL),
                     SW_ERR_VALUE);
}
END_TEST

START_TEST(charges_are_summed_as_analysed)
{
    sw_conditions at = sw_conditions_default();
    sw_content c = feed(0.5);
    sw_chemistry out;
    c.amount[SW_FE] = 5.5845;
    c.amount[SW_CHELATED_FE] = 5.5845;
    c.amount[SW_CHELATE_CHARGE] = 0.1;
    ck_assert_int_eq(sw_equilibrate(&c, &at, SW_CARBONATE_KEPT, &out, NULL),
                     SW_OK);
    ck_assert_double_eq_tol(out.cations_meq_per_l, 19, 1e-3);
    ck_assert_double_eq_tol(out.anions_meq_per_l, 19.1, 1e-3);
    ck_assert_double_eq_tol(out.ec_sum_cations_ms_per_cm, 1.9, 1e-3);
    ck_assert_double_eq(out.alkalinity_meq_per_l, 0.5);
    ck_assert_double_le(out.balance_residual, TOL_BALANCE);
    ck_assert_double_gt(out.balance_residual, 0); /* of doubles */
}
END_TEST

START_TEST(conductivity_is_at_25_degrees_whatever_the_temperature)
{
    sw_conditions at = {12, 4.2e-4, NULL, NULL};
    sw_content c = feed(0.5);
    sw_chemistry cold;
    sw_chemistry warm;
    ck_assert_int_eq(sw_equilibrate(&c, &at, SW_CARBONATE_AIRED, &cold, NULL),
                     SW_OK);
    at.temperature_c = 25;
    ck_assert_int_eq(sw_equilibrate(&c, &at, SW_CARBONATE_AIRED, &warm, NULL),
                     SW_OK);
    ck_assert_double_eq_tol(cold.ec_ms_per_cm / warm.ec_ms_per_cm, 1, 0.01);
    ck_assert_double_lt(warm.ec_low_ms_per_cm, warm.ec_ms_per_cm);
    ck_assert_double_gt(warm.ec_high_ms_per_cm, warm.ec_ms_per_cm);
}
END_TEST

/*
 * Steiner 1961: 30 mg-ions per litre have 0.72 atm (value from memory).  That
 * is the ideal law at 20 degC; the ions' pull on each other takes a tenth off
 * it.
 */
START_TEST(the_universal_solution_has_its_osmotic_pressure)
{
    sw_conditions at = {20, 4.2e-4, NULL, NULL};
    sw_content c = {0};
    sw_chemistry out;
    c.amount[SW_NO3_N] = 12 * 14.007;
    c.amount[SW_P] = 30.974;
    c.amount[SW_S] = 3.5 * 32.06;
    c.amount[SW_K] = 7 * 39.098;
    c.amount[SW_CA] = 4.5 * 40.078;
    c.amount[SW_MG] = 2 * 24.305;
    ck_assert_int_eq(sw_equilibrate(&c, &at, SW_CARBONATE_KEPT, &out, NULL),
                     SW_OK);
    double ideal_kpa = 0.030 * 8.314462 * 293.15;
    ck_assert_double_eq_tol(ideal_kpa / 101.325, 0.72, 0.005);
    ck_assert_double_eq_tol(out.osmotic_pressure_kpa / ideal_kpa, 0.89,
                            TOL_OSMOTIC);
}
END_TEST

/* Robinson & Stokes 1959: osmotic coefficient of NaCl 0.932 at 0.1 mol/kg. */
START_TEST(sodium_chloride_has_its_known_osmotic_coefficient)
{
    sw_conditions at = sw_conditions_default();
    sw_content c = {0};
    sw_chemistry out;
    double kg = 0.99705 - 0.3 * 0.0058;
    c.amount[SW_NA] = 0.1 * 22990 * kg;
    c.amount[SW_CL] = 0.1 * 35450 * kg;
    ck_assert_int_eq(sw_equilibrate(&c, &at, SW_CARBONATE_KEPT, &out, NULL),
                     SW_OK);
    double ideal = 0.2 * 8.314462 * 298.15 * 0.99705;
    ck_assert_double_eq_tol(out.osmotic_pressure_kpa / ideal, 0.932, 0.005);
}
END_TEST

START_TEST(urea_presses_but_does_not_conduct)
{
    sw_conditions at = sw_conditions_default();
    sw_content c = {0};
    sw_chemistry out;
    c.amount[SW_UREA_N] = 280.14;
    ck_assert_int_eq(sw_equilibrate(&c, &at, SW_CARBONATE_KEPT, &out, NULL),
                     SW_OK);
    ck_assert_double_eq_tol(out.osmotic_pressure_kpa, 24.8, 0.1);
    ck_assert_double_lt(out.ec_ms_per_cm, 1e-4);
}
END_TEST

/* At their temperature, at the conductivity's, and at one they are not of. */
/* The share that is ammonia, of pH and temperature: Emerson et al. 1975, J.
 * Fish. Res. Board Can. 32:2379 (its formula from memory). */
START_TEST(ammonium_with_lye_is_ammonia_as_published)
{
    static const double lye_meq_per_l[] = {0.02, 0.5, 0.9}, at_c[] = {10, 25};
    for (int i = 0; i < 6; i++) {
        sw_content c = {0};
        sw_conditions at = {at_c[i % 2], 4.2e-4, NULL, NULL};
        sw_chemistry out;
        double lye = lye_meq_per_l[i / 2];
        c.amount[SW_NH4_N] = 14.007;
        c.amount[SW_CL] = 35.45;
        c.amount[SW_NA] = 22.990 * lye;
        c.amount[SW_ALKALINITY] = lye;
        ck_assert_int_eq(sw_equilibrate(&c, &at, SW_CARBONATE_KEPT, &out, NULL),
                         SW_OK);
        double pka = 0.09018 + 2729.92 / (at.temperature_c + 273.15);
        ck_assert_double_eq_tol(out.ammonia_n_mg_per_l / 14.007,
                                1 / (1 + pow(10, pka - out.ph)), 0.02);
        ck_assert_double_gt(out.ammonia_n_mg_per_l / 14.007, 0.9 * lye - 0.02);
    }
}
END_TEST

START_TEST(tables_made_once_change_no_digit)
{
    const double at_c[] = {12, 25, 31};
    sw_tables *tables;
    ck_assert_int_eq(sw_tables_new(12, &tables, NULL), SW_OK);
    for (int i = 0; i < 6; i++) {
        sw_content c = feed(0.5);
        sw_carbonate carbonate = (sw_carbonate)(i % 2);
        sw_conditions at = {at_c[i / 2], 4.2e-4, NULL, NULL};
        sw_chemistry own = {0}, shared = {0};
        ck_assert_int_eq(sw_equilibrate(&c, &at, carbonate, &own, NULL), SW_OK);
        at.tables = tables;
        ck_assert_int_eq(sw_equilibrate(&c, &at, carbonate, &shared, NULL),
                         SW_OK);
        ck_assert_double_eq(shared.ph, own.ph);
        ck_assert_double_eq(shared.ec_ms_per_cm, own.ec_ms_per_cm);
        ck_assert_double_eq(shared.saturation[SW_GYPSUM].index,
                            own.saturation[SW_GYPSUM].index);
    }
    sw_tables_free(tables);
    ck_assert_int_eq(sw_tables_new(60, &tables, NULL), SW_ERR_VALUE);
    ck_assert_ptr_null(tables);
}
END_TEST
