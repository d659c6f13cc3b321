/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The grid of whole steps: values, rounding with local search, and the range
 * of counts that can still win.
 */
#include "stock/step_grid.h"

#include "solve/lp.h"
#include "quantity/ties.h"

#include <math.h>
#include <string.h>

const double sw_limit_tolerance = 1e-7;

/* Combinations of counts tried for the least square of one term. */
static const double most_tried = 2000;

sw_count sw_count_take(sw_solver *solver, const sw_grid *grid)
{
    return (sw_count){.count =
                          sw_take_numbers(solver, grid->model->form.columns),
                      .objective = INFINITY};
}

void sw_count_copy(const sw_grid *grid, sw_count *to, const sw_count *from)
{
    memcpy(to->count, from->count,
           grid->model->form.columns * sizeof *to->count);
    to->objective = from->objective;
}

void sw_grid_point(const sw_grid *grid, const double *count, double *y)
{
    for (size_t j = 0; j < grid->model->form.columns; j++)
        y[j] = count[j] * grid->step[j];
}

sw_grid sw_grid_copy(sw_solver *solver, const sw_grid *grid)
{
    sw_grid made = *grid;
    size_t n = grid->model->form.columns, bytes = n * sizeof(double);
    made.step = memcpy(sw_take_numbers(solver, n), grid->step, bytes);
    made.low = memcpy(sw_take_numbers(solver, n), grid->low, bytes);
    made.high = memcpy(sw_take_numbers(solver, n), grid->high, bytes);
    return made;
}

sw_grid sw_grid_of_used(sw_solver *solver, const sw_grid *grid,
                        const double *hand)
{
    sw_grid made = sw_grid_copy(solver, grid);
    for (size_t j = 0; j < grid->model->form.columns; j++)
        if (!(hand[j] > 0))
            made.high[j] = made.low[j];
    return made;
}

static bool keeps_rows(const sw_form *form, const double *y)
{
    for (size_t i = 0; i < form->rows; i++) {
        double value = sw_row_value(form->matrix, i, form->columns, y);
        if (value < form->row_low[i] - sw_limit_tolerance ||
            value > form->row_high[i] + sw_limit_tolerance)
            return false;
    }
    return true;
}

double sw_grid_value_at(const sw_grid *grid, const double *y, double *deviation)
{
    const sw_model *model = grid->model;
    return keeps_rows(&model->form, y)
               ? sw_terms_value(&model->terms, model->form.columns, y,
                                deviation)
               : INFINITY;
}

/* Sum of squares, INFINITY when a limit of the form is broken. */
static double value_of(sw_solver *solver, const sw_grid *grid,
                       const double *count)
{
    double *y = sw_take_numbers(solver, grid->model->form.columns);
    sw_grid_point(grid, count, y);
    return sw_grid_value_at(grid, y,
                            sw_take_numbers(solver, grid->model->terms.count));
}

bool sw_grid_is_open(const sw_grid *grid, size_t j)
{
    return grid->low[j] < grid->high[j];
}

size_t sw_grid_met(sw_solver *solver, const sw_grid *grid, const sw_count *at)
{
    size_t met = 0;
    sw_content finished;
    const sw_target *target = grid->model->problem->target;
    double *y = sw_take_numbers(solver, grid->model->form.columns);
    sw_grid_point(grid, at->count, y);
    sw_model_content(grid->model, y, &finished);
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        sw_band range = sw_band_of(row);
        double value = finished.amount[row->component];
        if (row->kind == SW_TARGET_RATIO)
            value /= finished.amount[row->other];
        met += (row->kind == SW_TARGET_COMPONENT ||
                row->kind == SW_TARGET_RATIO) &&
               sw_band_judge(&range, value) == SW_MET;
    }
    return met;
}

/* A walk over the grid: deviations and rows are kept up to date by step. */
typedef struct walk {
    const sw_grid *grid;
    double *count;
    double *deviation; /* of each term */
    double *row;       /* of each row of the form */
} walk;

static double column_of(const double *matrix, size_t i, size_t columns,
                        size_t j)
{
    return matrix[i * columns + j];
}

/* Sum of squares after two moves, with a steep price on broken limits; a move
 * of 0 is none. */
