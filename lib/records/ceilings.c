/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What a target does not name is free, and a solver in need of sulfate would
 * take manganese sulfate for it.  So trace elements and salt have ceilings.
 * Figures: reference/feed_ceilings.csv.
 */
#include "records/ceilings.h"

#include <math.h>
#include <stdlib.h>

#include "quantity/status.h"
#include "records/table.h"
#include "table_feed_ceilings.h"

static bool names(const sw_target *target, sw_component component)
{
    for (size_t i = 0; i < target->count; i++)
        if (target->rows[i].kind == SW_TARGET_COMPONENT &&
            target->rows[i].component == component)
            return true;
    return false;
}

double sw_feed_ceiling_mg_per_l(sw_component component)
{
    for (size_t i = 0; i < sw_feed_ceilings_count; i++)
        if ((sw_component)sw_feed_ceilings_table[i].component == component)
            return sw_feed_ceilings_table[i].highest_mg_per_l;
    return NAN;
}

/* There is room for the row. */
static sw_status add_ceiling(sw_target *target,
                             const sw_feed_ceilings_row *ceiling,
                             sw_error *error)
{
    sw_component component = (sw_component)ceiling->component;
    char *name = sw_copy_text(sw_component_name(component));
    if (!name)
        return sw_fail_memory(error);
    target->rows[target->count++] =
        (sw_target_row){.kind = SW_TARGET_COMPONENT,
                        .component = component,
                        .name = name,
                        .target = NAN,
                        .min = NAN,
                        .max = ceiling->highest_mg_per_l,
                        .weight = 1,
                        .assumed = true};
    return SW_OK;
}

sw_status sw_target_guard(sw_target *target, sw_error *error)
{
    sw_status status = SW_OK;
    sw_target_row *rows =
        realloc(target->rows, (target->count + sw_feed_ceilings_count) *
                                  sizeof *target->rows);
    if (!rows)
        return sw_fail_memory(error);
    target->rows = rows;
    for (size_t i = 0; i < sw_feed_ceilings_count && status == SW_OK; i++) {
        const sw_feed_ceilings_row *row = &sw_feed_ceilings_table[i];
        if (!names(target, (sw_component)row->component))
            status = add_ceiling(target, row, error);
    }
    return status;
}
