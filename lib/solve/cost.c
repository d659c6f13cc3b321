/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Least cost within the limits: a linear program.  Its prices are computed
 * densely from the optimal basis, so that they do not carry the solver's
 * tolerances.  And the least by which limits that cannot hold give way.
 */
#include "solve/fit.h"

#include <math.h>
#include <string.h>

static const sw_terms no_terms;

/* Of a litre, in whatever money: nobody counts a millionth of it a m3. */
static const double gap_floor = 1e-9;
static const double kkt_tolerance = 1e-9;
/* Shares below it are the rounding of a simplex method. */
static const double no_share = 1e-9;

void sw_fit_cost(sw_solver *solver, const sw_form *form, const sw_order *order,
                 sw_fit *fit)
{
    double *cost = (double *)order->cost[0];
    sw_active active = sw_active_take(solver, form);
    *fit = (sw_fit){.point = sw_point_take(solver, form)};
    sw_lp_end end = sw_lp_corner(solver, form, cost, fit->point.y, &active);
    if (end == SW_LP_OPTIMAL) {
        sw_dense_prices(sw_frame_of(solver, form, &active), cost, &fit->point);
        sw_form face = sw_face_of(solver, form, &fit->point, &active, 0);
        end = sw_pick(solver, order, &face, &no_terms, &fit->point);
    }
    fit->outcome = sw_outcome_of(end);
    fit->has_point = end == SW_LP_OPTIMAL;
    if (!fit->has_point)
        return;
    fit->objective = sw_row_value(cost, 0, form->columns, fit->point.y);
    sw_gradient gradient = {cost, cost}; /* none is below 0 */
    double *ceiling = sw_take_numbers(solver, form->columns);
    memcpy(ceiling, form->high, form->columns * sizeof *ceiling);
    sw_lower_ceiling_by_form(form, ceiling);
    fit->proof = sw_prove(form, &gradient, ceiling, &fit->point);
    if (!(fit->proof.kkt <= kkt_tolerance) || !sw_is_closed(fit, gap_floor))
        fit->outcome = SW_LIMIT;
}

void sw_yield_let_go(const sw_form *form, const sw_yield *yield)
{
    if (yield->low_end)
        form->row_low[yield->row] = -INFINITY;
    else
        form->row_high[yield->row] = INFINITY;
}

double sw_yields_least(sw_solver *solver, const sw_form *form, sw_yield *yield,
                       size_t count, const sw_point *held,
                       const sw_active *active)
{
    size_t columns = form->columns;
    double sum = 0;
    sw_form given = sw_form_wider(solver, form, count, 0);
    for (size_t i = 0; i < count; i++) {
        *sw_form_at(&given, yield[i].row, columns + i) =
            yield[i].low_end ? yield[i].whole : -yield[i].whole;
        given.high[columns + i] = INFINITY;
    }
    sw_lp *lp = sw_lp_new(solver, &given);
    for (size_t i = 0; i < count; i++)
        sw_lp_set_cost(lp, columns + i, yield[i].cost);
    bool found = sw_lp_solve(lp, SW_LP_PRIMAL) == SW_LP_OPTIMAL;
    for (size_t i = 0; i < count && found; i++) {
        double by = sw_lp_value(lp, columns + i);
        yield[i].by = by > no_share ? by : 0;
        sum += yield[i].cost * yield[i].by;
    }
    sw_lp_read_active(lp, form, active);
    sw_lp_read_point(lp, form, held);
    sw_lp_free(lp);
    return found ? sum : INFINITY;
}
