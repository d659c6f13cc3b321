/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Least largest weighted deviation: min t with -t <= d_e <= t.  One target
 * the water alone decides would leave all others free to be as bad, so the
 * next largest is made least in turn, and so on: terms whose bound has a
 * price keep it, the others get a smaller t (lexicographic min-max; Behringer
 * 1981).  The objective and its proof are those of the first t.
 */
#include "formulate/fit.h"

#include "formulate/dense.h"

#include <math.h>
#include <string.h>

/* A price that counts; the prices of one program sum to 1. */
static const double price_tolerance = 1e-7;

/* A deviation of no account. */
static const double no_deviation = 1e-12;

/* A later point must leave the first t proved this well. */
static const double kkt_tolerance = 1e-9;
static const double gap_share = 1e-9;
static const double gap_floor = 1e-12;

/* How far kept bounds may give way, and by tens how often. */
static const double first_give = 1e-12;
enum { MOST_LOOSENED = 5 };

typedef struct sw_search {
    sw_solver *solver;
    const sw_model *model;
    sw_form first; /* the model's with t as last column, two rows per term */
    sw_form form;  /* the same with the bounds kept so far */
    sw_gradient gradient;
    double *ceiling;
    double *deviation;
    sw_point last; /* the newest program's */
    bool *kept;    /* terms that have their final bound */
    size_t left;   /* terms that have not */
    int loosened;  /* how often kept bounds gave way */
} sw_search;

static size_t t_column(const sw_search *search)
{
    return search->model->form.columns;
}

static size_t above_row(const sw_search *search, size_t term)
{
    return search->model->form.rows + 2 * term;
}

static size_t below_row(const sw_search *search, size_t term)
{
    return above_row(search, term) + 1;
}

/* A copy of the model's row with a coefficient for t. */
static void write_row(sw_form *form, size_t at, const double *row, double t)
{
    double *to = form->matrix + at * form->columns;
    memcpy(to, row, (form->columns - 1) * sizeof *to);
    to[form->columns - 1] = t;
}

/* d - t <= 0 and d + t >= 0 */
static void write_term(const sw_search *search, sw_form *form, size_t e)
{
    const sw_terms *terms = &search->model->terms;
    const double *row = terms->matrix + e * search->model->form.columns;
    size_t above = above_row(search, e);
    size_t below = below_row(search, e);
    write_row(form, above, row, -1);
    form->row_low[above] = -INFINITY;
    form->row_high[above] = terms->goal[e];
    write_row(form, below, row, 1);
    form->row_low[below] = terms->goal[e];
    form->row_high[below] = INFINITY;
}

static double largest_at(const sw_search *search, const double *y)
{
    const sw_terms *terms = &search->model->terms;
    double most = 0;
    sw_terms_value(terms, t_column(search), y, search->deviation);
    for (size_t e = 0; e < terms->count; e++)
        most = fmax(most, fabs(search->deviation[e]));
    return most;
}

static sw_form take_form(sw_solver *solver, size_t columns, size_t rows)
{
    return (sw_form){
        .columns = columns,
        .rows = rows,
        .matrix = sw_take_numbers(solver, rows * columns),
        .low = sw_take_numbers(solver, columns),
        .high = sw_take_numbers(solver, columns),
        .row_low = sw_take_numbers(solver, rows),
        .row_high = sw_take_numbers(solver, rows),
    };
}

/* Deviations grow with every amount, so t is largest at one end of all. */
static sw_form new_form(const sw_search *search)
{
    const sw_form *from = &search->model->form;
    sw_form made = take_form(search->solver, from->columns + 1,
                             from->rows + 2 * search->model->terms.count);
    memcpy(made.low, from->low, from->columns * sizeof(double));
    memcpy(made.high, from->high, from->columns * sizeof(double));
    memcpy(made.row_low, from->row_low, from->rows * sizeof(double));
    memcpy(made.row_high, from->row_high, from->rows * sizeof(double));
    made.high[from->columns] =
        fmax(largest_at(search, from->low), largest_at(search, from->high));
    for (size_t i = 0; i < from->rows; i++)
        write_row(&made, i, from->matrix + i * from->columns, 0);
    for (size_t e = 0; e < search->model->terms.count; e++)
        write_term(search, &made, e);
    return made;
}

static sw_search new_search(sw_solver *solver, const sw_model *model)
{
    sw_search made = {.solver = solver, .model = model};
    made.left = model->terms.count;
    made.deviation = sw_take_numbers(solver, made.left);
    made.kept = sw_take(solver, made.left, sizeof(bool));
    made.first = new_form(&made);
    made.form = new_form(&made);
    made.ceiling = sw_take_numbers(solver, made.form.columns);
    made.gradient = sw_gradient_take(solver, &made.form);
    made.gradient.value[t_column(&made)] = 1;
    made.gradient.size[t_column(&made)] = 1;
    made.last = sw_point_take(solver, &made.form);
    return made;
}

/* The prices of the first program prove its t. */
static void keep_prices(const sw_search *search, const sw_lp *lp)
{
    sw_active active = sw_active_take(search->solver, &search->first);
    sw_lp_read_active(lp, &search->first, &active);
    sw_dense_prices(search->solver, &search->first, search->gradient.value,
                    &active, &search->last);
}

