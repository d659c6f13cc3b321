/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A point of a front, of either kind, and which of its products were chosen. */
#ifndef SW_DECIDE_POINT_H
#define SW_DECIDE_POINT_H

#include "decide/variant.h"

/* Takes over the solution's recipe; `problem` says what it costs. */
sw_front_point sw_front_point_of(const sw_problem *problem,
                                 sw_solution *solution);

/* Whether it is in use though the shelf does not ask for it. */
bool sw_is_chosen(const sw_product *product, double g_per_l);
/* How many of the recipe are. */
size_t sw_count_chosen(const sw_shelf *shelf, const sw_recipe *recipe);

#endif
