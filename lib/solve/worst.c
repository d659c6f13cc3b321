/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Least largest weighted deviation: min t with -t <= d_e <= t, by a linear
 * program.  One deviation that nothing can change would leave all others free
 * to be as bad, so of all points with that t the one of least sum of squares is
 * taken.  The objective and its proof are those of t.
 */
#include "solve/fit.h"

#include <math.h>
#include <string.h>

/* Below this a price is none; the prices of the program sum to 1. */
static const double price_tolerance = 1e-9;

/* A gap this small is none: deviations are shares of targets. */
static const double gap_floor = 1e-13;

/* The least t, and in the thin slice of points with it the squares, are proved
 * to this. */
static const double closest_tolerance = 1e-9;

typedef struct sw_search {
    sw_solver *solver;
    const sw_form *of;
    const sw_terms *terms;
    sw_form form;   /* the same with t as last column, two rows per term */
    sw_point point; /* of the form */
    sw_active active;
    sw_gradient gradient;
    double *deviation;
} sw_search;

static double largest_at(const sw_search *search, const double *y)
{
    const sw_terms *terms = search->terms;
    double most = 0;
    sw_terms_value(terms, search->of->columns, y, search->deviation);
    for (size_t e = 0; e < terms->count; e++)
        most = fmax(most, fabs(search->deviation[e]));
    return most;
}

/* Deviations grow with every amount, so t is largest at one end of all. */
static sw_search new_search(sw_solver *solver, const sw_form *form,
                            const sw_terms *terms)
{
    sw_search made = {.solver = solver,
                      .of = form,
                      .terms = terms,
                      .form = sw_form_wider(solver, form, 1, 2 * terms->count),
                      .deviation = sw_take_numbers(solver, terms->count)};
    made.point = sw_point_take(solver, &made.form);
    made.active = sw_active_take(solver, &made.form);
    made.gradient = sw_gradient_take(solver, &made.form);
    made.gradient.value[form->columns] = made.gradient.size[form->columns] = 1;
    made.form.high[form->columns] =
        fmax(largest_at(&made, form->low), largest_at(&made, form->high));
    for (size_t e = 0; e < terms->count; e++)
        sw_form_bound_deviation(&made.form, form->rows + 2 * e, terms, e,
                                form->columns, form->columns);
    return made;
}

/* The least t: its point and the prices that prove it. */
static sw_lp_end find_least(sw_search *search)
{
    const sw_form *form = &search->form;
    const double *t = search->gradient.value;
    sw_lp_end end =
        sw_lp_corner(search->solver, form, t, search->point.y, &search->active);
    sw_dense_prices(sw_frame_of(search->solver, form, &search->active), t,
                    &search->point);
    return end;
}

/* The closest of all points with that t: what has a price keeps its bound. */
static void find_closest(const sw_search *search, const sw_order *order,
                         sw_fit *fit)
{
    const sw_terms *terms = search->terms;
    size_t rows = search->of->rows;
    double t = search->point.y[search->of->columns];
    const double *price = search->point.row_price;
    sw_form face = sw_face_of(search->solver, search->of, &search->point,
                              &search->active, terms->count);
    for (size_t e = 0; e < terms->count; e++) {
        bool above = price[rows + 2 * e] < -price_tolerance;
        bool below = price[rows + 2 * e + 1] > price_tolerance;
        sw_form_bound_term(&face, rows + e, terms, e,
                           terms->goal[e] + (above ? t : -t),
                           terms->goal[e] + (below ? -t : t));
    }
    sw_fit_squares(search->solver, &face, terms, order, fit);
    /* which would hold the next one to its squares alone */
    fit->stands = (sw_active){NULL, NULL};
}

static sw_proof prove(const sw_search *search)
{
    const sw_form *form = &search->form;
    size_t t = form->columns - 1;
    double *ceiling = sw_take_numbers(search->solver, form->columns);
    memcpy(ceiling, form->high, form->columns * sizeof *ceiling);
    ceiling[t] = search->point.y[t];
    sw_lower_ceiling_by_form(form, ceiling);
    return sw_prove(form, &search->gradient, ceiling, &search->point);
}

void sw_fit_worst(sw_solver *solver, const sw_form *form, const sw_terms *terms,
                  const sw_order *order, sw_fit *fit)
{
    sw_search search = new_search(solver, form, terms);
    double *y = search.point.y;
    sw_lp_end end = find_least(&search);
    *fit = (sw_fit){.outcome = sw_outcome_of(end)};
    if (end != SW_LP_OPTIMAL)
        return;
    find_closest(&search, order, fit);
    bool closest = fit->has_point && fit->proof.kkt <= closest_tolerance;
    if (fit->has_point)
        memcpy(y, fit->point.y, form->columns * sizeof *y);
    else
        sw_tuck_in(form, y);
    y[form->columns] = fit->objective = largest_at(&search, y);
    fit->point = search.point;
    fit->has_point = true;
    fit->proof = prove(&search);
    bool proved =
        fit->proof.kkt <= closest_tolerance && sw_is_closed(fit, gap_floor);
    fit->outcome = closest && proved ? SW_OPTIMAL : SW_LIMIT;
}
