/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Elements: their weights from the reference table, joined with the rule of
 * composition each follows (reference/methods.md, Composition).
 */
#include "quantity/elements.h"

#include <string.h>

#include "table_atomic_weights.h"

_Static_assert((int)sw_atomic_weights_count <= (int)SW_MAX_ELEMENTS,
               "raise SW_MAX_ELEMENTS");

typedef struct rule {
    const char *symbol;
    sw_component component;
    int oxidation_number;
    int alkalinity;
} rule;

/* Alkalinity: + strong cations - strong anions; B, Si and C count 0. */
static const rule rules[] = {
    {"H", SW_COMPONENT_COUNT, 1, 0},
    {"O", SW_COMPONENT_COUNT, -2, 0},
    {"C", SW_COMPONENT_COUNT, 4, 0},
    {"N", SW_COMPONENT_COUNT, 0, 0},
    {"P", SW_P, 5, -1},
    {"K", SW_K, 1, 1},
    {"Ca", SW_CA, 2, 2},
    {"Mg", SW_MG, 2, 2},
    {"S", SW_S, 6, -2},
    {"Cl", SW_CL, -1, -1},
    {"Na", SW_NA, 1, 1},
    {"Fe", SW_FE, 0, 0},
    {"Mn", SW_MN, 2, 2},
    {"Zn", SW_ZN, 2, 2},
    {"Cu", SW_CU, 2, 2},
    {"B", SW_B, 3, 0},
    {"Mo", SW_MO, 6, -2},
    {"Si", SW_SI, 4, 0},
    {"F", SW_F, -1, -1},
};

int sw_element_index(const char *symbol, size_t length)
{
    for (int i = 0; i < (int)sw_atomic_weights_count; i++) {
        const char *known = sw_atomic_weights_table[i].symbol;
        if (strlen(known) == length && !strncmp(known, symbol, length))
            return i;
    }
    return -1;
}

sw_element sw_element_at(int index)
{
    sw_element element = {
        .symbol = sw_atomic_weights_table[index].symbol,
        .weight_g_per_mol = sw_atomic_weights_table[index].weight_g_per_mol,
        .component = SW_COMPONENT_COUNT,
    };
    for (size_t i = 0; i < sizeof rules / sizeof *rules; i++) {
        if (rules[i].symbol[0] != element.symbol[0] ||
            rules[i].symbol[1] != element.symbol[1])
            continue;
        element.has_rule = true;
        element.component = rules[i].component;
        element.oxidation_number = rules[i].oxidation_number;
        element.alkalinity = rules[i].alkalinity;
        break;
    }
    return element;
}

int sw_element_count(void)
{
    return sw_atomic_weights_count;
}

double sw_element_weight(const char *symbol)
{
    int index = sw_element_index(symbol, strlen(symbol));
    return sw_atomic_weights_table[index].weight_g_per_mol;
}
