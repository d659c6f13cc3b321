/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The objectives of a model, and what of its limits cannot hold. */
#ifndef SW_FORMULATE_FIT_H
#define SW_FORMULATE_FIT_H

#include "formulate/model.h"
#include "solve/fit.h"

/* The model's objective. */
void sw_fit_model(sw_solver *solver, const sw_model *model, sw_fit *fit);
/* Its value at a point. */
double sw_objective_at(sw_solver *solver, const sw_model *model,
                       const double *y);
/* sw_model_drop_residue; the objective is then that of the recipe told, and
 * what the residue gained is of the gap. */
void sw_fit_drop_residue(sw_solver *solver, const sw_model *model, sw_fit *fit);

/* Objective of cost per column: price per m3, or g/L when any price is missing.
 */
double *sw_cost_of_columns(sw_solver *solver, const sw_model *model);
/* The least cost, then the least mass. */
sw_order sw_order_of(sw_solver *solver, const sw_model *model);

/*
 * A smallest set of sides that cannot all hold, in memory of the solver; where
 * the search for it was cut short, one of which each left out makes the rest
 * possible.  *count is 0 when a linear program had no answer.
 */
const sw_side **sw_find_conflict(sw_solver *solver, const sw_model *model,
                                 size_t *count);

/* ---- What is told of a solve -------------------------------------------- */

/* Of a `fit` at the ionic strength. */
sw_certificate sw_certificate_of(const sw_solver *solver, const sw_model *model,
                                 const sw_fit *fit, double ionic_strength);

/* Called once when the solution is told, within the solver's net: memory is
 * taken from the solver and lost afterwards. */
typedef struct sw_onlooker {
    sw_status (*look)(sw_solver *solver, const sw_model *model,
                      const sw_fit *fit, void *context);
    void *context;
} sw_onlooker;

/* sw_formulate of what sw_model_check lets through, its ratios sought at any
 * cost or judged only, as the problem says; a status of `onlooker` other than
 * SW_OK ends it with that. */
sw_status sw_formulate_once(sw_solver *solver, const sw_problem *problem,
                            const sw_onlooker *onlooker, sw_solution **solution,
                            sw_error *error);

#endif
