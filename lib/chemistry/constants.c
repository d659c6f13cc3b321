/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The reference tables at one temperature.
 *
 * The tables keep each reaction as its source writes it (carbonate from
 * CO3 2-, phosphate from PO4 3-, pairs with HPO4 2- ...).  Here all become
 * reactions of the masters the alkalinity refers to, so that the number of
 * protons of a species is its share of the proton condition.
 */
#include "chemistry/constants.h"

#include "chemistry/equilibrate.h"
#include "chemistry/conductivity.h"
#include "quantity/status.h"

#include <math.h>
#include <stdlib.h>

#include "table_solids.h"
#include "table_species.h"

static const double KELVIN = 273.15;
static const double GAS_KJ = 8.31446261815324e-3; /* kJ/mol/K, CODATA 2018 */

/* What a symbol of the tables is made of. */
typedef struct meaning {
    sw_species at[SW_SYMBOL_COUNT];
} meaning;

/*
 * log K = A1 + A2 T + A3/T + A4 log10 T + A5/T^2 + A6 T^2 where given, else
 * van 't Hoff from 25 degC, else the value at 25 degC.
 */
static double ln_k(double log_k, double delta_h_kj, const double a[6], double t)
{
    if (!isnan(a[0]))
        log_k = a[0] + a[1] * t + a[2] / t + a[3] * log10(t) + a[4] / (t * t) +
                a[5] * t * t;
    else if (!isnan(delta_h_kj))
        log_k -= delta_h_kj / (GAS_KJ * SW_LN10) * (1 / t - 1 / 298.15);
    return SW_LN10 * log_k;
}

/* Density of water, kg/L: Kell 1975, J. Chem. Eng. Data 20:97. */
static double water_density(double c)
{
    double sum =
        999.83952 +
        c * (16.945176 + c * (-7.9870401e-3 +
                              c * (-46.170461e-6 +
                                   c * (105.56302e-9 + c * -280.54253e-12))));
    return sum / (1 + 16.879850e-3 * c) / 1000;
}

/* Relative permittivity of water: Malmberg & Maryott 1956, J. Res. NBS 56:1. */
static double water_permittivity(double c)
{
    return 87.740 + c * (-0.40008 + c * (9.398e-4 + c * -1.410e-6));
}

/* Viscosity of water, mPa s: Kestin, Sokolov & Wakeham 1978, JPCRD 7:941. */
static double viscosity(double c)
{
    double d = 20 - c;
    return 1.002 *
           pow(10, d / (c + 96) * (1.2364 + d * (-1.37e-3 + d * 5.7e-6)));
}

static void add_part(sw_species *to, sw_master part, int count)
{
    for (int k = 0; k < to->parts; k++)
        if (to->part[k] == part) {
            to->count[k] += count;
            return;
        }
    to->part[to->parts] = part;
    to->count[to->parts++] = count;
}

static void add_symbol(sw_species *to, const meaning *means, int symbol,
                       int count)
{
    if (symbol == SW_AT_None)
        return;
    const sw_species *from = &means->at[symbol];
    for (int k = 0; k < from->parts; k++)
        add_part(to, from->part[k], count * from->count[k]);
    to->protons += count * from->protons;
    to->water += count * from->water;
    to->ln_beta += count * from->ln_beta;
}

/* lambda * viscosity, which hardly changes: Walden; slope after Appelo 2010. */
static double lambda_at(const sw_species_row *row, const sw_constants *c)
{
    double t = c->temperature_k;
    double slope = isnan(row->lambda_t_k) ? 0 : row->lambda_t_k;
    if (isnan(row->lambda_s_cm2_per_mol))
        return 0;
    return row->lambda_s_cm2_per_mol * exp(slope * (1 / t - 1 / 298.15)) *
           viscosity(25) / c->viscosity_mpa_s;
}

