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

#include "chemistry/constants.h"

#include <math.h>
#include <stdlib.h>

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
    double equivalents; /* per litre */
    double charge;      /* without sign */
    double lambda;      /* limiting, S cm^2 per equivalent */
    double screening;   /* 1/(1 + kappa a) */
    double drag;        /* sum over its counter-ions by equivalents */
    int place;
} ion;

typedef struct ions {
    int count;
    double equivalents; /* per litre */
    ion at[SW_SPECIES_MAX];
} ions;

static double lambda_of(const sw_species *species)
{
    return species->lambda / abs(species->charge);
}

static void list_ions(const sw_speciation *s, ions *cations, ions *anions)
{
    const sw_constants *c = s->constants;
    double root = sqrt(s->ionic_strength) * c->debye_b_per_angstrom;
    cations->count = anions->count = 0;
    cations->equivalents = anions->equivalents = 0;
    for (int i = 0; i < c->species_count; i++) {
        const sw_species *species = &c->species[i];
        if (species->lambda <= 0 || s->molality[i] <= 0)
            continue;
        double size =
            isnan(species->size_angstrom) ? ION_SIZE : species->size_angstrom;
        ions *list = species->charge > 0 ? cations : anions;
        ion *of = &list->at[list->count++];
        double charge = abs(species->charge);
        *of = (ion){.equivalents =
                        s->molality[i] * s->totals.water_kg_per_l * charge,
                    .charge = charge,
                    .lambda = lambda_of(species),
                    .screening = 1 / (1 + root * size),
                    .place = c->is_paired ? c->drags.place[i] : -1};
        list->equivalents += of->equivalents;
    }
}

/* Onsager's relaxation of a pair, the same of both: z1 z2 q / (1 + sqrt q). */
static double drag_of(double z1, double lambda1, double z2, double lambda2)
{
    double q = z1 * z2 / (z1 + z2) * (lambda1 + lambda2) /
               (z2 * lambda1 + z1 * lambda2);
    return z1 * z2 * q / (1 + sqrt(q));
}

void sw_constants_pair(sw_constants *c)
{
    int of[2][SW_CONDUCTOR_MAX], count[2] = {0, 0};
    for (int i = 0; i < c->species_count; i++) {
        int sign = c->species[i].charge < 0;
        if (c->species[i].lambda > 0) {
            c->drags.place[i] = count[sign];
            of[sign][count[sign]++] = i;
        }
    }
    for (int k = 0; k < count[0]; k++)
        for (int h = 0; h < count[1]; h++) {
            const sw_species *one = &c->species[of[0][k]];
            const sw_species *other = &c->species[of[1][h]];
            c->drags.of[k][h] = drag_of(one->charge, lambda_of(one),
                                        -other->charge, lambda_of(other));
        }
    c->is_paired = true;
}

/* Of each ion in the atmosphere of its counter-ions. */
static void add_drags(const sw_constants *c, ions *cations, ions *anions)
{
    for (int k = 0; k < cations->count; k++) {
        ion *one = &cations->at[k];
        const double *known = c->is_paired ? c->drags.of[one->place] : NULL;
        for (int h = 0; h < anions->count; h++) {
            ion *other = &anions->at[h];
            double drag = known ? known[other->place]
                                : drag_of(one->charge, one->lambda,
                                          other->charge, other->lambda);
            one->drag += other->equivalents * drag;
            other->drag += one->equivalents * drag;
        }
    }
}

/* What a list of ions carries; H+ and OH- are always among their counter-ions.
 */
static double current_of(const ions *list, double drag, double relax,
                         double counter_equivalents)
{
    double sum = 0;
    for (int k = 0; k < list->count; k++) {
        const ion *of = &list->at[k];
        double dragged = of->lambda - drag * of->charge * of->screening;
        double relaxed = relax * of->drag / counter_equivalents;
        sum += of->equivalents * dragged * (1 - relaxed * of->screening);
    }
    return sum;
}

double sw_conductivity(const sw_speciation *s)
{
    ions cations, anions;
    const sw_constants *c = s->constants;
    list_ions(s, &cations, &anions);
    add_drags(c, &cations, &anions);
    double root = sqrt(s->ionic_strength * c->water_kg_per_l);
    double et = c->permittivity * c->temperature_k;
    double drag = DRAG / (c->viscosity_mpa_s * sqrt(et)) * root;
    double relax = RELAXATION / (et * sqrt(et)) * root;
    return current_of(&cations, drag, relax, anions.equivalents) +
           current_of(&anions, drag, relax, cations.equivalents);
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
    double loss = SW_LN10 * c->debye_a / 3 * 2 * s->ionic_strength *
                  sqrt(s->ionic_strength) * sigma;
    return GAS * c->temperature_k * c->water_kg_per_l * (sum - loss);
}
