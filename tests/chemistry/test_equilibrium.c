/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The equilibrium from the outside: pH, carbon, and the linear pH row. */
#include "suite.h"

#include <math.h>

#include "chemistry/ph_row.h"

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

START_TEST(completing_a_water_gives_back_its_ph)
{
    sw_conditions at = sw_conditions_default();
    sw_notes notes = {0};
    sw_content c;
    sw_chemistry out;
    sw_water water = {.sample = "test",
                      .ph = 7.4,
                      .temperature_c = 25,
                      .alkalinity_reported = true};
    water.per_l.amount[SW_CA] = 100;
    water.per_l.amount[SW_ALKALINITY] = 5;
    ck_assert_int_eq(sw_water_complete(&water, &at, &c, &notes, NULL), SW_OK);
    ck_assert_uint_eq(notes.count, 0);
    ck_assert_int_eq(sw_equilibrate(&c, &at, SW_CARBONATE_KEPT, &out, NULL),
                     SW_OK);
    ck_assert_double_eq_tol(out.ph, 7.4, 1e-6);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {
        pure_water_is_neutral_when_closed,
        pure_water_in_air_is_at_its_known_acidity,
        the_linear_row_and_the_equilibrium_agree,
        the_row_is_positive_when_the_solution_is_more_alkaline,
        completing_a_water_gives_back_its_ph,
        NULL};
    return run_suite(suite_of("equilibrium", tests));
}
