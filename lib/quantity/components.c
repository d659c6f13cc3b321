/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Components by the table of them. */
#include "quantity/components.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "quantity/formula_parse.h"
#include "table_components.h"
#include "table_atomic_weights.h"

_Static_assert((int)SW_N + 1 == (int)SW_COMPONENT_COUNT && (int)SW_NO3_N == 0,
               "components.csv begins with NO3-N and ends with N, their sum");

static const sw_components_row *row_of(sw_component component)
{
    return component < SW_COMPONENT_COUNT ? &sw_components_table[component]
                                          : NULL;
}

const char *sw_component_name(sw_component component)
{
    const sw_components_row *row = row_of(component);
    return row ? row->name : NULL;
}

bool sw_component_is(sw_component component, unsigned roles)
{
    const sw_components_row *row = row_of(component);
    return row && (unsigned)row->roles & roles;
}

sw_component sw_component_called(const char *name)
{
    int c = 0;
    while (c < SW_COMPONENT_COUNT &&
           (*sw_components_table[c].name != *name ||
            strcmp(sw_components_table[c].name, name) != 0))
        c++;
    return (sw_component)c;
}

const char *sw_component_element(sw_component component)
{
    const sw_components_row *row = row_of(component);
    return row ? row->element : NULL;
}

const char *sw_component_oxide(sw_component component, double *mg_per_mg)
{
    const sw_components_row *row = row_of(component);
    sw_parsed_formula parsed;
    *mg_per_mg = 1;
    if (!row || !*row->oxide ||
        sw_formula_parse(row->oxide, &parsed, NULL) != SW_OK)
        return "";
    *mg_per_mg = sw_formula_molar_mass(&parsed) /
                 (sw_formula_atoms(&parsed, row->element) *
                  sw_element_weight(row->element));
    return row->oxide;
}

int sw_charge_in_water(sw_component component)
{
    const sw_components_row *row = row_of(component);
    return row ? row->charge : 0;
}

double sw_charge_per_mg(sw_component component)
{
    int charge = sw_charge_in_water(component);
    return charge ? charge / sw_element_weight(row_of(component)->element)
                  : 0.0;
}

double sw_meq_per_mg(sw_component component)
{
    return fabs(sw_charge_per_mg(component));
}

sw_component sw_chelated_part(sw_component component)
{
    const sw_components_row *row = row_of(component);
    return row ? (sw_component)row->chelated : SW_CARRIED_COUNT;
}

int sw_chelated_charge(sw_component component)
{
    const sw_components_row *row = row_of(component);
    return row ? row->chelated_charge : 0;
}

double sw_unchelated_mg(const sw_content *content, sw_component component)
{
    sw_component held = sw_chelated_part(component);
    return content->amount[component] -
           (held < SW_CARRIED_COUNT ? content->amount[held] : 0.0);
}

double sw_sum_of(const sw_content *content, unsigned roles)
{
    double sum = 0.0;
    for (int c = 0; c < SW_COMPONENT_COUNT; c++)
        if (sw_component_is((sw_component)c, roles))
            sum += content->amount[c];
    return sum;
}

bool sw_component_limit(sw_component component, sw_feed_limit *limit)
{
    const sw_components_row *row = row_of(component);
    if (!row || isnan(row->usual_mg_per_l))
        return false;
    *limit =
        (sw_feed_limit){row->usual_mg_per_l, row->danger_mg_per_l, row->source};
    return true;
}

bool sw_is_for_traces(const sw_content *per_g)
{
    return sw_sum_of(per_g, SW_IS_TRACE) > sw_sum_of(per_g, SW_IS_MAIN);
}

/* ---- The elements a formula may name ------------------------------------- */

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
    sw_component component = sw_component_called(row->symbol);
    if (component == SW_N) /* of which a formula shows the form */
        component = SW_COMPONENT_COUNT;
    const sw_components_row *known = row_of(component);
    sw_element element = {.symbol = row->symbol,
                          .weight_g_per_mol = row->weight_g_per_mol,
                          .has_rule = component < SW_COMPONENT_COUNT,
                          .component = component,
                          .oxidation_number = known ? known->oxidation : 0};
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
