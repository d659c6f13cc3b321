/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Least cost within the limits: a linear program.  Its prices are computed
 * densely from the optimal basis, so that they do not carry the solver's
 * tolerances.
 */
#include "formulate/fit.h"

#include "formulate/form.h"

#include <math.h>
#include <string.h>

static const sw_terms no_terms;

static double cost_at(const sw_form *form, const double *cost, const double *y)
{
    return sw_row_value(cost, 0, form->columns, y);
}

static double *ceiling_of(sw_solver *solver, const sw_form *form)
{
    double *ceiling = sw_take_numbers(solver, form->columns);
    memcpy(ceiling, form->high, form->columns * sizeof *ceiling);
    sw_lower_ceiling_by_form(form, ceiling);
    return ceiling;
}

void sw_fit_cheapest(sw_solver *solver, const sw_model *model, sw_fit *fit)
{
    const sw_form *form = &model->form;
    double *cost = sw_cost_of_columns(solver, model);
    sw_active active = sw_active_take(solver, form);
    fit->point = sw_point_take(solver, form);
    sw_lp_end end = sw_lp_corner(solver, form, cost, fit->point.y, &active);
    fit->lp_rounds = 1;
    if (end == SW_LP_OPTIMAL) {
        sw_dense_prices(solver, form, cost, &active, &fit->point);
        sw_form face = sw_face_of(solver, form, &fit->point, &active, 0);
        end = sw_pick(solver, model, &face, &no_terms, &fit->point);
    }
    fit->outcome = sw_outcome_of(end);
    fit->has_point = end == SW_LP_OPTIMAL;
    if (!fit->has_point)
        return;
    fit->objective = cost_at(form, cost, fit->point.y);
    sw_gradient gradient = {cost, cost}; /* no cost is below 0 */
    fit->proof =
        sw_prove(form, &gradient, ceiling_of(solver, form), &fit->point);
}
