/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * From what a litre of concentrate holds to molalities.  The tank is filled
 * to a mark, so its water is what the salts leave room for; water that came as
 * hydrate is thereby counted as water.  The acids, bases and pairs are those of
 * the finished solution's chemistry, shared out by the same convex problem, in
 * turn with Pitzer's activities until neither moves.
 */
#include "stock/brine.h"
#include "quantity/components.h"

#include "quantity/text.h"

#include <math.h>
#include <string.h>

/* A share of the equivalents from which a missing pair matters. */
#define MAJOR_SHARE 0.02

/* Limiting slope of apparent molal volumes, mL L^1/2 mol^-3/2 at 25 degC:
 * Redlich & Meyer 1964, Chem. Rev. 64:221 (value from memory). */
#define VOLUME_SLOPE 1.868

/* The binary fits reach 2 to 20 mol/kg (reference/pitzer.csv), but mixtures of
 * them, and what has only SIT's term, are not to be trusted beyond this. */
static const double most_strength = 12;
/* mol/kg from which silica polymerises (Iler 1979, The Chemistry of Silica,
 * ch. 3) and borate too (Ingri 1963, Svensk Kem. Tidskr. 75:199); of citrate,
 * whose ions have only SIT's term, as common practice, no source.  Values
 * from memory. */
static const double most_silica = 0.002, most_boron = 0.1, most_citrate = 0.5;

/* ---- The medium ---- */

/* The ion a ligand is with so many protons above its reference. */
static sw_ion ligand_ion(const sw_medium *medium, sw_master ligand, int protons)
{
    for (int i = 0; i < medium->constants.species_count; i++) {
        const sw_species *s = &medium->constants.species[i];
        if (s->parts == 1 && s->part[0] == ligand && s->count[0] == 1 &&
            s->protons == protons && medium->ion[i] < SW_IONS)
            return medium->ion[i];
    }
    return SW_IONS;
}

/* Cation and anion of an ion pair or hydroxide; false: it is neither. */
static bool take_apart(const sw_medium *medium, const sw_species *s,
                       sw_ion *cation, sw_ion *anion)
{
    *cation = s->parts ? ligand_ion(medium, s->part[0], 0) : SW_IONS;
    if (*cation >= SW_IONS || sw_ion_charge(*cation) <= 0)
        return false;
    if (s->parts == 1)
        *anion = s->protons < 0 ? SW_ION_OH : SW_IONS;
    else
        *anion = ligand_ion(medium, s->part[1], s->protons / s->count[1]);
    return *anion < SW_IONS;
}

static bool has_terms(const sw_pair *p)
{
    return p->known && (p->beta0 != 0 || p->beta1 != 0 || p->beta2 != 0);
}

static void sort_out(sw_medium *m, int i)
{
    const sw_species *s = &m->constants.species[i];
    sw_ion cation, anion;
    bool hcl = !strcmp(s->name, "HCl");
    m->left_out[i] = hcl; /* so strong an acid that H+/Cl- stands for it */
    if (m->ion[i] < SW_IONS || !take_apart(m, s, &cation, &anion))
        return;
    m->left_out[i] = has_terms(&m->pitzer->pair[cation][anion]);
    if (!m->left_out[i])
        m->paired[cation][anion] = m->paired[anion][cation] = true;
}

void sw_medium_at(const sw_pitzer *pitzer, double temperature_c, sw_medium *m)
{
    memset(m, 0, sizeof *m);
    m->pitzer = pitzer;
    m->temperature_c = temperature_c;
    sw_constants_at(temperature_c, &m->constants);
    m->a_phi = sw_a_phi(&m->constants);
    for (int i = 0; i < SW_IONS; i++)
        m->species[i] = -1;
    for (int i = 0; i < m->constants.species_count; i++) {
        m->ion[i] = sw_ion_find(m->constants.species[i].name);
        if (m->ion[i] < SW_IONS)
            m->species[m->ion[i]] = i;
    }
    for (int i = 0; i < m->constants.species_count; i++)
        sort_out(m, i);
}

/* ---- Contents ---- */

void sw_brine_masters(const sw_content *c, double *mol)
{
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++) {
        sw_master master = (sw_master)m;
        double amount = sw_unchelated_mg(c, sw_master_component(master));
        if (master == SW_AT_Chelate)
            amount = fabs(amount);
        mol[m] = master == SW_AT_Fe3
                     ? 0
                     : fmax(0, amount) / sw_amount_per_mol(master);
    }
}

