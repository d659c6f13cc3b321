/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The inorganic carbon of a water, and what is assumed where it is unknown. */
#include "suite.h"

#include <math.h>
#include <string.h>

#include "chemistry/equilibrate.h"
#include "tolerances.h"

static const sw_conditions CONDITIONS = {25, 4.2e-4, NULL, NULL};

/* A hard well water; NaN where it reports nothing. */
static sw_water well(double ph, double alkalinity)
{
    sw_water w = {.sample = "well",
                  .ph = ph,
                  .ec_ms_per_cm = NAN,
                  .temperature_c = NAN,
                  .alkalinity_reported = !isnan(alkalinity)};
    w.per_l.amount[SW_CA] = 80;
    w.per_l.amount[SW_MG] = 15;
    w.per_l.amount[SW_NA] = 20;
    w.per_l.amount[SW_CL] = 30;
    w.per_l.amount[SW_ALKALINITY] = isnan(alkalinity) ? 0 : alkalinity;
    return w;
}

static sw_content completed(const sw_water *w, sw_notes *notes)
{
    sw_content c;
    ck_assert_int_eq(sw_water_complete(w, &CONDITIONS, &c, notes, NULL), SW_OK);
    return c;
}

static double ph_of(const sw_content *c, double temperature_c)
{
    sw_chemistry out;
    sw_conditions at = {temperature_c, CONDITIONS.co2_atm, NULL, NULL};
    ck_assert_int_eq(sw_equilibrate(c, &at, SW_CARBONATE_KEPT, &out, NULL),
                     SW_OK);
    return out.ph;
}

static void assert_only_note(sw_notes *notes, const char *code)
{
    ck_assert_uint_eq(notes->count, 1);
    ck_assert_str_eq(notes->items[0].code, code);
    ck_assert_ptr_nonnull(strstr(notes->items[0].text, "well"));
    sw_notes_free(notes);
}

START_TEST(a_reported_ph_comes_back)
{
    static const double phs[] = {4.6, 5.5, 6.5, 7.4, 8.2, 9.5};
    for (size_t i = 0; i < 6; i++) {
        sw_notes notes = {0};
        sw_water w = well(phs[i], 4);
        sw_content c = completed(&w, &notes);
        /* 1 atm of CO2, 34 mmol/L, brings 4 meq/L to 5.4 */
        bool impossible = phs[i] < 5.4;
        if (impossible)
            assert_only_note(&notes, "ph-impossible");
        else
            ck_assert_uint_eq(notes.count, 0);
        ck_assert_int_eq(sw_alkalinity_is_known(&c), !impossible);
        ck_assert_double_eq_tol(ph_of(&c, 25), phs[i], TOL_SAME_PH);
        ck_assert_double_eq(c.amount[SW_ALKALINITY], 4);
    }
}
END_TEST

START_TEST(the_water_keeps_its_own_temperature)
{
    sw_notes notes = {0};
    sw_water w = well(7.2, 4);
    w.temperature_c = 11;
    sw_content c = completed(&w, &notes);
    ck_assert_uint_eq(notes.count, 0);
    ck_assert_double_eq_tol(ph_of(&c, 11), 7.2, TOL_SAME_PH);
    ck_assert_double_ne(ph_of(&c, 25), 7.2);
}
END_TEST

START_TEST(a_temperature_beyond_the_constants_is_noted)
{
    sw_notes notes = {0};
    sw_water w = well(7.2, 4);
    w.temperature_c = 55;
    sw_content c = completed(&w, &notes);
    assert_only_note(&notes, "temperature-outside");
    ck_assert_double_eq_tol(ph_of(&c, 25), 7.2, TOL_SAME_PH);
    w.temperature_c = 2;
    completed(&w, &notes);
    assert_only_note(&notes, "temperature-outside");
}
END_TEST

START_TEST(a_missing_ph_is_assumed_and_noted)
{
    sw_notes notes = {0};
    sw_water w = well(NAN, 0.4);
    sw_content c = completed(&w, &notes);
    assert_only_note(&notes, "ph-assumed");
    ck_assert_double_eq_tol(ph_of(&c, 25), 7.5, TOL_SAME_PH);
}
END_TEST