static void read_species(const sw_species_row *row, const sw_constants *at,
                         meaning *means, sw_species *out)
{
    double a[] = {row->a1, row->a2, row->a3, row->a4, row->a5, row->a6};
    *out = (sw_species){
        .name = row->name,
        .protons = row->protons,
        .water = row->water,
        .charge = row->charge,
        .ln_beta = ln_k(row->log_k, row->delta_h_kj, a, at->temperature_k),
        .lambda = lambda_at(row, at),
        .size_angstrom = row->size_angstrom,
        .b_kg_per_mol = row->b_kg_per_mol};
    bool master = row->symbol < (int)SW_MASTER_COUNT;
    if (master)
        add_part(out, (sw_master)row->symbol, 1);
    else
        add_symbol(out, means, row->first, row->first_count);
    add_symbol(out, means, row->second, row->second_count);
    if (row->symbol != SW_AT_None)
        means->at[row->symbol] = *out;
}

/* Moves `s` from the tables' masters to the references of the alkalinity. */
static void refer(sw_species *s, const meaning *means)
{
    static const sw_master references[][2] = {{SW_AT_PO4, SW_AT_H2PO4},
                                              {SW_AT_CO3, SW_AT_CO2},
                                              {SW_AT_Cit, SW_AT_H3Cit}};
    for (int r = 0; r < 3; r++) {
        const sw_species *reference = &means->at[references[r][1]];
        for (int k = 0; k < s->parts; k++)
            if (s->part[k] == references[r][0]) {
                s->ln_beta -= s->count[k] * reference->ln_beta;
                s->protons -= s->count[k] * reference->protons;
                s->water -= s->count[k] * reference->water;
            }
    }
}

static void read_solid(const sw_solids_row *row, double t, const meaning *means,
                       sw_species *out)
{
    double a[] = {row->a1, row->a2, row->a3, row->a4, row->a5, row->a6};
    *out = (sw_species){.protons = row->protons,
                        .water = row->water,
                        .ln_beta = -ln_k(row->log_k, row->delta_h_kj, a, t)};
    add_symbol(out, means, row->first, row->first_count);
    add_symbol(out, means, row->second, row->second_count);
    add_symbol(out, means, row->third, row->third_count);
    refer(out, means);
}

void sw_constants_at(double temperature_c, sw_constants *out)
{
    double t = temperature_c + KELVIN;
    meaning means = {0};
    out->temperature_c = temperature_c;
    out->temperature_k = t;
    out->water_kg_per_l = water_density(temperature_c);
    out->permittivity = water_permittivity(temperature_c);
    out->viscosity_mpa_s = viscosity(temperature_c);
    double root = sqrt(out->water_kg_per_l);
    double et = out->permittivity * t;
    out->debye_a = 1.82483e6 * root / (et * sqrt(et));
    out->debye_b_per_angstrom = 50.2916 * root / sqrt(et);
    out->species_count = sw_species_count;
    for (int i = 0; i < sw_species_count; i++)
        read_species(&sw_species_table[i], out, &means, &out->species[i]);
    for (int i = 0; i < sw_species_count; i++)
        refer(&out->species[i], &means);
    for (int i = 0; i < sw_solids_count; i++)
        read_solid(&sw_solids_table[i], t, &means,
                   &out->solid[sw_solids_table[i].solid]);
    sw_constants_plan(out);
    out->is_paired = false;
}

struct sw_tables {
    sw_constants own, standard; /* that of conductivities */
};

sw_status sw_tables_new(double temperature_c, sw_tables **tables,
                        sw_error *error)
{
    SW_REQUIRE(error, tables);
    *tables = NULL;
    sw_conditions at = sw_conditions_default();
    double standard_c = at.temperature_c;
    at.temperature_c = temperature_c;
    sw_status status = sw_conditions_check(&at, error);
    if (status != SW_OK)
        return status;
    *tables = malloc(sizeof **tables);
    if (!*tables)
        return sw_fail_memory(error);
    sw_constants_at(temperature_c, &(*tables)->own);
    sw_constants_at(standard_c, &(*tables)->standard);
    sw_constants_pair(&(*tables)->own);
    sw_constants_pair(&(*tables)->standard);
    return SW_OK;
}

void sw_tables_free(sw_tables *tables)
{
    free(tables);
}

const sw_constants *sw_constants_from(const sw_tables *tables,
                                      double temperature_c, sw_constants *room)
{
    if (tables && temperature_c == tables->own.temperature_c)
        return &tables->own;
    if (tables && temperature_c == tables->standard.temperature_c)
        return &tables->standard;
    sw_constants_at(temperature_c, room);
    return room;
}
