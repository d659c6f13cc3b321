/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Least sum of squares.  GLPK minimises the sum of q, each q bounded below by
 * tangents to a squared deviation (Kelley 1960).  The basis says what is held
 * at its bound; the least squares within that set is computed densely and
 * proved by the KKT conditions.  Where they do not hold, tangents at the
 * points found cut off the wrong corner and the dual simplex goes on from
 * where it stands.
 */
#include "formulate/fit.h"

#include "formulate/dense.h"

#include <math.h>

/* A proof is good when the KKT conditions hold to this (columns, rows and
 * terms are near 1) and the gap is this small beside the objective. */
static const double kkt_tolerance = 1e-10;
static const double gap_share = 1e-10;
static const double gap_floor = 1e-14;

/* Prices below this may be 0: what they hold might be free to move. */
static const double price_tolerance = 1e-9;

enum { MOST_ROUNDS = 60 };

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
    double *at;       /* deviations at the point in hand */
    double *gradient; /* at the point in hand */
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

static void add_tangents(sw_search *search, const double *touch)
{
    for (size_t e = 0; e < search->model->terms.count; e++)
        add_tangent(search, e, touch[e]);
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
        .gradient = sw_take_numbers(solver, model->form.columns),
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
    for (size_t j = 0; j < columns; j++) {
        search->gradient[j] = 0;
        for (size_t e = 0; e < terms->count; e++)
            search->gradient[j] +=
                2 * terms->matrix[e * columns + j] * search->at[e];
    }
    return value;
}

/* A point as good as `value` has no deviation above its root. */
static void set_ceiling(sw_search *search, double value)
{
    const sw_form *form = &search->model->form;
    const sw_terms *terms = &search->model->terms;
    double *most = sw_take_numbers(search->solver, terms->count);
    for (size_t j = 0; j < form->columns; j++)
        search->ceiling[j] = form->high[j];
    for (size_t e = 0; e < terms->count; e++)
        most[e] = terms->goal[e] + sqrt(value);
    sw_lower_ceiling(form, terms->matrix, terms->count, most, search->ceiling);
    sw_lower_ceiling(form, form->matrix, form->rows, form->row_high,
                     search->ceiling);
}

static void judge(sw_search *search, sw_fit *fit)
{
    fit->objective = look(search, fit->point.y);
    set_ceiling(search, fit->objective);
    fit->proof = sw_prove(&search->model->form, search->gradient,
                          search->ceiling, &fit->point);
}

static bool is_proved(const sw_fit *fit)
{
    return fit->proof.kkt <= kkt_tolerance &&
           fit->proof.slack <= gap_share * fit->objective + gap_floor;
}

/* The least squares within the set the basis holds. */
static void try_active_set(sw_search *search, sw_fit *fit)
{
    const sw_model *model = search->model;
    sw_lp_read_active(search->lp, &model->form, &search->active);
    sw_dense_fit(search->solver, &model->form, &model->terms, &search->active,
                 &fit->point);
    sw_tuck_in(&model->form, fit->point.y);
    look(search, fit->point.y);
    sw_dense_prices(search->solver, &model->form, search->gradient,
                    &search->active, &fit->point);
    judge(search, fit);
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

static bool refine(sw_search *search, sw_fit *fit)
{
    while (fit->lp_rounds < MOST_ROUNDS) {
        sw_lp_end end = sw_lp_solve(search->lp, SW_LP_DUAL);
        fit->lp_rounds++;
        if (end != SW_LP_OPTIMAL) {
            fit->outcome = sw_outcome_of(end);
            return false;
        }
        try_active_set(search, fit);
        if (is_proved(fit)) {
            fit->has_point = true;
            return true;
        }
        add_tangents(search, search->at);
        stand_at_corner(search, fit);
        add_tangents(search, search->at);
    }
    fit->outcome = SW_LIMIT;
    return false;
}

/* Holds what has a price, and nothing else. */
static void keep_priced(const sw_form *form, const sw_point *point,
                        const sw_active *active)
{
    for (size_t j = 0; j < form->columns; j++)
        if (form->low[j] < form->high[j] &&
            fabs(point->column_price[j]) <= price_tolerance)
            active->column[j] = SW_BETWEEN;
    for (size_t i = 0; i < form->rows; i++)
        if (form->row_low[i] < form->row_high[i] &&
            fabs(point->row_price[i]) <= price_tolerance)
            active->row[i] = SW_BETWEEN;
}

static double held_at(sw_stand stand, double low, double high)
{
    return stand == SW_AT_HIGH ? high : low;
}

/* The optimal face: the same deviations, and what has a price held. */
static sw_lp *face_of(const sw_search *search)
{
    const sw_form *form = &search->model->form;
    const sw_terms *terms = &search->model->terms;
    sw_lp *lp = sw_lp_new(search->solver, form);
    for (size_t e = 0; e < terms->count; e++) {
        double at = terms->goal[e] + search->at[e];
        sw_lp_add_form_row(lp, terms->matrix + e * form->columns, at, at);
    }
    for (size_t j = 0; j < form->columns; j++) {
        double at =
            held_at(search->active.column[j], form->low[j], form->high[j]);
        if (search->active.column[j] != SW_BETWEEN)
            sw_lp_bound_column(lp, j, at, at);
    }
    for (size_t i = 0; i < form->rows; i++) {
        double at =
            held_at(search->active.row[i], form->row_low[i], form->row_high[i]);
        if (search->active.row[i] != SW_BETWEEN)
            sw_lp_bound_row(lp, i, at, at);
    }
    return lp;
}

/* Computes the corner of the face densely: its terms fit exactly. */
static void move_to_corner(sw_search *search, const sw_lp *lp, sw_fit *fit)
{
    const sw_form *form = &search->model->form;
    sw_terms same = search->model->terms;
    same.goal = sw_take_numbers(search->solver, same.count);
    for (size_t e = 0; e < same.count; e++)
        same.goal[e] = search->model->terms.goal[e] + search->at[e];
    sw_lp_read_active(lp, form, &search->active);
    sw_dense_fit(search->solver, form, &same, &search->active, &fit->point);
    sw_tuck_in(form, fit->point.y);
}

/* The fitted solution is one, the recipes for it may be many. */
static void settle(sw_search *search, sw_fit *fit)
{
    const sw_model *model = search->model;
    keep_priced(&model->form, &fit->point, &search->active);
    if (sw_dense_is_unique(search->solver, &model->form, &model->terms,
                           &search->active))
        return;
    sw_lp *lp = face_of(search);
    sw_lp_end end = sw_break_ties(search->solver, model, lp, SW_LP_DUAL);
    if (end == SW_LP_OPTIMAL)
        move_to_corner(search, lp, fit);
    else
        fit->outcome = SW_LIMIT;
    judge(search, fit);
}

void sw_fit_closest(sw_solver *solver, const sw_model *model, sw_fit *fit)
{
    sw_search search = new_search(solver, model);
    fit->point = sw_point_take(solver, &model->form);
    if (!refine(&search, fit))
        return;
    fit->outcome = SW_OPTIMAL;
    settle(&search, fit);
}
