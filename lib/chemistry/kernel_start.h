/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where the lanes start that have no start of their own: of kernel.c. */
#ifndef SW_CHEMISTRY_KERNEL_START_H
#define SW_CHEMISTRY_KERNEL_START_H

#include "chemistry/kernel_species.h"

enum { DESCENTS = 5 };

static const double FIRST_IONIC = 0.01; /* mol/kg */
/* Of the proton's balance over that with all else kept. */
static const double LEAST_SLOPE = 1e-3;
/* Beyond as many times its total, what makes too much may be either part of a
 * strong complex. */
static const double FAR = 10;

/* Sums over the species, by unknown, n its count in each: of n m, n^2 m, and
 * of n m times the count of protons; of m z^2 / 2. */
typedef struct sums {
    v all[SW_UNKNOWN_MAX], own[SW_UNKNOWN_MAX], with_proton[SW_UNKNOWN_MAX];
    v strength;
} sums;

static inline void sum_up(const work *w, sums *of)
{
    for (int j = 0; j < w->plan->unknowns; j++)
        of->all[j] = of->own[j] = of->with_proton[j] = all(0);
    of->strength = all(0);
    for (int i = 0; i < w->plan->terms; i++) {
        const sw_product_term *t = &w->plan->term[i];
        v m = molality_of(w, t);
        of->strength += t->half_z2 * m;
        for (int k = 0; k < t->unknowns; k++) {
            v share = t->count[k] * m;
            of->all[t->unknown[k]] += share;
            of->own[t->unknown[k]] += t->count[k] * share;
            of->with_proton[t->unknown[k]] += t->protons * share;
        }
    }
}

/* What to multiply an activity with whose species have so much of a total. */
static inline v share_left(v total, v all_of_it, v own)
{
    v exact = (own - all_of_it + total) / or_one(own);
    return pick(WHERE(all_of_it > FAR * total),
                root_of(total / or_one(all_of_it)), smaller(exact, all(2)));
}

/*
 * Cold, half of each total as an activity makes too much of the complexes.  In
 * turn metals are found from the ligands, which is exact where their species
 * have one each, and ligands from the metals, the proton with them as if no
 * ligand held another: which saves Newton a slow descent.
 */
static inline void come_down(work *w, bool metals)
{
    sums of = {0};
    int proton = w->proton;
    sum_up(w, &of);
    w->ionic = smaller(w->alone + of.strength, all(SW_MAX_IONIC));
    set_coefficients(w);
    v off = w->total[proton] - of.all[proton];
    v slope = of.own[proton];
    for (int j = 0; j < proton; j++) {
        v own = or_one(of.own[j]);
        if (is_pinned(w, j))
            continue;
        if ((j < w->plan->metals) == metals)
            w->activity[j] *= share_left(w->total[j], of.all[j], of.own[j]);
        if (j >= w->plan->metals) {
            off -= of.with_proton[j] * (w->total[j] - of.all[j]) / own;
            slope -= of.with_proton[j] * of.with_proton[j] / own;
        }
    }
    if (metals || is_pinned(w, proton))
        return;
    w->x[proton] +=
        within(off / larger(slope, LEAST_SLOPE * of.own[proton]), all(1));
    w->activity[proton] = exp_of(w->x[proton]);
    set_powers(w->proton_power, SW_POWER_MAX, w->activity[proton]);
}

static inline void start_cold(work *w)
{
    if (!is_pinned(w, w->proton))
        w->x[w->proton] = all(-7 * SW_LN10);
    set_activities(w);
    w->ionic = w->alone + FIRST_IONIC;
    set_coefficients(w);
    for (int j = 0; j < w->plan->unknowns; j++)
        if (!is_pinned(w, j) && j != w->proton)
            w->activity[j] = w->total[j] * 0.5;
    for (int pass = is_pinned(w, w->proton) ? 2 : 0; pass < DESCENTS; pass++)
        come_down(w, pass % 2 == 1);
    for (int j = 0; j < w->plan->unknowns; j++)
        for (int l = 0; l < SW_WIDTH; l++)
            if (!is_pinned(w, j) && j != w->proton &&
                lanes_in(&w->total[j])[l] > 0)
                lanes_in(&w->x[j])[l] = log(lanes_in(&w->activity[j])[l]);
}

#endif