static double value_after(const walk *w, size_t j, double dj, size_t k,
                          double dk)
{
    const sw_model *m = w->grid->model;
    size_t n = m->form.columns;
    double a = dj * w->grid->step[j], b = dk * w->grid->step[k], sum = 0;
    for (size_t e = 0; e < m->terms.count; e++) {
        double d = w->deviation[e] + a * column_of(m->terms.matrix, e, n, j) +
                   b * column_of(m->terms.matrix, e, n, k);
        sum += d * d;
    }
    for (size_t i = 0; i < m->form.rows; i++) {
        double r = w->row[i] + a * column_of(m->form.matrix, i, n, j) +
                   b * column_of(m->form.matrix, i, n, k);
        double over = fmax(m->form.row_low[i] - sw_limit_tolerance - r,
                           r - m->form.row_high[i] - sw_limit_tolerance);
        sum += over > 0 ? 1e6 * over : 0;
    }
    return sum;
}

static bool may_move(const walk *w, size_t j, double by)
{
    double to = w->count[j] + by;
    return to >= w->grid->low[j] && to <= w->grid->high[j];
}

static void move(walk *w, size_t j, double by)
{
    const sw_model *m = w->grid->model;
    size_t n = m->form.columns;
    double a = by * w->grid->step[j];
    w->count[j] += by;
    for (size_t e = 0; e < m->terms.count; e++)
        w->deviation[e] += a * column_of(m->terms.matrix, e, n, j);
    for (size_t i = 0; i < m->form.rows; i++)
        w->row[i] += a * column_of(m->form.matrix, i, n, j);
}

/* A move of one or two counts by a step; by_k 0: of one. */
typedef struct two_moves {
    size_t j, k;
    double by_j, by_k, value;
} two_moves;

/* Tries moving j by `by`, alone and with each later count either way. */
static void try_moves(const walk *w, size_t j, double by, two_moves *best)
{
    if (!may_move(w, j, by))
        return;
    two_moves at = {j, j, by, 0, value_after(w, j, by, j, 0)};
    if (sw_is_less(at.value, best->value, SW_SUMMED))
        *best = at;
    for (at.k = j + 1; at.k < w->grid->model->form.columns; at.k++)
        for (int side = -1; side <= 1; side += 2) {
            at.by_k = side;
            if (!may_move(w, at.k, at.by_k))
                continue;
            at.value = value_after(w, j, by, at.k, at.by_k);
            if (sw_is_less(at.value, best->value, SW_SUMMED))
                *best = at;
        }
}

/* Makes the best of all such moves; false when none is better than standing
 * still. */
static bool best_move(walk *w, double *value)
{
    two_moves best = {.value = *value};
    for (size_t j = 0; j < w->grid->model->form.columns; j++) {
        try_moves(w, j, -1, &best);
        try_moves(w, j, 1, &best);
    }
    if (best.by_j == 0)
        return false;
    move(w, best.j, best.by_j);
    if (best.by_k != 0)
        move(w, best.k, best.by_k);
    *value = best.value;
    return true;
}

static void descend(sw_solver *solver, const sw_grid *grid, sw_count *at)
{
    const sw_model *m = grid->model;
    size_t n = m->form.columns;
    double *y = sw_take_numbers(solver, n);
    walk w = {.grid = grid,
              .count = at->count,
              .deviation = sw_take_numbers(solver, m->terms.count),
              .row = sw_take_numbers(solver, m->form.rows)};
    sw_grid_point(grid, at->count, y);
    sw_terms_value(&m->terms, n, y, w.deviation);
    for (size_t i = 0; i < m->form.rows; i++)
        w.row[i] = sw_row_value(m->form.matrix, i, n, y);
    double value = value_after(&w, 0, 0, 0, 0);
    for (int i = 0; i < 1000 && best_move(&w, &value); i++)
        ;
    at->objective = value_of(solver, grid, at->count);
}

void sw_grid_round(sw_solver *solver, const sw_grid *grid, sw_count *out)
{
    for (size_t j = 0; j < grid->model->form.columns; j++)
        out->count[j] =
            fmin(fmax(round(grid->best[j] / grid->step[j]), grid->low[j]),
                 grid->high[j]);
    descend(solver, grid, out);
}

/* ---- What can still win ---- */

