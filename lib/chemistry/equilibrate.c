/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The chemistry of a solution from its contents: pH from the proton
 * condition, then everything that is read off the species.
 */
#include <math.h>

#include "chemistry/conductivity.h"
#include "chemistry/equilibrate.h"
#include "chemistry/lanes.h"
#include "chemistry/saturation.h"
#include "chemistry/speciate.h"
#include "quantity/status.h"
#include "table_refusals.h"

static const double AIR_CO2_ATM = 4.2e-4;
static const double EC_TEMPERATURE_C = 25;

sw_conditions sw_conditions_default(void)
{
    return (sw_conditions){.temperature_c = 25, .co2_atm = AIR_CO2_ATM};
}

sw_status sw_conditions_check(const sw_conditions *conditions, sw_error *error)
{
    double t = conditions->temperature_c;
    double co2 = conditions->co2_atm;
    if (!(t >= 5 && t <= 40))
        return sw_fail(error, SW_BAD_TEMPERATURE, t);
    if (!(co2 > 0 && co2 <= 1))
        return sw_fail(error, SW_BAD_CO2_PRESSURE, co2, AIR_CO2_ATM);
    return SW_OK;
}

void sw_charges_of(const sw_content *per_l, double *cations_meq_per_l,
                   double *anions_meq_per_l)
{
    *cations_meq_per_l = 0;
    *anions_meq_per_l = per_l->amount[SW_ALKALINITY];
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++) {
        sw_master master = (sw_master)m;
        double amount = sw_free_amount(per_l, master);
        if (m == SW_AT_Fe3)
            continue;
        double meq = 1000 * amount / sw_amount_per_mol(master) *
                     sw_master_charge(master);
        if (meq > 0)
            *cations_meq_per_l += meq;
        else
            *anions_meq_per_l -= meq;
    }
    *anions_meq_per_l += fmax(per_l->amount[SW_UNDECLARED], 0);
    *cations_meq_per_l += fmax(-per_l->amount[SW_UNDECLARED], 0);
}

/* Ammonia, not ammonium, mol per kg. */
static double ammonia_of(const sw_speciation *s)
{
    for (int i = 0; i < s->constants->species_count; i++) {
        const sw_species *species = &s->constants->species[i];
        if (species->part[0] == SW_AT_NH4 && species->parts == 1 &&
            species->protons == -1)
            return s->molality[i];
    }
    return 0;
}

static sw_status describe(const sw_speciation *s, const sw_tables *tables,
                          sw_chemistry *out, sw_error *error)
{
    sw_status status = sw_conductivity_at(s, tables, EC_TEMPERATURE_C,
                                          &out->ec_ms_per_cm, error);
    if (status != SW_OK)
        return status;
    sw_conductivity_interval(out->ec_ms_per_cm, 1, 0, &out->ec_low_ms_per_cm,
                             &out->ec_high_ms_per_cm);
    out->ec_sum_cations_ms_per_cm = out->cations_meq_per_l / 10;
    out->ph = s->ph;
    out->ionic_strength_mol_per_kg = s->ionic_strength;
    out->carbon_mmol_per_l = 1000 * s->totals.water_kg_per_l * sw_carbon_of(s);
    out->co2_atm = exp(s->ln_activity[SW_AT_CO3] - sw_ln_co2(s->constants, 1));
    out->balance_residual = s->residual;
    out->ammonia_n_mg_per_l =
        s->totals.water_kg_per_l * ammonia_of(s) * sw_amount_per_mol(SW_AT_NH4);
    out->osmotic_pressure_kpa = sw_osmotic_pressure(s);
    return SW_OK;
}

/* What was found, and room for its constants. */
typedef struct state {
    sw_constants room;
    sw_speciation found[SW_LANES];
} state;

/* At most SW_LANES. */
static sw_status solve(const sw_content *per_l, size_t count,
                       const sw_conditions *conditions, sw_carbonate carbonate,
                       state *at, sw_error *error)
{
    sw_speciation *all[SW_LANES];
    sw_status status = sw_conditions_check(conditions, error);
    if (status != SW_OK)
        return status;
    const sw_constants *constants = sw_constants_from(
        conditions->tables, conditions->temperature_c, &at->room);
    for (size_t i = 0; i < count && status == SW_OK; i++) {
        all[i] = &at->found[i];
        at->found[i] = (sw_speciation){
            .constants = constants,
            .carbon_open = carbonate == SW_CARBONATE_AIRED,
            .ln_co2 = sw_ln_co2(constants, conditions->co2_atm)};
        status = sw_totals_of(&per_l[i], constants->water_kg_per_l,
                              all[i]->carbon_open, &all[i]->totals, error);
        if (conditions->start && carbonate == SW_CARBONATE_KEPT)
            sw_start_from(conditions->start, all[i]);
    }
    return status == SW_OK ? sw_speciate_all(all, count, error) : status;
}

