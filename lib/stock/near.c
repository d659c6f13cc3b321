/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * All nearest counts are no move at all, and as a rule they do.  Else whole
 * numbers k with y = step * k, a binary for each that is not the nearest, and
 * how far each amount is from the one in hand.
 */
#include "stock/near.h"

#include <math.h>
#include <string.h>

/* What a moved amount counts beside the number of moved ones. */
static const double by_share = 1e-3;
enum { MOST_NODES = 2000 };

typedef struct work {
    sw_solver *solver;
    const sw_grid *grid;
    const double *hand;
    sw_form form;    /* with the rows of what is equal */
    double *nearest; /* counts */
    double *least;   /* counts that an equal recipe may have */
    double *most;
    size_t *whole; /* columns of the counts in the program */
} work;

void sw_near_counts(const sw_grid *grid, const double *hand, double *count)
{
    for (size_t j = 0; j < grid->model->form.columns; j++)
        if (grid->step[j] > 0)
            count[j] = fmin(fmax(round(hand[j] / grid->step[j]), grid->low[j]),
                            grid->high[j]);
}

/* coefficient[i] of column[i], at most `high`. */
static void add_row(sw_lp *lp, size_t count, const size_t *column,
                    const double *coefficient, double low, double high)
{
    sw_sparse row = {count, column, coefficient};
    sw_lp_add_row(lp, &row, low, high);
}

/* The count k, whether it is moved, and by how much of the amount. */
static void add_count(work *w, sw_lp *lp, size_t j)
{
    double step = w->grid->step[j], nearest = w->nearest[j];
    double reach = fmax(w->most[j] - nearest, nearest - w->least[j]);
    double of = fmax(w->hand[j] / step, fmax(w->most[j], 1));
    size_t k = sw_lp_add_column(lp, w->least[j], w->most[j], 0);
    size_t moved = sw_lp_add_column(lp, 0, 1, 1);
    size_t far = sw_lp_add_column(lp, 0, INFINITY, by_share);
    sw_lp_make_whole(lp, k);
    sw_lp_make_whole(lp, moved);
    w->whole[j] = k;
    add_row(lp, 2, (size_t[]){j, k}, (double[]){1, -step}, 0, 0);
    for (int side = -1; side <= 1; side += 2) {
        add_row(lp, 2, (size_t[]){k, moved}, (double[]){side, -reach},
                -INFINITY, side * nearest);
        add_row(lp, 2, (size_t[]){k, far}, (double[]){side / of, -1}, -INFINITY,
                side * w->hand[j] / step / of);
    }
}

static bool search(work *w, sw_count *out)
{
    size_t bytes = w->form.columns * sizeof *w->least;
    memcpy(w->least, w->grid->low, bytes);
    memcpy(w->most, w->grid->high, bytes);
    sw_grid_bound(w->grid, &w->form);
    if (!sw_grid_ranges(w->solver, w->grid, &w->form, w->least, w->most))
        return false;
    sw_lp *lp = sw_lp_new(w->solver, &w->form);
    for (size_t j = 0; j < w->form.columns; j++)
        if (w->grid->step[j] > 0)
            add_count(w, lp, j);
    bool found = sw_lp_branch(lp, MOST_NODES) == SW_LP_OPTIMAL;
    for (size_t j = 0; found && j < w->form.columns; j++)
        if (w->grid->step[j] > 0)
            out->count[j] = round(sw_lp_whole_value(lp, w->whole[j])) + 0.0;
    sw_lp_free(lp);
    return found;
}

/* Counts as they are, judged. */
static bool keeps(const work *w, const sw_equal *equal, sw_count *out)
{
    size_t n = w->form.columns;
    double *y = sw_take_numbers(w->solver, n);
    sw_grid_point(w->grid, out->count, y);
    out->objective = sw_grid_value(w->solver, w->grid, out->count);
    return isfinite(out->objective) && sw_equal_keeps(equal, n, y);
}

bool sw_near_find(sw_solver *solver, const sw_grid *grid, const sw_equal *equal,
                  const double *hand, sw_count *out)
{
    size_t n = grid->model->form.columns;
    work w = {.solver = solver,
              .grid = grid,
              .hand = hand,
              .form = sw_equal_form(solver, &grid->model->form, equal),
              .nearest = sw_take_numbers(solver, n),
              .least = sw_take_numbers(solver, n),
              .most = sw_take_numbers(solver, n),
              .whole = sw_take(solver, n, sizeof(size_t))};
    sw_near_counts(grid, hand, w.nearest);
    memcpy(out->count, w.nearest, n * sizeof *out->count);
    if (keeps(&w, equal, out))
        return true;
    return search(&w, out) && keeps(&w, equal, out);
}
