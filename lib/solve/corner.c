/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The first corner by an order of costs, from the bases of earlier solves: one
 * whose corner the form allows, and which each cost prices right where those
 * before it price nothing, is the first (lexicographic simplex, Isermann 1982).
 */
#include "solve/fit.h"

#include <math.h>
#include <string.h>

/* Beside the largest cost: a price below is none; one in between is in doubt,
 * and left to the linear program. */
static const double no_price = 1e-10, doubt = 1e-8;

static const sw_terms no_terms;

/* Of a held column or row, `price` by cost; nothing that may leave its bound is
 * without a price where the corner is to be the only one. */
static bool is_right(sw_stand stand, const double *price, size_t costs,
                     bool alone)
{
    for (size_t k = 0; k < costs; k++) {
        double by = stand == SW_AT_LOW ? price[k] : -price[k];
        if (by >= doubt)
            return true;
        if (fabs(by) > no_price)
            return false;
    }
    return !alone;
}

/* What may leave its bound. */
static bool is_loose(sw_stand stand, double low, double high)
{
    return stand != SW_BETWEEN && low < high;
}

static bool are_right(const sw_form *form, const sw_active *active,
                      const sw_point *by, const double *size, size_t costs,
                      bool alone)
{
    double price[2];
    for (size_t at = 0; at < form->columns + form->rows; at++) {
        bool is_row = at >= form->columns;
        size_t i = is_row ? at - form->columns : at;
        sw_stand stand = is_row ? active->row[i] : active->column[i];
        if (!(is_row ? is_loose(stand, form->row_low[i], form->row_high[i])
                     : is_loose(stand, form->low[i], form->high[i])))
            continue;
        for (size_t k = 0; k < costs; k++)
            price[k] =
                (is_row ? by[k].row_price : by[k].column_price)[i] / size[k];
        if (!is_right(stand, price, costs, alone))
            return false;
    }
    return true;
}

static bool is_first(sw_solver *solver, const sw_form *form,
                     const sw_order *order, bool alone, const sw_active *active,
                     double *y)
{
    sw_point by[2];
    double size[2];
    if (!sw_form_has(form, active))
        return false;
    const sw_frame *frame = sw_frame_of(solver, form, active);
    if (!sw_dense_is_unique(frame, &no_terms))
        return false;
    for (size_t k = 0; k < order->count; k++) {
        by[k] = sw_point_take(solver, form);
        size[k] =
            sw_power_of_two(sw_row_largest(order->cost[k], form->columns));
        sw_dense_prices(frame, order->cost[k], &by[k]);
    }
    if (!are_right(form, active, by, size, order->count, alone))
        return false;
    sw_dense_fit(frame, &no_terms, &(sw_point){.y = y});
    return sw_form_allows(form, y);
}

bool sw_walk_to_corner(sw_solver *solver, const sw_form *form,
                       const sw_order *order, const double *from, double *y,
                       const sw_active *active)
{
    double *cost = sw_take_numbers(solver, form->columns);
    double goal = -1; /* no cost is below 0 */
    const sw_terms terms = {.count = 1, .matrix = cost, .goal = &goal};
    sw_point at = sw_point_take(solver, form);
    if (order->count == 0)
        return false;
    memcpy(cost, order->cost[0], form->columns * sizeof *cost);
    (void)sw_row_scale(cost, form->columns,
                       sw_row_largest(cost, form->columns));
    memcpy(at.y, from, form->columns * sizeof *at.y);
    sw_form_stands(form, from, active);
    return sw_walk(solver, form, &terms, active, &at) &&
           is_first(solver, form, order, true, active, y);
}

bool sw_recall_corner(sw_solver *solver, const sw_form *form, uint64_t of,
                      const sw_order *order, bool alone, double *y,
                      const sw_active *active)
{
    for (size_t nth = 0;
         sw_recall(solver, SW_KEPT_CORNERS, form, of, nth, active); nth++) {
        sw_mark mark = sw_solver_mark(solver);
        bool found = is_first(solver, form, order, alone, active, y);
        sw_solver_release(solver, mark);
        if (!found)
            continue;
        sw_remember(solver, SW_KEPT_CORNERS, form, of, active);
        return true;
    }
    return false;
}
