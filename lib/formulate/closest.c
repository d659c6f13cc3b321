/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Least sum of squares.  GLPK minimises the sum of q, each q bounded below by
 * tangents to a squared deviation (Kelley 1960).  The corner found there is as
 * a rule a step or two from the least squares, which the active-set method
 * walks to; the KKT conditions prove it.
 */
#include "formulate/dense.h"
#include "formulate/fit.h"

#include <math.h>
#include <string.h>

/* A proof is good when the gap is this small beside the objective. */
static const double gap_share = 1e-9;
static const double gap_floor = 1e-13;

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
    double squares = look(search, fit->point.y);
    fit->objective = squares + search->model->constant;
    set_ceiling(search, squares);
    fit->proof = sw_prove(&search->model->form, &search->gradient,
                          search->ceiling, &fit->point);
    fit->proof.slack = fmin(fit->proof.slack, squares);
}

static bool is_proved(const sw_fit *fit)
{
    return fit->proof.kkt <= SW_KKT_TOLERANCE &&
           fit->proof.slack <= gap_share * fit->objective + gap_floor;
}

/* From the corner the tangents lead to, on foot. */
static sw_outcome solve(sw_search *search, sw_fit *fit)
{
    const sw_form *form = &search->model->form;
    sw_lp_end end = sw_lp_solve(search->lp, SW_LP_DUAL);
    fit->lp_rounds = 1;
    if (end != SW_LP_OPTIMAL)
        return sw_outcome_of(end);
    for (size_t j = 0; j < form->columns; j++)
        fit->point.y[j] = sw_lp_value(search->lp, j);
    sw_tuck_in(form, fit->point.y);
    sw_lp_read_active(search->lp, form, &search->active);
    sw_walk(search->solver, form, &search->model->terms, &search->active,
            &fit->point);
    sw_tuck_in(form, fit->point.y);
    fit->has_point = true;
    judge(search, fit);
    return is_proved(fit) ? SW_OPTIMAL : SW_LIMIT;
}

void sw_fit_closest(sw_solver *solver, const sw_model *model, sw_fit *fit)
{
    sw_search search = new_search(solver, model);
    fit->point = sw_point_take(solver, &model->form);
    fit->outcome = solve(&search, fit);
    if (!fit->has_point || fit->proof.kkt > SW_KKT_TOLERANCE)
        return;
    sw_lp_end end = sw_settle(solver, model, &fit->point, &search.active);
    judge(&search, fit);
    if (end != SW_LP_OPTIMAL || !is_proved(fit))
        fit->outcome = SW_LIMIT;
}
