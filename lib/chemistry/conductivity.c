/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Electrical conductivity and osmotic pressure of a speciated solution.
 *
 * Each free ion moves against the drag of its atmosphere and the field of its
 * relaxation (Onsager 1927; both with Falkenhagen's 1 + kappa a for ions of a
 * size):  lambda = (lambda0 - drag) (1 - relaxation).  Nothing in it was fitted
 * to conductivities of solutions.  reference/methods.md, Chemistry.
 */
#include "chemistry/conductivity.h"

#include <math.h>
#include <stdlib.h>

static const double LN10 = 2.302585092994046;
static const double ION_SIZE = 4.0;         /* angstrom */
static const double DRAG = 4125;            /* Onsager 1927: 41.25 with poise */
static const double RELAXATION = 2.801e6;   /* Onsager 1927 */
static const double GAS = 8.31446261815324; /* J/mol/K */

/* How far a meter is from the figure, below and above, 9 times in 10: of
 * waters known by a report, and of solutions weighed exactly from pure salts.
 */
static const double analysed_low = 0.09, analysed_high = 0.15;
static const double weighed_low = 0.02, weighed_high = 0.015;

/* An ion that conducts: its share of the current and of the atmosphere. */
typedef struct ion {
    double molarity; /* mol/L */
    double charge;
    double lambda;    /* limiting, S cm^2 per equivalent */
    double screening; /* 1/(1 + kappa a) */
} ion;

static int list_ions(const sw_speciation *s, ion *ions)
{
    const sw_constants *c = s->constants;
    double root = sqrt(s->ionic_strength) * c->debye_b_per_angstrom;
    int count = 0;
    for (int i = 0; i < c->species_count; i++) {
        const sw_species *species = &c->species[i];
        if (species->lambda <= 0 || s->molality[i] <= 0)
            continue;
        double size =
            isnan(species->size_angstrom) ? ION_SIZE : species->size_angstrom;
        ions[count++] =
            (ion){.molarity = s->molality[i] * s->totals.water_kg_per_l,
                  .charge = species->charge,
                  .lambda = species->lambda / abs(species->charge),
                  .screening = 1 / (1 + root * size)};
    }
    return count;
}

/*
 * Onsager's relaxation of an ion in the atmosphere of its counter-ions, the
 * mean over them by equivalents: z1 z2 q / (1 + sqrt q).
 */
static double relaxation(const ion *ions, int count, const ion *of)
{
    double sum = 0;
    double weight = 0;
    for (int k = 0; k < count; k++) {
        const ion *other = &ions[k];
        double z1 = fabs(of->charge);
        double z2 = fabs(other->charge);
        if (of->charge * other->charge > 0)
            continue;
        double q = z1 * z2 / (z1 + z2) * (of->lambda + other->lambda) /
                   (z2 * of->lambda + z1 * other->lambda);
        double share = other->molarity * z2;
        sum += share * z1 * z2 * q / (1 + sqrt(q));
        weight += share;
    }
    return sum / weight; /* H+ and OH- are always there */
}

double sw_conductivity(const sw_speciation *s)
{
    ion ions[SW_SPECIES_MAX];
    const sw_constants *c = s->constants;
    int count = list_ions(s, ions);
    double root = sqrt(s->ionic_strength * c->water_kg_per_l);
    double et = c->permittivity * c->temperature_k;
    double drag = DRAG / (c->viscosity_mpa_s * sqrt(et)) * root;
    double relax = RELAXATION / (et * sqrt(et)) * root;
    double sum = 0;
    for (int i = 0; i < count; i++) {
        const ion *of = &ions[i];
        double z = fabs(of->charge);
        double dragged = of->lambda - drag * z * of->screening;
        double field = 1 - relax * relaxation(ions, count, of) * of->screening;
        sum += of->molarity * z * dragged * field;
    }
    return sum;
}

void sw_conductivity_interval(double ms_per_cm, double analysed, double scale,
                              double *low_ms_per_cm, double *high_ms_per_cm)
{
    double weighed = 1 - analysed;
    double low = hypot(analysed * analysed_low, weighed * weighed_low);
    double high = hypot(analysed * analysed_high, weighed * weighed_high);
    *low_ms_per_cm = ms_per_cm * (1 - hypot(low, weighed * scale));
    *high_ms_per_cm = ms_per_cm * (1 + hypot(high, weighed * scale));
}

sw_status sw_conductivity_at(const sw_speciation *s, const sw_tables *tables,
                             double temperature_c, double *ms_per_cm,
                             sw_error *error)
{
    sw_constants room;
    if (temperature_c == s->constants->temperature_c) {
        *ms_per_cm = sw_conductivity(s);
        return SW_OK;
    }
    sw_speciation there = *s;
    there.constants = sw_constants_from(tables, temperature_c, &room);
    there.totals.mol_per_kg[SW_AT_CO3] = sw_carbon_of(s);
    there.carbon_open = false;
    there.ph_given = true;
    sw_status status = sw_speciate(&there, error);
    if (status == SW_OK)
        *ms_per_cm = sw_conductivity(&there);
    return status;
}

double sw_osmotic_pressure(const sw_speciation *s)
{
    const sw_constants *c = s->constants;
    double sum = s->totals.urea_mol_per_kg;
    double x = c->debye_b_per_angstrom * ION_SIZE * sqrt(s->ionic_strength);
    for (int i = 0; i < c->species_count; i++)
        sum += s->molality[i];
    /* Robinson & Stokes 1959: sigma(x), the Debye-Hueckel osmotic function. */
    double sigma = 1 - 1.5 * x;
    if (x > 1e-3)
        sigma = 3 / (x * x * x) * (1 + x - 2 * log1p(x) - 1 / (1 + x));
    double loss = LN10 * c->debye_a / 3 * 2 * s->ionic_strength *
                  sqrt(s->ionic_strength) * sigma;
    return GAS * c->temperature_k * c->water_kg_per_l * (sum - loss);
}
