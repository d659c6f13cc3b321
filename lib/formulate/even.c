/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Least largest weighted deviation: min t with -t <= d_e <= t.  One target
 * the water alone decides would leave all others free to be as bad, so the
 * next largest is made least in turn, and so on: terms whose bound has a
 * price keep it, the others get a smaller t (lexicographic min-max; Ogryczak
 * & Sliwinski 2003).  The objective and its proof are those of the first t.
 */
#include "formulate/fit.h"

#include "formulate/dense.h"

#include <math.h>
#include <string.h>

/* A price that counts; the prices of one program sum to 1. */
static const double price_tolerance = 1e-7;

/* A deviation of no account. */
static const double no_deviation = 1e-12;

typedef struct sw_search {
    sw_solver *solver;
    const sw_model *model;
    sw_form form; /* the model's with t as last column, two rows per term */
    bool *kept;   /* terms that have their final bound */
} sw_search;

static size_t above_row(const sw_search *search, size_t term)
{
    return search->model->form.rows + 2 * term;
}

static size_t below_row(const sw_search *search, size_t term)
{
    return above_row(search, term) + 1;
}

/* A copy of the model's row with a coefficient for t. */
static void write_row(sw_search *search, size_t at, const double *row, double t)
{
    size_t columns = search->model->form.columns;
    double *to = search->form.matrix + at * search->form.columns;
    memcpy(to, row, columns * sizeof *to);
    to[columns] = t;
}

static void write_term(sw_search *search, size_t e)
{
    const sw_terms *terms = &search->model->terms;
    const double *row = terms->matrix + e * search->model->form.columns;
    size_t above = above_row(search, e);
    size_t below = below_row(search, e);
    write_row(search, above, row, -1);
    search->form.row_low[above] = -INFINITY;
    search->form.row_high[above] = terms->goal[e];
    write_row(search, below, row, 1);
    search->form.row_low[below] = terms->goal[e];
    search->form.row_high[below] = INFINITY;
}

/* t can be as large as leaving everything out makes it, and no larger. */
static double worst(const sw_model *model, sw_solver *solver)
{
    const sw_form *form = &model->form;
    double most = 0;
    double *deviation = sw_take_numbers(solver, model->terms.count);
    sw_terms_value(&model->terms, form->columns, form->low, deviation);
    for (size_t e = 0; e < model->terms.count; e++)
        most = fmax(most, fabs(deviation[e]));
    sw_terms_value(&model->terms, form->columns, form->high, deviation);
    for (size_t e = 0; e < model->terms.count; e++)
        most = fmax(most, fabs(deviation[e]));
    return most;
}

static sw_search new_search(sw_solver *solver, const sw_model *model)
{
    const sw_form *from = &model->form;
    size_t columns = from->columns + 1;
    size_t rows = from->rows + 2 * model->terms.count;
    sw_search made = {.solver = solver, .model = model};
    made.form = (sw_form){
        .columns = columns,
        .rows = rows,
        .matrix = sw_take_numbers(solver, rows * columns),
        .low = sw_take_numbers(solver, columns),
        .high = sw_take_numbers(solver, columns),
        .row_low = sw_take_numbers(solver, rows),
        .row_high = sw_take_numbers(solver, rows),
    };
    memcpy(made.form.low, from->low, from->columns * sizeof(double));
    memcpy(made.form.high, from->high, from->columns * sizeof(double));
    memcpy(made.form.row_low, from->row_low, from->rows * sizeof(double));
    memcpy(made.form.row_high, from->row_high, from->rows * sizeof(double));
    made.form.high[from->columns] = worst(model, solver);
    for (size_t i = 0; i < from->rows; i++)
        write_row(&made, i, from->matrix + i * from->columns, 0);
    for (size_t e = 0; e < model->terms.count; e++)
        write_term(&made, e);
    made.kept = sw_take(solver, model->terms.count, sizeof(bool));
    return made;
}

static size_t t_column(const sw_search *search)
{
    return search->model->form.columns;
}

/* The prices of the first program prove its t. */
static void keep_prices(const sw_search *search, const sw_lp *lp, sw_fit *fit)
{
    const sw_form *form = &search->form;
    double *gradient = sw_take_numbers(search->solver, form->columns);
    sw_active active = sw_active_take(search->solver, form);
    gradient[t_column(search)] = 1;
    sw_lp_read_active(lp, form, &active);
    sw_dense_prices(search->solver, form, gradient, &active, &fit->point);
}

