/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * With u = M (y - y*) the objective is f* + prices (y - y*) + |u|^2.  Turning
 * the columns of M into an orthonormal basis, from the last count to be
 * settled to the first, makes |u|^2 a sum of squares of which the first few
 * depend on the first few counts only (sphere decoding: Fincke & Pohst 1985,
 * Schnorr & Euchner 1994).  With more counts than terms some levels have no
 * square; linear limits bound those.
 */
#include "stock/step_grid.h"

#include <gsl/gsl_blas.h>
#include <math.h>

/* A column this close to the span of others is in it; columns are near 1. */
static const double in_span = 1e-9;
/* Less than this a square's root does not depend on a count. */
static const double no_part = 1e-13;
/* Columns whose cosine is below this hardly touch each other. */
static const double apart = 0.1;
/* Share of a level's own step that others may blur in the least of its square.
 */
static const double blur_share = 0.1;
/* Combinations of counts tried for the least of one square. */
static const double most_tried = 2000;

typedef struct work {
    sw_solver *solver;
    const sw_grid *grid;
    double limit;
    size_t terms, open; /* of both the numbers */
    size_t *column;     /* the open ones, by level once ordered */
    size_t *group;      /* of each open one: those that touch have the same */
    double *step;       /* what a step of each changes of u, by open column */
    double *basis;      /* scratch: orthonormal, by rows of `terms` */
    double *change;     /* u where every open count is 0 */
} work;

static gsl_vector_view vector(double *numbers, size_t count)
{
    return gsl_vector_view_array(numbers, count);
}

/* Takes from `v` its part in the span of `count` vectors of the basis, twice
 * against rounding; returns the length left. */
static double leave_span(const work *w, size_t count, double *v)
{
    gsl_vector_view left = vector(v, w->terms);
    for (size_t i = 0; i < 2 * count; i++) {
        gsl_vector_view b = vector(w->basis + i % count * w->terms, w->terms);
        double part;
        gsl_blas_ddot(&left.vector, &b.vector, &part);
        gsl_blas_daxpy(-part, &b.vector, &left.vector);
    }
    return gsl_blas_dnrm2(&left.vector);
}

/* Adds the direction of `v` beyond the basis to it; how many there are. */
static size_t join_basis(const work *w, size_t count, const double *v,
                         double *length)
{
    double *to = w->basis + count * w->terms;
    for (size_t e = 0; e < w->terms; e++)
        to[e] = v[e];
    gsl_vector_view joined = vector(to, w->terms);
    double full = gsl_blas_dnrm2(&joined.vector);
    *length = leave_span(w, count, to);
    if (count >= w->terms || *length <= in_span * full) {
        *length = 0;
        return count;
    }
    gsl_blas_dscal(1 / *length, &joined.vector);
    return count + 1;
}

static double *step_of(const work *w, size_t level)
{
    return w->step + level * w->terms;
}

/* Length of column `at` beyond the span of the others from `first` on. */
static double own_length(const work *w, size_t first, size_t at)
{
    double length;
    size_t count = 0;
    for (size_t l = first; l < w->open; l++)
        if (l != at)
            count = join_basis(w, count, step_of(w, l), &length);
    join_basis(w, count, step_of(w, at), &length);
    return length;
}

static void swap_numbers(size_t *a, size_t *b)
{
    size_t kept = *a;
    *a = *b;
    *b = kept;
}

static void swap_columns(work *w, size_t a, size_t b)
{
    swap_numbers(&w->column[a], &w->column[b]);
    swap_numbers(&w->group[a], &w->group[b]);
    gsl_vector_view one = vector(step_of(w, a), w->terms);
    gsl_vector_view other = vector(step_of(w, b), w->terms);
    if (a != b)
        gsl_blas_dswap(&one.vector, &other.vector);
}

static double product(const double *a, const double *b, size_t count)
{
    double sum = 0;
    for (size_t i = 0; i < count; i++)
        sum += a[i] * b[i];
    return sum;
}

static bool touch(const work *w, size_t a, size_t b)
{
    double *one = step_of(w, a), *other = step_of(w, b);
    double lengths = sqrt(product(one, one, w->terms)) *
                     sqrt(product(other, other, w->terms));
    return fabs(product(one, other, w->terms)) > apart * lengths;
}

/* Groups of columns that touch, directly or through others. */
static void find_groups(work *w)
{
    for (size_t a = 0; a < w->open; a++)
        w->group[a] = a;
    for (size_t a = 0; a < w->open; a++)
        for (size_t b = 0; b < a; b++) {
            size_t from = w->group[a], to = w->group[b];
            if (from == to || !touch(w, a, b))
                continue;
            for (size_t i = 0; i < w->open; i++)
                w->group[i] = w->group[i] == from ? to : w->group[i];
        }
}

/* The largest group among the columns from `first` on. */
static size_t largest_group(const work *w, size_t first)
{
    size_t best = w->group[first], most = 0;
    for (size_t a = first; a < w->open; a++) {
        size_t count = 0;
        for (size_t b = first; b < w->open; b++)
            count += w->group[b] == w->group[a];
        if (count > most || (count == most && w->group[a] < best)) {
            most = count;
            best = w->group[a];
        }
    }
    return best;
}

