/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Why there is no recipe, and what would make one; why a recipe is as it is,
 * and what would make it better.
 */
#ifndef SALTWRIGHT_WHY_H
#define SALTWRIGHT_WHY_H

#include "saltwright_formulate.h"

/* clang-format off */
#ifdef __cplusplus
extern "C" {
#endif

/* ---- Why there is no recipe ---------------------------------------------*/

/* A limit as given, and where it would have to stand. */
typedef struct sw_easing {
    sw_limit limit;
    double reached; /* NaN: moved on its own it resolves nothing */
    double share;   /* how far it gives way, as a share of itself; of a
                       ratio's first part, of 1 meq/L for a pH */
} sw_easing;

/* A product of the catalogue, tried beside those of the shelf. */
typedef struct sw_addition {
    size_t index; /* in the catalogue */
    char name[64];
    bool corrosive;   /* burns, or eats metal: H314 or H290 */
    double g_per_l;   /* of it in the recipe with it */
    double objective; /* of that recipe; NaN for the cheapest, see `price` */
    double price; /* change of the objective with its first gram per litre;
                     for the cheapest, what a kilogram of it is worth; NaN
                     after a conflict */
    bool mends_ph; /* the pH is missed without it and not with it */
} sw_addition;

/*
 * Every number here was solved for.  Each of `members` eased alone to
 * `reached`, each of `additions` alone on the shelf and the share of purified
 * water alone makes a recipe possible; so does easing all of `least` together.
 * Each was tried as a screen shows it: rounded away from the limit to 3 digits.
 */
typedef struct sw_conflict {
    sw_easing *members; /* the fewest that no recipe keeps together; without */
    size_t member_count; /* any one of them some recipe keeps the others */
    sw_easing *least;    /* where the sum of all shares is least: those that */
    size_t least_count;  /* give way there, each by how much */
    bool keeps_rates;    /* least with fixed and least rates of products kept:
                            what they bring sets limits of ours, which move */
    double total;        /* that sum; NaN: none was found that works */
    sw_addition *additions; /* closest to the target first */
    size_t addition_count;
    double purified_share; /* the least, of all water; NaN: none helps */
} sw_conflict;

/*
 * Explains the conflict `problem` ends in; *conflict is NULL when it ends in
 * none.  `purified` is what the water to blend with carries; NULL: nothing.
 * Free with sw_conflict_free.  Errors of sw_formulate.
 */
SW_API sw_status sw_conflict_explain(sw_solver *solver,
                                     const sw_problem *problem,
                                     const sw_content *purified,
                                     sw_conflict **conflict, sw_error *error);
SW_API void sw_conflict_free(sw_conflict *conflict);

/* ---- Why this recipe ----------------------------------------------------*/

/* A limit that binds. */
typedef struct sw_priced_limit {
    sw_limit limit;
    double low, high; /* within these the recipe keeps its shape: the same
                         products in use, the same limits binding, so that the
                         price changes steadily; infinite where nothing ends it,
                         NaN where that is not calculated */
    double moved, objective; /* a round step the way that gains, and the
                                objective with it, solved again, which costs a
                                whole solve; both NaN: it was not tried;
                                the objective alone: nothing was gained */
} sw_priced_limit;

/* A product in use, and the problem solved without it. */
typedef struct sw_worth {
    size_t product;   /* of the shelf */
    double objective; /* without it; NaN: then no recipe keeps the limits */
    bool loses_ph;    /* the pH is then missed */
    double change; /* the largest of a component the target names, without it:
                      over what is finished; NaN: then there is no recipe */
    bool spare;    /* it can be left out: a change of 0.1 % at most, in the
                      objective of 1 % at most, and no pH lost.  Each on its
                      own: two sources of one thing may both be */
} sw_worth;

/* A target's part in the misfit. */
typedef struct sw_miss {
    size_t row; /* of the target */
    double deviation, share; /* finished over target, less 1; of the misfit */
} sw_miss;

/* Prices and ranges are those of the certificate: each pH linear at the
 * activities of this recipe, and moved by its levers. */
typedef struct sw_why {
    double objective;                  /* of the recipe */
    double price[SW_COMPONENT_COUNT];  /* change of it with a first mg/L of a
                                          component from nowhere that leaves
                                          the pH alone */
    sw_miss *misses; size_t miss_count; /* worst first; closest only */
    sw_priced_limit *limits; size_t limit_count;
    sw_worth *products; size_t product_count; /* most needed first */
    sw_addition *additions; size_t addition_count; /* best first */
    size_t tried; /* products of the catalogue that the shelf lacks */
} sw_why;

/*
 * Why the recipe of `problem` is as it is.  *why is NULL when there is none
 * that is proved.  Free with sw_why_free.  Errors of sw_formulate.
 */
SW_API sw_status sw_why_find(sw_solver *solver, const sw_problem *problem,
                             sw_why **why, sw_error *error);
SW_API void sw_why_free(sw_why *why);

/* ---- What fit is bought with --------------------------------------------*/

typedef enum sw_trade { SW_TRADE_COST, SW_TRADE_PRODUCTS } sw_trade;

/* A recipe none is better than in both fit and cost, or fit and number. */
typedef struct sw_front_point {
    double objective;   /* least for what it costs, or for so many products */
    double lower_bound; /* proof: no such recipe has less */
    double cost_per_m3; /* NaN where a price is missing */
    double slope; /* change of the objective per unit of cost; NaN at the
                     cheapest and between numbers of products */
    size_t products; /* chosen and in use */
    bool misses_ph;
    sw_recipe recipe;
} sw_front_point;
typedef struct sw_front {
    sw_trade trade;
    sw_front_point *points; size_t count; /* best fit first */
} sw_front;

/*
 * SW_TRADE_COST: `count` points (2 to 200) evenly in cost, from the closest
 * recipe that keeps every limit and verdict's band to the cheapest; fewer
 * where both cost the same.  SW_TRADE_PRODUCTS: with each product less than
 * the closest recipe has, at most `count` points, for as long as there is a
 * recipe; the objective is that of `problem` (closest or even).  *front is
 * NULL when not even the first point has a recipe.  Free with sw_front_free.
 * SW_ERR_VALUE (count, or products for the cheapest), errors of sw_formulate.
 */
SW_API sw_status sw_front_find(sw_solver *solver, const sw_problem *problem,
                               sw_trade trade, size_t count, sw_front **front,
                               sw_error *error);
SW_API void sw_front_free(sw_front *front);

#ifdef __cplusplus
}
#endif

#endif
