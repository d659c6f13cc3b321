/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * pH as a linear row: alkalinity less that of the species of a guess held at
 * that pH, to first order in all contents: protons, ion pairs and activities.
 * With the air the carbonate species have fixed activities, and the carbon of
 * the content has no say.
 */
#include "chemistry/ph_row.h"

#include <math.h>

#include "chemistry/equilibrate.h"
#include "chemistry/lanes.h"
#include "chemistry/speciate.h"
#include "quantity/status.h"

static const double TRACE = 1e-12; /* mol/kg of what the guess lacks */

/* Bare iron is Fe(II), with the air Fe(III). */
static bool is_absent(int master, bool aired)
{
    return master == (int)(aired ? SW_AT_Fe2 : SW_AT_Fe3);
}

/* Ions that labels leave out are chloride or sodium (totals.c). */
static bool is_possible(const sw_content *possible, sw_master master)
{
    bool counter = master == SW_AT_Na || master == SW_AT_Cl;
    return !possible || sw_free_amount(possible, master) != 0 ||
           (counter && possible->amount[SW_UNDECLARED] != 0);
}

static void fill_traces(const sw_ph_memory *memory, sw_totals *totals)
{
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++)
        if (totals->mol_per_kg[m] < TRACE && !is_absent(m, memory->aired) &&
            is_possible(memory->possible, (sw_master)m))
            totals->mol_per_kg[m] = TRACE;
}

/* eq/kg of the alkalinity without what masters of so little have of it. */
static double alkalinity_without(const sw_speciation *s, double mol_per_kg)
{
    double sum = s->alkalinity;
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++)
        if (s->totals.mol_per_kg[m] <= mol_per_kg)
            sum -= s->slope[m] * s->totals.mol_per_kg[m];
    return sum;
}

/* meq/L of a mol per litre more of a master. */
static double charge_of(const sw_speciation *s, double held, sw_master master)
{
    double oxidation = master == SW_AT_Fe3 ? 1 : 0; /* one proton each */
    return 1000 * (oxidation - s->slope[master] +
                   sw_displaced_kg_per_mol(master) * held);
}

static void read_off(const sw_speciation *s, const sw_content *guess,
                     sw_ph_row *row)
{
    *row = (sw_ph_row){.coefficient = {[SW_ALKALINITY] = 1}};
    /* that a kg of water more would hold of the same totals */
    double held = alkalinity_without(s, INFINITY);
    row->coefficient[SW_UNDECLARED] = guess->amount[SW_UNDECLARED] < 0
                                          ? -charge_of(s, held, SW_AT_Na) / 1000
                                          : charge_of(s, held, SW_AT_Cl) / 1000;
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++) {
        sw_master master = (sw_master)m;
        sw_component component = sw_master_component(master);
        if (is_absent(m, s->carbon_open) || (m == SW_AT_CO3 && s->carbon_open))
            continue;
        double each = charge_of(s, held, master) / sw_amount_per_mol(master);
        if (master == SW_AT_Chelate && guess->amount[component] < 0)
            each = -each;
        row->coefficient[component] += each;
        if (component == SW_FE)
            row->coefficient[SW_WATER_FE] += each;
        if (sw_master_chelated(master) < SW_CARRIED_COUNT)
            row->coefficient[sw_master_chelated(master)] -= each;
    }
    row->constant =
        1000 * s->totals.water_kg_per_l *
            (s->totals.alkalinity_eq_per_kg - alkalinity_without(s, TRACE)) -
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

static sw_status prepare(sw_ph_memory *memory, const sw_conditions *conditions,
                         sw_error *error)
{
    sw_speciation *s = &memory->found;
    if (!(memory->ph >= 2 && memory->ph <= 12))
        return sw_fail(error, SW_ERR_VALUE, "pH %g; expected 2 to 12",
                       memory->ph);
    sw_status status = open_memory(memory, conditions, error);
    if (status != SW_OK)
        return status;
    sw_totals before = s->totals;
    s->ph = memory->ph;
    s->carbon_open = memory->aired;
    status = sw_totals_of(memory->guess, s->constants->water_kg_per_l,
                          s->carbon_open, &s->totals, error);
    if (status != SW_OK)
        return status;
    fill_traces(memory, &s->totals);
    for (int m = 0; m < (int)SW_MASTER_COUNT && s->warm; m++)
        s->ln_activity[m] +=
            log(s->totals.mol_per_kg[m] / before.mol_per_kg[m]);
    return SW_OK;
}

sw_status sw_ph_rows_near(sw_ph_memory *const *memory, size_t count,
                          const sw_conditions *conditions, sw_error *error)
{
    sw_status status = SW_OK;
    sw_speciation *all[SW_LANES] = {NULL};
    for (size_t i = 0; i < count && status == SW_OK; i++) {
        all[i] = &memory[i]->found;
        status = prepare(memory[i], conditions, error);
    }
    if (status == SW_OK)
        status = sw_speciate_all(all, count, error);
    for (size_t i = 0; i < count && status == SW_OK; i++)
        read_off(all[i], memory[i]->guess, &memory[i]->row);
    return status;
}

sw_status sw_ph_row_at(double ph, const sw_content *guess,
                       const sw_conditions *conditions, sw_ph_row *row,
                       sw_error *error)
{
    sw_constants room;
    sw_ph_memory memory = {.ph = ph, .guess = guess, .room = &room};
    sw_status status =
        sw_ph_rows_near((sw_ph_memory *[]){&memory}, 1, conditions, error);
    *row = memory.row;
    return status;
}

double sw_ph_row_sum(const sw_ph_row *row, const sw_content *content)
{
    double sum = 0;
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        sum += row->coefficient[i] * content->amount[i];
    return sum;
}

double sw_ph_row_excess(const sw_ph_row *row, const sw_content *content)
{
    return sw_ph_row_sum(row, content) + row->constant;
}

void sw_ph_start(sw_ph_memory *memory, const sw_ph_memory *known)
{
    const sw_speciation *now = &memory->found, *other = &known->found;
    if (known->aired == memory->aired && other->warm &&
        (!now->warm ||
         fabs(other->ph - memory->ph) < fabs(now->ph - memory->ph))) {
        memory->found = *other;
        memory->row = known->row;
    }
}
