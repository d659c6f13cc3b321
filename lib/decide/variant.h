/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The same problem with something changed, to be solved again. */
#ifndef SW_DECIDE_VARIANT_H
#define SW_DECIDE_VARIANT_H

#include "formulate/model.h"

/* Rows and products are copies whose texts belong to the original. */
typedef struct sw_variant {
    sw_problem problem;
    sw_target target;
    sw_shelf shelf; /* with room for one product more */
} sw_variant;

/* SW_ERR_MEMORY.  Release with sw_variant_free. */
sw_status sw_variant_make(const sw_problem *of, sw_variant *variant,
                          sw_error *error);
void sw_variant_free(sw_variant *variant);
/* The same in room that is there: a row more than `of` has, as many products,
 * and whoever gave it frees it. */
void sw_variant_copy(const sw_problem *of, sw_target_row *rows,
                     sw_product *products, sw_variant *variant);

/* What is to be solved; it points into the variant. */
sw_problem sw_variant_problem(const sw_variant *variant);

/* Which limit a side is, free of the model it came from. */
typedef struct sw_handle {
    sw_side_kind kind;
    sw_side_end end;
    size_t index; /* of the target's row, its count for a ceiling of ours that
                     has none; or of the shelf's product */
    sw_component component; /* of such a ceiling */
} sw_handle;

sw_handle sw_handle_of(const sw_problem *problem, const sw_side *side);
/* Puts the limit at `bound`. */
void sw_variant_set(sw_variant *variant, sw_handle limit, double bound);

/*
 * Solves it: whether there is a recipe, and in *solution (or NULL) which.
 * What the solver cannot work with has none.  SW_ERR_MEMORY.
 */
sw_status sw_variant_solve(sw_solver *solver, const sw_variant *variant,
                           bool *solved, sw_solution **solution,
                           sw_error *error);

/* Whether the solution says that the pH is not where it is asked for. */
bool sw_misses_ph(const sw_solution *solution);
/* Whether a product is there to move the pH: an acid, a base. */
bool sw_moves_ph(const sw_product *product);

/* Whether `product` of the catalogue stands on the shelf already. */
bool sw_is_on_shelf(const sw_shelf *shelf, const sw_product *product);

#endif
