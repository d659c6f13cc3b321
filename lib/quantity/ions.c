/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Charge and equivalent weight of each component as the ion it is in water. */
#include "quantity/ions.h"

#include "quantity/elements.h"

#include <stdlib.h>

/* Charge, and the element weighed. */
static const struct ion {
    int charge;
    const char *symbol;
} ions[SW_COMPONENT_COUNT] = {
    [SW_NO3_N] = {-1, "N"}, [SW_NH4_N] = {1, "N"}, [SW_P] = {-1, "P"},
    [SW_K] = {1, "K"},      [SW_CA] = {2, "Ca"},   [SW_MG] = {2, "Mg"},
    [SW_S] = {-2, "S"},     [SW_CL] = {-1, "Cl"},  [SW_NA] = {1, "Na"},
    [SW_FE] = {2, "Fe"},    [SW_MN] = {2, "Mn"},   [SW_ZN] = {2, "Zn"},
    [SW_CU] = {2, "Cu"},    [SW_F] = {-1, "F"}};

int sw_charge_in_water(sw_component component)
{
    return component < SW_COMPONENT_COUNT ? ions[component].charge : 0;
}

double sw_meq_per_mg(sw_component component)
{
    int charge = sw_charge_in_water(component);
    return charge == 0
               ? 0.0
               : abs(charge) / sw_element_weight(ions[component].symbol);
}
