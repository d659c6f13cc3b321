/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Least sum of squares: from a corner that GLPK finds the active-set method
 * walks there; the KKT conditions prove it.
 */
#include "solve/fit.h"

#include <math.h>
#include <string.h>

/* A gap this small is none, whatever the objective; of the largest square of a
 * goal, which a weight may raise above 1. */
static const double gap_floor = 1e-13;

typedef struct sw_search {
    sw_solver *solver;
    const sw_form *form;
    const sw_terms *terms;
    sw_active active;
    double *at; /* deviations at the point in hand */
    sw_gradient gradient;
    double *ceiling;
} sw_search;

static sw_search new_search(sw_solver *solver, const sw_form *form,
                            const sw_terms *terms)
{
    return (sw_search){
        .solver = solver,
        .form = form,
        .terms = terms,
        .active = sw_active_take(solver, form),
        .at = sw_take_numbers(solver, terms->count),
        .gradient = sw_gradient_take(solver, form),
        .ceiling = sw_take_numbers(solver, form->columns),
    };
}

/* Objective, deviations and gradient at y. */
static double look(sw_search *search, const double *y)
{
    size_t columns = search->form->columns;
    double value = sw_terms_value(search->terms, columns, y, search->at);
    sw_terms_gradient(search->terms, columns, search->at, &search->gradient);
    return value;
}

/* A point as good as `value` has no deviation above its root. */
static void set_ceiling(sw_search *search, double value)
{
    const sw_form *form = search->form;
    const sw_terms *terms = search->terms;
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
    fit->objective = squares + search->terms->constant;
    set_ceiling(search, squares);
    fit->proof =
        sw_prove(search->form, &search->gradient, search->ceiling, &fit->point);
    fit->proof.slack = fmin(fit->proof.slack, squares);
}

bool sw_is_closed(const sw_fit *fit, double floor)
{
    static const double share = 1e-9;
    return fit->proof.slack <= share * fit->objective + floor;
}

static bool is_proved(const sw_terms *terms, const sw_fit *fit)
{
    double size = fmax(1, sw_row_largest(terms->goal, terms->count));
    return fit->proof.kkt <= SW_KKT_TOLERANCE &&
           sw_is_closed(fit, gap_floor * size * size);
}

/* What is fixed: sets of one such question seldom serve another. */
static uint64_t question_of(const sw_form *form)
{
    uint64_t fixed = 0;
    for (size_t j = 0; j < form->columns; j++)
        if (!(form->low[j] < form->high[j]))
            fixed |= (uint64_t)1 << j % 64;
    return fixed;
}

/* By a set that an earlier solve ended with. */
static bool recall(sw_search *search, const sw_order *order, sw_fit *fit)
{
    sw_solver *solver = search->solver;
    const sw_form *form = search->form;
    const sw_active *active = &search->active;
    uint64_t of = question_of(form);
    for (size_t i = 0; sw_recall(solver, SW_KEPT_SETS, form, of, i, active);
         i++) {
        sw_mark mark = sw_solver_mark(solver);
        sw_frame *frame;
        bool rests = sw_rests(solver, form, search->terms, active, &frame,
                              &fit->point) &&
                     sw_is_settled(solver, form, search->terms, frame, order,
                                   &fit->point, active);
        sw_solver_release(solver, mark);
        if (!rests)
            continue;
        judge(search, fit);
        sw_remember(solver, SW_KEPT_SETS, form, of, active);
        return is_proved(search->terms, fit);
    }
    return false;
}

/* With a column more for each term, that of its deviation. */
static sw_form form_of_sum(const sw_search *search)
{
    const sw_terms *terms = search->terms;
    const sw_form *form = search->form;
    sw_form made =
        sw_form_wider(search->solver, form, terms->count, 2 * terms->count);
    for (size_t e = 0; e < terms->count; e++) {
        size_t column = form->columns + e;
        made.high[column] = INFINITY;
        sw_form_bound_deviation(&made, form->rows + 2 * e, terms, e,
                                form->columns, column);
    }
    return made;
}

/* A corner of the least sum of deviations, which is near, and seldom held by
 * more bounds than it needs. */
static sw_lp_end start_near(sw_search *search, double *y)
{
    sw_solver *solver = search->solver;
    const sw_form *form = search->form;
    sw_form wide = form_of_sum(search);
    sw_active active = sw_active_take(solver, &wide);
    double *at = sw_take_numbers(solver, wide.columns);
    double *cost = sw_take_numbers(solver, wide.columns);
    for (size_t e = form->columns; e < wide.columns; e++)
        cost[e] = 1;
    sw_lp_end end = sw_lp_corner(solver, &wide, cost, at, &active);
    memcpy(y, at, form->columns * sizeof *y);
    memcpy(search->active.column, active.column,
           form->columns * sizeof *active.column);
    memcpy(search->active.row, active.row, form->rows * sizeof *active.row);
    sw_tuck_in(form, y);
    return end;
}

/* From a corner, on foot; where that goes round in circles, from another. */
static sw_lp_end search_on_foot(sw_search *search, sw_fit *fit)
{
    sw_solver *solver = search->solver;
    const sw_form *form = search->form;
    double *y = sw_take_numbers(solver, form->columns);
    sw_lp_end end =
        sw_lp_corner(solver, form, NULL, fit->point.y, &search->active);
    if (end != SW_LP_OPTIMAL)
        return end;
    sw_tuck_in(form, fit->point.y);
    if (!sw_walk(solver, form, search->terms, &search->active, &fit->point) &&
        start_near(search, y) == SW_LP_OPTIMAL) {
        memcpy(fit->point.y, y, form->columns * sizeof *y);
        sw_walk(solver, form, search->terms, &search->active, &fit->point);
    }
    return end;
}

