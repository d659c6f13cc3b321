/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Copies of targets. */
#ifndef SW_RECORDS_TARGET_COPY_H
#define SW_RECORDS_TARGET_COPY_H

#include "saltwright.h"

/* A copy of all rows and notes; NULL without memory. */
sw_target *sw_target_copy(const sw_target *target);

/* Appends a copy of `row`, its name and stage too; false without memory. */
bool sw_target_add(sw_target *target, const sw_target_row *row);

/*
 * A copy of `target` at another strength: targets of components, and the
 * limits beside them, times the factor.  Limits without a target (a ceiling
 * of sodium), ratios, pH and EC stay; so does the max of ammonium, trace
 * elements, Na, Cl and F, which caps their targets.  SW_ERR_VALUE (factor),
 * _MEMORY.
 */
sw_status sw_target_scale(const sw_target *target, double factor,
                          sw_target **scaled, sw_error *error);

/* Releases all that it holds. */
void sw_target_clear(sw_target *target);

#endif
