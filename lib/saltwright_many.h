/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One recipe for several waters. */
#ifndef SALTWRIGHT_MANY_H
#define SALTWRIGHT_MANY_H

#include "saltwright_formulate.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- Many waters, few recipes -------------------------------------------*/

enum { SW_MANY_WATERS = 48 }; /* at most */

/* A recipe and its waters together. */
typedef struct sw_common {
    sw_outcome outcome;
    /* The objective over all its waters: the sum of theirs, for SW_EVEN the
     * largest.  No recipe with these settings is better; no ionic strength. */
    sw_certificate certificate;
    bool proved; /* nor with acid for base in some of the waters */
    /* As of a solution: a product counts once, in however many waters, and the
     * closest recipe has the most of it in any. */
    sw_fewer fewer;
    sw_notes notes; /* on what was left out */
} sw_common;

/* One of the waters, and what its recipe gives in it. */
typedef struct sw_in_water {
    size_t recipe;     /* which of the recipes serves it */
    sw_recipe amounts; /* of every product in this water; empty: no recipe */
    double objective;  /* its part of that of the recipe */
    /* Limits that bind the closest recipe in it. */
    sw_limit *limits;
    size_t limit_count;
    sw_notes notes; /* limits that gave way in it, a pH out of reach */
} sw_in_water;

/* Waters, by their places in the problem. */
typedef struct sw_waters_apart {
    size_t *waters;
    size_t count;
} sw_waters_apart;

typedef struct sw_many {
    size_t product_count;
    bool
        *own; /* of each product: its amount is each water's own (acid, base) */
    sw_common *recipes;
    size_t recipe_count;
    sw_in_water *waters;
    size_t water_count;
    size_t changes; /* of recipe, from one water to the next in their order */
    bool fewest_proved; /* no fewer recipes do, nor as few with fewer changes */
    /* Sets of waters that no one recipe serves, though one serves any part of
     * the set: what proves that fewer recipes do not. */
    sw_waters_apart *apart;
    size_t apart_count;
    sw_notes notes; /* on the target, whatever the water */
} sw_many;

/*
 * One recipe for all waters of the problem, each as it comes (no fractions, no
 * blend): salts are in common, acids and bases whose amount is free are each
 * water's own, never both in one water.  SW_CLOSEST makes the sum of all
 * waters' objectives least, SW_EVEN the worst deviation in any, SW_CHEAPEST the
 * sum of costs.  With `nearest` limits give way by the least sum of shares over
 * all waters, those of the pH last; without, there may be
 * no recipe.  With `fewest` the one of the fewest products is taken of recipes
 * equal in every water.  SW_ERR_VALUE: more than
 * SW_MANY_WATERS waters, fractions; else errors as sw_formulate.  Method:
 * reference/methods.md, Decide.
 */
SW_API sw_status sw_one_recipe(sw_solver *solver, const sw_problem *problem,
                               sw_many **many, sw_error *error);

/*
 * The fewest recipes with which every water meets every target: its accepted
 * ranges and limits but EC, which is only judged.  What a water cannot meet
 * with a recipe of its own it need not meet, but must come as near to as it
 * does with one, or outside an accepted range 10 % of its end further
 * off, which no laboratory tells.  Of the ways to do with as few, one with the
 * fewest changes from one water to the next; each recipe then is the best for
 * its waters, as sw_one_recipe's, of those that stay 0.1 % inside the ends of
 * all ranges where there are any, so that its amounts may be rounded.  Errors
 * as there.
 */
SW_API sw_status sw_fewest_recipes(sw_solver *solver, const sw_problem *problem,
                                   sw_many **many, sw_error *error);
SW_API void sw_many_free(sw_many *many);

#ifdef __cplusplus
}
#endif

#endif