/* The corner that breaks a tie is as near as its program's digits, and of
 * nearly parallel columns may take one that is as good to these alone: on from
 * it to where the prices are right to the last.  What is as good stays. */
static void walk_on(sw_search *search, sw_fit *fit)
{
    const sw_form *form = search->form;
    sw_point there = sw_point_take(search->solver, form);
    memcpy(there.y, fit->point.y, form->columns * sizeof *there.y);
    sw_form_stands(form, there.y, &search->active);
    if (!sw_walk(search->solver, form, search->terms, &search->active, &there))
        return;
    fit->point = there;
    sw_tuck_in(form, fit->point.y);
    judge(search, fit);
}

/* What a corner's walk came to, proved before one of the optimal points is
 * chosen, and after; where that one is not, the one before remains. */
static void finish(sw_search *search, const sw_order *order, sw_fit *fit)
{
    sw_solver *solver = search->solver;
    const sw_form *form = search->form;
    sw_active *active = &search->active;
    sw_tuck_in(form, fit->point.y);
    judge(search, fit);
    bool proved = is_proved(search->terms, fit);
    sw_fit before = *fit;
    if (fit->proof.kkt > SW_KKT_TOLERANCE)
        return;
    before.point = sw_point_take(solver, form);
    sw_point_copy(form, &fit->point, &before.point);
    sw_lp_end end =
        sw_settle(solver, form, search->terms, order, &fit->point, active);
    bool rests =
        sw_rest_on_bounds(solver, form, search->terms, active, &fit->point);
    sw_tuck_in(form, fit->point.y);
    judge(search, fit);
    if (proved && end == SW_LP_OPTIMAL && !is_proved(search->terms, fit))
        walk_on(search, fit);
    bool remains = is_proved(search->terms, fit);
    if (proved && !remains)
        *fit = before;
    if (!proved || end != SW_LP_OPTIMAL || !remains)
        return;
    fit->outcome = SW_OPTIMAL;
    fit->stands = *active;
    if (rests)
        sw_remember(solver, SW_KEPT_SETS, form, question_of(form), active);
}

void sw_fit_squares(sw_solver *solver, const sw_form *form,
                    const sw_terms *terms, const sw_order *order, sw_fit *fit)
{
    sw_search search = new_search(solver, form, terms);
    *fit = (sw_fit){.point = sw_point_take(solver, form)};
    if (recall(&search, order, fit)) {
        fit->outcome = SW_OPTIMAL;
        fit->has_point = true;
        fit->stands = search.active;
        return;
    }
    *fit = (sw_fit){.outcome = SW_LIMIT, .point = sw_point_take(solver, form)};
    sw_lp_end end = search_on_foot(&search, fit);
    fit->has_point = end == SW_LP_OPTIMAL;
    if (fit->has_point)
        finish(&search, order, fit);
    else
        fit->outcome = sw_outcome_of(end);
}

/* Of the first way beside: a step of a whole column is then 0.1 % of a sum. */
static const double first_weight = 1e-3;

/* The terms, and one for each column: its way from the point before. */
static sw_terms terms_beside(sw_solver *solver, const sw_form *form,
                             const sw_terms *terms, const sw_beside *beside)
{
    size_t columns = form->columns, count = terms->count + columns;
    double root = sqrt(beside->weight);
    sw_terms made = {.count = count,
                     .matrix = sw_take_numbers(solver, count * columns),
                     .goal = sw_take_numbers(solver, count)};
    memcpy(made.matrix, terms->matrix,
           terms->count * columns * sizeof *made.matrix);
    memcpy(made.goal, terms->goal, terms->count * sizeof *made.goal);
    for (size_t j = 0; j < columns; j++) {
        made.matrix[(terms->count + j) * columns + j] = root;
        made.goal[terms->count + j] = root * beside->y[j];
    }
    return made;
}

void sw_fit_squares_beside(sw_solver *solver, const sw_form *form,
                           const sw_terms *terms, const sw_order *order,
                           sw_beside *beside, sw_fit *fit)
{
    double turn = 0;
    if (!beside) {
        sw_fit_squares(solver, form, terms, order, fit);
        return;
    }
    if (!(beside->weight > 0)) {
        beside->weight = first_weight;
        memset(beside->way, 0, form->columns * sizeof *beside->way);
    }
    sw_terms wide = terms_beside(solver, form, terms, beside);
    sw_fit_squares(solver, form, &wide, order, fit);
    if (fit->outcome != SW_OPTIMAL)
        return;
    for (size_t j = 0; j < form->columns; j++) {
        double way = fit->point.y[j] - beside->y[j];
        turn += way * beside->way[j];
        beside->way[j] = way;
    }
    beside->weight *= turn < 0 ? 2 : 0.5;
    sw_search search = new_search(solver, form, terms);
    judge(&search, fit);
    fit->outcome = is_proved(terms, fit) ? SW_OPTIMAL : SW_LIMIT;
}

bool sw_squares_stay(sw_solver *solver, const sw_form *form,
                     const sw_terms *terms, const sw_active *stands,
                     const sw_point *point)
{
    sw_mark mark = sw_solver_mark(solver);
    sw_point there = sw_point_take(solver, form);
    sw_frame *frame;
    bool stay = sw_rests(solver, form, terms, stands, &frame, &there);
    if (stay) {
        sw_tuck_in(form, there.y);
        sw_point_copy(form, &there, point);
    }
    sw_solver_release(solver, mark);
    return stay;
}
