/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The reasons part of saltwright.h, which includes it: include that one.
 * Why there is no recipe, and what would make one.
 */
#ifndef SALTWRIGHT_WHY_H
#define SALTWRIGHT_WHY_H

#include "saltwright.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- Why there is no recipe ---------------------------------------------*/

/* A limit as given, and where it would have to stand. */
typedef struct sw_easing {
    sw_limit limit;
    char unit[8];   /* "mg/L", "g/L"; "" for a ratio, a pH or the cost */
    double reached; /* NaN: moved on its own it resolves nothing */
    double share;   /* how far it gives way, as a share of itself; of a
                       ratio's first part, of 1 meq/L for a pH */
} sw_easing;

/* A product of the catalogue, tried beside those of the shelf. */
typedef struct sw_addition {
    size_t index; /* in the catalogue */
    char name[64];
    double g_per_l;   /* of it in the recipe with it */
    double objective; /* of that recipe */
} sw_addition;

/*
 * Every number here was solved for.  Each of `members` eased alone to
 * `reached`, each of `additions` alone on the shelf and the share of purified
 * water alone makes a recipe possible; so does easing all of `least` together.
 */
typedef struct sw_conflict {
    sw_easing *members; /* no recipe keeps them all; without any one of them */
    size_t member_count; /* some recipe keeps the others of them */
    sw_easing *least;    /* where the sum of all shares is least: those that */
    size_t least_count;  /* give way there, each by how much */
    double total;        /* that sum; NaN when it could not be found */
    sw_addition *additions; /* closest to the target first */
    size_t addition_count;
    double purified_share; /* the least, of all water; NaN: none helps */
} sw_conflict;

/*
 * Explains the conflict `problem` ends in; *conflict is NULL when it ends in
 * none.  `purified` is what the water to blend with carries; NULL: nothing.
 * Free with sw_conflict_free.  Errors of sw_formulate.
 */
SW_API sw_status sw_conflict_explain(const sw_problem *problem,
                                     const sw_content *purified,
                                     sw_conflict **conflict, sw_error *error);
SW_API void sw_conflict_free(sw_conflict *conflict);

#ifdef __cplusplus
}
#endif

#endif
