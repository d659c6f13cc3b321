/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * From what a litre of concentrate holds to molalities.  The tank is filled
 * to a mark, so its water is what the salts leave room for; water that came as
 * hydrate is thereby counted as water.  The acid-base split follows from the
 * alkalinity carried by the contents, by one root in pH between rounds of the
 * activity model.
 */
#include "stock/brine.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "chemistry/constants.h"
#include "chemistry/root.h"
#include "quantity/elements.h"
#include "table_stock_ions.h"

/* A share of the equivalents from which a missing pair matters. */
#define MAJOR_SHARE 0.02

/* Limiting slope of apparent molal volumes, mL L^1/2 mol^-3/2 at 25 degC:
 * Redlich & Meyer 1964, Chem. Rev. 64:221 (value from memory). */
#define VOLUME_SLOPE 1.868

/* log10 K at 25 degC and enthalpy, of losing a proton.  Bates & Acree 1945,
 * NIST 46 (values from memory); Plummer & Busenberg 1982 for carbonate. */
typedef struct acid {
    double log_k, enthalpy_kj_per_mol;
} acid;
static const acid h3po4 = {-2.148, -8.0}, h2po4 = {-7.198, 3.6},
                  hso4 = {-1.988, -16.1}, co2 = {-6.352, 9.1},
                  hco3 = {-10.329, 14.9}, water = {-13.998, 55.8};

static double ln_k(const acid *a, double temperature_c)
{
    double per_k = 1 / 298.15 - 1 / (temperature_c + 273.15);
    return a->log_k * log(10.0) +
           a->enthalpy_kj_per_mol * 1000 / 8.314463 * per_k;
}

/* "NO3-N" is N, "K" is K: what stands after the dash, if there is one. */
static double weight(const char *component)
{
    const char *dash = strrchr(component, '-');
    const char *symbol = dash ? dash + 1 : component;
    int index = sw_element_index(symbol, strlen(symbol));
    return sw_element_at(index).weight_g_per_mol;
}

static double amount(const sw_content *c, const char *component)
{
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        if (!strcmp(sw_component_name((sw_component)i), component))
            return c->amount[i];
    return 0;
}

/* Metals a chelator holds are no ions of the table. */
static double chelated(const sw_content *c, sw_ion ion)
{
    switch (ion) {
    case SW_ION_MN:
        return c->amount[SW_CHELATED_MN];
    case SW_ION_ZN:
        return c->amount[SW_CHELATED_ZN];
    case SW_ION_CU:
        return c->amount[SW_CHELATED_CU];
    default:
        return 0;
    }
}

void sw_brine_moles(const sw_content *c, double *mol_per_l)
{
    memset(mol_per_l, 0, SW_IONS * sizeof *mol_per_l);
    for (int r = 0; r < sw_stock_ions_count; r++) {
        const char *component = sw_stock_ions_table[r].component;
        sw_ion ion = sw_ion_find(sw_stock_ions_table[r].ion);
        double mg = *component ? amount(c, component) - chelated(c, ion) : 0;
        /* urea has two atoms of N */
        double atoms = ion == SW_ION_UREA ? 2 : 1;
        if (mg > 0)
            mol_per_l[ion] = mg / (1000 * atoms * weight(component));
    }
    mol_per_l[SW_ION_CO2] = fmax(0, c->amount[SW_CARBON] / 1000);
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
    for (int r = 0; r < sw_stock_ions_count; r++) {
        sw_ion ion = sw_ion_find(sw_stock_ions_table[r].ion);
        int z = sw_ion_charge(ion);
        ml += mol_per_l[ion] * (sw_stock_ions_table[r].molar_volume_ml_per_mol +
                                VOLUME_SLOPE / 2 * z * z * sqrt(i));
    }
    return water_kg_per_l * (1 - ml / 1000);
}

/* Totals per kg of water, and the present activity coefficients. */
typedef struct split {
    const sw_brine *brine;
    double p, s, c, alkalinity;
    double k_h3po4, k_h2po4, k_hso4, k_co2, k_hco3, k_water; /* conditional */
} split;

/* Far beyond saturation the model's coefficients run away; what the pH then is
 * does not matter, only that there is one. */
static double bounded(double ln_gamma)
{
    return fmin(fmax(ln_gamma, -4), 4);
}

/* K' = [base][H+] / [acid] in molalities, for acid = base + H+. */
static double conditional(const split *x, const acid *a, sw_ion acid_ion,
                          sw_ion base)
{
    const double *ln_g = x->brine->activity.ln_gamma;
    return exp(ln_k(a, x->brine->temperature_c) + ln_g[acid_ion] - ln_g[base] -
               ln_g[SW_ION_H]);
}

static void set_constants(split *x)
{
    const sw_activity *a = &x->brine->activity;
    x->k_h3po4 = conditional(x, &h3po4, SW_ION_H3PO4, SW_ION_H2PO4);
    x->k_h2po4 = conditional(x, &h2po4, SW_ION_H2PO4, SW_ION_HPO4);
    x->k_hso4 = conditional(x, &hso4, SW_ION_HSO4, SW_ION_SO4);
    x->k_co2 = conditional(x, &co2, SW_ION_CO2, SW_ION_HCO3);
    x->k_hco3 = conditional(x, &hco3, SW_ION_HCO3, SW_ION_CO3);
    x->k_water =
        exp(ln_k(&water, x->brine->temperature_c) + bounded(a->ln_water) -
            bounded(a->ln_gamma[SW_ION_H]) - bounded(a->ln_gamma[SW_ION_OH]));
}

