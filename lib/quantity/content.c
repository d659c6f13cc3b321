/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names of components, and the linear operations on contents. */
#include "saltwright.h"

static const char *const component_names[SW_COMPONENT_COUNT] = {
    [SW_NO3_N] = "NO3-N", [SW_NH4_N] = "NH4-N", [SW_UREA_N] = "urea-N",
    [SW_P] = "P",         [SW_K] = "K",         [SW_CA] = "Ca",
    [SW_MG] = "Mg",       [SW_S] = "S",         [SW_CL] = "Cl",
    [SW_NA] = "Na",       [SW_FE] = "Fe",       [SW_MN] = "Mn",
    [SW_ZN] = "Zn",       [SW_CU] = "Cu",       [SW_B] = "B",
    [SW_MO] = "Mo",       [SW_SI] = "Si",       [SW_F] = "F",
    [SW_N] = "N",
};

const char *sw_component_name(sw_component component)
{
    return component < SW_COMPONENT_COUNT ? component_names[component] : NULL;
}

void sw_content_add(sw_content *to, double factor, const sw_content *from)
{
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        to->amount[i] += factor * from->amount[i];
}

void sw_content_add_waters(sw_content *to, const sw_content *waters,
                           const double *fractions, size_t count)
{
    for (size_t i = 0; i < count; i++)
        sw_content_add(to, fractions ? fractions[i] : 1.0, &waters[i]);
}
