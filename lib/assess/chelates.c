/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/chelates.h"
#include "quantity/components.h"

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
    double lowest = INFINITY;
    for (int c = 0; c < SW_COMPONENT_COUNT; c++) {
        sw_component held = sw_chelated_part((sw_component)c);
        const sw_chelates_row *row =
            sw_chelate_of(p->chelator, sw_component_name((sw_component)c));
        if (row && held < SW_CARRIED_COUNT && p->per_g.amount[held] > 0)
            lowest = fmin(lowest, row->ph_high);
    }
    return lowest;
}
