/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What can be had of targets that cannot all be met, in any mix of waters. */
#ifndef SW_DECIDE_REACH_H
#define SW_DECIDE_REACH_H

#include "decide/variant.h"

/* One end of what a target allows, and what became of it. */
typedef struct sw_reach_end {
    size_t row; /* of the target */
    sw_side_end end;
    double accepted; /* as given, or the end of the accepted range */
    double bound;    /* at which it is kept: the same, until widened */
    bool given;
    bool kept;
} sw_reach_end;

typedef struct sw_reach {
    sw_reach_end *ends; /* the weightiest first */
    size_t count;
    double share; /* the highest of the first water that keeps all kept */
    bool proved;  /* no larger set can be kept */
} sw_reach;

/*
 * Keeps as many of the given limits as some mix and recipe keeps together, and
 * with them as many of the accepted ranges; of equal sets one that gives up the
 * last of the list: max before min, ranges by the weight of their targets.
 * The problem's waters are free.
 * Statuses of sw_formulate.  Release with sw_reach_free whatever is returned.
 */
sw_status sw_reach_find(sw_solver *solver, const sw_problem *problem,
                        sw_reach *reach, sw_error *error);
void sw_reach_free(sw_reach *reach);

/* Lets each kept max that is only that of an accepted range be passed as far as
 * a laboratory cannot tell; the share is found anew.  As sw_reach_highest. */
sw_status sw_reach_widen(sw_solver *solver, const sw_problem *problem,
                         sw_reach *reach, sw_error *error);

/* With the shares given, puts each end that is kept and need not be wider back
 * to its accepted range, in their order; *any: there are some.
 * SW_ERR_MEMORY. */
sw_status sw_reach_tighten(sw_solver *solver, const sw_problem *problem,
                           sw_reach *reach, bool *any, sw_error *error);

/* Every end of the target, kept; the share is not found.  SW_ERR_MEMORY. */
sw_status sw_reach_all(const sw_target *target, sw_reach *reach,
                       sw_error *error);

/* The highest share of the first water that keeps the ends now kept, NaN where
 * none does; 1 where none is kept.  The problem's waters are free.  Statuses of
 * sw_formulate. */
sw_status sw_reach_highest(sw_solver *solver, const sw_problem *problem,
                           const sw_reach *reach, double *share,
                           sw_error *error);

/* "Si min 45 mg/L (target.csv line 5)" */
void sw_reach_name(const sw_problem *problem, const sw_reach_end *end,
                   char *name, size_t size);

/*
 * Solves `problem`, whose shares are given, with what is kept as limits; of
 * the rest what was given, and for the cheapest all, as near as it can be
 * had.  The solution may be without a recipe.  Statuses of sw_formulate.
 */
sw_status sw_reach_solve(sw_solver *solver, const sw_problem *problem,
                         const sw_reach *reach, sw_solution **solution,
                         sw_error *error);

/* What is finished where, the shares given, the recipe closest to the targets
 * keeps what is kept; *found is false where there is no such recipe.
 * SW_ERR_MEMORY. */
sw_status sw_reach_closest(sw_solver *solver, const sw_problem *problem,
                           const sw_reach *reach, bool *found,
                           sw_content *finished, sw_error *error);

/* Whether any mix keeps this end, were it alone. */
sw_status sw_reach_alone(sw_solver *solver, const sw_problem *problem,
                         const sw_reach_end *end, bool *reached,
                         sw_error *error);

#endif
