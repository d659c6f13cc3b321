/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Least sum of squares.  GLPK minimises the sum of q, each q bounded below by
 * tangents to a squared deviation (Kelley 1960).  The basis says what is held
 * at its bound; the least squares within that set is computed densely and
 * proved by the KKT conditions.  Where they do not hold, tangents at the
 * points found cut off the wrong corner and the dual simplex goes on from
 * where it stands.
 */
#include "formulate/dense.h"
#include "formulate/face.h"
#include "formulate/walk.h"

#include <math.h>
#include <string.h>

/* A proof is good when the KKT conditions hold to this (columns, rows and
 * terms are near 1) and the gap is this small beside the objective. */
static const double kkt_tolerance = 1e-10;
static const double gap_share = 1e-9;
static const double gap_floor = 1e-13;

/* Most problems need one or two rounds; after these, tangents cannot tell. */
enum { MOST_ROUNDS = 15 };

/* Where the first tangents touch, in relative deviations. */
static const double first_tangents[] = {-1, -0.2, -0.03, 0.03, 0.2, 1};
enum { FIRST_TANGENTS = sizeof first_tangents / sizeof *first_tangents };

typedef struct sw_search {
    sw_solver *solver;
    const sw_model *model;
    sw_lp *lp;
    size_t *deviation; /* LP column of each term's deviation */
    size_t *square;    /* LP column of each term's q */
    sw_active active;
    double *at; /* deviations at the point in hand */
    sw_gradient gradient;
    double *ceiling;
} sw_search;

/* q >= d0^2 + 2 d0 (d - d0) */
static void add_tangent(sw_search *search, size_t term, double touch)
{
    size_t column[] = {search->square[term], search->deviation[term]};
    double coefficient[] = {1, -2 * touch};
    sw_sparse row = {2, column, coefficient};
    sw_lp_add_row(search->lp, &row, -touch * touch, INFINITY);
}

static void add_tangents(sw_search *search)
{
    for (size_t e = 0; e < search->model->terms.count; e++)
        add_tangent(search, e, search->at[e]);
}

/* Deviations basic, all else at its low bound: a dual feasible start. */
static void open_search(sw_search *search)
{
    const sw_model *model = search->model;
    const sw_terms *terms = &model->terms;
    search->lp = sw_lp_new(search->solver, &model->form);
    for (size_t e = 0; e < terms->count; e++) {
        const double *row = terms->matrix + e * model->form.columns;
        double weight = sqrt(model->term_row[e]->weight);
        search->deviation[e] =
            sw_lp_add_defined(search->lp, row, terms->goal[e]);
        search->square[e] = sw_lp_add_column(search->lp, 0, INFINITY, 1);
        for (size_t k = 0; k < FIRST_TANGENTS; k++)
            add_tangent(search, e, first_tangents[k] * weight);
    }
}

static sw_search new_search(sw_solver *solver, const sw_model *model)
{
    size_t terms = model->terms.count;
    sw_search made = {
        .solver = solver,
        .model = model,
        .deviation = sw_take(solver, terms, sizeof(size_t)),
        .square = sw_take(solver, terms, sizeof(size_t)),
        .active = sw_active_take(solver, &model->form),
        .at = sw_take_numbers(solver, terms),
        .gradient = sw_gradient_take(solver, &model->form),
        .ceiling = sw_take_numbers(solver, model->form.columns),
    };
    open_search(&made);
    return made;
}

/* Objective, deviations and gradient at y. */
static double look(sw_search *search, const double *y)
{
    const sw_terms *terms = &search->model->terms;
    size_t columns = search->model->form.columns;
    double value = sw_terms_value(terms, columns, y, search->at);
    sw_terms_gradient(terms, columns, search->at, &search->gradient);
    return value;
}

/* A point as good as `value` has no deviation above its root. */
static void set_ceiling(sw_search *search, double value)
{
    const sw_form *form = &search->model->form;
    const sw_terms *terms = &search->model->terms;
    double *most = sw_take_numbers(search->solver, terms->count);
    memcpy(search->ceiling, form->high, form->columns * sizeof(double));
    for (size_t e = 0; e < terms->count; e++)
        most[e] = terms->goal[e] + sqrt(value);
    sw_lower_ceiling(form, terms->matrix, terms->count, most, search->ceiling);
    sw_lower_ceiling_by_form(form, search->ceiling);
}

/* No sum of squares is below 0. */
static void judge(sw_search *search, sw_fit *fit)
{
    fit->objective = look(search, fit->point.y);
    set_ceiling(search, fit->objective);
    fit->proof = sw_prove(&search->model->form, &search->gradient,
                          search->ceiling, &fit->point);
    fit->proof.slack = fmin(fit->proof.slack, fit->objective);
}

static bool is_proved(const sw_fit *fit)
{
    return fit->proof.kkt <= kkt_tolerance &&
           fit->proof.slack <= gap_share * fit->objective + gap_floor;
}

/* The least squares within the set the basis holds. */
static bool try_active_set(sw_search *search, sw_fit *fit)
{
    const sw_model *model = search->model;
    sw_lp_read_active(search->lp, &model->form, &search->active);
    sw_dense_fit(search->solver, &model->form, &model->terms, &search->active,
                 &fit->point);
    sw_tuck_in(&model->form, fit->point.y);
    look(search, fit->point.y);
    sw_dense_prices(search->solver, &model->form, search->gradient.value,
                    &search->active, &fit->point);
    judge(search, fit);
    return is_proved(fit);
}

/* The corner the linear program stands at: feasible, with its own prices. */
static void stand_at_corner(sw_search *search, sw_fit *fit)
{
    const sw_form *form = &search->model->form;
    for (size_t j = 0; j < form->columns; j++)
        fit->point.y[j] = sw_lp_value(search->lp, j);
    for (size_t i = 0; i < form->rows; i++)
        fit->point.row_price[i] = sw_lp_row_price(search->lp, i);
    sw_tuck_in(form, fit->point.y);
    judge(search, fit);
    fit->has_point = true;
}

/* From the last corner on foot. */
static bool walk_on(sw_search *search, sw_fit *fit)
{
    const sw_model *model = search->model;
    bool arrived = sw_walk(search->solver, &model->form, &model->terms,
                           &search->active, &fit->point);
    sw_tuck_in(&model->form, fit->point.y);
    judge(search, fit);
    return arrived && is_proved(fit);
}

static sw_outcome refine(sw_search *search, sw_fit *fit)
{
    while (fit->lp_rounds < MOST_ROUNDS) {
        sw_lp_end end = sw_lp_solve(search->lp, SW_LP_DUAL);
        fit->lp_rounds++;
        if (end != SW_LP_OPTIMAL)
            return sw_outcome_of(end);
        if (try_active_set(search, fit)) {
            fit->has_point = true;
            return SW_OPTIMAL;
        }
        add_tangents(search);
        stand_at_corner(search, fit);
        add_tangents(search);
    }
    return walk_on(search, fit) ? SW_OPTIMAL : SW_LIMIT;
}

void sw_fit_closest(sw_solver *solver, const sw_model *model, sw_fit *fit)
{
    sw_search search = new_search(solver, model);
    fit->point = sw_point_take(solver, &model->form);
    fit->outcome = refine(&search, fit);
    if (fit->outcome != SW_OPTIMAL)
        return;
    fit->outcome = sw_outcome_of(sw_settle(solver, model, &search.active, fit));
    if (fit->outcome == SW_CONFLICT)
        fit->outcome = SW_LIMIT; /* of rounding: the face is not empty */
    judge(&search, fit);
}
