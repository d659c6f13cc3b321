/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whole steps by the least move from the recipe in hand. */
#ifndef SW_STOCK_NEAR_H
#define SW_STOCK_NEAR_H

#include "formulate/equal.h"
#include "stock/steps.h"

/* The nearest count of each amount in hand that the grid allows. */
void sw_near_counts(const sw_grid *grid, const double *hand, double *count);

/*
 * Among the counts whose recipe keeps the grid's limits and the rows of
 * `equal`: the fewest that are not the nearest to the amounts in `hand` (of
 * each column, in the model's unit), and of as many the least sum of moves as
 * shares of the amounts.  Branch and bound (GLPK).  False where there are none,
 * or the search did not end.
 */
bool sw_near_find(sw_solver *solver, const sw_grid *grid, const sw_equal *equal,
                  const double *hand, sw_count *out);

#endif
