/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a crop may get: reference/components.csv, and of pH and EC the rows of
 * harm.csv whose use is "feed". */
#ifndef SW_RECORDS_FEED_LIMITS_H
#define SW_RECORDS_FEED_LIMITS_H

#include "quantity/components.h"

/* Of a component in mg/L, a pH, or an EC in mS/cm; it bounds from above, or
 * from `below`.  False where the tables have none.  `component` only counts
 * with SW_TARGET_COMPONENT; only a pH has a limit from below. */
bool sw_feed_limit_of(sw_target_kind kind, sw_component component, bool below,
                      sw_feed_limit *limit);

/* Whether no crop should get `value` (of a pH: on either side). */
bool sw_feed_harms(sw_target_kind kind, sw_component component, double value);

/* mg/L that products may add of what no row of the target names; NaN: any. */
double sw_feed_ceiling_mg_per_l(sw_component component);

/* Grams that a litre holds at all: of a liquid undiluted by its density, else
 * of the dry product. */
double sw_most_g_per_l(const sw_product *product);

#endif
