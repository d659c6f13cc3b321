/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Primal active-set method (Nocedal & Wright 2006, section 16.5): go toward
 * the least squares of the set held; what blocks the way is held too; at the
 * end of a free step, what is held with a price of the wrong sign is let go.
 */
#include "solve/form.h"

#include <math.h>
#include <string.h>

/* A bound passed by less is not passed; a price below is none. */
static const double hair = 1e-12;
static const double no_price = 1e-10, doubt = 1e-8;

/* So many steps that come no closer go round in circles, at a corner that more
 * bounds hold than it needs (Nocedal & Wright 2006, section 16.5). */
enum { STEPS_PER_BOUND = 5, MOST_STILL = 100 };

typedef struct sw_walker {
    sw_solver *solver;
    const sw_form *form;
    const sw_terms *terms;
    sw_active active;
    sw_point point;
    sw_frame *frame; /* of the set held */
    sw_point aim;    /* its least squares */
    sw_gradient gradient;
    double *deviation;
} sw_walker;

/* The first bound on the way, and how far along it stands. */
typedef struct sw_stop {
    double share;
    sw_stand *held;
    sw_stand stand;
} sw_stop;

static void meet(sw_stop *stop, sw_stand *held, double from, double to,
                 double low, double high)
{
    bool below = to < low - hair * (1 + fabs(low));
    bool above = to > high + hair * (1 + fabs(high));
    if (*held != SW_BETWEEN || (!below && !above))
        return;
    double share = ((below ? low : high) - from) / (to - from);
    if (share >= stop->share)
        return;
    stop->share = fmax(share, 0);
    stop->held = held;
    stop->stand = below ? SW_AT_LOW : SW_AT_HIGH;
}

static sw_stop first_stop(const sw_walker *walker)
{
    const sw_form *form = walker->form;
    const double *from = walker->point.y;
    const double *to = walker->aim.y;
    sw_stop stop = {.share = 1};
    for (size_t j = 0; j < form->columns; j++)
        meet(&stop, &walker->active.column[j], from[j], to[j], form->low[j],
             form->high[j]);
    for (size_t i = 0; i < form->rows; i++)
        meet(&stop, &walker->active.row[i],
             sw_row_value(form->matrix, i, form->columns, from),
             sw_row_value(form->matrix, i, form->columns, to), form->row_low[i],
             form->row_high[i]);
    return stop;
}

static void go(sw_walker *walker, double share)
{
    for (size_t j = 0; j < walker->form->columns; j++) {
        double from = walker->point.y[j];
        double by = share * (walker->aim.y[j] - from);
        walker->point.y[j] = share < 1 ? from + by : walker->aim.y[j];
    }
}

/* Answers whether the whole step could be gone. */
static bool step(sw_walker *walker)
{
    walker->frame = sw_frame_of(walker->solver, walker->form, &walker->active);
    sw_dense_fit(walker->frame, walker->terms, &walker->aim);
    sw_stop stop = first_stop(walker);
    go(walker, stop.share);
    if (stop.held)
        *stop.held = stop.stand;
    return !stop.held;
}

/* How wrong the price of something held is; 0 when it is right. */
static double wrong(sw_stand stand, double price, double size, double low,
                    double high)
{
    double by = stand == SW_AT_LOW ? -price : price;
    bool may_leave = stand != SW_BETWEEN && low < high;
    return may_leave && by > hair * (1 + size) ? by : 0;
}

static void price(sw_walker *walker)
{
    sw_terms_value(walker->terms, walker->form->columns, walker->point.y,
                   walker->deviation);
    sw_terms_gradient(walker->terms, walker->form->columns, walker->deviation,
                      &walker->gradient);
    sw_dense_prices(walker->frame, walker->gradient.value, &walker->point);
}

/* Lets go of the worst priced.  False when every price is right. */
static bool release(sw_walker *walker)
{
    const sw_form *form = walker->form;
    sw_stand *worst = NULL;
    double most = 0;
    price(walker);
    for (size_t j = 0; j < form->columns; j++) {
        double by =
            wrong(walker->active.column[j], walker->point.column_price[j],
                  walker->gradient.size[j], form->low[j], form->high[j]);
        if (by > most) {
            most = by;
            worst = &walker->active.column[j];
        }
    }
    for (size_t i = 0; i < form->rows; i++) {
        double by = wrong(walker->active.row[i], walker->point.row_price[i], 0,
                          form->row_low[i], form->row_high[i]);
        if (by > most) {
            most = by;
            worst = &walker->active.row[i];
        }
    }
    if (worst)
        *worst = SW_BETWEEN;
    return worst != NULL;
}