/* Shares out the totals at a molality h of H+. */
static void share(const split *x, double h, double *m)
{
    double p = h / x->k_h3po4 + 1 + x->k_h2po4 / h;
    double c = 1 + x->k_co2 / h + x->k_co2 * x->k_hco3 / (h * h);
    m[SW_ION_H] = h;
    m[SW_ION_OH] = x->k_water / h;
    m[SW_ION_H2PO4] = x->p / p;
    m[SW_ION_H3PO4] = x->p / p * h / x->k_h3po4;
    m[SW_ION_HPO4] = x->p / p * x->k_h2po4 / h;
    m[SW_ION_SO4] = x->s / (1 + h / x->k_hso4);
    m[SW_ION_HSO4] = x->s - m[SW_ION_SO4];
    m[SW_ION_CO2] = x->c / c;
    m[SW_ION_HCO3] = x->c / c * x->k_co2 / h;
    m[SW_ION_CO3] = m[SW_ION_HCO3] * x->k_hco3 / h;
}

/* Alkalinity of the contents less that of the split at 10^-p of H+. */
static sw_status imbalance(double p, void *context, double *y, sw_error *error)
{
    const split *x = context;
    double m[SW_IONS];
    (void)error;
    share(x, pow(10, -p), m);
    *y = x->alkalinity + m[SW_ION_H3PO4] + m[SW_ION_HSO4] + m[SW_ION_H] -
         m[SW_ION_HPO4] - m[SW_ION_HCO3] - 2 * m[SW_ION_CO3] - m[SW_ION_OH];
    return SW_OK;
}

/* False when pH and activities do not settle. */
static bool settle(const sw_pitzer *pitzer, split *x, sw_brine *brine)
{
    double last = NAN;
    for (int round = 0; round < 100; round++) {
        sw_pitzer_activity(pitzer, brine->molality, brine->a_phi,
                           &brine->activity);
        set_constants(x);
        sw_search search = {imbalance, x, -3, 20, 1e-12};
        double p = 0;
        if (sw_root_find(&search, &p, NULL))
            return false;
        /* short steps: the coefficients of H+ and H2PO4- chase each other */
        double pace = round < 20 ? 0.5 : 0.1;
        double step = isnan(last) ? p : last + pace * (p - last);
        share(x, pow(10, -step), brine->molality);
        brine->ph = step - brine->activity.ln_gamma[SW_ION_H] / log(10.0);
        if (fabs(p - last) < 1e-7)
            return true;
        last = step;
    }
    return false;
}

/* A pair's parameters are there: a salt's, or of two of one sign. */
static bool is_known(const sw_pitzer *p, int i, int k)
{
    int zz = sw_ion_charge((sw_ion)i) * sw_ion_charge((sw_ion)k);
    return zz == 0 || p->pair[i][k].known;
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

void sw_brine_missing(const sw_pitzer *pitzer, const sw_brine *brine,
                      char *text, size_t size)
{
    double equivalents = equivalents_of(brine);
    size_t used = 0;
    text[0] = '\0';
    for (int i = 0; i < SW_IONS; i++)
        for (int k = i + 1; k < SW_IONS; k++) {
            if (is_known(pitzer, i, k) || !is_major(brine, i, equivalents) ||
                !is_major(brine, k, equivalents) || used >= size)
                continue;
            used += (size_t)snprintf(text + used, size - used, "%s%s/%s",
                                     used ? ", " : "", sw_ion_name((sw_ion)i),
                                     sw_ion_name((sw_ion)k));
        }
}

void sw_brine_settle(const sw_pitzer *pitzer, double alkalinity_eq_per_kg,
                     sw_brine *brine)
{
    const double *m = brine->molality;
    split x = {
        .brine = brine,
        .p = m[SW_ION_H2PO4],
        .s = m[SW_ION_SO4],
        .c = m[SW_ION_CO2],
        .alkalinity = alkalinity_eq_per_kg,
    };
    char missing[8];
    if (!settle(pitzer, &x, brine))
        brine->water_kg_per_l = 0;
    sw_brine_missing(pitzer, brine, missing, sizeof missing);
    brine->incomplete = *missing != '\0';
}

void sw_brine_make(const sw_pitzer *pitzer, const sw_content *per_l,
                   double temperature_c, sw_brine *brine)
{
    double mol[SW_IONS];
    memset(brine, 0, sizeof *brine);
    sw_constants constants;
    sw_constants_at(temperature_c, &constants);
    brine->temperature_c = temperature_c;
    brine->a_phi = sw_a_phi(&constants);
    sw_brine_moles(per_l, mol);
    double kg = water_in_a_litre(mol, constants.water_kg_per_l);
    if (!(kg >= SW_LEAST_WATER_KG_PER_L &&
          strength_of(mol) <= kg * SW_MOST_IONIC_STRENGTH_MOL_PER_KG))
        return;
    brine->water_kg_per_l = kg;
    for (int i = 0; i < SW_IONS; i++)
        brine->molality[i] = mol[i] / kg;
    sw_brine_settle(pitzer, per_l->amount[SW_ALKALINITY] / 1000 / kg, brine);
}
