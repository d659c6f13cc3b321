/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What it would take to bring a finished solution to its target pH. */
#ifndef SW_ASSESS_PH_NEED_H
#define SW_ASSESS_PH_NEED_H

#include "saltwright.h"

/*
 * Where a pH misses its target, appends what is missing in meq/L, and what
 * each usual acid (or base) of the catalogue would take and bring along.
 * Nothing where the pH is met or has no target.  SW_ERR_MEMORY,
 * SW_ERR_NUMERIC.
 */
sw_status sw_advise_ph_need(const sw_mix *mix, sw_assessment *assessment,
                            sw_error *error);

#endif
