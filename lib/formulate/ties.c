/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Several recipes can give the same finished solution.  A chain of linear
 * programs picks one: each is confined to the optimal face of the one before
 * by fixing whatever has a price (a lexicographic programme; Isermann 1982),
 * until nothing can move.
 */
#include "formulate/fit.h"

#include <math.h>

double *sw_cost_of_columns(sw_solver *solver, const sw_model *model)
{
    double *cost = sw_take_numbers(solver, model->form.columns);
    if (model->priced)
        sw_model_price_products(model, cost);
    else
        sw_model_weigh_products(model, cost);
    const double *price = model->problem->water_price_per_m3;
    for (size_t k = 0; price && model->priced && k < model->blends; k++)
        cost[model->products + k] = model->unit[model->products + k] * price[k];
    return cost;
}

/* As much of each column as can be, one after another. */
static sw_lp_end prefer_in_order(sw_lp *lp, double *preference, size_t columns)
{
    sw_lp_end end = SW_LP_OPTIMAL;
    for (size_t j = 0; j < columns && end == SW_LP_OPTIMAL; j++) {
        if (sw_lp_is_settled(lp, j))
            continue;
        preference[j] = -1;
        sw_lp_set_costs(lp, preference, columns);
        preference[j] = 0;
        end = sw_lp_solve(lp, SW_LP_PRIMAL);
        if (end == SW_LP_OPTIMAL && sw_lp_confine(lp) == 0)
            break;
    }
    return end;
}

sw_lp_end sw_break_ties(sw_solver *solver, const sw_model *model, sw_lp *lp,
                        sw_lp_method first)
{
    sw_lp_method method = first;
    const sw_form *form = &model->form;
    double *mass = sw_take_numbers(solver, form->columns);
    sw_model_weigh_products(model, mass);
    const double *stage[] = {sw_cost_of_columns(solver, model), mass};
    for (size_t k = model->priced ? 0 : 1; k < 2; k++) {
        sw_lp_set_costs(lp, stage[k], form->columns);
        sw_lp_end end = sw_lp_solve(lp, method);
        method = SW_LP_PRIMAL;
        if (end != SW_LP_OPTIMAL || sw_lp_confine(lp) == 0)
            return end;
    }
    double *preference = sw_take_numbers(solver, form->columns);
    return prefer_in_order(lp, preference, form->columns);
}