/* What is assumed for the sake of an EC is told of no pH. */
START_TEST(a_missing_ph_of_a_buffered_water_is_not_said_to_be_assumed)
{
    sw_notes notes = {0};
    sw_water w = well(NAN, 4);
    sw_content c = completed(&w, &notes);
    assert_only_note(&notes, "ph-missing");
    ck_assert(!sw_co2_is_known(&c));
}
END_TEST

START_TEST(water_without_ph_and_alkalinity_is_taken_in_air)
{
    sw_notes notes = {0};
    sw_water w = {.sample = "well", .ph = NAN, .temperature_c = NAN};
    sw_content c = completed(&w, &notes);
    assert_only_note(&notes, "ph-assumed");
    ck_assert_double_eq_tol(ph_of(&c, 25), 5.61, 0.02);
    ck_assert_double_eq_tol(c.amount[SW_ALKALINITY], 0, 1e-9);
}
END_TEST

/* Tap waters, and what is rain or purified by all that is told of it. */
START_TEST(what_is_not_pure_needs_its_ph_and_alkalinity)
{
    static const struct {
        double ec, tds, hardness, ca;
        bool solution, warns;
    } waters[] = {
        {0.05, NAN, NAN, 0, false, false}, {NAN, NAN, NAN, 5, false, true},
        {NAN, 20, 0.2, 2, false, false},   {2, NAN, NAN, 180, true, true},
        {0.6, NAN, NAN, 0, false, true},   {NAN, 400, NAN, 0, false, true},
        {NAN, NAN, 5, 0, false, true},     {NAN, NAN, NAN, 80, false, true},
        {NAN, NAN, 0.1, 1, false, true},   {0.05, NAN, NAN, 5, false, false},
    };
    for (size_t i = 0; i < sizeof waters / sizeof *waters; i++) {
        sw_notes notes = {0};
        sw_water w = {.sample = "well",
                      .ph = NAN,
                      .temperature_c = NAN,
                      .is_solution = waters[i].solution,
                      .ec_ms_per_cm = waters[i].ec,
                      .tds_mg_per_l = waters[i].tds,
                      .hardness_meq_per_l = waters[i].hardness,
                      .ca_hardness_meq_per_l = NAN};
        w.per_l.amount[SW_CA] = waters[i].ca;
        w.per_l.amount[SW_CL] = waters[i].ca * 35.45 / 20.04;
        sw_content c = completed(&w, &notes);
        ck_assert_int_eq(notes.items[0].severity,
                         waters[i].warns ? SW_WARNING : SW_INFO);
        assert_only_note(&notes, !waters[i].warns ? "ph-assumed"
                                 : waters[i].solution
                                     ? "solution-unknown"
                                     : "ph-alkalinity-missing");
        ck_assert_int_eq(sw_alkalinity_is_known(&c), !waters[i].warns);
    }
}
END_TEST

/* 0.1 mS/cm, 65 mg/L, 1 meq/L of hardness or 1 mmol of ions is no longer pure;
 * Ca with its Cl: 3 mmol in 40.078 mg. */
START_TEST(a_water_is_pure_up_to_each_bound)
{
    static const struct {
        double ec, tds, hardness, ca_hardness, ca;
    } bounds[] = {{0.1, NAN, NAN, NAN, 0},
                  {NAN, 65, NAN, NAN, 0},
                  {NAN, NAN, 1, NAN, 0},
                  {NAN, NAN, NAN, 1, 0},
                  {NAN, NAN, NAN, NAN, 40.078 / 3 * 0.9971}};
    for (size_t i = 0; i < sizeof bounds / sizeof *bounds; i++)
        for (int at = 0; at < 2; at++) {
            double share = at ? 1 : 0.999;
            sw_notes notes = {0};
            sw_water w = well(NAN, NAN);
            memset(&w.per_l, 0, sizeof w.per_l);
            w.ec_ms_per_cm = share * bounds[i].ec;
            w.tds_mg_per_l = share * bounds[i].tds;
            if (i > 1) /* nobody takes for pure what nobody measured */
                w.ec_ms_per_cm = 0.05;
            w.hardness_meq_per_l = share * bounds[i].hardness;
            w.ca_hardness_meq_per_l = share * bounds[i].ca_hardness;
            w.per_l.amount[SW_CA] = share * bounds[i].ca;
            w.per_l.amount[SW_CL] = 2 * 35.453 / 40.078 * w.per_l.amount[SW_CA];
            completed(&w, &notes);
            assert_only_note(&notes,
                             at ? "ph-alkalinity-missing" : "ph-assumed");
        }
}
END_TEST

