/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The objectives: each takes a model and says how its solve ended. */
#ifndef SW_FORMULATE_FIT_H
#define SW_FORMULATE_FIT_H

#include "formulate/lp.h"
#include "formulate/model.h"

/* How a solve ended; the point is in memory of the solver. */
typedef struct sw_fit {
    sw_outcome outcome;
    bool has_point; /* after SW_LIMIT there may be none */
    sw_point point;
    double objective;
    sw_proof proof;
    int lp_rounds;
} sw_fit;

/* The model's objective; adds to fit->lp_rounds. */
void sw_fit_model(sw_solver *solver, const sw_model *model, sw_fit *fit);
void sw_fit_closest(sw_solver *solver, const sw_model *model, sw_fit *fit);
void sw_fit_even(sw_solver *solver, const sw_model *model, sw_fit *fit);
void sw_fit_cheapest(sw_solver *solver, const sw_model *model, sw_fit *fit);

/* Objective of cost per column: price per m3, or g/L when any price is missing.
 */
double *sw_cost_of_columns(sw_solver *solver, const sw_model *model);

/*
 * The optimal face: a copy of `form` in which whatever `active` holds with a
 * price at `point` stays where it is, with `more` rows behind it.
 */
sw_form sw_face_of(sw_solver *solver, const sw_form *form,
                   const sw_point *point, const sw_active *active, size_t more);
/* The same of the form itself. */
void sw_face_hold(sw_form *form, const sw_point *point,
                  const sw_active *active);
/* Term `e` within bounds, in the face's last rows, of which each has one. */
void sw_face_bound_term(sw_form *face, const sw_terms *terms, size_t e,
                        double low, double high);

/*
 * Among the points of a face that meet the goals of `same` the one of least
 * cost, then least mass, then most of the products first in the order of names,
 * then most of the first waters, into point->y.  SW_LP_OPTIMAL, or how it
 * stopped, a face that seems empty by rounding with SW_LP_FAILED.
 */
sw_lp_end sw_pick(sw_solver *solver, const sw_model *model, const sw_form *face,
                  const sw_terms *same, const sw_point *point);

/* The same among all points with the deviations of `point`, an optimum of the
 * squares with the prices that prove it and the set that `active` holds. */
sw_lp_end sw_settle(sw_solver *solver, const sw_model *model,
                    const sw_point *point, const sw_active *active);

/*
 * A smallest set of sides that cannot all hold; where the search for it was cut
 * short, one of which each left out makes the rest possible.  `conflicting` has
 * room for every side; answers how many it got, 0 when a linear program had no
 * answer.
 */
size_t sw_find_conflict(sw_solver *solver, const sw_model *model,
                        const sw_side **conflicting);

/* Called once when the solution is told, within the solver's net: memory is
 * taken from the solver and lost afterwards. */
typedef struct sw_onlooker {
    sw_status (*look)(sw_solver *solver, const sw_model *model,
                      const sw_fit *fit, void *context);
    void *context;
} sw_onlooker;

/* sw_formulate; a status of `onlooker` other than SW_OK ends it with that. */
sw_status sw_formulate_before(sw_solver *solver, const sw_problem *problem,
                              const sw_onlooker *onlooker,
                              sw_solution **solution, sw_error *error);

#endif
