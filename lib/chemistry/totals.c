/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A content per litre as molal totals of the masters: what each component is
 * in moles, and how much water a litre of solution holds.
 */
#include "chemistry/totals.h"

#include <math.h>

#include "quantity/components.h"
#include "quantity/status.h"

#include "table_masters.h"
#include "table_refusals.h"

static const double DISPLACED = 0.3;     /* g of water for each g of solute */
static const double MAX_SOLUTES_G = 200; /* per litre */
static const double ROUNDING = 1e-6;     /* mg, mmol or meq per litre */
static const double UREA_N_MG = 28014;   /* per mol of urea */
static const double UREA_G = 60.056;     /* per mol */
static const double BICARBONATE_G = 61.016; /* per eq of alkalinity */

static const sw_masters_row *row_of(sw_master master)
{
    return &sw_masters_table[master];
}

double sw_amount_per_mol(sw_master master)
{
    return row_of(master)->amount_per_mol;
}

sw_component sw_master_component(sw_master master)
{
    return (sw_component)row_of(master)->component;
}

sw_component sw_master_chelated(sw_master master)
{
    return sw_chelated_part(sw_master_component(master));
}

double sw_displaced_kg_per_mol(sw_master master)
{
    return master == SW_AT_CO3
               ? 0
               : DISPLACED * row_of(master)->ion_g_per_mol / 1000;
}

int sw_master_charge(sw_master master)
{
    return row_of(master)->charge + row_of(master)->reference_protons;
}

static sw_status check(const sw_content *per_l, sw_error *error)
{
    for (int i = 0; i < SW_CARRIED_COUNT; i++) {
        double amount = per_l->amount[i];
        bool signed_amount =
            i == SW_ALKALINITY || i == SW_CHELATE_CHARGE || i == SW_UNDECLARED;
        if (!isfinite(amount) || (!signed_amount && amount < -ROUNDING)) {
            const char *name = sw_component_name((sw_component)i);
            return sw_fail(error, SW_BAD_CONTENT,
                           name ? name : "a carried amount", amount);
        }
    }
    return SW_OK;
}

double sw_free_amount(const sw_content *per_l, sw_master master)
{
    sw_component component = sw_master_component(master);
    double amount = sw_unchelated_mg(per_l, component);
    return component == SW_FE ? amount + per_l->amount[SW_WATER_FE] : amount;
}

/* Ions that labels leave out count as chloride or sodium. */
static double undeclared_mol(const sw_content *per_l, sw_master master)
{
    double anions_meq = per_l->amount[SW_UNDECLARED];
    if (master == SW_AT_Cl)
        return fmax(anions_meq, 0) / 1000;
    return master == SW_AT_Na ? fmax(-anions_meq, 0) / 1000 : 0;
}

/* Moles per litre of each master, and the mass of all solutes. */
static sw_status moles_per_l(const sw_content *per_l, bool oxidised,
                             sw_totals *totals, double *solutes_g,
                             sw_error *error)
{
    *solutes_g = 0;
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++) {
        sw_master master = (sw_master)m;
        double amount = sw_free_amount(per_l, master);
        if (master == (oxidised ? SW_AT_Fe2 : SW_AT_Fe3)) /* has none then */
            amount = 0;
        if (master == SW_AT_Chelate)
            amount = fabs(amount);
        if (amount < -ROUNDING)
            return sw_fail(error, SW_BAD_CHELATE_OVER_METAL, amount);
        double mol = fmax(amount, 0) / sw_amount_per_mol(master) +
                     undeclared_mol(per_l, master);
        totals->mol_per_kg[m] = mol;
        if (master != SW_AT_CO3)
            *solutes_g += mol * row_of(master)->ion_g_per_mol;
    }
    double urea = fmax(per_l->amount[SW_UREA_N], 0) / UREA_N_MG;
    totals->urea_mol_per_kg = urea;
    *solutes_g += urea * UREA_G +
                  fmax(per_l->amount[SW_ALKALINITY], 0) / 1000 * BICARBONATE_G;
    if (*solutes_g > MAX_SOLUTES_G)
        return sw_fail(error, SW_BAD_SOLUTES, *solutes_g);
    return SW_OK;
}

sw_status sw_totals_of(const sw_content *per_l, double water_density_kg_per_l,
                       bool oxidised, sw_totals *totals, sw_error *error)
{
    double solutes_g;
    sw_status status = check(per_l, error);
    if (status == SW_OK)
        status = moles_per_l(per_l, oxidised, totals, &solutes_g, error);
    if (status != SW_OK)
        return status;
    double kg = water_density_kg_per_l - DISPLACED * solutes_g / 1000;
    totals->water_kg_per_l = kg;
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++)
        totals->mol_per_kg[m] /= kg;
    totals->urea_mol_per_kg /= kg;
    totals->alkalinity_eq_per_kg = per_l->amount[SW_ALKALINITY] / 1000 / kg;
    if (oxidised)
        totals->alkalinity_eq_per_kg += totals->mol_per_kg[SW_AT_Fe3];
    return SW_OK;
}