/* No t is below 0. */
static sw_proof prove(sw_search *search)
{
    sw_form *form = &search->first;
    double *y = search->last.y;
    double t = y[t_column(search)];
    memcpy(search->ceiling, form->high, form->columns * sizeof(double));
    search->ceiling[t_column(search)] = t;
    sw_lower_ceiling_by_form(form, search->ceiling);
    sw_proof proof =
        sw_prove(form, &search->gradient, search->ceiling, &search->last);
    proof.slack = fmin(proof.slack, t);
    return proof;
}

/* The program's point, unless rounding made it worse than the one in hand. */
static bool accept(sw_search *search, const sw_lp *lp, sw_fit *fit)
{
    double *y = search->last.y;
    for (size_t j = 0; j < t_column(search); j++)
        y[j] = sw_lp_value(lp, j);
    sw_tuck_in(&search->model->form, y);
    double t = y[t_column(search)] = largest_at(search, y);
    sw_proof proof = prove(search);
    bool proved =
        proof.kkt <= kkt_tolerance && proof.slack <= gap_share * t + gap_floor;
    if (fit->has_point && !proved)
        return false;
    memcpy(fit->point.y, y, search->form.columns * sizeof *y);
    fit->has_point = true;
    fit->objective = t;
    fit->proof = proof;
    return true;
}

static double price_of(const sw_search *search, const sw_lp *lp, size_t term)
{
    return fmax(fabs(sw_lp_row_price(lp, above_row(search, term))),
                fabs(sw_lp_row_price(lp, below_row(search, term))));
}

/* From now on the term's deviation is bounded by a number. */
static void keep_term(sw_search *search, size_t e, double t)
{
    sw_form *form = &search->form;
    size_t above = above_row(search, e);
    size_t below = below_row(search, e);
    form->matrix[above * form->columns + t_column(search)] = 0;
    form->matrix[below * form->columns + t_column(search)] = 0;
    form->row_high[above] += t;
    form->row_low[below] -= t;
    search->kept[e] = true;
    search->left--;
}

/* Keeps the terms whose bound has a price, or all when t is nothing. */
static void keep_priced(sw_search *search, const sw_lp *lp)
{
    double t = fmax(sw_lp_value(lp, t_column(search)), 0);
    double enough = price_tolerance;
    double most = 0;
    for (size_t e = 0; e < search->model->terms.count; e++)
        if (!search->kept[e])
            most = fmax(most, price_of(search, lp, e));
    enough = fmin(enough, most);
    for (size_t e = 0; e < search->model->terms.count; e++)
        if (!search->kept[e] &&
            (t <= no_deviation || price_of(search, lp, e) >= enough))
            keep_term(search, e, t);
}

/* The least t of the terms not yet kept; with all kept, the one recipe. */
static sw_lp_end next_program(sw_search *search, sw_lp *lp)
{
    if (search->left == 0) {
        sw_lp_bound_column(lp, t_column(search), 0, 0);
        return sw_break_ties(search->solver, search->model, lp, SW_LP_DUAL);
    }
    sw_lp_set_cost(lp, t_column(search), 1);
    return sw_lp_solve(lp, SW_LP_DUAL);
}

/*
 * A t found within the solver's tolerance may leave the next program empty by
 * as much.  Then the bounds kept so far give way a little.
 */
static bool loosen(sw_search *search)
{
    double give = first_give * pow(10, search->loosened);
    for (size_t e = 0; e < search->model->terms.count; e++) {
        if (!search->kept[e])
            continue;
        search->form.row_high[above_row(search, e)] += give;
        search->form.row_low[below_row(search, e)] -= give;
    }
    return search->loosened++ < MOST_LOOSENED;
}

/* One program; false when the last one is done or its end is not optimal. */
static bool go_on(sw_search *search, sw_fit *fit, sw_lp_end *end)
{
    bool last = search->left == 0;
    sw_lp *lp = sw_lp_new(search->solver, &search->form);
    *end = next_program(search, lp);
    fit->lp_rounds++;
    bool more = *end == SW_LP_OPTIMAL && !last;
    if (*end == SW_LP_OPTIMAL) {
        if (fit->lp_rounds == 1)
            keep_prices(search, lp);
        fit->coarse = !accept(search, lp, fit);
        more = more && !fit->coarse;
        if (more)
            keep_priced(search, lp);
    } else if (*end == SW_LP_INFEASIBLE && fit->has_point) {
        more = loosen(search);
        fit->coarse = !more;
        *end = SW_LP_OPTIMAL; /* the point in hand has the least t */
    }
    sw_lp_free(lp);
    return more;
}

void sw_fit_even(sw_solver *solver, const sw_model *model, sw_fit *fit)
{
    sw_search search = new_search(solver, model);
    sw_lp_end end = SW_LP_OPTIMAL;
    fit->point = sw_point_take(solver, &search.form);
    while (go_on(&search, fit, &end))
        ;
    fit->outcome = sw_outcome_of(end);
    fit->point.row_price = search.last.row_price;
    fit->point.column_price = search.last.column_price;
}
