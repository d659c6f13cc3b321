/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * pH as a linear row: alkalinity less that of the species of a guess held at
 * that pH, to first order in all contents: protons, ion pairs and activities.
 * With the air the carbonate species have fixed activities, and the carbon of
 * the content has no say.
 */
#include "chemistry/ph_row.h"

#include <math.h>

#include "chemistry/conditions.h"
#include "chemistry/lanes.h"
#include "chemistry/speciate.h"
#include "quantity/status.h"
#include "table_refusals.h"

static const double TRACE = 1e-12; /* mol/kg of what the guess lacks */

/* Bare iron is Fe(II), with the air Fe(III). */
static bool is_absent(int master, bool aired)
{
    return master == (int)(aired ? SW_AT_Fe2 : SW_AT_Fe3);
}

static void fill_traces(sw_totals *totals, bool aired)
{
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++)
        if (!is_absent(m, aired))
            totals->mol_per_kg[m] = fmax(totals->mol_per_kg[m], TRACE);
}

/* eq of alkalinity that a kg of water more would hold of the same totals. */
static double held_per_kg(const sw_speciation *s)
{
    double sum = s->alkalinity;
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++)
        sum -= s->slope[m] * s->totals.mol_per_kg[m];
    return sum;
}

/* meq/L of a mol per litre more of a master. */
static double charge_of(const sw_speciation *s, sw_master master)
{
    double oxidation = master == SW_AT_Fe3 ? 1 : 0; /* one proton each */
    return 1000 * (oxidation - s->slope[master] +
                   sw_displaced_kg_per_mol(master) * held_per_kg(s));
}

/* Ions that labels leave out are chloride or sodium (totals.c). */
static double undeclared_of(const sw_speciation *s, const sw_content *guess)
{
    return guess->amount[SW_UNDECLARED] < 0 ? -charge_of(s, SW_AT_Na) / 1000
                                            : charge_of(s, SW_AT_Cl) / 1000;
}

static void read_off(const sw_speciation *s, const sw_content *guess,
                     sw_ph_row *row)
{
    *row = (sw_ph_row){.coefficient = {[SW_ALKALINITY] = 1}};
    row->coefficient[SW_UNDECLARED] = undeclared_of(s, guess);
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++) {
        sw_master master = (sw_master)m;
        sw_component component = sw_master_component(master);
        if (is_absent(m, s->carbon_open) || (m == SW_AT_CO3 && s->carbon_open))
            continue;
        double each = charge_of(s, master) / sw_amount_per_mol(master);
        if (master == SW_AT_Chelate && guess->amount[component] < 0)
            each = -each;
        row->coefficient[component] += each;
        if (component == SW_FE)
            row->coefficient[SW_WATER_FE] += each;
        if (sw_master_chelated(master) < SW_CARRIED_COUNT)
            row->coefficient[sw_master_chelated(master)] -= each;
    }
    row->constant = 1000 * s->totals.water_kg_per_l *
                        (s->totals.alkalinity_eq_per_kg - s->alkalinity) -
                    sw_ph_row_sum(row, guess);
}

/* The constants are those of the conditions of the first call. */
static sw_status open_memory(sw_ph_memory *memory,
                             const sw_conditions *conditions, sw_error *error)
{
    sw_speciation *s = &memory->found;
    sw_status status = sw_conditions_check(conditions, error);
    if (status != SW_OK || s->constants)
        return status;
    s->constants = sw_constants_from(conditions->tables,
                                     conditions->temperature_c, memory->room);
    s->ph_given = s->wants_slope = true;
    s->ln_co2 = sw_ln_co2(s->constants, conditions->co2_atm);
    return SW_OK;
}

static sw_status prepare(sw_ph_memory *memory, double ph,
                         const sw_content *guess,
                         const sw_conditions *conditions, sw_error *error)
{
    sw_speciation *s = &memory->found;
    if (!(ph >= 2 && ph <= 12))
        return sw_fail(error, SW_BAD_PH_RANGE, ph);
    sw_status status = open_memory(memory, conditions, error);
    if (status != SW_OK)
        return status;
    s->ph = ph;
    s->carbon_open = memory->aired;
    status = sw_totals_of(guess, s->constants->water_kg_per_l, s->carbon_open,
                          &s->totals, error);
    if (status == SW_OK)
        fill_traces(&s->totals, s->carbon_open);
    return status;
}

sw_status sw_ph_rows_near(sw_ph_memory *const *memory, const double *ph,
                          size_t count, const sw_content *guess,
                          const sw_conditions *conditions, sw_ph_row *row,
                          sw_error *error)
{
    sw_status status = SW_OK;
    sw_speciation *all[SW_LANES] = {NULL};
    for (size_t i = 0; i < count && status == SW_OK; i++) {
        all[i] = &memory[i]->found;
        status = prepare(memory[i], ph[i], guess, conditions, error);
    }
    if (status == SW_OK)
        status = sw_speciate_all(all, count, error);
    for (size_t i = 0; i < count && status == SW_OK; i++)
        read_off(all[i], guess, &row[i]);
    return status;
}

sw_status sw_ph_row_near(sw_ph_memory *memory, double ph,
                         const sw_content *guess,
                         const sw_conditions *conditions, sw_ph_row *row,
                         sw_error *error)
{
    return sw_ph_rows_near(&memory, &ph, 1, guess, conditions, row, error);
}

sw_status sw_ph_row_at(double ph, const sw_content *guess,
                       const sw_conditions *conditions, sw_ph_row *row,
                       sw_error *error)
{
    sw_constants room;
    sw_ph_memory memory = {.room = &room};
    return sw_ph_row_near(&memory, ph, guess, conditions, row, error);
}

double sw_ph_row_sum(const sw_ph_row *row, const sw_content *content)
{
    double sum = 0;
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        sum += row->coefficient[i] * content->amount[i];
    return sum;
}