/* A term's open columns, those whose counts are not settled. */
typedef struct open_term {
    size_t column[8];
    size_t count;   /* of them; more than 8 are as good as any number */
    double settled; /* what the settled ones change of the deviation */
} open_term;

static open_term open_of(const sw_grid *g, size_t e)
{
    size_t n = g->model->form.columns;
    const double *row = g->model->terms.matrix + e * n;
    open_term o = {.count = 0};
    for (size_t j = 0; j < n; j++) {
        if (row[j] == 0)
            continue;
        if (g->low[j] >= g->high[j])
            o.settled += row[j] * (g->low[j] * g->step[j] - g->best[j]);
        else if (o.count++ < 8)
            o.column[o.count - 1] = j;
    }
    return o;
}

/* Least square over the counts of the first `left` open columns. */
static double least(const sw_grid *g, const double *row, const open_term *o,
                    size_t left, double change)
{
    if (left == 0)
        return change * change;
    size_t j = o->column[left - 1];
    double step = row[j] * g->step[j], best = INFINITY;
    double at = (row[j] * g->best[j] - change) / step;
    if (left == 1) {
        double k = fmin(fmax(round(at), g->low[j]), g->high[j]);
        change += k * step - row[j] * g->best[j];
        return change * change;
    }
    int counts = (int)(g->high[j] - g->low[j]) + 1;
    for (int i = 0; i < counts; i++)
        best = fmin(
            best, least(g, row, o, left - 1,
                        change + (g->low[j] + i) * step - row[j] * g->best[j]));
    return best;
}

double sw_grid_least_square(const sw_grid *g, size_t e)
{
    open_term o = open_of(g, e);
    double work = 1;
    if (o.count > 8)
        return 0;
    for (size_t i = 1; i < o.count; i++)
        work *= g->high[o.column[i]] - g->low[o.column[i]] + 1;
    return work > most_tried
               ? 0
               : least(g, g->model->terms.matrix + e * g->model->form.columns,
                       &o, o.count, o.settled);
}

/* The range of counts as bounds of the form's columns, which are copies. */
static void bound_columns(const sw_grid *g, const sw_form *form)
{
    for (size_t j = 0; j < form->columns; j++) {
        form->low[j] = g->low[j] * g->step[j];
        form->high[j] = g->high[j] * g->step[j];
    }
}

/* Narrows counts by column to those of the form's points: each one's extremes
 * are two linear programs.  False where there is no point. */
static bool narrow_columns(sw_solver *solver, const sw_grid *g,
                           const sw_form *form, double *low, double *high)
{
    sw_lp *lp = sw_lp_new(solver, form);
    bool any = sw_lp_solve(lp, SW_LP_DUAL) == SW_LP_OPTIMAL;
    for (size_t j = 0; j < form->columns; j++) {
        double step = g->step[j];
        sw_lp_set_cost(lp, j, 1);
        if (sw_lp_solve(lp, SW_LP_PRIMAL) == SW_LP_OPTIMAL)
            low[j] = fmax(low[j], ceil(sw_lp_value(lp, j) / step - 1e-6));
        sw_lp_set_cost(lp, j, -1);
        if (sw_lp_solve(lp, SW_LP_PRIMAL) == SW_LP_OPTIMAL)
            high[j] = fmin(high[j], floor(sw_lp_value(lp, j) / step + 1e-6));
        sw_lp_set_cost(lp, j, 0);
        any = any && low[j] <= high[j];
    }
    sw_lp_free(lp);
    return any;
}

/*
 * f(y) = f* + gradient.(y - y*) + sum (M (y - y*))^2, and the gradient term is
 * not below 0 for any y the limits allow.  So f(y) <= f* + room means each
 * square, and the gradient term, within the room; less what terms of a sole
 * column take of it in any case.  Fills the last rows of the form.
 */
