/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Elements: their weights from the reference table, joined with the rule of
 * composition each follows (reference/methods.md, Composition).
 */
#include "quantity/elements.h"

#include <string.h>

#include "quantity/components.h"

#include "table_atomic_weights.h"

_Static_assert((int)sw_atomic_weights_count <= (int)SW_MAX_ELEMENTS,
               "raise SW_MAX_ELEMENTS");

/* Elements of formulas that are no component, or decided by their form. */
static const struct rest {
    char symbol;
    int oxidation_number;
} rest[] = {{'H', 1}, {'O', -2}, {'C', 4}, {'N', 0}};

int sw_element_index(const char *symbol, size_t length)
{
    for (int i = 0; i < (int)sw_atomic_weights_count; i++) {
        const char *known = sw_atomic_weights_table[i].symbol;
        if (*known == *symbol && strlen(known) == length &&
            !strncmp(known, symbol, length))
            return i;
    }
    return -1;
}

sw_element sw_element_at(int index)
{
    const sw_atomic_weights_row *row = &sw_atomic_weights_table[index];
    sw_component component = sw_component_of_element(row->symbol);
    sw_element element = {.symbol = row->symbol,
                          .weight_g_per_mol = row->weight_g_per_mol,
                          .has_rule = component < SW_COMPONENT_COUNT,
                          .component = component,
                          .oxidation_number = sw_oxidation_number(component)};
    if (element.oxidation_number != 0)
        element.alkalinity = sw_charge_in_water(component);
    for (size_t i = 0; i < sizeof rest / sizeof *rest; i++)
        if (rest[i].symbol == row->symbol[0] && !row->symbol[1]) {
            element.has_rule = true;
            element.oxidation_number = rest[i].oxidation_number;
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
