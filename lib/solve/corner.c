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

/* What may leave its bound. */
static bool is_loose(sw_stand stand, double low, double high)
{
    return stand != SW_BETWEEN && low < high;
}

/* Answers whether there is any. */
static bool list_loose(const sw_form *form, const sw_active *active,
                       bool *loose)
{
    bool any = false;
    for (size_t j = 0; j < form->columns; j++)
        loose[j] = is_loose(active->column[j], form->low[j], form->high[j]);
    for (size_t i = 0; i < form->rows; i++)
        loose[form->columns + i] =
            is_loose(active->row[i], form->row_low[i], form->row_high[i]);
    for (size_t at = 0; at < form->columns + form->rows; at++)
        any = any || loose[at];
    return any;
}

/* Whether prices of a cost of that size are right of all that is loose; what
 * has one is loose no more.  *any: something still is. */
static bool are_right(const sw_form *form, const sw_active *active,
                      const sw_point *by, double size, bool *loose, bool *any)
{
    *any = false;
    for (size_t at = 0; at < form->columns + form->rows; at++) {
        bool is_row = at >= form->columns;
        size_t i = is_row ? at - form->columns : at;
        if (!loose[at])
            continue;
        sw_stand stand = is_row ? active->row[i] : active->column[i];
        double price = (is_row ? by->row_price : by->column_price)[i] / size;
        loose[at] = !((stand == SW_AT_LOW ? price : -price) >= doubt);
        if (loose[at] && fabs(price) > no_price)
            return false;
        *any = *any || loose[at];
    }
    return true;
}

/* Likewise of each cost in turn, until nothing is loose. */
static bool are_in_order(sw_solver *solver, const sw_form *form,
                         const sw_frame *frame, const sw_order *order,
                         const sw_active *active, sw_pricing *prices,
                         bool *loose, bool *any)
{
    sw_point by = sw_point_take(solver, form);
    for (size_t k = 0; k < order->count && *any; k++) {
        double size =
            sw_power_of_two(sw_row_largest(order->cost[k], form->columns));
        prices(frame, order->cost[k], &by);
        if (!are_right(form, active, &by, size, loose, any))
            return false;
    }
    return true;
}

static bool is_first(sw_solver *solver, const sw_form *form,
                     const sw_order *order, bool alone, const sw_active *active,
                     double *y)
{
    if (!sw_form_has(form, active))
        return false;
    sw_frame *frame = sw_frame_of(solver, form, active);
    if (!sw_dense_is_unique(frame, &no_terms))
        return false;
    bool *loose = sw_take(solver, form->columns + form->rows, sizeof *loose);
    bool any = list_loose(form, active, loose);
    if (!are_in_order(solver, form, frame, order, active, sw_dense_prices,
                      loose, &any))
        return false;
    if (any && alone)
        return false;
    sw_dense_fit(frame, &no_terms, &(sw_point){.y = y});
    return sw_form_allows(form, y);
}

/* What the squares price stays where it is. */
static void hold_priced(const sw_form *form, const sw_point *point, bool *loose)
{
    for (size_t j = 0; j < form->columns; j++)
        loose[j] &= fabs(point->column_price[j]) <= SW_PRICED;
    for (size_t i = 0; i < form->rows; i++)
        loose[form->columns + i] &= fabs(point->row_price[i]) <= SW_PRICED;
}

bool sw_is_first_there(sw_solver *solver, const sw_form *form,
                       const sw_frame *frame, const sw_order *order,
                       const sw_active *active, const sw_point *point)
{
    size_t count = form->columns + form->rows;
    bool *loose = sw_take(solver, count, sizeof *loose);
    (void)list_loose(form, active, loose);
    hold_priced(form, point, loose);
    bool any = memchr(loose, true, count) != NULL;
    return are_in_order(solver, form, frame, order, active,
                        sw_dense_prices_beside, loose, &any) &&
           !any;
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
