/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fewest products that give what counts as equal to the closest recipe. */
#ifndef SW_FORMULATE_FEWEST_H
#define SW_FORMULATE_FEWEST_H

#include "formulate/fit.h"

/*
 * For the model of all of a block at a `fit`, whose limits are those in force,
 * where it is an optimum of the closest and the problem wants the fewest: a
 * product counts once, in however many waters.  What was found into `fewer`; *y
 * is the point taken instead, in memory of the solver, with the closest recipe
 * in `fewer`, the caller's to free, or NULL where the closest stands.  Where
 * the numbers do not allow it nothing is proved; SW_ERR_MEMORY.
 */
sw_status sw_find_fewest(sw_solver *solver, const sw_block *block,
                         const sw_fit *fit, sw_fewer *fewer, double **y,
                         sw_error *error);
/* A note on what of the closest recipe is left out, and what is taken for it;
 * SW_ERR_MEMORY. */
sw_status sw_say_fewest(const sw_shelf *shelf, const sw_fewer *fewer,
                        const sw_recipe *taken, sw_notes *notes);
/* Of each product of the shelf the most in any water of the block, g/L, into a
 * new array.  SW_ERR_MEMORY. */
sw_status sw_block_recipe(const sw_block *block, const double *y,
                          sw_recipe *recipe);

#endif
