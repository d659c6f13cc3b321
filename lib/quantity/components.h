/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What is true of each component: reference/components.csv.  `component` may
 * be any sw_component; what has no row has no element, charge or chelate.
 */
#ifndef SW_QUANTITY_COMPONENTS_H
#define SW_QUANTITY_COMPONENTS_H

#include "saltwright.h"

/* The component of that very name; SW_COMPONENT_COUNT if none. */
sw_component sw_component_called(const char *name);

/* What it is weighed as: "N" of NO3-N; static; NULL without a row. */
const char *sw_component_element(sw_component component);

/* mS/cm below which a water is rain or purified, whatever its report leaves
 * out: it has at most about 1 meq/L of ions (common practice, no source). */
#define SW_PURE_MS_PER_CM 0.1
/* Charges less apart than that, in meq/L, are balanced: Standard Methods 1030
 * E, of waters with up to 3 meq/L of anions. */
#define SW_CHARGE_LEAST_MEQ_PER_L 0.2
/* Half of 100.09 g/mol. */
#define SW_MG_CACO3_PER_MEQ 50.04

/* "K2O", what labels add it up as, and its mg per mg of the component; static;
 * "" and 1 where it counts as itself. */
const char *sw_component_oxide(sw_component component, double *mg_per_mg);

/* As the ion it is in water, with the references of the alkalinity: phosphorus
 * is H2PO4-, iron Fe(II); 0 for B, Si, urea, and from SW_N on. */
int sw_charge_in_water(sw_component component);

/* Equivalents of that charge, signed, in meq per mg; 0 where the charge is. */
double sw_charge_per_mg(sw_component component);

/* What is kept of it where a chelator holds it (SW_CARRIED_COUNT: of no such
 * metal), and the charge it has there. */
sw_component sw_chelated_part(sw_component component);
int sw_chelated_charge(sw_component component);

/* mg of it that no chelator holds. */
double sw_unchelated_mg(const sw_content *content, sw_component component);

/* mg of all components of any of these roles. */
double sw_sum_of(const sw_content *content, unsigned roles);

/* What a crop may get. */
typedef struct sw_feed_limit {
    double usual;       /* as far as feeds usually go */
    double danger;      /* no crop should get more */
    const char *source; /* static; of both */
} sw_feed_limit;
/* In mg/L; false where nobody says. */
bool sw_component_limit(sw_component component, sw_feed_limit *limit);

/* More trace elements than main nutrients: it is there for those. */
bool sw_is_for_traces(const sw_content *per_g);
/* How many times as much a gram of one holds as of the other, where both hold
 * the same but for crystal water and strength; else NaN. */
double sw_content_times(const sw_content *a, const sw_content *b);
/* Whether all amounts are the same, to the last bit. */
bool sw_content_is_same(const sw_content *a, const sw_content *b);

/* ---- The elements a formula may name ------------------------------------- */

/* Weights: reference/atomic_weights.csv.  By the charges a formula is held to
 * be neutral. */
enum { SW_MAX_ELEMENTS = 64 };

typedef struct sw_element {
    const char *symbol;
    double weight_g_per_mol;
    bool has_rule;          /* false: no nutrient, nothing is stated of it */
    sw_component component; /* SW_COMPONENT_COUNT for H, O, C, N */
    int oxidation_number;   /* usual one; 0 for N and Fe, decided elsewhere */
    int alkalinity;         /* eq per atom: the rule in methods.md */
} sw_element;

/* Number of elements in the table, at most SW_MAX_ELEMENTS. */
int sw_element_count(void);

/* Index (below SW_MAX_ELEMENTS) of the element with that symbol, or -1. */
int sw_element_index(const char *symbol, size_t length);

/* The element at an index sw_element_index gave. */
sw_element sw_element_at(int index);

/* Standard atomic weight of an element that is in the table, g/mol. */
double sw_element_weight(const char *symbol);

#endif