/* How many counts the column at `at` has left to try, `spare` left to spend,
 * when those from `first` on are yet to be settled. */
static double choices_of(const work *w, size_t first, size_t at, double spare)
{
    size_t j = w->column[at];
    double choices = w->grid->high[j] - w->grid->low[j] + 1;
    double length = own_length(w, first, at);
    return length > 0 ? fmin(choices, 0.5 + 2 * sqrt(spare) / length) : choices;
}

/*
 * Group by group, so that trace elements, which hardly touch the rest, come
 * last: for each choice of the others only their best counts matter.  Within a
 * group first what leaves the fewest choices.
 */
static void order(work *w, double spare)
{
    find_groups(w);
    size_t group = 0, left = 0;
    for (size_t l = 0; l < w->open; l++) {
        if (left == 0) {
            group = largest_group(w, l);
            for (size_t i = l; i < w->open; i++)
                left += w->group[i] == group;
        }
        size_t best = l;
        double fewest = INFINITY;
        for (size_t at = l; at < w->open; at++) {
            if (w->group[at] != group)
                continue;
            double choices = choices_of(w, l, at, spare);
            if (choices < fewest) {
                fewest = choices;
                best = at;
            }
        }
        swap_columns(w, l, best);
        left--;
    }
}

/* Rows of the squares' roots, from the last level to the first; what no count
 * can change goes to the base. */
static void turn(work *w, sw_levels *levels)
{
    size_t count = 0;
    for (size_t l = w->open; l-- > 0;) {
        sw_level *at = &levels->items[l];
        const double *direction = w->basis + count * w->terms;
        count = join_basis(w, count, step_of(w, l), &at->pivot);
        at->row = sw_take_numbers(w->solver, w->open);
        if (at->pivot == 0)
            continue;
        at->goal = -product(direction, w->change, w->terms);
        for (size_t i = 0; i < l; i++) {
            double part = product(direction, step_of(w, i), w->terms);
            at->row[i] = fabs(part) > no_part ? part : 0;
        }
        at->row[l] = at->pivot;
    }
    double rest = leave_span(w, count, w->change);
    levels->base += rest * rest;
}

/* A level's square with what hardly moves its root taken as a blur of it. */
typedef struct blurred {
    const sw_levels *levels;
    double *row; /* over the levels; 0: in the blur */
    double blur;
} blurred;

/* Least square over the counts of levels up to `at`. */
static double least(const blurred *b, size_t at, double root)
{
    while (at > 0 && b->row[at] == 0)
        at--;
    double clear = fmax(fabs(root) - b->blur, 0);
    if (b->row[at] == 0)
        return clear * clear;
    const sw_level *level = &b->levels->items[at];
    bool last = true;
    for (size_t i = 0; i < at; i++)
        last = last && b->row[i] == 0;
    double low = level->low, high = level->high, best = INFINITY;
    if (last)
        low = high = fmin(fmax(round(-root / b->row[at]), low), high);
    for (size_t i = 0; i <= (size_t)(high - low); i++) {
        double d = root + b->row[at] * (low + (double)i);
        clear = fmax(fabs(d) - b->blur, 0);
        best = fmin(best, last ? clear * clear : least(b, at - 1, d));
    }
    return best;
}

static double counts_of(const sw_level *level)
{
    return level->high - level->low + 1;
}

/* Least square of a level whatever the counts up to it; 0 where too many would
 * have to be tried. */
static double least_square(const sw_levels *levels, size_t l, double *room)
{
    const sw_level *at = &levels->items[l];
    blurred b = {.levels = levels, .row = room};
    double tries = 1, fewest = INFINITY, root = -at->goal;
    for (size_t i = 0; i <= l; i++) {
        const sw_level *other = &levels->items[i];
        double half = fabs(at->row[i]) * (other->high - other->low) / 2;
        bool blur = i < l && b.blur + half < blur_share * at->pivot;
        b.row[i] = blur ? 0 : at->row[i];
        if (blur) {
            b.blur += half;
            root += at->row[i] * (other->high + other->low) / 2;
        } else if (at->row[i] != 0) {
            tries *= counts_of(other);
            fewest = fmin(fewest, counts_of(other));
        }
    }
    return at->pivot == 0 || tries / fewest > most_tried ? 0
                                                         : least(&b, l, root);
}

/* What every level leaves to the later ones at least. */
static void look_ahead(const work *w, sw_levels *levels)
{
    double after = 0, *room = sw_take_numbers(w->solver, w->open + 1);
    for (size_t l = levels->count; l-- > 0;) {
        levels->items[l].after = after;
        after += least_square(levels, l, room);
    }
}

/* ---- Guards ---- */

/* Guard `i`: a row over the model's columns, settled ones taken to its sides.
 */
