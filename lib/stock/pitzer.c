/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Pitzer's equations as Harvie, Moller and Weare (1984) write them, with the
 * unsymmetrical mixing terms.  Concentrates reach ionic strengths of 3 to 10
 * mol/kg, far beyond what the extended Debye-Hueckel model of the finished
 * solution can say.
 */
#include "stock/pitzer.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "chemistry/constants.h"
#include "table_stock_ions.h"

#define B_DEBYE 1.2 /* (kg/mol)^1/2; the same for all salts */
#define WATER_MOL_PER_KG 55.50837

/* Which parameters a row gives. */
enum { SW_PITZER_BINARY, SW_PITZER_THETA, SW_PITZER_PSI, SW_PITZER_LAMBDA };

#include "table_pitzer.h"

const char *sw_ion_name(sw_ion ion)
{
    return sw_stock_ions_table[ion].ion;
}

int sw_ion_charge(sw_ion ion)
{
    return sw_stock_ions_table[ion].charge;
}

sw_ion sw_ion_counts_as(sw_ion ion)
{
    return (sw_ion)sw_stock_ions_table[ion].counts_as;
}

sw_master sw_ion_total(sw_ion ion)
{
    return (sw_master)sw_stock_ions_table[ion].total;
}

double sw_ion_molar_volume(sw_ion ion)
{
    return sw_stock_ions_table[ion].molar_volume_ml_per_mol;
}

sw_ion sw_ion_find(const char *name)
{
    int i = 0;
    while (i < SW_IONS && strcmp(sw_stock_ions_table[i].ion, name) != 0)
        i++;
    return (sw_ion)i;
}

static void load_pair(sw_pitzer *p, const sw_pitzer_row *row)
{
    sw_ion i = sw_ion_find(row->ion_1), k = sw_ion_find(row->ion_2);
    sw_pair pair = {.known = true, .fit_max_mol_per_kg = NAN};
    if (row->kind == SW_PITZER_BINARY) {
        pair.beta0 = row->beta0;
        pair.beta1 = row->beta1;
        pair.beta2 = row->beta2;
        pair.c =
            row->c_phi / (2 * sqrt(fabs((double)sw_stock_ions_table[i].charge *
                                        sw_stock_ions_table[k].charge)));
        pair.fit_max_mol_per_kg = row->fit_max_mol_per_kg;
    } else {
        pair.theta = row->value;
    }
    p->pair[i][k] = p->pair[k][i] = pair;
}

void sw_pitzer_load(sw_pitzer *p)
{
    memset(p, 0, sizeof *p);
    for (int r = 0; r < sw_pitzer_count; r++) {
        const sw_pitzer_row *row = &sw_pitzer_table[r];
        sw_triple t = {{sw_ion_find(row->ion_1), sw_ion_find(row->ion_2),
                        sw_ion_find(row->ion_3)},
                       row->value};
        for (int i = 0; i < 3; i++)
            if (t.ion[i] < SW_IONS)
                p->interacts[t.ion[i]] = true;
        if (row->kind == SW_PITZER_PSI)
            p->psi[p->psi_count++] = t;
        else if (row->kind == SW_PITZER_LAMBDA)
            p->lambda[p->lambda_count++] = t;
        else
            load_pair(p, row);
    }
}

double sw_a_phi(const sw_constants *constants)
{
    return constants->debye_a * log(10.0) / 3;
}

void sw_pitzer_j(double x, double j[2])
{
    const double c1 = 4.581, c2 = 0.7237, c3 = 0.0120, c4 = 0.528;
    double s = c1 * pow(x, -c2) * exp(-c3 * pow(x, c4));
    double d = 4 + s;
    double slope = s * (-c2 / x - c3 * c4 * pow(x, c4 - 1));
    j[0] = x / d;
    j[1] = 1 / d - x * slope / (d * d);
}

void sw_e_theta(int charge_1, int charge_2, double a_phi,
                double ionic_strength_mol_per_kg, double theta[2])
{
    double i = ionic_strength_mol_per_kg;
    theta[0] = theta[1] = 0;
    if (charge_1 == charge_2 || i <= 0)
        return;
    const double zz[3] = {(double)charge_1 * charge_2,
                          (double)charge_1 * charge_1,
                          (double)charge_2 * charge_2};
    const double share[3] = {1, -0.5, -0.5};
    double sum = 0, slope = 0;
    for (int k = 0; k < 3; k++) {
        double j[2], x = 6 * zz[k] * a_phi * sqrt(i);
        sw_pitzer_j(x, j);
        sum += share[k] * j[0];
        slope += share[k] * x * j[1];
    }
    theta[0] = zz[0] / (4 * i) * sum;
    theta[1] = -theta[0] / i + zz[0] / (8 * i * i) * slope;
}

/* g and g' of the ionic strength dependence of B. */
static double g(double x)
{
    return x > 0 ? 2 * (1 - (1 + x) * exp(-x)) / (x * x) : 1;
}

static double g_slope(double x)
{
    return x > 0 ? -2 * (1 - (1 + x + x * x / 2) * exp(-x)) / (x * x) : 0;
}

/* g, g' / I and exp(-x) for one alpha. */
typedef struct fall {
    double g, slope, e;
} fall;

static fall fall_at(double alpha, double i)
{
    double x = alpha * sqrt(i);
    return (fall){g(x), i > 0 ? g_slope(x) / i : 0, exp(-x)};
}

enum { MOST_CHARGE = 3 };

