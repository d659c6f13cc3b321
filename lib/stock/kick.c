/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Better counts by chance.  Several sources of a nutrient leave directions in
 * which nothing changes but the fit of whole steps; single and double steps
 * do not find their way along them, a few changes at once often do.
 */
#include "stock/steps.h"

#include <gsl/gsl_rng.h>
#include <math.h>

enum { MOST_CHANGES = 4, MOST_STEPS = 3 };

/* The columns whose counts are not settled; how many. */
static size_t list_open(const sw_grid *g, size_t *open)
{
    size_t count = 0;
    for (size_t j = 0; j < g->model->form.columns; j++)
        if (g->step[j] > 0 && g->low[j] < g->high[j])
            open[count++] = j;
    return count;
}

/* Changes 2 to MOST_CHANGES of them by up to MOST_STEPS within the bounds. */
static void shake(gsl_rng *rng, const sw_grid *g, const size_t *open,
                  size_t open_count, double *count)
{
    unsigned long changes = 2 + gsl_rng_uniform_int(rng, MOST_CHANGES - 1);
    for (unsigned long i = 0; i < changes; i++) {
        size_t j = open[gsl_rng_uniform_int(rng, open_count)];
        double by =
            (double)gsl_rng_uniform_int(rng, 2 * MOST_STEPS + 1) - MOST_STEPS;
        count[j] = fmin(fmax(count[j] + by, g->low[j]), g->high[j]);
    }
}

/* Rounds a random mixture of three corners. */
static void mix(gsl_rng *rng, const sw_grid *g, double *count)
{
    size_t n = g->model->form.columns;
    double share[3], sum = 0;
    const double *corner[3];
    for (int i = 0; i < 3; i++) {
        sum += share[i] = gsl_rng_uniform_pos(rng);
        corner[i] = g->corner + gsl_rng_uniform_int(rng, g->corners) * n;
    }
    for (size_t j = 0; j < n; j++) {
        double y = 0;
        for (int i = 0; i < 3; i++)
            y += share[i] / sum * corner[i][j];
        if (g->step[j] > 0)
            count[j] = fmin(fmax(round(y / g->step[j]), g->low[j]), g->high[j]);
    }
}

void sw_grid_kick(sw_solver *solver, const sw_grid *grid, int kicks,
                  double relative_gap, sw_count *best)
{
    sw_count at = sw_count_take(solver, grid);
    double enough = sw_grid_floor(grid) * (1 + relative_gap);
    size_t *open = sw_take(solver, grid->model->form.columns, sizeof *open);
    size_t open_count = list_open(grid, open);
    if (open_count == 0)
        return;
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_taus2);
    for (int i = 0; rng && i < kicks && best->objective > enough; i++) {
        sw_count_copy(grid, &at, best);
        if (i % 2 && grid->corners)
            mix(rng, grid, at.count);
        else
            shake(rng, grid, open, open_count, at.count);
        sw_grid_descend(solver, grid, &at);
        if (at.objective < best->objective)
            sw_count_copy(grid, best, &at);
    }
    gsl_rng_free(rng);
}
