/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * pH as a linear row: alkalinity = sum of total * mean proton deficit +
 * [OH-] - [H+], with the mean deficits of a guess held at that pH.
 *
 * A species that lost or took up protons counts with one of its masters: the
 * weak acid in it, else the metal.  With the air the carbonate species have
 * fixed activities: a constant, and the carbon of the content has no say.
 */
#include "chemistry/ph_row.h"

#include <math.h>

#include "chemistry/conditions.h"
#include "chemistry/speciate.h"
#include "quantity/status.h"

static const double TRACE = 1e-12; /* mol/kg of what the guess lacks */

/* The master a species' protons are laid to; SW_MASTER_COUNT: the water. */
static sw_master owner(const sw_species *species)
{
    static const sw_master weak_first[] = {SW_AT_PO4,   SW_AT_CO3,    SW_AT_Cit,
                                           SW_AT_H3BO3, SW_AT_H4SiO4, SW_AT_NH4,
                                           SW_AT_SO4,   SW_AT_MoO4};
    for (size_t w = 0; w < sizeof weak_first / sizeof *weak_first; w++)
        for (int k = 0; k < species->parts; k++)
            if (species->part[k] == weak_first[w])
                return weak_first[w];
    return species->parts ? species->part[0] : SW_MASTER_COUNT;
}

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

/* meq of alkalinity per mol of the master at the pH of `s`. */
static double charge_of(const sw_speciation *s, int master, double deficit)
{
    double oxidation = master == SW_AT_Fe3 ? 1000 : 0; /* one proton each */
    return oxidation - 1000 * deficit / s->totals.mol_per_kg[master];
}

static void read_off(const sw_speciation *s, sw_ph_row *row)
{
    double deficit[SW_MASTER_COUNT + 1] = {0};
    for (int i = 0; i < s->constants->species_count; i++) {
        const sw_species *species = &s->constants->species[i];
        if (species->protons != 0)
            deficit[owner(species)] -= species->protons * s->molality[i];
    }
    if (s->carbon_open)
        deficit[SW_MASTER_COUNT] += deficit[SW_AT_CO3];
    *row = (sw_ph_row){.coefficient = {[SW_ALKALINITY] = 1}};
    row->constant = -1000 * s->totals.water_kg_per_l * deficit[SW_MASTER_COUNT];
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++) {
        sw_master master = (sw_master)m;
        if (is_absent(m, s->carbon_open) || (m == SW_AT_CO3 && s->carbon_open))
            continue;
        double each = charge_of(s, m, deficit[m]) / sw_amount_per_mol(master);
        row->coefficient[sw_master_component(master)] += each;
        if (sw_master_component(master) == SW_FE)
            row->coefficient[SW_WATER_FE] += each;
        if (sw_master_chelated(master) < SW_CARRIED_COUNT)
            row->coefficient[sw_master_chelated(master)] -= each;
    }
}

/* The constants are those of the conditions of the first call. */
static sw_status open_memory(sw_ph_memory *memory,
                             const sw_conditions *conditions, sw_error *error)
{
    sw_speciation *s = &memory->found;
    sw_status status = sw_conditions_check(conditions, error);
    if (status != SW_OK || memory->is_open)
        return status;
    sw_constants_at(conditions->temperature_c, &memory->constants);
    s->constants = &memory->constants;
    s->ph_given = true;
    s->ln_co2 = sw_ln_co2(s->constants, conditions->co2_atm);
    memory->is_open = true;
    return SW_OK;
}

sw_status sw_ph_row_near(sw_ph_memory *memory, double ph,
                         const sw_content *guess,
                         const sw_conditions *conditions, sw_ph_row *row,
                         sw_error *error)
{
    sw_speciation *s = &memory->found;
    if (!(ph >= 2 && ph <= 12))
        return sw_fail(error, SW_ERR_VALUE, "pH %g; expected 2 to 12", ph);
    sw_status status = open_memory(memory, conditions, error);
    if (status != SW_OK)
        return status;
    s->ph = ph;
    s->carbon_open = memory->aired;
    status = sw_totals_of(guess, s->constants->water_kg_per_l, s->carbon_open,
                          &s->totals, error);
    if (status != SW_OK)
        return status;
    fill_traces(&s->totals, s->carbon_open);
    status = sw_speciate(s, error);
    if (status == SW_OK)
        read_off(s, row);
    return status;
}

sw_status sw_ph_row_at(double ph, const sw_content *guess,
                       const sw_conditions *conditions, sw_ph_row *row,
                       sw_error *error)
{
    sw_ph_memory memory = {.is_open = false};
    return sw_ph_row_near(&memory, ph, guess, conditions, row, error);
}

double sw_ph_row_sum(const sw_ph_row *row, const sw_content *content)
{
    double sum = 0;
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        sum += row->coefficient[i] * content->amount[i];
    return sum;
}
