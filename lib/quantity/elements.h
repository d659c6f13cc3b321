/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The elements a formula may name: weight (reference/atomic_weights.csv), the
 * component one is, and the charge by which a formula is held to be neutral.
 */
#ifndef SW_QUANTITY_ELEMENTS_H
#define SW_QUANTITY_ELEMENTS_H

#include "saltwright.h"

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
