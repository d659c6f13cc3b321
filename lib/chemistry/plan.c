/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The species of one temperature prepared for the kernel: constants as factors,
 * activity coefficients by class, and which ligands each metal binds.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "chemistry/constants.h"
#include "chemistry/totals.h"

enum { CHARGES = 7 }; /* 0 to 6, without sign */

/* ---- Unknowns ----------------------------------------------------------- */

/* How many species and solids each master is in, and its own species. */
static void count_species(const sw_constants *c, sw_plan *plan,
                          int count[SW_MASTER_COUNT])
{
    for (int i = 0; i < c->species_count; i++) {
        const sw_species *s = &c->species[i];
        for (int k = 0; k < s->parts; k++)
            count[s->part[k]]++;
        if (s->parts == 1 && s->count[0] == 1 && s->protons == 0)
            plan->ion[s->part[0]] = i;
    }
    for (int i = 0; i < SW_PHASE_COUNT; i++)
        for (int k = 0; k < c->solid[i].parts; k++)
            count[c->solid[i].part[k]]++;
}

/* What is nowhere but in its own species is no unknown. */
static void place_unknowns(const sw_constants *c, sw_plan *plan)
{
    int count[SW_MASTER_COUNT] = {0};
    count_species(c, plan, count);
    for (int metals = 1; metals >= 0; metals--) {
        for (int m = 0; m < (int)SW_MASTER_COUNT; m++)
            if ((sw_master_charge((sw_master)m) > 0) == metals)
                plan->place[m] = count[m] > 1 ? plan->unknowns++ : -1;
        if (metals)
            plan->metals = plan->unknowns;
    }
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++) {
        int charge = sw_master_charge((sw_master)m);
        plan->half_z2[m] = 0.5 * charge * charge;
    }
    plan->unknowns++; /* the proton */
}

/* ---- Activity coefficients ---------------------------------------------- */

/* Davies, or 0.1 I for a neutral one, where the species has no size. */
static sw_coefficient coefficient_of(const sw_constants *c, const sw_species *s)
{
    double az2 = SW_LN10 * c->debye_a * s->charge * s->charge;
    if (isnan(s->size_angstrom))
        return (sw_coefficient){az2, 1, s->charge ? 0.3 * az2 : SW_LN10 * 0.1};
    return (sw_coefficient){az2, c->debye_b_per_angstrom * s->size_angstrom,
                            SW_LN10 * s->b_kg_per_mol};
}

double sw_ln_gamma(const sw_constants *c, const sw_species *s,
                   double ionic_strength)
{
    sw_coefficient law = coefficient_of(c, s);
    double root = sqrt(ionic_strength);
    return law.b * ionic_strength - law.az2 * root / (1 + law.ba * root);
}

/* One for each charge without a size of its own, and one for each size. */
static int class_of(const sw_constants *c, const sw_species *s, sw_plan *plan)
{
    sw_coefficient own = coefficient_of(c, s);
    if (isnan(s->size_angstrom)) {
        plan->coefficient[abs(s->charge)] = own;
        return abs(s->charge);
    }
    int k = CHARGES;
    while (k < plan->coefficients) {
        const sw_coefficient *other = &plan->coefficient[k];
        if (other->az2 == own.az2 && other->ba == own.ba && other->b == own.b)
            return k;
        k++;
    }
    plan->coefficient[k] = own;
    plan->coefficients++;
    return k;
}

/* ---- Species ------------------------------------------------------------ */

static void add_unknown(sw_product_term *t, int unknown, double count)
{
    int at = t->unknowns++;
    while (at > 0 && t->unknown[at - 1] > unknown) {
        t->unknown[at] = t->unknown[at - 1];
        t->count[at] = t->count[at - 1];
        at--;
    }
    t->unknown[at] = unknown;
    t->count[at] = count;
    t->needs |= 1U << ((unsigned)unknown % 32);
}

static void add_term(sw_constants *c, int species)
{
    sw_plan *plan = &c->plan;
    const sw_species *s = &c->species[species];
    sw_product_term *t = &plan->term[plan->terms++];
    *t = (sw_product_term){.species = species,
                           .beta = exp(s->ln_beta),
                           .half_z2 = 0.5 * s->charge * s->charge,
                           .coefficient = class_of(c, s, plan),
                           .protons = s->protons,
                           .water = s->water};
    for (int k = 0; k < s->parts; k++) {
        add_unknown(t, plan->place[s->part[k]], s->count[k]);
        for (int n = 0; n < s->count[k]; n++)
            t->factor[t->factors++] = plan->place[s->part[k]];
    }
    if (s->protons != 0)
        add_unknown(t, plan->unknowns - 1, s->protons);
}

void sw_constants_plan(sw_constants *c)
{
    sw_plan *plan = &c->plan;
    plan->unknowns = plan->terms = 0;
    plan->coefficients = CHARGES;
    memset(plan->coefficient, 0, CHARGES * sizeof *plan->coefficient);
    place_unknowns(c, plan);
    for (int i = 0; i < c->species_count; i++) {
        const sw_species *s = &c->species[i];
        if (s->parts == 0 || plan->place[s->part[0]] >= 0)
            add_term(c, i);
    }
}

/* ---- Of what is there --------------------------------------------------- */

static void place_there(const sw_plan *all, unsigned there, int *place,
                        sw_plan *some)
{
    some->unknowns = some->metals = 0;
    for (int j = 0; j < all->unknowns; j++) {
        place[j] = there >> j & 1 ? some->unknowns++ : -1;
        if (j < all->metals)
            some->metals = some->unknowns;
    }
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++) {
        some->half_z2[m] = all->half_z2[m];
        some->place[m] = all->place[m] < 0 ? -1 : place[all->place[m]];
    }
}

void sw_plan_restrict(const sw_plan *all, unsigned there, sw_plan *some)
{
    int place[SW_UNKNOWN_MAX], class[SW_SPECIES_MAX];
    memset(class, -1, sizeof class);
    place_there(all, there, place, some);
    some->terms = some->coefficients = 0;
    for (int i = 0; i < all->terms; i++) {
        if (all->term[i].needs & ~there)
            continue;
        sw_product_term *t = &some->term[some->terms++];
        *t = all->term[i];
        int *own = &class[t->coefficient];
        if (*own < 0) {
            *own = some->coefficients++;
            some->coefficient[*own] = all->coefficient[t->coefficient];
        }
        t->coefficient = *own;
        for (int k = 0; k < t->factors; k++)
            t->factor[k] = place[t->factor[k]];
        for (int k = 0; k < t->unknowns; k++)
            t->unknown[k] = place[t->unknown[k]];
    }
}