static void set_guard(const work *w, sw_guards *guards, size_t i,
                      const double *row)
{
    const sw_grid *g = w->grid;
    for (size_t l = 0; l < w->open; l++) {
        size_t j = w->column[l];
        guards->coefficient[l * guards->count + i] = row[j] * g->step[j];
    }
    for (size_t j = 0; j < g->model->form.columns; j++) {
        double settled = g->low[j] * g->step[j];
        if (!sw_grid_is_open(g, j)) {
            guards->low[i] -= row[j] * settled;
            guards->high[i] -= row[j] * settled;
        }
    }
}

/* Each term alone, the others at their least, must keep within the limit. */
static void guard_terms(const work *w, sw_guards *guards)
{
    const sw_model *m = w->grid->model;
    size_t n = m->form.columns;
    double spare = w->limit - w->grid->optimum;
    for (size_t e = 0; e < w->terms; e++)
        spare -= sw_grid_least_square(w->grid, e);
    for (size_t e = 0; e < w->terms; e++) {
        size_t i = m->form.rows + e;
        const double *row = m->terms.matrix + e * n;
        double at = sw_row_value(m->terms.matrix, e, n, w->grid->best);
        double square = fmax(spare, 0) + sw_grid_least_square(w->grid, e);
        double reach = sqrt(square) * (1 + 1e-9) + 1e-12;
        guards->low[i] = at - reach;
        guards->high[i] = at + reach;
        set_guard(w, guards, i, row);
    }
}

static void guard_form(const work *w, sw_guards *guards)
{
    const sw_form *form = &w->grid->model->form;
    for (size_t i = 0; i < form->rows; i++) {
        guards->low[i] = form->row_low[i] - sw_limit_tolerance;
        guards->high[i] = form->row_high[i] + sw_limit_tolerance;
        set_guard(w, guards, i, form->matrix + i * form->columns);
    }
}

static void look_ahead_of_guards(const sw_levels *levels, sw_guards *guards)
{
    size_t count = guards->count;
    for (size_t l = levels->count; l-- > 1;) {
        const sw_level *at = &levels->items[l];
        for (size_t i = 0; i < count; i++) {
            double one = guards->coefficient[l * count + i] * at->low;
            double other = guards->coefficient[l * count + i] * at->high;
            guards->least[(l - 1) * count + i] =
                guards->least[l * count + i] + fmin(one, other);
            guards->most[(l - 1) * count + i] =
                guards->most[l * count + i] + fmax(one, other);
        }
    }
}

static void put_guards(const work *w, sw_levels *levels)
{
    size_t count = w->grid->model->form.rows + w->terms;
    sw_guards *guards = &levels->guards;
    *guards =
        (sw_guards){.count = count,
                    .low = sw_take_numbers(w->solver, count),
                    .high = sw_take_numbers(w->solver, count),
                    .coefficient = sw_take_numbers(w->solver, count * w->open),
                    .least = sw_take_numbers(w->solver, count * w->open),
                    .most = sw_take_numbers(w->solver, count * w->open)};
    guard_form(w, guards);
    guard_terms(w, guards);
    look_ahead_of_guards(levels, guards);
}

/* ---- Levels ---- */

/* The open columns as steps of u, and u where their counts are 0. */
static void gather(work *w)
{
    const sw_grid *g = w->grid;
    const sw_terms *terms = &g->model->terms;
    size_t n = g->model->form.columns;
    for (size_t j = 0; j < n; j++) {
        bool open = sw_grid_is_open(g, j);
        double *step = step_of(w, w->open);
        double at = open ? 0 : g->low[j] * g->step[j];
        for (size_t e = 0; e < w->terms; e++) {
            double row = terms->matrix[e * n + j];
            w->change[e] += row * (at - g->best[j]);
            step[e] = row * g->step[j];
        }
        if (open)
            w->column[w->open++] = j;
    }
}

static void fill(const work *w, sw_levels *levels)
{
    const sw_grid *g = w->grid;
    for (size_t l = 0; l < w->open; l++) {
        size_t j = w->column[l];
        levels->items[l] = (sw_level){.column = j,
                                      .low = g->low[j],
                                      .high = g->high[j],
                                      .price = g->price[j] * g->step[j],
                                      .from = g->best[j] / g->step[j]};
    }
}

sw_levels sw_levels_make(sw_solver *solver, const sw_grid *grid, double limit)
{
    size_t n = grid->model->form.columns, terms = grid->model->terms.count;
    work w = {.solver = solver,
              .grid = grid,
              .limit = limit,
              .terms = terms,
              .column = sw_take(solver, n + 1, sizeof(size_t)),
              .group = sw_take(solver, n + 1, sizeof(size_t)),
              .step = sw_take_numbers(solver, (n + 1) * terms),
              .basis = sw_take_numbers(solver, (terms + 1) * terms),
              .change = sw_take_numbers(solver, terms)};
    gather(&w);
    order(&w, fmax(limit - sw_grid_floor(grid), 0));
    sw_levels levels = {.count = w.open,
                        .base = grid->optimum,
                        .items = sw_take(solver, w.open + 1, sizeof(sw_level))};
    fill(&w, &levels);
    turn(&w, &levels);
    look_ahead(&w, &levels);
    put_guards(&w, &levels);
    return levels;
}