static double urea_of(const sw_content *c)
{
    return fmax(0, c->amount[SW_UREA_N]) / 28014; /* two atoms of N */
}

void sw_brine_moles(const sw_content *c, double *mol_per_l)
{
    double mol[SW_MASTER_COUNT];
    sw_brine_masters(c, mol);
    for (int i = 0; i < SW_IONS; i++) {
        sw_master all = sw_ion_total((sw_ion)i);
        mol_per_l[i] = all < SW_MASTER_COUNT ? mol[all] : 0;
    }
    mol_per_l[SW_ION_UREA] = urea_of(c);
}

static double strength_of(const double *mol)
{
    double i = 0;
    for (int k = 0; k < SW_IONS; k++) {
        int z = sw_ion_charge((sw_ion)k);
        i += mol[k] * z * z / 2.0;
    }
    return i;
}

/* kg of water in a litre; Redlich & Meyer: phi = phi0 + S/2 z^2 sqrt(I). */
static double water_in_a_litre(const double *mol_per_l, double water_kg_per_l)
{
    double i = strength_of(mol_per_l), ml = 0;
    for (int k = 0; k < SW_IONS; k++) {
        int z = sw_ion_charge((sw_ion)k);
        ml += mol_per_l[k] * (sw_ion_molar_volume((sw_ion)k) +
                              VOLUME_SLOPE / 2 * z * z * sqrt(i));
    }
    return water_kg_per_l * (1 - ml / 1000);
}

/* ---- Equilibrium ---- */

/* ln of the activity coefficients of all species. */
static void spread(const sw_medium *m, const sw_activity *a, double *ln_gamma)
{
    double i = a->ionic_strength_mol_per_kg;
    double plain = sw_plain_ln_gamma(1, m->a_phi, i);
    for (int k = 0; k < m->constants.species_count; k++) {
        int z = m->constants.species[k].charge;
        if (m->left_out[k])
            ln_gamma[k] = NAN;
        else
            ln_gamma[k] =
                m->ion[k] < SW_IONS ? a->ln_gamma[m->ion[k]] : z * z * plain;
    }
}

/* Activities of what the speciation found. */
static void activate(const sw_medium *m, const sw_speciation *s,
                     sw_brine *brine)
{
    double others[SW_OTHERS] = {0};
    for (int k = 0; k < m->constants.species_count; k++) {
        int z = m->constants.species[k].charge;
        if (m->ion[k] < SW_IONS)
            brine->molality[m->ion[k]] = s->molality[k];
        else
            others[z < 0 ? -z : z] += s->molality[k];
    }
    sw_pitzer_activity(m->pitzer, brine->molality, others, m->a_phi,
                       &brine->activity);
}

/* Far beyond saturation the model's coefficients run away; the problem stays
 * one that can be solved. */
static double bounded(double ln_gamma)
{
    return fmin(fmax(ln_gamma, -15), 15);
}

/* The largest change of a coefficient; takes `pace` of each. */
static double follow(const sw_medium *m, const sw_brine *brine, double pace,
                     sw_speciation *s, double *ln_gamma)
{
    double next[SW_SPECIES_MAX], most = 0;
    spread(m, &brine->activity, next);
    for (int k = 0; k < m->constants.species_count; k++) {
        double change = bounded(next[k]) - ln_gamma[k];
        if (isnan(next[k]))
            continue;
        most = s->molality[k] > 1e-9 ? fmax(most, fabs(change)) : most;
        ln_gamma[k] += pace * change;
    }
    s->ln_water += pace * (bounded(brine->activity.ln_water) - s->ln_water);
    return most;
}

/* False when pH and activities do not settle. */
static bool settle(const sw_medium *m, sw_brine *brine)
{
    double ln_gamma[SW_SPECIES_MAX];
    sw_speciation s = {.constants = &m->constants, .totals = brine->totals};
    sw_activity first = {.ionic_strength_mol_per_kg = 0};
    spread(m, &first, ln_gamma);
    s.ln_gamma = ln_gamma;
    brine->molality[SW_ION_UREA] = brine->totals.urea_mol_per_kg;
    for (int round = 0; round < 100; round++) {
        if (sw_speciate(&s, NULL))
            return false;
        activate(m, &s, brine);
        /* short steps: the coefficients of H+ and H2PO4- chase each other */
        double pace = round < 4 ? 1 : round < 30 ? 0.6 : 0.15;
        if (follow(m, brine, pace, &s, ln_gamma) < 1e-7) {
            brine->ph = s.ph;
            return true;
        }
    }
    return false;
}

