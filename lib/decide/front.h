/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Points of a front, as both kinds of it need them. */
#ifndef SW_DECIDE_FRONT_H
#define SW_DECIDE_FRONT_H

#include "decide/variant.h"

/* Takes over the solution's recipe; `problem` says what it costs. */
sw_front_point sw_front_point_of(const sw_problem *problem,
                                 sw_solution *solution);

/* Products in use that the shelf does not ask for. */
size_t sw_count_chosen(const sw_shelf *shelf, const sw_recipe *recipe);
bool sw_is_chosen(const sw_product *product, double g_per_l);

/*
 * Fills front->points (room for `count`) with the best recipe of each number
 * of products, from that of `problem` down.  Statuses of sw_formulate.
 */
sw_status sw_front_few(sw_solver *solver, const sw_problem *problem,
                       size_t count, sw_front *front, sw_error *error);

#endif
