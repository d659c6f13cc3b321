/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Questions that many rooms have about a target and a shelf. */
#include "records/asked.h"

#include <math.h>

bool sw_target_names(const sw_target *target, sw_component component)
{
    for (size_t i = 0; i < target->count; i++)
        if (target->rows[i].kind == SW_TARGET_COMPONENT &&
            target->rows[i].component == component)
            return true;
    return false;
}

const sw_target_row *sw_target_row_of(const sw_target *target,
                                      sw_component component)
{
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        if (row->kind == SW_TARGET_COMPONENT && row->component == component &&
            !row->assumed)
            return row;
    }
    return NULL;
}

size_t sw_place_of(const sw_target *target, const sw_target_row *row)
{
    bool is_row = row >= target->rows && row < target->rows + target->count;
    return is_row ? (size_t)(row - target->rows) : target->count;
}

double sw_size_of(const sw_target_row *row)
{
    return row->target > 0 ? row->target : fmax(row->max, row->min);
}

bool sw_row_asks(const sw_target_row *row)
{
    return row->kind == SW_TARGET_COMPONENT &&
           (row->target > 0 || row->min > 0);
}

bool sw_target_asks(const sw_target *target, sw_component component)
{
    const sw_target_row *row = sw_target_row_of(target, component);
    return row && sw_row_asks(row);
}

bool sw_shelf_brings(const sw_shelf *shelf, sw_component component)
{
    for (size_t j = 0; j < shelf->count; j++)
        if (shelf->products[j].per_g.amount[component] > 0 &&
            !(shelf->products[j].max_g_per_l <= 0))
            return true;
    return false;
}
