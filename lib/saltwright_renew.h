/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tanks whose solution recirculates. */
#ifndef SALTWRIGHT_RENEW_H
#define SALTWRIGHT_RENEW_H

#include "saltwright_formulate.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- Renew --------------------------------------------------------------*/

/* An end of a target that neither draining nor adding can meet, or for which
 * it is not worth while. */
typedef struct sw_unreached {
    sw_limit limit;
    bool within_error; /* the max of an accepted range, passed by less than the
                          10 % a laboratory can tell, and by what is kept:
                          draining would meet it */
    double finished;   /* in its unit, with the recipe found */
    char reason[200];  /* why, a clause without a full stop */
} sw_unreached;

/* An end of a target without which less would be drained. */
typedef struct sw_forcing {
    sw_limit limit; /* not given: the accepted range's, or what is kept beyond
                       that, up to 10 %, which no laboratory can tell */
    /* Of what the tank holds, the share to drain were this end left aside:
     * it alone; it and all those before it, NaN where it is no part of the way
     * to draining nothing. */
    double drained_alone, drained_together;
    /* mg/L that old solution and fresh water then bring, with as much drained
     * as above (together, else alone); NaN but for the max of a component. */
    double brought;
} sw_forcing;

/* How a tank is brought back to its target. */
typedef struct sw_renewal {
    /* SW_OPTIMAL: every target is met (EC, which is only judged, left out) but
     * those passed within error;
     * SW_CONFLICT: no share of fresh water meets them all, see `unreached`, or
     * none has a recipe; SW_LIMIT: a solve was cut short; SW_UNDETERMINED: of
     * the solution or the water nobody knows the alkalinity, and the shares
     * below are NaN. */
    sw_outcome outcome;
    double kept;    /* of the filled tank, the share that is old solution */
    double drained; /* of what the tank holds, the least share to drain for
                       the targets that can be met, and a thousandth more */
    sw_solution *solution; /* the additions, per litre of the filled tank */
    /* After a conflict: the others are met, and each of these is off by no more
     * than in the closest recipe with as much drained, and what a laboratory
     * can tell.  Limits come before bands, max before min. */
    sw_unreached *unreached;
    size_t unreached_count;
    /* Where something is drained: what for.  First a way to draining
     * nothing, what gains most at each step first; then what alone would gain
     * beside it.  Gains of less than a thousandth of what is held, or of 1 % of
     * what is drained, are none. */
    sw_forcing *forcing;
    size_t forcing_count;
} sw_renewal;

/*
 * problem->waters are two: the tank's solution and the fresh water, without
 * fractions.  `held` is what the tank holds over what it is filled to, above 0
 * to 1.  Drains no more than must be.  What cannot all be met is given up for
 * as many targets as can, and missed no further than need be.  SW_ERR_VALUE
 * otherwise, and errors as sw_formulate.  Method: reference/methods.md, Decide.
 */
SW_API sw_status sw_renew(sw_solver *solver, const sw_problem *problem,
                          double held, sw_renewal **renewal, sw_error *error);
SW_API void sw_renewal_free(sw_renewal *renewal);

#ifdef __cplusplus
}
#endif

#endif
