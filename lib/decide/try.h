/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One change of shelf or water, tried by solving again. */
#ifndef SW_DECIDE_TRY_H
#define SW_DECIDE_TRY_H

#include "saltwright.h"

/*
 * The problem with product `index` of the catalogue on its shelf too.  A
 * product that stands there already is not tried; mends_ph is whether the pH
 * is where it is asked for.  For the cheapest, what it
 * would cost is unknown: then the recipe closest to the target within the
 * same limits counts.  SW_ERR_MEMORY.
 */
sw_status sw_try_product(sw_solver *solver, const sw_problem *problem,
                         size_t index, bool *solved, sw_addition *addition,
                         sw_error *error);

/* What comes closest first; of equals what is not corrosive. */
void sw_sort_additions(sw_addition *additions, size_t count);

/*
 * The least share of `purified` (NULL: water that carries nothing) in the
 * water that gives the problem a recipe; NaN when none does.  SW_ERR_MEMORY.
 */
sw_status sw_try_purified(sw_solver *solver, const sw_problem *problem,
                          const sw_content *purified, double *share,
                          sw_error *error);

#endif
