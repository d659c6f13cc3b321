/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * pH as a linear row: alkalinity = sum of total * mean proton deficit +
 * [OH-] - [H+], with the mean deficits of a guess held at that pH.
 *
 * A species that lost or took up protons counts with one of its masters: the
 * weak acid in it, else the metal.
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

static void fill_traces(sw_totals *totals)
{
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++)
        if (m != SW_AT_Fe3)
            totals->mol_per_kg[m] = fmax(totals->mol_per_kg[m], TRACE);
}

static void read_off(const sw_speciation *s, sw_ph_row *row)
{
    double deficit[SW_MASTER_COUNT + 1] = {0};
    for (int i = 0; i < s->constants->species_count; i++) {
        const sw_species *species = &s->constants->species[i];
        if (species->protons != 0)
            deficit[owner(species)] -= species->protons * s->molality[i];
    }
    *row = (sw_ph_row){.coefficient = {[SW_ALKALINITY] = 1}};
    row->constant = -1000 * s->totals.water_kg_per_l * deficit[SW_MASTER_COUNT];
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++) {
        sw_master master = (sw_master)m;
        if (m == SW_AT_Fe3)
            continue;
        double each = -1000 * deficit[m] /
                      (s->totals.mol_per_kg[m] * sw_amount_per_mol(master));
        row->coefficient[sw_master_component(master)] += each;
        if (sw_master_chelated(master) < SW_CARRIED_COUNT)
            row->coefficient[sw_master_chelated(master)] -= each;
    }
}

sw_status sw_ph_row_at(double ph, const sw_content *guess,
                       const sw_conditions *conditions, sw_ph_row *row,
                       sw_error *error)
{
    sw_constants constants;
    sw_speciation s = {.constants = &constants, .ph_given = true, .ph = ph};
    if (!(ph >= 2 && ph <= 12))
        return sw_fail(error, SW_ERR_VALUE, "pH %g; expected 2 to 12", ph);
    sw_status status = sw_conditions_check(conditions, error);
    if (status != SW_OK)
        return status;
    sw_constants_at(conditions->temperature_c, &constants);
    status =
        sw_totals_of(guess, constants.water_kg_per_l, false, &s.totals, error);
    if (status != SW_OK)
        return status;
    fill_traces(&s.totals);
    status = sw_speciate(&s, error);
    if (status == SW_OK)
        read_off(&s, row);
    return status;
}

double sw_ph_row_sum(const sw_ph_row *row, const sw_content *content)
{
    double sum = 0;
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        sum += row->coefficient[i] * content->amount[i];
    return sum;
}
