/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shares of purified water: at the share said, the blend is at the limit. */
#include "suite.h"
#include "tolerances.h"

#include "assess/audit.h"

#include <math.h>

/* Invented brackish water, mg/L and meq/L. */
static sw_content brackish(void)
{
    sw_content c = {{0}};
    c.amount[SW_CA] = 60;
    c.amount[SW_MG] = 20;
    c.amount[SW_NA] = 460;
    c.amount[SW_CL] = 600;
    c.amount[SW_S] = 50;
    c.amount[SW_B] = 1.5;
    c.amount[SW_ALKALINITY] = 4;
    c.amount[SW_CARBON] = 4.3;
    return c;
}

static sw_content permeate(void)
{
    sw_content c = {{0}};
    c.amount[SW_NA] = c.amount[SW_CL] = 8;
    c.amount[SW_CA] = 0.5;
    c.amount[SW_B] = 0.6;
    c.amount[SW_ALKALINITY] = c.amount[SW_CARBON] = 0.15;
    return c;
}

static sw_content blend(const sw_content *water, const sw_content *purified,
                        double share)
{
    sw_content c = {{0}};
    sw_content_add(&c, 1 - share, water);
    sw_content_add(&c, share, purified);
    return c;
}

static sw_guideline_row row_of(const char *name, double value, double caution)
{
    sw_guideline_row row = {.value = value,
                            .caution = caution,
                            .severe = NAN,
                            .fitness = SW_CARE,
                            .unit = "mg/L"};
    snprintf(row.name, sizeof row.name, "%s", name);
    return row;
}

static double share_of(const sw_content *water, const sw_content *purified,
                       sw_guideline_row row)
{
    sw_conditions conditions = sw_conditions_default();
    sw_chemistry chemistry;
    sw_facts facts = {.per_l = water, .ph = 7.5};
    ck_assert_int_eq(
        sw_equilibrate(water, &conditions, SW_CARBONATE_KEPT, &chemistry, NULL),
        SW_OK);
    facts.ec_ms_per_cm = 1.05 * chemistry.ec_ms_per_cm; /* as a meter might */
    sw_dilution dilution = {&facts, purified, &conditions};
    ck_assert_int_eq(sw_dilution_share(&dilution, &row, NULL), SW_OK);
    return row.purified_share;
}

START_TEST(an_ion_is_solved_as_a_line)
{
    sw_content water = brackish(), pure = {{0}}, ro = permeate();
    double share = share_of(&water, &pure, row_of("Cl", 600, 150));
    ck_assert_double_eq_tol(share, 0.75, 1e-12);
    share = share_of(&water, &ro, row_of("Cl", 600, 150));
    sw_content at = blend(&water, &ro, share);
    ck_assert_double_eq_tol(at.amount[SW_CL], 150, 1e-9);
}
END_TEST

START_TEST(alkalinity_is_solved_in_the_unit_it_is_shown_in)
{
    sw_content water = brackish(), ro = permeate();
    double share =
        share_of(&water, &ro, row_of("alkalinity", 4 * 50.04, 2 * 50.04));
    sw_content at = blend(&water, &ro, share);
    ck_assert_double_eq_tol(at.amount[SW_ALKALINITY], 2, 1e-9);
}
END_TEST

START_TEST(ec_is_found_on_the_blend_not_by_proportion)
{
    sw_content water = brackish(), pure = {{0}};
    sw_conditions conditions = sw_conditions_default();
    sw_chemistry at_start, at_share;
    ck_assert_int_eq(
        sw_equilibrate(&water, &conditions, SW_CARBONATE_KEPT, &at_start, NULL),
        SW_OK);
    double measured = 1.05 * at_start.ec_ms_per_cm;
    double share = share_of(&water, &pure, row_of("EC", measured, 0.7));
    sw_content at = blend(&water, &pure, share);
    ck_assert_int_eq(
        sw_equilibrate(&at, &conditions, SW_CARBONATE_KEPT, &at_share, NULL),
        SW_OK);
    ck_assert_double_eq_tol(1.05 * at_share.ec_ms_per_cm, 0.7, TOL_SHARE_OF_EC);
    ck_assert_double_gt(share, 1 - 0.7 / measured);
}
END_TEST

START_TEST(no_share_helps_where_purified_water_has_more)
{
    sw_content water = brackish(), ro = permeate();
    ck_assert_double_nan(share_of(&water, &ro, row_of("B", 1.5, 0.5)));
    ck_assert_double_nan(share_of(&water, &water, row_of("EC", 2.7, 0.7)));
}
END_TEST

START_TEST(what_is_fit_or_bound_from_below_asks_for_none)
{
    sw_content water = brackish(), pure = {{0}};
    sw_guideline_row fit = row_of("Cl", 600, 700);
    fit.fitness = SW_FIT;
    ck_assert_double_nan(share_of(&water, &pure, fit));
    sw_guideline_row below = row_of("EC by SAR", 0.3, 0.7);
    below.below = true;
    ck_assert_double_nan(share_of(&water, &pure, below));
    ck_assert_double_nan(share_of(&water, &pure, row_of("pH", 9, 8.4)));
}
END_TEST

START_TEST(solids_and_trace_metals_of_purified_water_count_as_none)
{
    sw_content water = brackish(), ro = permeate();
    ck_assert_double_eq_tol(share_of(&water, &ro, row_of("TDS", 900, 450)), 0.5,
                            1e-12);
    ck_assert_double_eq_tol(share_of(&water, &ro, row_of("Cd", 0.04, 0.01)),
                            0.75, 1e-12);
}
END_TEST

START_TEST(a_brine_beyond_the_chemistry_has_no_share_for_ec)
{
    sw_content water = {{0}}, pure = {{0}};
    sw_conditions conditions = sw_conditions_default();
    water.amount[SW_NA] = 100000;
    water.amount[SW_CL] = 154000;
    sw_facts facts = {.per_l = &water, .ph = 7, .ec_ms_per_cm = 200};
    sw_dilution dilution = {&facts, &pure, &conditions};
    sw_guideline_row row = row_of("EC", 200, 0.7);
    ck_assert_int_eq(sw_dilution_share(&dilution, &row, NULL), SW_OK);
    ck_assert_double_nan(row.purified_share);
}
END_TEST
