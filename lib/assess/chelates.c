/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/chelates.h"

#include <math.h>
#include <string.h>

static const char *chelator_name(sw_chelator chelator)
{
    static const char *const names[] = {"none", "EDTA",  "HEDTA",
                                        "DTPA", "EDDHA", "citrate"};
    return chelator <= SW_CITRATE_CHELATOR ? names[chelator] : "";
}

const sw_chelates_row *sw_chelate_of(sw_chelator chelator, const char *metal)
{
    for (size_t i = 0; i < sw_chelates_count; i++)
        if (!strcmp(sw_chelates_table[i].chelator, chelator_name(chelator)) &&
            !strcmp(sw_chelates_table[i].metal, metal))
            return &sw_chelates_table[i];
    return NULL;
}

double sw_chelate_ph_high(const sw_product *p)
{
    static const struct {
        const char *metal;
        sw_component held;
    } metals[] = {{"Fe", SW_CHELATED_FE},
                  {"Mn", SW_CHELATED_MN},
                  {"Zn", SW_CHELATED_ZN},
                  {"Cu", SW_CHELATED_CU}};
    double lowest = INFINITY;
    for (size_t m = 0; m < sizeof metals / sizeof *metals; m++) {
        const sw_chelates_row *row =
            sw_chelate_of(p->chelator, metals[m].metal);
        if (row && p->per_g.amount[metals[m].held] > 0)
            lowest = fmin(lowest, row->ph_high);
    }
    return lowest;
}
