/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Acid to bring a water to a pH, with its carbon dioxide kept or in balance
 * with the air, against the USGS code PHREEQC (acid_demand.csv): a model
 * agreeing with a model.
 */
#include "suite.h"

#include <math.h>
#include <string.h>

#include "assess/ph_dose.h"
#include "chemistry/root.h"
#include "chemistry/speciate.h"
#include "quantity/formula.h"
#include "tolerances.h"

#include "table_acid_demand.h"

static const sw_conditions CONDITIONS = {25, 3.9810717e-4, NULL,
                                         NULL}; /* 10^-3.4 atm */

typedef struct trial {
    const sw_acid_demand_row *row;
    sw_content water;
    sw_content acid_per_mmol;
    double water_kg_per_l;
} trial;

/* The table is per kg of water, contents are per litre. */
static double kg_per_l(const sw_content *c)
{
    sw_constants constants;
    sw_totals totals;
    sw_constants_at(CONDITIONS.temperature_c, &constants);
    ck_assert_int_eq(
        sw_totals_of(c, constants.water_kg_per_l, false, &totals, NULL), SW_OK);
    return totals.water_kg_per_l;
}

static trial set_up(const sw_acid_demand_row *row)
{
    trial t = {.row = row};
    double molar_mass;
    sw_content per_g;
    sw_notes notes = {0};
    sw_water w = {.sample = "table",
                  .ph = row->initial_ph,
                  .temperature_c = 25,
                  .ec_ms_per_cm = NAN,
                  .alkalinity_reported = true};
    double *a = w.per_l.amount;
    a[SW_CA] = row->ca * 40.078;
    a[SW_MG] = row->mg * 24.305;
    a[SW_NA] = row->na * 22.990;
    a[SW_K] = row->k * 39.098;
    a[SW_CL] = row->cl * 35.45;
    a[SW_S] = row->so4 * 32.06;
    a[SW_ALKALINITY] = row->alkalinity;
    t.water_kg_per_l = kg_per_l(&w.per_l);
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        a[i] *= t.water_kg_per_l;
    ck_assert_int_eq(sw_water_complete(&w, &CONDITIONS, &t.water, &notes, NULL),
                     SW_OK);
    ck_assert_uint_eq(notes.count, 0);
    ck_assert_int_eq(
        sw_formula_content(row->acid, 1, &per_g, &molar_mass, NULL), SW_OK);
    sw_content_add(&t.acid_per_mmol, molar_mass / 1000, &per_g);
    return t;
}

/* pH of the water with some acid in it, minus the target. */
static sw_status miss(double acid, void *context, double *y, sw_error *error)
{
    trial *t = context;
    sw_content c = t->water;
    sw_chemistry out;
    sw_carbonate carbonate =
        !strcmp(t->row->mode, "aired") ? SW_CARBONATE_AIRED : SW_CARBONATE_KEPT;
    sw_content_add(&c, acid, &t->acid_per_mmol);
    sw_status status = sw_equilibrate(&c, &CONDITIONS, carbonate, &out, error);
    *y = out.ph - t->row->ph;
    return status;
}

static void assert_demand(const trial *t, double acid_mmol_per_l)
{
    double expected = t->row->acid_mmol_per_kg;
    double found = acid_mmol_per_l / t->water_kg_per_l;
    ck_assert_double_eq_tol(
        found, expected,
        fmax(TOL_MODEL_ACID * expected, TOL_MODEL_ACID_MMOL_PER_KG));
}

START_TEST_EACH(the_equilibrium_needs_the_same_acid, sw_acid_demand_count)
{
    double acid;
    trial t = set_up(&sw_acid_demand_table[_i]);
    sw_search search = {miss, &t, 0, 2 * t.row->alkalinity, 1e-9};
    ck_assert_int_eq(sw_root_find(&search, &acid, NULL), SW_OK);
    assert_demand(&t, acid);
}
END_TEST

/* A gram of the "product" is a mmol of acid. */
START_TEST_EACH(the_dose_told_is_the_same_acid, sw_acid_demand_count)
{
    trial t = set_up(&sw_acid_demand_table[_i]);
    sw_product acid = {.per_g = t.acid_per_mmol};
    sw_ph_amount amount;
    sw_ph_goal goal = {&t.water, CONDITIONS,
                       strcmp(t.row->mode, "aired") ? SW_CARBONATE_KEPT
                                                    : SW_CARBONATE_AIRED,
                       t.row->ph};
    ck_assert_int_eq(sw_ph_dose(&goal, &acid, &amount, NULL), SW_OK);
    assert_demand(&t, amount.g_per_l);
}
END_TEST

START_TEST_EACH(the_carbon_of_the_water_is_the_same, sw_acid_demand_count)
{
    trial t = set_up(&sw_acid_demand_table[_i]);
    ck_assert_double_eq_tol(t.water.amount[SW_CARBON] / t.water_kg_per_l /
                                t.row->carbon_mmol_per_kg,
                            1, TOL_MODEL_ACID);
}
END_TEST

START_TEST(every_row_is_read)
{
    ck_assert_int_eq(sw_acid_demand_count, 72);
}
END_TEST
