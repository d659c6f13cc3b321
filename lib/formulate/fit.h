/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The objectives: each takes a model and says how its solve ended. */
#ifndef SW_FORMULATE_FIT_H
#define SW_FORMULATE_FIT_H

#include "formulate/certificate.h"
#include "formulate/lp.h"
#include "formulate/model.h"

/* How a solve ended; the point is in memory of the solver. */
typedef struct sw_fit {
    sw_outcome outcome;
    bool has_point; /* after SW_LIMIT there may be none */
    bool coarse;    /* even: smaller deviations or ties were left as they are */
    sw_point point;
    double objective;
    sw_proof proof;
    int lp_rounds;
} sw_fit;

void sw_fit_closest(sw_solver *solver, const sw_model *model, sw_fit *fit);
void sw_fit_even(sw_solver *solver, const sw_model *model, sw_fit *fit);
void sw_fit_cheapest(sw_solver *solver, const sw_model *model, sw_fit *fit);

/* Objective of cost per column: price per m3, or g/L when any price is missing.
 */
double *sw_cost_of_columns(sw_solver *solver, const sw_model *model);

/*
 * Among the points `lp` allows (its optimal face, already confined), the one
 * of least cost, then least mass, then most of the products first in the
 * order of names, then most of the first waters.  The form's columns must be
 * the program's first.  `first` is the method to start with: the dual where the
 * program is fresh, the primal where it stands at a point it allows.
 * SW_LP_OPTIMAL, or how it stopped.
 */
sw_lp_end sw_break_ties(sw_solver *solver, const sw_model *model, sw_lp *lp,
                        sw_lp_method first);

/*
 * A smallest set of sides that cannot all hold; where the search for it was cut
 * short, one of which each left out makes the rest possible.  `conflicting` has
 * room for every side; answers how many it got, 0 when a linear program had no
 * answer.
 */
size_t sw_find_conflict(sw_solver *solver, const sw_model *model,
                        const sw_side **conflicting);

#endif