static sw_status equilibrate(const sw_content *per_l,
                             const sw_conditions *conditions,
                             sw_carbonate carbonate, state *at,
                             sw_chemistry *out, sw_error *error)
{
    *out = (sw_chemistry){.alkalinity_meq_per_l = per_l->amount[SW_ALKALINITY]};
    sw_status status = solve(per_l, 1, conditions, carbonate, at, error);
    if (status != SW_OK)
        return status;
    sw_charges_of(per_l, &out->cations_meq_per_l, &out->anions_meq_per_l);
    return describe(at->found, conditions->tables, out, error);
}

sw_status sw_equilibrium_ph(const sw_content *per_l,
                            const sw_conditions *conditions,
                            sw_carbonate carbonate, sw_start *found,
                            sw_error *error)
{
    state at;
    sw_status status = solve(per_l, 1, conditions, carbonate, &at, error);
    if (status == SW_OK)
        sw_start_keep(at.found, found);
    return status;
}

sw_status sw_equilibrate_briefly(const sw_content *per_l,
                                 const sw_conditions *conditions,
                                 sw_carbonate carbonate, sw_chemistry *out,
                                 sw_error *error)
{
    state at;
    return equilibrate(per_l, conditions, carbonate, &at, out, error);
}

sw_status sw_read_meters(const sw_content *per_l, size_t count,
                         const sw_conditions *conditions,
                         sw_carbonate carbonate, double *ec_ms_per_cm,
                         double *ph, sw_error *error)
{
    sw_status status = SW_OK;
    state at;
    for (size_t i = 0; i < count; i++)
        ec_ms_per_cm[i] = ph[i] = NAN;
    for (size_t first = 0; first < count && status == SW_OK;
         first += SW_LANES) {
        size_t here = count - first < SW_LANES ? count - first : SW_LANES;
        status = solve(&per_l[first], here, conditions, carbonate, &at, error);
        for (size_t i = 0; i < here && status == SW_OK; i++) {
            ph[first + i] = at.found[i].ph;
            status = sw_conductivity_at(&at.found[i], conditions->tables,
                                        EC_TEMPERATURE_C,
                                        &ec_ms_per_cm[first + i], error);
        }
    }
    return status;
}

sw_status sw_equilibrate(const sw_content *per_l,
                         const sw_conditions *conditions,
                         sw_carbonate carbonate, sw_chemistry *out,
                         sw_error *error)
{
    SW_REQUIRE(error, per_l, conditions, out);
    double index[1][SW_SOLID_COUNT];
    state at;
    sw_status status =
        equilibrate(per_l, conditions, carbonate, &at, out, error);
    if (status == SW_OK)
        status = sw_saturation_indices(at.found, 1, index, error);
    for (int i = 0; i < SW_SOLID_COUNT && status == SW_OK; i++)
        out->saturation[i] =
            (sw_saturation){!isnan(index[0][i]), index[0][i], NAN};
    return status;
}

sw_status sw_onsets(const sw_content *per_l, const sw_conditions *conditions,
                    sw_carbonate carbonate,
                    sw_saturation saturation[SW_SOLID_COUNT], sw_error *error)
{
    SW_REQUIRE(error, per_l, conditions, saturation);
    double ph[SW_SOLID_COUNT];
    state at;
    sw_status status = solve(per_l, 1, conditions, carbonate, &at, error);
    if (status == SW_OK)
        status = sw_saturation_onsets(at.found, ph, error);
    for (int i = 0; i < SW_SOLID_COUNT && status == SW_OK; i++)
        saturation[i].ph_onset = saturation[i].defined ? ph[i] : (double)NAN;
    return status;
}

sw_status sw_equilibrate_indices(const sw_content *per_l, size_t count,
                                 const sw_conditions *conditions,
                                 double (*index)[SW_SOLID_COUNT],
                                 sw_error *error)
{
    state at;
    sw_status status =
        solve(per_l, count, conditions, SW_CARBONATE_KEPT, &at, error);
    return status == SW_OK
               ? sw_saturation_indices(at.found, count, index, error)
               : status;
}

sw_status sw_ec_at(const sw_content *per_l, const sw_conditions *conditions,
                   double meter_c, double *ms_per_cm, sw_error *error)
{
    SW_REQUIRE(error, per_l, conditions, ms_per_cm);
    state at;
    sw_conditions there = {.temperature_c = meter_c,
                           .co2_atm = conditions->co2_atm};
    sw_status status =
        solve(per_l, 1, conditions, SW_CARBONATE_KEPT, &at, error);
    if (status == SW_OK)
        status = sw_conditions_check(&there, error);
    return status == SW_OK ? sw_conductivity_at(at.found, conditions->tables,
                                                meter_c, ms_per_cm, error)
                           : status;
}

double sw_ec_by_two_percent(double ms_per_cm, double meter_c)
{
    return ms_per_cm / (1 + 0.02 * (meter_c - EC_TEMPERATURE_C));
}
