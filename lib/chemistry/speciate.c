/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The one equilibrium of a solution: by the kernel, which takes a dozen steps;
 * by the convex solve, which converges from anywhere, where that fails or
 * another model gives the activities.
 */
#include "chemistry/speciate.h"

#include <math.h>

#include "chemistry/lanes.h"
#include "quantity/status.h"

static const double LN10 = 2.302585092994046;
static const double WATER_PER_MOL = 0.017; /* kg/mol, of a(H2O) */

/* a(H2O) = 1 - 0.017 sum m (Garrels & Christ 1965), of the analytical sum. */
double sw_ln_water_of(const sw_totals *totals)
{
    double sum = totals->urea_mol_per_kg;
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++)
        sum += totals->mol_per_kg[m];
    return log(1 - WATER_PER_MOL * fmin(sum, 10));
}

static bool find(sw_lanes *lanes, const sw_speciation *s)
{
    sw_lanes_ask(lanes, s);
    sw_lanes_put(lanes, 0, s);
    sw_lanes_solve(lanes);
    return lanes->found[0];
}

/* The slope is the kernel's alone, which takes the solution for its start. */
static sw_status find_surely(sw_lanes *lanes, sw_speciation *s, sw_error *error)
{
    s->warm = false;
    s->surely = true;
    sw_status status = sw_speciate_surely(s, error);
    if (status != SW_OK || !s->wants_slope)
        return status;
    if (!find(lanes, s))
        return sw_fail(error, SW_ERR_NUMERIC,
                       "the equilibrium has no slope (%g left)",
                       lanes->residual[0]);
    sw_lanes_take(lanes, 0, s);
    return SW_OK;
}

sw_status sw_speciate(sw_speciation *s, sw_error *error)
{
    sw_lanes lanes;
    s->surely = false;
    if (s->ln_gamma)
        return sw_speciate_surely(s, error);
    s->ln_water = sw_ln_water_of(&s->totals);
    if (!find(&lanes, s))
        return find_surely(&lanes, s, error);
    sw_lanes_take(&lanes, 0, s);
    return SW_OK;
}

double sw_carbon_of(const sw_speciation *s)
{
    double sum = 0;
    for (int i = 0; i < s->constants->species_count; i++) {
        const sw_species *species = &s->constants->species[i];
        for (int k = 0; k < species->parts; k++)
            if (species->part[k] == SW_AT_CO3)
                sum += species->count[k] * s->molality[i];
    }
    return sum;
}

double sw_ln_co2(const sw_constants *constants, double co2_atm)
{
    return log(co2_atm) - constants->solid[SW_CO2_GAS].ln_beta;
}

double sw_ln_saturation(const sw_speciation *s, const sw_species *solid)
{
    double ln = solid->ln_beta + solid->water * s->ln_water -
                solid->protons * s->ph * LN10;
    for (int k = 0; k < solid->parts; k++) {
        double activity = s->ln_activity[solid->part[k]];
        if (isinf(activity))
            return NAN;
        ln += solid->count[k] * activity;
    }
    return ln;
}