/* What is assumed contradicts nothing. */
START_TEST(a_ph_needs_no_alkalinity_that_nobody_reported)
{
    sw_notes notes = {0};
    sw_water w = well(10.5, NAN);
    completed(&w, &notes);
    assert_only_note(&notes, "alkalinity-missing");
}
END_TEST

START_TEST(a_missing_alkalinity_is_a_warning)
{
    sw_notes notes = {0};
    sw_water w = well(5.4, NAN);
    sw_content c = completed(&w, &notes);
    assert_only_note(&notes, "alkalinity-missing");
    ck_assert_double_gt(c.amount[SW_CARBON], 0);
}
END_TEST

/* Rain: what it conducts, or its ions, leave little room for an alkalinity. */
START_TEST(a_nearly_pure_water_lacks_no_alkalinity_that_counts)
{
    static const struct {
        double ec, tds, na, cl;
        int cations;
        bool warns;
    } waters[] = {
        {0.014, NAN, 1.1, 1.9, 0, false}, {NAN, 10, 0, 0, 0, false},
        {NAN, NAN, 4, 3, 4, false},       {NAN, NAN, 4, 3, 0, true},
        {0.09, NAN, 1, 1, 0, true},       {0.3, NAN, 1, 1, 4, true},
        {0.09, NAN, 8, 17, 0, false},     {NAN, NAN, 4, 3, 3, true},
    };
    for (size_t i = 0; i < sizeof waters / sizeof *waters; i++) {
        sw_notes notes = {0};
        sw_water w = well(6.5, NAN);
        memset(&w.per_l, 0, sizeof w.per_l);
        w.ec_ms_per_cm = waters[i].ec;
        w.tds_mg_per_l = waters[i].tds;
        w.hardness_meq_per_l = w.ca_hardness_meq_per_l = NAN;
        w.per_l.amount[SW_NA] = waters[i].na;
        w.per_l.amount[SW_CL] = waters[i].cl;
        w.reported[SW_CA] = w.reported[SW_MG] = w.reported[SW_NA] =
            waters[i].cations > 0;
        w.reported[SW_K] = waters[i].cations > 3;
        completed(&w, &notes);
        assert_only_note(&notes, waters[i].warns ? "alkalinity-missing"
                                                 : "alkalinity-little");
    }
}
END_TEST

/* "<200", "<5", "ND" or 0 beside calcium and a pH above 7, and where the
 * sulfate and chloride reported leave much of it: no alkalinity that anybody
 * knows. Calcium that sulfate balances, an acid rain and purified water: they
 * have none. */
