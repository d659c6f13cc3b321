/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Nutrient feeds calculated by the USGS code PHREEQC from the same constants
 * (feeds.csv).  A model agreeing with a model: it shows that the equations are
 * solved alike, not that nature agrees.
 */
#include "suite.h"

#include <math.h>
#include <string.h>

#include "chemistry/ph_row.h"
#include "tolerances.h"

#include "table_feeds.h"

static const sw_conditions CONDITIONS = {25, 3.9810717e-4, NULL,
                                         NULL}; /* 10^-3.4 atm */

static sw_content content_of(const sw_feeds_row *row)
{
    sw_content c = {0};
    double *a = c.amount;
    a[SW_NO3_N] = row->no3 * 14.007;
    a[SW_NH4_N] = row->nh4 * 14.007;
    a[SW_P] = row->p * 30.974;
    a[SW_K] = row->k * 39.098;
    a[SW_CA] = row->ca * 40.078;
    a[SW_MG] = row->mg * 24.305;
    a[SW_S] = row->so4 * 32.06;
    a[SW_CL] = row->cl * 35.45;
    a[SW_NA] = row->na * 22.990;
    a[SW_B] = row->b * 10.81;
    a[SW_MN] = row->mn * 54.938;
    a[SW_ZN] = row->zn * 65.38;
    a[SW_CU] = row->cu * 63.546;
    a[SW_ALKALINITY] = row->k + row->nh4 + row->na +
                       2 * (row->ca + row->mg + row->mn + row->zn + row->cu) -
                       row->no3 - row->cl - row->p - 2 * row->so4;
    if (!isnan(row->alkalinity)) {
        a[SW_ALKALINITY] = row->alkalinity;
        a[SW_CARBON] = 1000 * row->carbon_mol_per_kg * 0.9965;
    }
    return c;
}

/* Nitrate is changed until the linear row holds at the pH. */
static void bring_to_ph(sw_content *c, double ph)
{
    for (int round = 0; round < 8; round++) {
        sw_ph_row row;
        ck_assert_int_eq(sw_ph_row_at(ph, c, &CONDITIONS, &row, NULL), SW_OK);
        double surplus = row.constant;
        for (int i = 0; i < SW_CARRIED_COUNT; i++)
            surplus += row.coefficient[i] * c->amount[i];
        c->amount[SW_ALKALINITY] -= surplus;
        c->amount[SW_NO3_N] += surplus * 14.007;
    }
}

static sw_chemistry chemistry_of(const sw_feeds_row *row)
{
    sw_content c = content_of(row);
    sw_chemistry out;
    sw_carbonate carbonate =
        !strcmp(row->mode, "aired") ? SW_CARBONATE_AIRED : SW_CARBONATE_KEPT;
    if (!strcmp(row->mode, "fixed"))
        bring_to_ph(&c, row->ph);
    ck_assert_int_eq(sw_equilibrate(&c, &CONDITIONS, carbonate, &out, NULL),
                     SW_OK);
    return out;
}

START_TEST_EACH(ph_agrees, sw_feeds_count)
{
    const sw_feeds_row *row = &sw_feeds_table[_i];
    sw_chemistry out = chemistry_of(row);
    ck_assert_double_eq_tol(out.ph, row->ph, TOL_MODEL_PH);
}
END_TEST

START_TEST_EACH(conductivity_and_ionic_strength_agree, sw_feeds_count)
{
    const sw_feeds_row *row = &sw_feeds_table[_i];
    sw_chemistry out = chemistry_of(row);
    ck_assert_double_eq_tol(1000 * out.ec_ms_per_cm / row->ec_us_per_cm, 1,
                            TOL_MODEL_EC);
    ck_assert_double_eq_tol(out.ionic_strength_mol_per_kg / row->ionic_strength,
                            1, TOL_MODEL_IONIC);
}
END_TEST

static void index_agrees(const sw_chemistry *out, sw_solid solid, double index)
{
    const sw_saturation *found = &out->saturation[solid];
    ck_assert_int_eq(found->defined, !isnan(index));
    if (found->defined)
        ck_assert_double_eq_tol(found->index, index, TOL_MODEL_INDEX);
}

START_TEST_EACH(saturation_agrees, sw_feeds_count)
{
    const sw_feeds_row *row = &sw_feeds_table[_i];
    sw_chemistry out = chemistry_of(row);
    index_agrees(&out, SW_CALCITE, row->calcite);
    index_agrees(&out, SW_GYPSUM, row->gypsum);
    index_agrees(&out, SW_BRUSHITE, row->brushite);
    index_agrees(&out, SW_ACP, row->acp);
    index_agrees(&out, SW_HYDROXYAPATITE, row->hydroxyapatite);
    index_agrees(&out, SW_STRUVITE, row->struvite);
}
END_TEST

START_TEST(every_row_is_read)
{
    ck_assert_int_eq(sw_feeds_count, 13);
}
END_TEST
