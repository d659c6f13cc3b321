/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The same problem with something changed, to be solved again. */
#ifndef SW_DECIDE_VARIANT_H
#define SW_DECIDE_VARIANT_H

#include "saltwright.h"

#include "formulate/model.h"

/* Rows and products are copies whose texts belong to the original. */
typedef struct sw_variant {
    const sw_problem *of;
    sw_problem problem;    /* what is to be solved: of these two */
    sw_target target;      /* with room for ceilings of ours that have no row */
    sw_shelf shelf;        /* with room for one product more */
    sw_solution *solution; /* the last, once it is solved */
} sw_variant;

/* Not to be copied.  SW_ERR_MEMORY.  Release with sw_variant_free. */
sw_status sw_variant_make(const sw_problem *of, sw_variant *variant,
                          sw_error *error);
void sw_variant_free(sw_variant *variant);

/* Puts a limit of the original at `bound`. */
void sw_variant_set(sw_variant *variant, const sw_limit *limit, double bound);

/*
 * Solves it into variant->solution: whether there is a recipe.  What the solver
 * cannot work with has none, and no solution.  SW_ERR_MEMORY.
 */
sw_status sw_variant_solve(sw_solver *solver, sw_variant *variant, bool *solved,
                           sw_error *error);

/* Whether a product is there to move the pH: an acid, a base. */
bool sw_moves_ph(const sw_product *product);
/* Whether it is in use though the shelf does not ask for it. */
bool sw_is_chosen(const sw_product *product, double g_per_l);
/* How many of the recipe are. */
size_t sw_count_chosen(const sw_shelf *shelf, const sw_recipe *recipe);

/*
 * The highest share of water `water` over all mixes and recipes that meet
 * every target, as in sw_blend; NaN where none does.  Statuses of
 * sw_formulate.
 */
sw_status sw_blend_highest(sw_solver *solver, const sw_problem *problem,
                           size_t water, double *share, sw_error *error);

#endif
