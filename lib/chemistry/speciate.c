/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The one equilibrium of a solution: by the kernel, which takes a dozen steps;
 * by the convex solve, which converges from anywhere, where that fails or
 * another model gives the activities.
 */
#include "chemistry/speciate.h"

#include <math.h>
#include <string.h>

#include "chemistry/lanes.h"
#include "quantity/status.h"
#include "table_refusals.h"

/* a(H2O) = 1 - 0.017 sum m (Garrels & Christ 1965), of the analytical sum. */
double sw_ln_water_of(const sw_totals *totals)
{
    double sum = totals->urea_mol_per_kg;
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++)
        sum += totals->mol_per_kg[m];
    return log(1 - SW_WATER_PER_MOL * fmin(sum, 10));
}

/* The slope is the kernel's alone, which takes the solution for its start. */
static sw_status find_surely(sw_speciation *s, sw_error *error)
{
    sw_lanes lanes;
    s->warm = false;
    s->surely = true;
    sw_status status = sw_speciate_surely(s, error);
    if (status != SW_OK || !s->wants_slope)
        return status;
    sw_lanes_ask(&lanes, s);
    sw_lanes_put(&lanes, 0, s);
    sw_lanes_solve(&lanes);
    if (!lanes.found[0])
        return sw_fail(error, SW_BAD_NO_SLOPE, lanes.residual[0]);
    sw_lanes_take(&lanes, 0, s);
    return SW_OK;
}

/* What one block of lanes can answer. */
static bool ask_alike(const sw_speciation *a, const sw_speciation *b)
{
    return a->constants == b->constants && !a->ln_gamma && !b->ln_gamma &&
           a->ph_given == b->ph_given && a->carbon_open == b->carbon_open &&
           a->wants_slope == b->wants_slope && a->warm == b->warm;
}

/* The first and all behind it that ask alike and are not done yet. */
static sw_status speciate_alike(sw_speciation *const *all, size_t count,
                                bool *done, sw_error *error)
{
    sw_lanes lanes;
    sw_status status = SW_OK;
    size_t taken[SW_LANES] = {0};
    sw_lanes_ask(&lanes, all[0]);
    lanes.count = 0;
    for (size_t i = 0; i < count && lanes.count < SW_LANES; i++)
        if (!done[i] && (i == 0 || ask_alike(all[0], all[i]))) {
            all[i]->surely = false;
            all[i]->ln_water = sw_ln_water_of(&all[i]->totals);
            sw_lanes_put(&lanes, lanes.count, all[i]);
            taken[lanes.count++] = i;
            done[i] = true;
        }
    sw_lanes_solve(&lanes);
    for (int l = 0; l < lanes.count && status == SW_OK; l++)
        if (lanes.found[l])
            sw_lanes_take(&lanes, l, all[taken[l]]);
        else
            status = find_surely(all[taken[l]], error);
    return status;
}

sw_status sw_speciate_all(sw_speciation *const *all, size_t count,
                          sw_error *error)
{
    enum { AT_ONCE = 4 * SW_LANES };
    sw_status status = SW_OK;
    for (size_t first = 0; first < count && status == SW_OK; first += AT_ONCE) {
        bool done[AT_ONCE] = {false};
        size_t here = count - first < AT_ONCE ? count - first : AT_ONCE;
        for (size_t i = 0; i < here && status == SW_OK; i++)
            if (!done[i])
                status = all[first + i]->ln_gamma
                             ? sw_speciate_surely(all[first + i], error)
                             : speciate_alike(&all[first + i], here - i,
                                              &done[i], error);
    }
    return status;
}

sw_status sw_speciate(sw_speciation *s, sw_error *error)
{
    return sw_speciate_all(&s, 1, error);
}

void sw_start_keep(const sw_speciation *found, sw_start *start)
{
    start->ph = found->ph;
    start->ionic_strength = found->ionic_strength;
    memcpy(start->ln_activity, found->ln_activity, sizeof start->ln_activity);
}

void sw_start_from(const sw_start *start, sw_speciation *s)
{
    s->ph = start->ph;
    s->ionic_strength = start->ionic_strength;
    memcpy(s->ln_activity, start->ln_activity, sizeof s->ln_activity);
    s->warm = true;
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
                solid->protons * s->ph * SW_LN10;
    for (int k = 0; k < solid->parts; k++) {
        double activity = s->ln_activity[solid->part[k]];
        if (isinf(activity))
            return NAN;
        ln += solid->count[k] * activity;
    }
    return ln;
}