/* What the sums over pairs and triples give. */
typedef struct sums {
    const double *m;
    double i, z;        /* ionic strength; sum of m |z| */
    double f, c, phi;   /* F, sum of m m C, half of m (phi - 1) */
    fall one, two, far; /* alpha 2, 1.4 and 12 */
    double e_theta[MOST_CHARGE + 1][MOST_CHARGE + 1][2]; /* by charges */
    double linear[SW_IONS];                              /* an ion's own */
} sums;

static void add_unlike(sums *s, const sw_pitzer *p, int c, int a)
{
    const sw_pair *pair = &p->pair[c][a];
    if (!pair->known)
        return;
    /* alpha 1.4 and 12 for two divalent ions, else 2; Pitzer & Mayorga 1974 */
    const fall *near =
        sw_stock_ions_table[c].charge * sw_stock_ions_table[a].charge == -4
            ? &s->two
            : &s->one;
    double b = pair->beta0 + pair->beta1 * near->g + pair->beta2 * s->far.g;
    double phi = pair->beta0 + pair->beta1 * near->e + pair->beta2 * s->far.e;
    double mm = s->m[c] * s->m[a];
    s->f += mm * (pair->beta1 * near->slope + pair->beta2 * s->far.slope);
    s->c += mm * pair->c;
    s->phi += mm * (phi + s->z * pair->c);
    s->linear[c] += s->m[a] * (2 * b + s->z * pair->c);
    s->linear[a] += s->m[c] * (2 * b + s->z * pair->c);
}

static void add_like(sums *s, const sw_pitzer *p, int i, int k)
{
    const double *e = s->e_theta[abs(sw_stock_ions_table[i].charge)]
                                [abs(sw_stock_ions_table[k].charge)];
    double slope = e[1];
    double theta = p->pair[i][k].theta + e[0], mm = s->m[i] * s->m[k];
    s->f += mm * slope;
    s->phi += mm * (theta + s->i * slope);
    s->linear[i] += 2 * s->m[k] * theta;
    s->linear[k] += 2 * s->m[i] * theta;
}

static void add_pairs(sums *s, const sw_pitzer *p)
{
    for (int i = 0; i < SW_IONS; i++)
        for (int k = i + 1; k < SW_IONS && p->interacts[i]; k++) {
            int zz =
                sw_stock_ions_table[i].charge * sw_stock_ions_table[k].charge;
            if (zz == 0 || !p->interacts[k] || (s->m[i] <= 0 && s->m[k] <= 0))
                continue;
            if (zz < 0)
                add_unlike(s, p, i, k);
            else
                add_like(s, p, i, k);
        }
}

static void add_triples(sums *s, const sw_pitzer *p)
{
    for (size_t t = 0; t < p->psi_count; t++) {
        const sw_ion *n = p->psi[t].ion;
        double v = p->psi[t].value;
        s->phi += v * s->m[n[0]] * s->m[n[1]] * s->m[n[2]];
        s->linear[n[0]] += v * s->m[n[1]] * s->m[n[2]];
        s->linear[n[1]] += v * s->m[n[0]] * s->m[n[2]];
        s->linear[n[2]] += v * s->m[n[0]] * s->m[n[1]];
    }
    for (size_t t = 0; t < p->lambda_count; t++) {
        const sw_ion *n = p->lambda[t].ion;
        double v = p->lambda[t].value;
        s->phi += v * s->m[n[0]] * s->m[n[1]];
        s->linear[n[0]] += 2 * v * s->m[n[1]];
        s->linear[n[1]] += 2 * v * s->m[n[0]];
    }
}

double sw_plain_ln_gamma(int charge, double a_phi,
                         double ionic_strength_mol_per_kg)
{
    double root = sqrt(ionic_strength_mol_per_kg);
    return -charge * charge * 3 * a_phi * root / (1 + 1.5 * root);
}

/* What depends on the ionic strength alone. */
static void set_strength(sums *s, double a_phi)
{
    double root = sqrt(s->i), d = 1 + B_DEBYE * root;
    s->one = fall_at(2, s->i);
    s->two = fall_at(1.4, s->i);
    s->far = fall_at(12, s->i);
    for (int z = 1; z <= MOST_CHARGE; z++)
        for (int y = 1; y < z; y++) {
            sw_e_theta(z, y, a_phi, s->i, s->e_theta[z][y]);
            memcpy(s->e_theta[y][z], s->e_theta[z][y], sizeof s->e_theta[y][z]);
        }
    s->f = -a_phi * (root / d + 2 / B_DEBYE * log(d));
    s->phi = -a_phi * s->i * root / d;
}

void sw_pitzer_activity(const sw_pitzer *p, const double *molality,
                        const double *others, double a_phi, sw_activity *out)
{
    sums s = {.m = molality};
    double total = 0;
    for (int z = 0; z < SW_OTHERS; z++) {
        s.i += others[z] * z * z / 2.0;
        total += others[z];
    }
    for (int i = 0; i < SW_IONS; i++) {
        s.i += molality[i] * sw_stock_ions_table[i].charge *
               sw_stock_ions_table[i].charge / 2.0;
        s.z += molality[i] * abs(sw_stock_ions_table[i].charge);
        total += molality[i];
    }
    set_strength(&s, a_phi);
    add_pairs(&s, p);
    add_triples(&s, p);
    for (int i = 0; i < SW_IONS; i++) {
        int z = sw_stock_ions_table[i].charge;
        out->ln_gamma[i] = p->interacts[i]
                               ? z * z * s.f + s.linear[i] + abs(z) * s.c
                               : sw_plain_ln_gamma(z, a_phi, s.i);
    }
    out->osmotic_coefficient = total > 0 ? 1 + 2 * s.phi / total : 1;
    out->ln_water = -out->osmotic_coefficient * total / WATER_MOL_PER_KG;
    out->ionic_strength_mol_per_kg = s.i;
}
