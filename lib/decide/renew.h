/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What can be had of targets that cannot all be met in any mix of a tank's old
 * solution and fresh water, and which of them make it that so much is drained.
 */
#ifndef SW_DECIDE_RENEW_H
#define SW_DECIDE_RENEW_H

#include "decide/variant.h"

/* One end of what a target allows, and what became of it. */
typedef struct sw_reach_end {
    size_t row; /* of the target */
    sw_side_end end;
    double accepted; /* as given, or the end of the accepted range */
    bool given;
    bool kept;
    bool aside; /* where it is not kept it counts for nothing at all */
} sw_reach_end;

/* The recipe closest to the targets at a share of the first water. */
typedef struct sw_closest {
    double share;
    bool found;
    sw_content finished;
    double ph[2]; /* as mixed, aired; NaN: nobody asks, or no answer */
} sw_closest;

/* A search over mixes and recipes for what can be kept together. */
typedef struct sw_reach {
    sw_solver *solver;
    const sw_problem *problem; /* its waters are free */
    sw_error *error;
    sw_variant variant; /* of it, with what is kept as limits */
    sw_reach_end *ends; /* the weightiest first */
    size_t count;
    /* What is given up is off by no more than a mix of these, and what a
     * laboratory can tell: `all` of the first water, and `some`. */
    sw_closest all, some;
    sw_no_further *no_further; /* of each row */
    bool repeats;              /* a search that is not the first */
    bool wide;                 /* see sw_reach_widen */
    double held;  /* share of the old solution in the first water */
    double share; /* the highest of the first water that keeps all kept */
} sw_reach;

/* Every end of the target, kept; the share is not found.  SW_ERR_MEMORY.
 * Release with sw_reach_close whatever is returned. */
sw_status sw_reach_open(sw_solver *solver, const sw_problem *problem,
                        double held, sw_reach *reach, sw_error *error);
void sw_reach_close(sw_reach *reach);

/* Measures what is given up by the closest recipe at this share, and beyond it
 * by a mix of that and the closest of all of the first water.  Statuses of
 * sw_formulate. */
sw_status sw_reach_measure(sw_reach *reach, double share);

/*
 * Keeps as many of the given limits and of the ends of the pH as some mix and
 * recipe keeps together, and with them as many of the accepted ranges; of equal
 * sets one that gives up the last of the list: max before min, pH, ranges by
 * the weight of their targets.
 * Finds the share.  Statuses of sw_formulate.
 */
sw_status sw_reach_most(sw_reach *reach);

/* The highest share of the first water that keeps the ends now kept, NaN where
 * none does; 1 where none is kept.  Statuses of sw_formulate. */
sw_status sw_reach_highest(sw_reach *reach, double *share);

/* Lets what old solution and fresh water bring pass each kept max that is only
 * that of an accepted range, as far as a laboratory cannot tell; then next to
 * nothing may be added to it.  The share is found anew. */
sw_status sw_reach_widen(sw_reach *reach);

/* At which a kept end stands at a share of the first water. */
double sw_reach_bound(const sw_reach *reach, const sw_reach_end *end,
                      double share);

/* The end as a limit, at a bound. */
sw_limit sw_reach_limit(const sw_reach *reach, const sw_reach_end *end,
                        double bound);

/* ---- With the shares given: `at` is the problem with them --------------- */

/*
 * Solves it with what is kept as limits; of the rest what was given, and for
 * the cheapest all, as near as it can be had.  The solution may be without a
 * recipe.  Statuses of sw_formulate.
 */
sw_status sw_reach_solve(sw_reach *reach, const sw_problem *at,
                         sw_solution **solution);

/* What is finished where the recipe closest to the targets keeps what is kept;
 * *found is false where there is no such recipe.  SW_ERR_MEMORY. */
sw_status sw_reach_closest(sw_reach *reach, const sw_problem *at, bool *found,
                           sw_content *finished);

/* ---- What forces the draining (renew_forcing.c) ------------------------- */

/* Less than this share of what the tank holds is none that anybody drains: no
 * gain worth naming, and so much more is drained before the closest recipe is
 * sought, so that none is bent for a drop. */
#define SW_LEAST_DRAINED 1e-3

/*
 * Of the ends that `reach` keeps, those that hold its share down: first a way
 * to all of the first water, each step the one that gains most or, where none
 * does alone, a smallest set that does together; then what alone would gain
 * without being on that way.  Every share is solved for.  Into
 * renewal->forcing.  Statuses of sw_formulate.
 */
sw_status sw_forcing_find(sw_reach *reach, sw_renewal *renewal);

#endif
