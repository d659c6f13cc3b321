/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One end of the range of a water's share. */
#ifndef SW_DECIDE_BLEND_H
#define SW_DECIDE_BLEND_H

#include "saltwright.h"

/*
 * The highest share of water `water` over all mixes and recipes that meet
 * every target, as in sw_blend; NaN where none does.  Statuses of
 * sw_formulate.
 */
sw_status sw_blend_highest(sw_solver *solver, const sw_problem *problem,
                           size_t water, double *share, sw_error *error);

#endif
