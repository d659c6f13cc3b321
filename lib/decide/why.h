/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What why a recipe is as it is, and why there is none, have in common. */
#ifndef SW_DECIDE_WHY_H
#define SW_DECIDE_WHY_H

#include "decide/variant.h"
#include "formulate/fit.h"

/* ---- Products of the catalogue (additions.c) ---------------------------- */

/* What becomes of a product: whether it is kept, its figures filled in. */
typedef sw_status sw_consider(void *context, const sw_product *product,
                              sw_addition *addition, bool *kept);

/*
 * Of the products of the catalogue that the shelf lacks, those that `consider`
 * keeps: what comes closest first; of equals what is not corrosive.  Not traces
 * that the pH of the feed takes out of solution.  What `consider` returns, or
 * SW_ERR_MEMORY.
 */
sw_status sw_additions_find(const sw_problem *problem, sw_consider *consider,
                            void *context, sw_addition **additions,
                            size_t *count, sw_error *error);

/*
 * The problem with `product` on its shelf too; mends_ph is whether the pH is
 * where it is asked for.  For the cheapest, what it would cost is unknown: then
 * the recipe closest to the target within the same limits counts.
 * SW_ERR_MEMORY.
 */
sw_status sw_try_product(sw_solver *solver, const sw_problem *problem,
                         const sw_product *product, sw_addition *addition,
                         bool *solved, sw_error *error);

/* ---- How far a limit can move (why_range.c) ----------------------------- */

typedef struct sw_range {
    double low, high;
} sw_range;

/*
 * Bounds of a side within which the same columns and rows are held at the
 * optimum of closest or cheapest, the pH linear at the activities of that
 * optimum; infinite where nothing ends them, NaN where they cannot be told.
 */
sw_range sw_range_of(sw_solver *solver, const sw_model *model,
                     const sw_fit *fit, const sw_side *side);

#endif
