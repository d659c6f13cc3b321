/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What a crop may get.  What a target does not name is free, and a solver in
 * need of sulfate would take manganese sulfate for it: so trace elements and
 * salt have ceilings.  Figures: reference/harm.csv.
 */
#include "records/harm.h"

#include <math.h>
#include <string.h>

#include "table_harm.h"

static bool is_ceiling(const sw_harm_row *row)
{
    return strcmp(row->judges, "feed|ceiling") == 0;
}

static const char *parameter_of(sw_target_kind kind, sw_component component)
{
    switch (kind) {
    case SW_TARGET_COMPONENT:
        return sw_component_name(component);
    case SW_TARGET_PH:
        return "pH";
    case SW_TARGET_EC:
        return "EC";
    case SW_TARGET_RATIO:
        break;
    }
    return "";
}

bool sw_feed_limit_of(sw_target_kind kind, sw_component component, bool below,
                      sw_feed_limit *limit)
{
    const char *parameter = parameter_of(kind, component);
    for (size_t i = 0; i < sw_harm_count; i++) {
        const sw_harm_row *row = &sw_harm_table[i];
        if (strcmp(row->use, "feed") != 0 ||
            strcmp(row->parameter, parameter) != 0 ||
            (strcmp(row->side, "below") == 0) != below)
            continue;
        *limit = (sw_feed_limit){row->caution, row->danger, is_ceiling(row),
                                 row->source};
        return true;
    }
    return false;
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
                   limit.is_ceiling
               ? limit.usual
               : (double)NAN;
}

double sw_most_g_per_l(const sw_product *product)
{
    if (product->density_g_per_ml > 0.0) /* false for NaN */
        return 1000.0 * product->density_g_per_ml;
    for (size_t i = 0; i < sw_harm_count; i++)
        if (!strcmp(sw_harm_table[i].parameter, "product"))
            return sw_harm_table[i].danger;
    return INFINITY;
}

bool sw_target_names(const sw_target *target, sw_component component)
{
    for (size_t i = 0; i < target->count; i++)
        if (target->rows[i].kind == SW_TARGET_COMPONENT &&
            target->rows[i].component == component)
            return true;
    return false;
}
