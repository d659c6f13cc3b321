/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The lanes at work, and their species as products of powers: of kernel.c. */
#ifndef SW_CHEMISTRY_KERNEL_SPECIES_H
#define SW_CHEMISTRY_KERNEL_SPECIES_H

#include "chemistry/lanes.h"
#include "chemistry/vector.h"

/* ---- State -------------------------------------------------------------- */

typedef struct work {
    const sw_plan *plan;
    const sw_lanes *lanes;
    int proton, carbon; /* places */
    int border;         /* place of the unknown that the closing moves; -1 */
    v total[SW_UNKNOWN_MAX], goal[SW_UNKNOWN_MAX], goal_constant;
    v alone, ionic, water;
    v x[SW_UNKNOWN_MAX]; /* ln activity */
    v activity[SW_UNKNOWN_MAX];
    v proton_power[2 * SW_POWER_MAX + 1], water_power[2 * SW_POWER_MAX + 1];
    v inverse[SW_SPECIES_MAX]; /* 1 / gamma, by class */
    v bend[SW_SPECIES_MAX];    /* d ln(1 / gamma) / dI */
    v molality[SW_SPECIES_MAX];
    /* Sums over the species: of m z^2 / 2, its slope along I; and by unknown,
     * n its count in the species: total - n m, of protons the sizes of the
     * terms too, n m bend, n m z^2/2 */
    v strength, strength_bend;
    v residual[SW_UNKNOWN_MAX], protons;
    v by_strength[SW_UNKNOWN_MAX], to_strength[SW_UNKNOWN_MAX];
    /* The Hessian n' m n: diagonal of the metals, their rows over the ligands,
     * the ligands' lower triangle; later factors of it. */
    v metal[SW_METAL_MAX], arrow[SW_METAL_MAX][SW_LIGAND_MAX];
    v ligand[SW_LIGAND_MAX][SW_LIGAND_MAX], pivot[SW_LIGAND_MAX];
    v worst;
    mask settled, lost; /* done, with and without an answer */
} work;

static bool is_pinned(const work *w, int unknown)
{
    return (unknown == w->proton && w->lanes->closing != SW_PROTONS_BALANCE) ||
           (unknown == w->carbon && w->lanes->carbon_open);
}

/* ---- The species -------------------------------------------------------- */

static inline void set_coefficients(work *w)
{
    v root = root_of(w->ionic);
    v half = 0.5 / root;
    for (int c = 0; c < w->plan->coefficients; c++) {
        const sw_coefficient *law = &w->plan->coefficient[c];
        v part = 1 / (1 + law->ba * root);
        w->inverse[c] = exp_of(law->az2 * root * part - law->b * w->ionic);
        w->bend[c] = law->az2 * half * part * part - law->b;
    }
}

/* 0 of what is absent. */
static inline void set_activities(work *w)
{
    for (int j = 0; j < w->plan->unknowns; j++) {
        w->activity[j] = exp_of(w->x[j]);
        if (!is_pinned(w, j) && j != w->proton)
            w->activity[j] =
                pick(WHERE(w->total[j] > 0), w->activity[j], all(0));
    }
    set_powers(w->proton_power, SW_POWER_MAX, w->activity[w->proton]);
}

static inline v molality_of(const work *w, const sw_product_term *t)
{
    v m = t->beta * w->inverse[t->coefficient] *
          w->water_power[SW_POWER_MAX + t->water] *
          w->proton_power[SW_POWER_MAX + t->protons];
    for (int k = 0; k < t->factors; k++)
        m *= w->activity[t->factor[k]];
    return m;
}

static inline void add_to_hessian(work *w, const sw_product_term *t, v m)
{
    int metals = w->plan->metals;
    for (int k = 0; k < t->unknowns; k++) {
        int one = t->unknown[k];
        v share = t->count[k] * m;
        if (one < metals) {
            w->metal[one] += t->count[k] * share;
            for (int h = k + 1; h < t->unknowns; h++)
                w->arrow[one][t->unknown[h] - metals] += t->count[h] * share;
        } else {
            for (int h = k; h < t->unknowns; h++)
                w->ligand[t->unknown[h] - metals][one - metals] +=
                    t->count[h] * share;
        }
    }
}

static inline void clear(work *w)
{
    w->strength = w->strength_bend = all(0);
    w->protons = size_of(w->total[w->proton]);
    for (int j = 0; j < w->plan->unknowns; j++) {
        w->residual[j] = w->total[j];
        w->by_strength[j] = w->to_strength[j] = all(0);
    }
    int ligands = w->plan->unknowns - w->plan->metals;
    for (int c = 0; c < w->plan->metals; c++) {
        w->metal[c] = all(0);
        for (int k = 0; k < ligands; k++)
            w->arrow[c][k] = all(0);
    }
    for (int j = 0; j < ligands; j++)
        for (int k = 0; k <= j; k++)
            w->ligand[j][k] = all(0);
}

static inline void add_up(work *w)
{
    set_coefficients(w);
    set_activities(w);
    clear(w);
    for (int i = 0; i < w->plan->terms; i++) {
        const sw_product_term *t = &w->plan->term[i];
        v m = molality_of(w, t);
        v strength = m * t->half_z2;
        v bent = m * w->bend[t->coefficient];
        w->molality[i] = m;
        w->protons += fabs((double)t->protons) * m;
        w->strength += strength;
        w->strength_bend += bent * t->half_z2;
        for (int k = 0; k < t->unknowns; k++) {
            int j = t->unknown[k];
            double n = t->count[k];
            w->residual[j] -= n * m;
            w->by_strength[j] += n * bent;
            w->to_strength[j] += n * strength;
        }
        add_to_hessian(w, t, m);
    }
}

#endif