static sw_walker walker_of(sw_solver *solver, const sw_form *form,
                           const sw_terms *terms, const sw_active *active,
                           const sw_point *point)
{
    return (sw_walker){
        .solver = solver,
        .form = form,
        .terms = terms,
        .active = *active,
        .point = *point,
        .aim = sw_point_take(solver, form),
        .gradient = sw_gradient_take(solver, form),
        .deviation = sw_take_numbers(solver, terms->count),
    };
}

/* Whether the point is closer than any before. */
static bool comes_closer(const sw_walker *walker, double *least)
{
    double value = sw_terms_value(walker->terms, walker->form->columns,
                                  walker->point.y, walker->deviation);
    bool closer = value < *least - hair * (1 + value);
    *least = fmin(*least, value);
    return closer;
}

bool sw_walk(sw_solver *solver, const sw_form *form, const sw_terms *terms,
             const sw_active *active, const sw_point *point)
{
    sw_walker walker = walker_of(solver, form, terms, active, point);
    size_t steps = STEPS_PER_BOUND * (form->columns + form->rows), still = 0;
    double least = INFINITY;
    bool arrived = false;
    while (steps-- > 0 && still < MOST_STILL && !arrived) {
        sw_mark mark = sw_solver_mark(solver);
        arrived = step(&walker) && !release(&walker);
        still = comes_closer(&walker, &least) ? 0 : still + 1;
        sw_solver_release(solver, mark);
    }
    return arrived;
}

/* A price that is none, or one beyond doubt: else rounding says what is held.
 */
static bool is_clear(sw_stand stand, double price, double size)
{
    double by = fabs(price);
    return stand == SW_BETWEEN || by <= no_price || by >= doubt * (1 + size);
}

static bool are_clear(const sw_walker *walker)
{
    const sw_active *active = &walker->active;
    const sw_point *point = &walker->point;
    for (size_t j = 0; j < walker->form->columns; j++)
        if (walker->form->low[j] < walker->form->high[j] &&
            !is_clear(active->column[j], point->column_price[j],
                      walker->gradient.size[j]))
            return false;
    for (size_t i = 0; i < walker->form->rows; i++)
        if (!is_clear(active->row[i], point->row_price[i], 0))
            return false;
    return true;
}

static bool stands_there(const sw_walker *walker, const double *y)
{
    const sw_form *form = walker->form;
    const sw_active *is = &walker->active;
    sw_active all = sw_active_take(walker->solver, form);
    sw_form_stands(form, y, &all);
    return memcmp(all.column, is->column, form->columns * sizeof *is->column) ==
               0 &&
           memcmp(all.row, is->row, form->rows * sizeof *is->row) == 0;
}

bool sw_rests(sw_solver *solver, const sw_form *form, const sw_terms *terms,
              const sw_active *active, sw_frame **frame, const sw_point *point)
{
    sw_walker walker = walker_of(solver, form, terms, active, point);
    if (!sw_form_has(form, active))
        return false;
    *frame = walker.frame = sw_frame_of(solver, form, active);
    return sw_dense_fit(walker.frame, terms, point) &&
           sw_form_allows(form, point->y) && stands_there(&walker, point->y) &&
           !release(&walker) && are_clear(&walker);
}

bool sw_rest_on_bounds(sw_solver *solver, const sw_form *form,
                       const sw_terms *terms, const sw_active *active,
                       const sw_point *point)
{
    sw_point there = sw_point_take(solver, form);
    sw_walker walker = walker_of(solver, form, terms, active, &there);
    sw_form_stands(form, point->y, active);
    walker.frame = sw_frame_of(solver, form, active);
    sw_dense_fit(walker.frame, terms, &there);
    if (!sw_is_near(there.y, point->y, form->columns))
        return false;
    memcpy(point->y, there.y, form->columns * sizeof(double));
    if (release(&walker))
        return false;
    sw_point_copy(form, &there, point);
    return true;
}