static void put_room(sw_solver *solver, const sw_grid *g, double room,
                     const sw_form *form)
{
    const sw_terms *t = &g->model->terms;
    size_t n = form->columns, at = form->rows - t->count - 1;
    double *square = sw_take_numbers(solver, t->count);
    double *gradient = form->matrix + (form->rows - 1) * n;
    for (size_t e = 0; e < t->count; e++)
        room -= square[e] = sw_grid_least_square(g, e);
    /* a hair for roundings, so that the best known stays inside */
    room = fmax(room, 0) * (1 + 1e-9) + 1e-14;
    for (size_t e = 0; e < t->count; e++, at++) {
        const double *row = t->matrix + e * n;
        double value = sw_row_value(t->matrix, e, n, g->best);
        double reach = sqrt(room + square[e]);
        memcpy(form->matrix + at * n, row, n * sizeof *row);
        form->row_low[at] = value - reach;
        form->row_high[at] = value + reach;
        for (size_t j = 0; j < n; j++)
            gradient[j] += 2 * (value - t->goal[e]) * row[j];
    }
    form->row_low[at] = -INFINITY;
    form->row_high[at] = sw_row_value(form->matrix, at, n, g->best) + room;
}

void sw_grid_shrink(sw_solver *solver, sw_grid *g, double objective)
{
    size_t terms = g->model->terms.count;
    sw_form form = sw_form_wider(solver, &g->model->form, 0,
                                 objective < INFINITY ? terms + 1 : 0);
    bound_columns(g, &form);
    if (objective < INFINITY)
        put_room(solver, g, objective - g->optimum, &form);
    narrow_columns(solver, g, &form, g->low, g->high);
}

double sw_grid_floor(const sw_grid *g)
{
    double sum = g->optimum;
    for (size_t e = 0; e < g->model->terms.count; e++)
        sum += sw_grid_least_square(g, e);
    return sum;
}

bool sw_grid_is_empty(const sw_grid *g)
{
    for (size_t j = 0; j < g->model->form.columns; j++)
        if (g->low[j] > g->high[j])
            return true;
    return false;
}

/* ---- The least move from the recipe in hand ------------------------------ */

/*
 * All nearest counts are no move at all, and as a rule they do.  Else whole
 * numbers k with y = step * k, a binary for each that is not the nearest, and
 * how far each amount is from the one in hand.
 */

/* What a moved amount counts beside the number of moved ones. */
static const double by_share = 1e-3;
enum { MOST_NODES = 2000 };

typedef struct moves {
    sw_solver *solver;
    const sw_grid *grid;
    const double *hand;
    sw_form form;    /* with the rows of what is equal */
    double *nearest; /* counts */
    double *least;   /* counts that an equal recipe may have */
    double *most;
} moves;

void sw_near_counts(const sw_grid *grid, const double *hand, double *count)
{
    for (size_t j = 0; j < grid->model->form.columns; j++)
        count[j] = fmin(fmax(round(hand[j] / grid->step[j]), grid->low[j]),
                        grid->high[j]);
}

double sw_near_objective(sw_solver *solver, const sw_grid *grid,
                         const double *hand)
{
    const sw_model *m = grid->model;
    double *y = sw_take_numbers(solver, m->form.columns);
    for (size_t j = 0; j < m->products; j++)
        y[j] = round(hand[j] / grid->step[j]) * grid->step[j];
    return sw_terms_value(&m->terms, m->form.columns, y,
                          sw_take_numbers(solver, m->terms.count));
}

/* The count k of a column, whether it is moved, and by how much of the amount:
 * three columns from `k` and five rows from `row`. */
static void add_count(moves *w, sw_form *form, size_t j, size_t k, size_t row)
{
    double step = w->grid->step[j], nearest = w->nearest[j];
    double reach = fmax(w->most[j] - nearest, nearest - w->least[j]);
    double of = fmax(w->hand[j] / step, fmax(w->most[j], 1));
    form->low[k] = w->least[j];
    form->high[k] = w->most[j];
    form->high[k + 1] = 1;
    form->high[k + 2] = INFINITY;
    *sw_form_at(form, row, j) = 1;
    *sw_form_at(form, row, k) = -step;
    for (int side = -1; side <= 1; side += 2) {
        *sw_form_at(form, ++row, k) = side;
        *sw_form_at(form, row, k + 1) = -reach;
        form->row_low[row] = -INFINITY;
        form->row_high[row] = side * nearest;
        *sw_form_at(form, ++row, k) = side / of;
        *sw_form_at(form, row, k + 2) = -1;
        form->row_low[row] = -INFINITY;
        form->row_high[row] = side * w->hand[j] / step / of;
    }
}