START_TEST(a_report_of_no_alkalinity_is_held_against_ph_and_ions)
{
    static const struct {
        double limit, ph, ec, so4_s; /* meq/L, mS/cm, mg/L */
        bool told, solution, known;
    } waters[] = {
        {4, 7.3, NAN, 0, false, false, false},
        {0.1, 7.3, NAN, 0, false, false, false},
        {0, 7.3, 0.62, 0, false, false, false},
        {0.1, 6.5, NAN, 0, true, false, false},
        {4, 6.5, NAN, 90, true, false, false},
        {0.1, 6.5, NAN, 90, true, false, true},
        {0.1, 6.5, NAN, 0, false, false, true},
        {0.1, 7.3, NAN, 90, true, false, true},
        {0.1, 3.8, NAN, 0, true, false, true},
        {4, 5.8, NAN, 0, false, true, true},
    };
    for (size_t i = 0; i < sizeof waters / sizeof *waters; i++) {
        sw_notes notes = {0};
        sw_reading reading = {.kind = SW_READS_ALKALINITY,
                              .amount = waters[i].limit,
                              .below_detection = waters[i].limit > 0};
        sw_water w = well(waters[i].ph, 0);
        w.readings = &reading;
        w.reading_count = 1;
        w.is_solution = waters[i].solution;
        w.ec_ms_per_cm = waters[i].ec;
        w.tds_mg_per_l = w.hardness_meq_per_l = w.ca_hardness_meq_per_l = NAN;
        w.per_l.amount[SW_S] = waters[i].so4_s;
        w.reported[SW_CA] = w.reported[SW_MG] = w.reported[SW_NA] =
            w.reported[SW_K] = w.reported[SW_S] = w.reported[SW_CL] =
                waters[i].told;
        sw_content c = completed(&w, &notes);
        ck_assert_int_eq(sw_alkalinity_is_known(&c), waters[i].known);
        if (!waters[i].known)
            assert_only_note(&notes, waters[i].limit > 1
                                         ? "alkalinity-hidden"
                                         : "alkalinity-missing");
        sw_notes_free(&notes);
    }
}
END_TEST

START_TEST(an_acid_water_has_its_acid_from_the_ph)
{
    sw_notes notes = {0};
    sw_water w = well(3.8, 0);
    sw_content c = completed(&w, &notes);
    assert_only_note(&notes, "acid-water");
    ck_assert_double_lt(c.amount[SW_ALKALINITY], -0.1);
    ck_assert_double_eq_tol(ph_of(&c, 25), 3.8, TOL_SAME_PH);
}
END_TEST

START_TEST(an_alkalinity_too_low_for_the_ph_is_a_warning)
{
    sw_notes notes = {0};
    sw_water w = well(10.5, 0.1);
    sw_content c = completed(&w, &notes);
    assert_only_note(&notes, "ph-alkalinity");
    ck_assert_double_eq(c.amount[SW_CARBON], 0);
}
END_TEST

/* [OH-] - [H+] is 1e-3 meq/L at pH 8 (pKw 14.0), 0.1 at 10: no titration tells
 * so little. */
START_TEST(a_ph_that_less_alkalinity_than_a_titration_tells_gives_is_none)
{
    static const double ph[] = {7, 8, 9.5};
    for (size_t i = 0; i < sizeof ph / sizeof *ph; i++) {
        sw_notes notes = {0};
        sw_water w = well(ph[i], 0);
        w.ec_ms_per_cm = 0.015;
        for (int c = 0; c < SW_COMPONENT_COUNT; c++)
            w.per_l.amount[c] = 0;
        completed(&w, &notes);
        ck_assert_ptr_null(sw_notes_find(&notes, "ph-alkalinity"));
        sw_notes_free(&notes);
    }
}
END_TEST

START_TEST(a_water_without_a_name_is_still_called_something)
{
    sw_notes notes = {0};
    sw_water w = well(NAN, 4);
    w.sample = NULL;
    completed(&w, &notes);
    ck_assert_uint_eq(notes.count, 1);
    ck_assert_ptr_nonnull(strstr(notes.items[0].text, "water"));
    sw_notes_free(&notes);
}
END_TEST

START_TEST(a_brine_within_the_model_keeps_its_ph)
{
    sw_notes notes = {0};
    sw_water w = well(8, 2600); /* ionic strength 1.4 mol/kg */
    sw_content c = completed(&w, &notes);
    ck_assert_double_eq_tol(ph_of(&c, 25), 8, TOL_SAME_PH);
    sw_notes_free(&notes);
}
END_TEST

/* 0.5 meq/L of NaHCO3 conduct 0.0473 mS/cm at the least: Robinson and Stokes
 * 1959, appendix 6.2.  What is dissolved in so little EC needs no report. */
