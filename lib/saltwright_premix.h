/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bought premixes. */
#ifndef SALTWRIGHT_PREMIX_H
#define SALTWRIGHT_PREMIX_H

#include "saltwright_assess.h"
#include "saltwright_formulate.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- Premix -------------------------------------------------------------*/

/* Whether a product is a premix: known by a label of four elements or more. */
SW_API bool sw_is_premix(const sw_product *product);

/* The rate of a product that suits the targets best. */
typedef struct sw_premix_rate {
    double g_per_l;      /* within the limits; 0 where none helps */
    double free_g_per_l; /* without them */
    char held_by[160];   /* the limits between: "Na max 60 mg/L (target.csv
                            line 5)"; "" where the two are one */
} sw_premix_rate;

/*
 * The rates at which products bring the mix closest to the targets of its
 * components (least sum of weighted squared relative deviations), what else is
 * in the recipe staying as it is.  `set`, one for each product of the recipe: 0
 * stays; products of the same number above 0 are scaled together, in the
 * proportion of their amounts in the recipe, which are above 0 (of one alone
 * any will do).  `rates`, as many, are the caller's; of what stays NaN.
 *
 * Limits are the products' own max, the max rows of components, the ceilings
 * (reference/components.csv) on what products add of what the target does not
 * name, unless the mix is unguarded, and where acid or base is among them the
 * usual pH, as sw_formulate has it.  A rate held back and one of 0 are said in
 * *notes, which grows ("best-held", "best-zero").  Min, fixed rates and rows on
 * ratios, EC and pH are not looked at: those are for formulate.
 * SW_ERR_VALUE (a set without an amount; a target with stages; a number that is
 * not finite), SW_ERR_MISSING (a set brings nothing that has a target),
 * SW_ERR_SOLVER, SW_ERR_MEMORY; the rates are NaN then.
 */
SW_API sw_status sw_premix_fit(sw_solver *solver, const sw_mix *mix,
                               const size_t *set, sw_premix_rate *rates,
                               sw_notes *notes, sw_error *error);

/*
 * The target a recipe implies: what it gives in water with nothing in it, each
 * component that feeds a crop and, last, the pH (5.5 at the least).  Ca, Mg and
 * K weigh 100 (they give way to what a water brings) and S 0.1 (it does where
 * those let it), unless premixes that are not fixed bring them; all else
 * 0.0001, a form of nitrogen as a share of all of it; N beside its forms, and
 * Na and Cl from 10 mg/L on, 0 (told, not sought).  The shelf has as
 * many products as the recipe amounts, or more.  Free with sw_target_free.
 * SW_ERR_MISSING (it brings nothing), SW_ERR_VALUE, _NUMERIC (as
 * sw_equilibrate), SW_ERR_MEMORY.
 */
SW_API sw_status sw_target_implied(const sw_shelf *shelf,
                                   const sw_recipe *recipe,
                                   const sw_conditions *conditions,
                                   sw_target **target, sw_error *error);

/* A recipe for pure water that is to be corrected for others.  All that it
 * points to stays the caller's. */
typedef struct sw_correction {
    sw_target *target;       /* that sw_target_implied made of: */
    const sw_recipe *recipe; /* for pure water */
    sw_shelf *shelf;         /* of its products, and what else there is */
    const bool *freed;       /* of each product of the recipe, whether more of
                                it may serve than the recipe has */
    bool alone;              /* found: nothing else on the shelf joins in */
} sw_correction;

/*
 * Lets of the shelf what serves in the waters of the problem, whose own target
 * and shelf do not count: the recipe's products up to its amounts; where they
 * leave a main component open, more of its straights; and at last what else is
 * on the shelf, of what the recipe has alone.  Sets max_g_per_l of each
 * product, `held_low` and `held_high` of the target's rows, within which they
 * give way to sulfur, and the weight of its pH, which is sought where
 * something joins in.  sw_formulate of shelf and target then corrects the
 * recipe.  Errors: as sw_formulate and sw_assess.
 */
SW_API sw_status sw_recipe_correct(sw_solver *solver, const sw_problem *problem,
                                   sw_correction *correction, sw_error *error);

/* A component with a target, as the premix brings it. */
typedef struct sw_premix_row {
    sw_component component;
    bool declared;           /* on the label */
    double brought_mg_per_l; /* by the premix */
    double wanted_mg_per_l;  /* what water and the rest leave open, >= 0 */
    double ratio;            /* brought, to that of `base`, by mass */
    double wanted_ratio;     /* the same of what is wanted; NaN: no base */
} sw_premix_row;

typedef struct sw_premix {
    size_t product;
    double g_per_l;
    sw_component base; /* of the ratios: N or the first that both have;
                          SW_COMPONENT_COUNT: none */
    sw_premix_row rows[SW_COMPONENT_COUNT];
    size_t row_count;
    double ammonium_share, urea_share; /* of its nitrogen; NaN without any */
    sw_notes notes;                    /* what the label leaves open */
} sw_premix;

/* Its proportions against those wanted, and what its label leaves undeclared:
 * elements, a chelator, ions.  SW_ERR_VALUE (no such product; a target with
 * stages, which sw_target_stage parts; conditions out of their domain),
 * SW_ERR_NUMERIC, SW_ERR_MEMORY. */
SW_API sw_status sw_premix_review(const sw_mix *mix, size_t product,
                                  sw_premix **premix, sw_error *error);
SW_API void sw_premix_free(sw_premix *premix);

#ifdef __cplusplus
}
#endif

#endif