static sw_lp *open_moves(moves *w)
{
    size_t n = w->form.columns;
    sw_form form = sw_form_wider(w->solver, &w->form, 3 * n, 5 * n);
    for (size_t j = 0; j < n; j++)
        add_count(w, &form, j, n + 3 * j, w->form.rows + 5 * j);
    sw_lp *lp = sw_lp_new(w->solver, &form);
    for (size_t k = n; k < form.columns; k += 3) {
        sw_lp_make_whole(lp, k);
        sw_lp_make_whole(lp, k + 1);
        sw_lp_set_cost(lp, k + 1, 1);
        sw_lp_set_cost(lp, k + 2, by_share);
    }
    return lp;
}

static bool find_moves(moves *w, sw_count *out)
{
    size_t bytes = w->form.columns * sizeof *w->least;
    memcpy(w->least, w->grid->low, bytes);
    memcpy(w->most, w->grid->high, bytes);
    bound_columns(w->grid, &w->form);
    if (!narrow_columns(w->solver, w->grid, &w->form, w->least, w->most))
        return false;
    sw_lp *lp = open_moves(w);
    bool found = sw_lp_branch(lp, MOST_NODES) == SW_LP_OPTIMAL;
    for (size_t j = 0; found && j < w->form.columns; j++)
        out->count[j] =
            round(sw_lp_whole_value(lp, w->form.columns + 3 * j)) + 0.0;
    sw_lp_free(lp);
    return found;
}

/* Of the rows of what is equal, to within rounding. */
static const double kept_tolerance = 1e-7;

static bool keeps_equal(const sw_equal *equal, size_t columns, const double *y)
{
    for (size_t i = 0; i < equal->rows; i++) {
        double value = sw_row_value(equal->matrix, i, columns, y);
        if (value < equal->low[i] - kept_tolerance ||
            value > equal->high[i] + kept_tolerance)
            return false;
    }
    return true;
}

/* Counts as they are, judged. */
static bool keeps(const moves *w, const sw_equal *equal, sw_count *out)
{
    size_t n = w->form.columns;
    double *y = sw_take_numbers(w->solver, n);
    sw_grid_point(w->grid, out->count, y);
    out->objective = value_of(w->solver, w->grid, out->count);
    return isfinite(out->objective) && keeps_equal(equal, n, y);
}

static moves open_near(sw_solver *solver, const sw_grid *grid,
                       const sw_equal *equal, const double *hand)
{
    size_t n = grid->model->form.columns;
    sw_model model = *grid->model, *const one = &model;
    sw_block block = {1, &one, &model, NULL};
    moves w = {.solver = solver,
               .grid = grid,
               .hand = hand,
               .form = sw_equal_form(solver, &block, equal, NULL),
               .nearest = sw_take_numbers(solver, n),
               .least = sw_take_numbers(solver, n),
               .most = sw_take_numbers(solver, n)};
    sw_near_counts(grid, hand, w.nearest);
    return w;
}

int sw_near_finer(sw_solver *solver, const sw_grid *grid, sw_nearness apart,
                  const double *hand)
{
    static const int times[] = {2, 3, 5, 10, 20, 50, 100};
    for (size_t t = 0; t < sizeof times / sizeof *times; t++) {
        sw_equal equal;
        sw_grid fine = sw_grid_copy(solver, grid);
        for (size_t j = 0; j < grid->model->form.columns; j++) {
            fine.step[j] /= times[t];
            fine.low[j] *= times[t];
            fine.high[j] *= times[t];
        }
        apart.step = fine.step;
        if (sw_equal_to(solver, grid->model, hand, apart, &equal, NULL) !=
            SW_OK)
            continue;
        moves w = open_near(solver, &fine, &equal, hand);
        if (keeps(&w, &equal, &(sw_count){.count = w.nearest}))
            return times[t];
    }
    return 0;
}

bool sw_near_find(sw_solver *solver, const sw_grid *grid, const sw_equal *equal,
                  const double *hand, sw_count *out)
{
    moves w = open_near(solver, grid, equal, hand);
    memcpy(out->count, w.nearest, w.form.columns * sizeof *out->count);
    if (keeps(&w, equal, out))
        return true;
    return find_moves(&w, out) && keeps(&w, equal, out);
}
