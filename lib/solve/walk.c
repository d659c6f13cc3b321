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

enum { STEPS_PER_BOUND = 5 };

typedef struct sw_walker {
    sw_solver *solver;
    const sw_form *form;
    const sw_terms *terms;
    sw_active active;
    sw_point point;
    sw_point aim; /* least squares of the set held */
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

/* Answers whether the whole step could be gone. */
static bool step(sw_walker *walker)
{
    size_t columns = walker->form->columns;
    sw_dense_fit(walker->solver, walker->form, walker->terms, &walker->active,
                 &walker->aim);
    sw_stop stop = first_stop(walker);
    if (!stop.held) {
        memcpy(walker->point.y, walker->aim.y, columns * sizeof(double));
        return true;
    }
    for (size_t j = 0; j < columns; j++)
        walker->point.y[j] +=
            stop.share * (walker->aim.y[j] - walker->point.y[j]);
    *stop.held = stop.stand;
    return false;
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
    sw_dense_prices(walker->solver, walker->form, walker->gradient.value,
                    &walker->active, &walker->point);
}

/* Lets go of the worst priced; false when every price is right. */
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

bool sw_walk(sw_solver *solver, const sw_form *form, const sw_terms *terms,
             const sw_active *active, const sw_point *point)
{
    sw_walker walker = {
        .solver = solver,
        .form = form,
        .terms = terms,
        .active = *active,
        .point = *point,
        .aim = sw_point_take(solver, form),
        .gradient = sw_gradient_take(solver, form),
        .deviation = sw_take_numbers(solver, terms->count),
    };
    size_t steps = STEPS_PER_BOUND * (form->columns + form->rows);
    bool arrived = false;
    while (steps-- > 0 && !arrived) {
        sw_mark mark = sw_solver_mark(solver);
        arrived = step(&walker) && !release(&walker);
        sw_solver_release(solver, mark);
    }
    return arrived;
}
