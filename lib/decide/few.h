/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Points of a front, and that of fit against the number of products. */
#ifndef SW_DECIDE_FEW_H
#define SW_DECIDE_FEW_H

#include "decide/variant.h"

/* Takes over the solution's recipe; `problem` says what it costs. */
sw_front_point sw_front_point_of(const sw_problem *problem,
                                 sw_solution *solution);

/*
 * Fills front->points (room for `count`) with the best recipe of each number
 * of products, from that of `problem` down.  Statuses of sw_formulate.
 */
sw_status sw_front_few(sw_solver *solver, const sw_problem *problem,
                       size_t count, sw_front *front, sw_error *error);

#endif
