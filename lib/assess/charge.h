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
    char missing_cations[32], missing_anions[32]; /* of them */
    sw_component last_missing;                    /* SW_ALKALINITY possible */
} sw_charge;

/*
 * Alkalinity counts as anion, with the references of sw_component: phosphorus
 * is H2PO4-.  H+ of an acid water counts as cation.  The uncertainty takes 4 %
 * of each ion, independent, and 0.05 meq/L (reference/methods.md, Assess).
 */
void sw_charge_add_up(const sw_water *water, sw_charge *charge);

/* The same; a solution without an alkalinity has that of its completed content,
 * which its pH stands for. */
void sw_charge_add_up_completed(const sw_water *water,
                                const sw_content *completed, sw_charge *charge);

/* Aluminium that an acid water holds as Al3+, which takes as much base; 0 of
 * any other. */
double sw_charge_aluminium(const sw_water *water);

/* Percent difference, 100 (cations - anions) / (cations + anions). */
double sw_charge_percent(const sw_charge *charge);

/* Cations less anions in meq/L, as far as neither what is below detection nor a
 * major ion that is not reported may close it; else 0. */
double sw_charge_gap(const sw_charge *charge);

/* Whether a gap is more than so many percent of the sum, and more than an acid
 * dose is good to. */
bool sw_charge_is_wide(const sw_charge *charge, double gap_meq_per_l,
                       double percent);

/* Is such a gap only the least, as an ion of the fuller side is not reported?
 */
bool sw_charge_is_least(const sw_charge *charge);

/* From where on, in percent of the sum, a gap makes the alkalinity doubtful,
 * and a report false: what 1030 E allows of any water, and twice that. */
#define SW_CHARGE_DOUBTFUL_PERCENT 5.0
#define SW_CHARGE_FALSE_PERCENT 10.0

/*
 * The gap in meq/L beside the alkalinity reported of a water, which takes it up
 * where nothing else is wrong, if it is wide; else 0, as of a solution, of an
 * acid water and where no alkalinity is reported; *charge is filled where it is
 * not 0.
 */
double sw_charge_alkalinity_gap(const sw_water *water, double percent,
                                sw_charge *charge);

/* The same of a gap that makes a report false unless ions that it lacks, one or
 * two, close it, as long as an alkalinity could: either is then what is wrong.
 */
double sw_charge_either_gap(const sw_water *water, sw_charge *charge);

/* mg/L of nitrate nitrogen that a report lacks and that would close such a gap,
 * if no more than what waters under fields hold; else 0. */
double sw_charge_nitrate(const sw_water *water, double gap_meq_per_l);

/* What Standard Methods 1030 E allows of it, in percent. */
double sw_charge_limit_percent(const sw_charge *charge);

/*
 * mg/L (meq/L of alkalinity) of the one missing ion that would close the
 * balance; NaN when more than one is missing or none would close it.
 */
double sw_charge_closing_amount(const sw_charge *charge);

#endif