static void keep_point(const sw_search *search, const sw_lp *lp, sw_fit *fit)
{
    for (size_t j = 0; j < search->form.columns; j++)
        fit->point.y[j] = sw_lp_value(lp, j);
    fit->has_point = true;
}

static double price_of(const sw_search *search, const sw_lp *lp, size_t term)
{
    return fmax(fabs(sw_lp_row_price(lp, above_row(search, term))),
                fabs(sw_lp_row_price(lp, below_row(search, term))));
}

/* From now on the term's deviation is bounded by a number. */
static void keep_term(sw_search *search, size_t e, double t)
{
    size_t above = above_row(search, e);
    size_t below = below_row(search, e);
    size_t columns = search->form.columns;
    search->form.matrix[above * columns + t_column(search)] = 0;
    search->form.matrix[below * columns + t_column(search)] = 0;
    search->form.row_high[above] += t;
    search->form.row_low[below] -= t;
    search->kept[e] = true;
}

/* Keeps the terms whose bound has a price, or all when t is nothing. */
static size_t keep_priced(sw_search *search, const sw_lp *lp)
{
    size_t left = 0;
    double t = fmax(sw_lp_value(lp, t_column(search)), 0);
    double most = 0;
    for (size_t e = 0; e < search->model->terms.count; e++)
        if (!search->kept[e])
            most = fmax(most, price_of(search, lp, e));
    double enough = fmin(price_tolerance, most);
    for (size_t e = 0; e < search->model->terms.count; e++) {
        if (search->kept[e])
            continue;
        if (t <= no_deviation || price_of(search, lp, e) >= enough)
            keep_term(search, e, t);
        else
            left++;
    }
    return left;
}

/* One program: the least t of the terms not yet kept. */
static sw_lp_end lower_t(sw_search *search, sw_fit *fit, size_t *left)
{
    sw_lp *lp = sw_lp_new(search->solver, &search->form);
    sw_lp_set_cost(lp, t_column(search), 1);
    sw_lp_end end = sw_lp_solve(lp, SW_LP_DUAL);
    if (end == SW_LP_OPTIMAL) {
        if (fit->lp_rounds == 0)
            keep_prices(search, lp, fit);
        keep_point(search, lp, fit);
        *left = keep_priced(search, lp);
    }
    fit->lp_rounds++;
    sw_lp_free(lp);
    return end;
}

static sw_lp_end pick_recipe(sw_search *search, sw_fit *fit)
{
    sw_lp *lp = sw_lp_new(search->solver, &search->form);
    sw_lp_bound_column(lp, t_column(search), 0, 0);
    sw_lp_end end =
        sw_break_ties(search->solver, search->model, lp, SW_LP_DUAL);
    if (end == SW_LP_OPTIMAL)
        keep_point(search, lp, fit);
    return end;
}

/* Against the first program, whose rows the later ones have changed. */
static void prove(sw_search *search, sw_fit *fit)
{
    const sw_terms *terms = &search->model->terms;
    sw_form *form = &search->form;
    double *gradient = sw_take_numbers(search->solver, form->columns);
    double *ceiling = sw_take_numbers(search->solver, form->columns);
    double *deviation = sw_take_numbers(search->solver, terms->count);
    double most = 0;
    sw_tuck_in(&search->model->form, fit->point.y);
    sw_terms_value(terms, t_column(search), fit->point.y, deviation);
    for (size_t e = 0; e < terms->count; e++) {
        write_term(search, e);
        most = fmax(most, fabs(deviation[e]));
    }
    fit->objective = fit->point.y[t_column(search)] = most;
    gradient[t_column(search)] = 1;
    memcpy(ceiling, form->high, form->columns * sizeof *ceiling);
    ceiling[t_column(search)] = most;
    sw_lower_ceiling(form, form->matrix, form->rows, form->row_high, ceiling);
    fit->proof = sw_prove(form, gradient, ceiling, &fit->point);
}

void sw_fit_even(sw_solver *solver, const sw_model *model, sw_fit *fit)
{
    sw_search search = new_search(solver, model);
    fit->point = sw_point_take(solver, &search.form);
    size_t left = model->terms.count;
    sw_lp_end end = SW_LP_OPTIMAL;
    while (left > 0 && end == SW_LP_OPTIMAL)
        end = lower_t(&search, fit, &left);
    if (end == SW_LP_OPTIMAL)
        end = pick_recipe(&search, fit);
    fit->outcome = sw_outcome_of(end);
    if (fit->has_point && fit->outcome == SW_CONFLICT)
        fit->outcome =
            SW_LIMIT; /* a later program's rounding, not a conflict */
    if (fit->has_point)
        prove(&search, fit);
}