static const char *no_estimate_of(const sw_brine *b)
{
    const double *t = b->totals.mol_per_kg;
    if (!(b->activity.ionic_strength_mol_per_kg <= most_strength))
        return "so strong a solution is beyond the activity model";
    if (t[SW_AT_H4SiO4] > most_silica)
        return "silicate polymerises";
    if (t[SW_AT_H3BO3] > most_boron)
        return "borate polymerises";
    if (t[SW_AT_Cit] > most_citrate)
        return "so much citrate is beyond the activity model";
    return NULL;
}

/* ---- What is not known ---- */

/* A pair's parameters are there: a salt's, or of two of one sign; or a species
 * stands for it. */
static bool is_known(const sw_medium *m, int i, int k)
{
    int zz = sw_ion_charge((sw_ion)i) * sw_ion_charge((sw_ion)k);
    return zz == 0 || m->pitzer->pair[i][k].known || m->paired[i][k];
}

static bool is_major(const sw_brine *b, int i, double equivalents)
{
    double z = fabs((double)sw_ion_charge((sw_ion)i));
    return b->molality[i] * z > MAJOR_SHARE * equivalents;
}

static double equivalents_of(const sw_brine *b)
{
    double sum = 0;
    for (int i = 0; i < SW_IONS; i++)
        sum += b->molality[i] * fabs((double)sw_ion_charge((sw_ion)i)) / 2;
    return sum;
}

void sw_brine_missing(const sw_medium *medium, const sw_brine *brine,
                      char *text, size_t size)
{
    double equivalents = equivalents_of(brine);
    text[0] = '\0';
    for (int i = 0; i < SW_IONS; i++)
        for (int k = i + 1; k < SW_IONS; k++) {
            if (is_major(brine, i, equivalents) &&
                is_major(brine, k, equivalents) && !is_known(medium, i, k))
                sw_text_join(text, size, ", ", "%s/%s", sw_ion_name((sw_ion)i),
                             sw_ion_name((sw_ion)k));
        }
}

/* ---- In and out ---- */

void sw_brine_settle(const sw_medium *medium, sw_brine *brine)
{
    char missing[8];
    brine->ph = NAN;
    if (!settle(medium, brine))
        brine->water_kg_per_l = 0;
    sw_brine_missing(medium, brine, missing, sizeof missing);
    brine->incomplete = *missing != '\0';
    brine->no_estimate = no_estimate_of(brine);
}

static void settle_contents(const sw_medium *medium, const sw_content *per_l,
                            double kg, sw_brine *brine)
{
    double mol[SW_MASTER_COUNT];
    sw_brine_masters(per_l, mol);
    brine->water_kg_per_l = kg;
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++)
        brine->totals.mol_per_kg[m] = mol[m] / kg;
    brine->totals.urea_mol_per_kg = urea_of(per_l) / kg;
    brine->totals.alkalinity_eq_per_kg =
        per_l->amount[SW_ALKALINITY] / 1000 / kg;
    sw_brine_settle(medium, brine);
}

/* In so much water: NaN for what a litre of the concentrate has room for. */
static void make(const sw_medium *medium, const sw_content *contents, double kg,
                 sw_brine *brine)
{
    double mol[SW_IONS];
    memset(brine, 0, sizeof *brine);
    brine->ph = NAN;
    sw_brine_moles(contents, mol);
    if (isnan(kg))
        kg = water_in_a_litre(mol, medium->constants.water_kg_per_l);
    if (kg >= SW_LEAST_WATER_KG_PER_L &&
        strength_of(mol) <= kg * SW_MOST_IONIC_STRENGTH_MOL_PER_KG)
        settle_contents(medium, contents, kg, brine);
}

void sw_brine_make(const sw_medium *medium, const sw_content *per_l,
                   sw_brine *brine)
{
    make(medium, per_l, NAN, brine);
}

void sw_brine_in_water(const sw_medium *medium, const sw_content *contents,
                       sw_brine *brine)
{
    make(medium, contents, 1, brine);
}