START_TEST(little_ec_leaves_room_for_little_alkalinity)
{
    static const double ec_ms_per_cm[] = {0.0468, 0.0478};
    for (int i = 0; i < 2; i++) {
        sw_notes notes = {0};
        sw_water w = well(6.5, NAN);
        w.per_l = (sw_content){{0}};
        w.ec_ms_per_cm = ec_ms_per_cm[i];
        w.tds_mg_per_l = w.hardness_meq_per_l = w.ca_hardness_meq_per_l = NAN;
        (void)completed(&w, &notes);
        ck_assert_int_eq(!!sw_notes_find(&notes, "alkalinity-missing"), i);
        ck_assert_int_eq(!!sw_notes_find(&notes, "alkalinity-little"), !i);
        sw_notes_free(&notes);
    }
}
END_TEST

START_TEST(impossible_waters_and_conditions_are_refused)
{
    sw_notes notes = {0};
    sw_content c;
    sw_water w = well(7, 4);
    sw_conditions hot = {60, 4.2e-4, NULL, NULL};
    ck_assert_int_eq(sw_water_complete(&w, &hot, &c, &notes, NULL),
                     SW_ERR_VALUE);
    w.per_l.amount[SW_CA] = -5;
    ck_assert_int_eq(sw_water_complete(&w, &CONDITIONS, &c, &notes, NULL),
                     SW_ERR_VALUE);
    w = well(7, 4);
    w.per_l.amount[SW_MG] = 60000;
    ck_assert_int_eq(sw_water_complete(&w, &CONDITIONS, &c, &notes, NULL),
                     SW_ERR_VALUE);
    w = well(3, 0);
    w.per_l.amount[SW_MG] = 60000;
    ck_assert_int_eq(sw_water_complete(&w, &CONDITIONS, &c, &notes, NULL),
                     SW_ERR_VALUE);
    w = well(11, 2600); /* carbonate: an ionic strength above 2 mol/kg */
    ck_assert_int_eq(sw_water_complete(&w, &CONDITIONS, &c, &notes, NULL),
                     SW_ERR_VALUE);
    w = well(NAN, NAN);
    w.per_l.amount[SW_MG] = 60000;
    ck_assert_int_eq(sw_water_complete(&w, &CONDITIONS, &c, &notes, NULL),
                     SW_ERR_VALUE);
    ck_assert_int_eq(
        sw_conditions_check(&(sw_conditions){25, 0, NULL, NULL}, NULL),
        SW_ERR_VALUE);
    ck_assert_int_eq(
        sw_conditions_check(&(sw_conditions){4, 4e-4, NULL, NULL}, NULL),
        SW_ERR_VALUE);
    ck_assert_int_eq(
        sw_conditions_check(&(sw_conditions){25, 2, NULL, NULL}, NULL),
        SW_ERR_VALUE);
    sw_notes_free(&notes);
}
END_TEST

START_TEST(iron_of_a_water_is_kept_apart_and_in_the_chemistry)
{
    sw_notes notes = {NULL, 0};
    sw_water w = well(7.2, 3);
    w.per_l.amount[SW_FE] = 20;
    sw_content c = completed(&w, &notes);
    ck_assert_double_eq(c.amount[SW_FE], 0);
    ck_assert_double_eq(c.amount[SW_WATER_FE], 20);
    ck_assert_double_eq_tol(ph_of(&c, 25), 7.2, TOL_SAME_PH);
    sw_chemistry with, without;
    ck_assert_int_eq(
        sw_equilibrate(&c, &CONDITIONS, SW_CARBONATE_AIRED, &with, NULL),
        SW_OK);
    c.amount[SW_WATER_FE] = 0;
    ck_assert_int_eq(
        sw_equilibrate(&c, &CONDITIONS, SW_CARBONATE_AIRED, &without, NULL),
        SW_OK);
    /* 0.36 mmol/L of Fe(II) is 0.72 meq/L of cations */
    ck_assert_double_eq_tol(with.cations_meq_per_l - without.cations_meq_per_l,
                            0.716, 0.01);
    sw_notes_free(&notes);
}
END_TEST
