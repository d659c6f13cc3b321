/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The charge a lab report adds up to. */
#ifndef SW_ASSESS_CHARGE_H
#define SW_ASSESS_CHARGE_H

#include "saltwright.h"

typedef struct sw_charge {
    double cations_meq_per_l;
    double anions_meq_per_l;
    double hidden_cations_meq_per_l; /* at most, below detection */
    double hidden_anions_meq_per_l;
    double uncertainty_meq_per_l; /* one standard deviation of the balance */
    char missing[64]; /* major ions not reported: "Na, alkalinity"; or "" */
    int missing_count;
    sw_component last_missing; /* SW_ALKALINITY possible */
} sw_charge;

/*
 * Alkalinity counts as anion, with the references of sw_component: phosphorus
 * is H2PO4-.  H+ of an acid water counts as cation.  The uncertainty takes 4 %
 * of each ion, independent, and 0.05 meq/L (reference/methods.md, Assess).
 */
void sw_charge_add_up(const sw_water *water, sw_charge *charge);

/* Percent difference, 100 (cations - anions) / (cations + anions). */
double sw_charge_percent(const sw_charge *charge);

/* What Standard Methods 1030 E allows of it, in percent. */
double sw_charge_limit_percent(const sw_charge *charge);

/*
 * mg/L (meq/L of alkalinity) of the one missing ion that would close the
 * balance; NaN when more than one is missing or none would close it.
 */
double sw_charge_closing_amount(const sw_charge *charge);

#endif
