/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What a crop may get.  What a target does not name is free, and a solver in
 * need of sulfate would take manganese sulfate for it: so trace elements and
 * salt have ceilings.  Figures: reference/components.csv and
 * harm.csv.
 */
#include "records/feed_limits.h"

#include <math.h>
#include <string.h>

#include "table_harm.h"

/* The table's row of a pH or EC. */
static const sw_harm_row *row_of(sw_target_kind kind, bool below)
{
    const char *parameter = kind == SW_TARGET_PH   ? "pH"
                            : kind == SW_TARGET_EC ? "EC"
                                                   : "";
    for (size_t i = 0; i < sw_harm_count; i++) {
        const sw_harm_row *row = &sw_harm_table[i];
        if (!strcmp(row->parameter, parameter) && !strcmp(row->use, "feed") &&
            !strcmp(row->side, "below") == below)
            return row;
    }
    return NULL;
}

bool sw_feed_limit_of(sw_target_kind kind, sw_component component, bool below,
                      sw_feed_limit *limit)
{
    if (kind == SW_TARGET_COMPONENT)
        return !below && sw_component_limit(component, limit);
    const sw_harm_row *row = row_of(kind, below);
    if (row)
        *limit = (sw_feed_limit){row->caution, row->danger, row->source};
    return row;
}

bool sw_feed_harms(sw_target_kind kind, sw_component component, double value)
{
    sw_feed_limit limit;
    return (sw_feed_limit_of(kind, component, false, &limit) &&
            value > limit.danger) ||
           (sw_feed_limit_of(kind, component, true, &limit) &&
            value < limit.danger);
}

double sw_feed_ceiling_mg_per_l(sw_component component)
{
    sw_feed_limit limit;
    return sw_feed_limit_of(SW_TARGET_COMPONENT, component, false, &limit) &&
                   sw_component_is(component, SW_IS_CAPPED)
               ? limit.usual
               : (double)NAN;
}

double sw_most_g_per_l(const sw_product *product)
{
    if (product->density_g_per_ml > 0.0) /* false for NaN */
        return 1000.0 * product->density_g_per_ml;
    for (size_t i = sw_harm_count; i-- > 0;) /* its last row */
        if (!strcmp(sw_harm_table[i].parameter, "product"))
            return sw_harm_table[i].danger;
    return INFINITY;
}
