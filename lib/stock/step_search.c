/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Every recipe of whole counts up to a limit of the objective, level by level
 * and the nearest count first (Schnorr & Euchner 1994).  The limit widens from
 * just above the floor to the best known, so that what was searched to the end
 * is a lower bound whenever time is up.
 */
#include "stock/step_grid.h"

#include "quantity/ties.h"

#include <math.h>
#include <time.h>

/* Shares of what is between the floor and the best known, one after the
 * other. */
static const double shares[] = {1.0 / 256, 1.0 / 16, 1};
enum { STAGES = sizeof shares / sizeof *shares };
/* The same where no counts are known: what the objective may reach. */
static const double first_reach = 1e-3, reach_growth = 16;

enum { NODES_A_LOOK = 4096 };

typedef struct search {
    const sw_grid *grid;
    sw_levels levels;
    double *count;   /* of each level */
    double *guarded; /* guards' values by the levels before: [l * count + i] */
    double *y, *deviation;
    double limit; /* the objective must stay below */
    double relative_gap;
    sw_count *best;
    double stop; /* by the clock, s */
    long nodes;
    bool out_of_time;
} search;

double sw_grid_clock(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static bool time_is_up(const search *s)
{
    return (s->grid->stop && *s->grid->stop) || sw_grid_clock() > s->stop;
}

static void look_at_clock(search *s)
{
    if (++s->nodes % NODES_A_LOOK == 0 && time_is_up(s))
        s->out_of_time = true;
}

/* Counts of level l that the guards leave possible; none where a guard that
 * the level does not touch cannot hold any more. */
static void confine(const search *s, size_t l, double *low, double *high)
{
    const sw_guards *g = &s->levels.guards;
    const sw_level *level = &s->levels.items[l];
    const double *value = s->guarded + l * g->count;
    const double *coefficient = g->coefficient + l * g->count;
    const double *least = g->least + l * g->count;
    const double *most = g->most + l * g->count;
    double from = level->low, to = level->high;
    for (size_t i = 0; i < g->count; i++) {
        double a = coefficient[i];
        double below = g->low[i] - value[i] - most[i];
        double above = g->high[i] - value[i] - least[i];
        if (a == 0) {
            to = below > 0 || above < 0 ? -INFINITY : to;
            continue;
        }
        below /= a;
        above /= a;
        from = fmax(from, a > 0 ? below : above);
        to = fmin(to, a > 0 ? above : below);
    }
    *low = ceil(from - 1e-9);
    *high = floor(to + 1e-9);
}

/* The square's root with level l at 0. */
static double root_at_zero(const search *s, size_t l)
{
    const sw_level *level = &s->levels.items[l];
    double sum = -level->goal;
    for (size_t i = 0; i < l; i++)
        sum += level->row[i] * s->count[i];
    return sum;
}

static double cost_of(const sw_level *level, double root, double count)
{
    double d = root + level->pivot * count;
    double away = level->price * (count - level->from);
    return (level->pivot > 0 ? d * d : 0) + fmax(away, 0);
}

/* The real count of least cost, held between low and high. */
static double cheapest(const sw_level *level, double root, double low,
                       double high)
{
    double at = level->from;
    if (level->pivot > 0)
        at = -root / level->pivot -
             level->price / (2 * level->pivot * level->pivot);
    else if (level->price != 0)
        at = level->price > 0 ? low : high;
    return fmin(fmax(at, low), high);
}

static void take_leaf(search *s)
{
    const sw_grid *g = s->grid;
    const sw_levels *levels = &s->levels;
    size_t n = g->model->form.columns;
    for (size_t j = 0; j < n; j++)
        s->y[j] = g->low[j] * g->step[j];
    for (size_t l = 0; l < levels->count; l++) {
        size_t j = levels->items[l].column;
        s->y[j] = s->count[l] * g->step[j];
    }
    double value = sw_grid_value_at(g, s->y, s->deviation);
    if (!sw_is_less(value, s->best->objective, SW_SUMMED))
        return;
    s->best->objective = value;
    for (size_t j = 0; j < n; j++)
        s->best->count[j] = round(s->y[j] / g->step[j]) + 0.0;
    s->limit = fmin(s->limit, value * (1 - s->relative_gap));
}

static void settle(search *s, size_t l, double spent);

/* Takes the count and goes on; false where it costs too much. */
static bool try_count(search *s, size_t l, double count, double cost)
{
    const sw_guards *g = &s->levels.guards;
    if (!(cost + s->levels.items[l].after < s->limit))
        return false;
    s->count[l] = count;
    const double *value = s->guarded + l * g->count;
    double *next = s->guarded + (l + 1) * g->count;
    for (size_t i = 0; i < g->count; i++)
        next[i] = value[i] + g->coefficient[l * g->count + i] * count;
    settle(s, l + 1, cost);
    return true;
}

/* From the cheapest count outwards: costs only grow. */
static void settle(search *s, size_t l, double spent)
{
    if (l == s->levels.count) {
        take_leaf(s);
        return;
    }
    const sw_level *level = &s->levels.items[l];
    double low, high, root = root_at_zero(s, l);
    look_at_clock(s);
    confine(s, l, &low, &high);
    if (low > high)
        return;
    double at = cheapest(level, root, low, high);
    double up = round(at), down = up - 1;
    while ((up <= high || down >= low) && !s->out_of_time) {
        bool upwards = up <= high && (down < low || up - at <= at - down);
        double count = upwards ? up : down;
        bool good = try_count(s, l, count, spent + cost_of(level, root, count));
        if (upwards)
            up = good ? up + 1 : high + 1;
        else
            down = good ? down - 1 : low - 1;
    }
}

/* Everything below `limit`; false when time was up. */
static bool search_below(sw_solver *solver, const sw_grid *grid, search *s,
                         double limit)
{
    s->limit = limit;
    if (time_is_up(s))
        return false;
    sw_grid near = sw_grid_copy(solver, grid);
    sw_grid_shrink(solver, &near, limit);
    if (sw_grid_is_empty(&near))
        return true;
    s->grid = &near;
    s->levels = sw_levels_make(solver, &near, limit);
    s->count = sw_take_numbers(solver, grid->model->form.columns + 1);
    s->guarded =
        sw_take_numbers(solver, (s->levels.count + 1) * s->levels.guards.count);
    settle(s, 0, s->levels.base);
    s->grid = grid;
    return !s->out_of_time;
}

/* A value of the objective that no counts exceed. */
static double most(const sw_grid *g)
{
    const sw_terms *terms = &g->model->terms;
    size_t n = g->model->form.columns;
    double sum = 0;
    for (size_t e = 0; e < terms->count; e++) {
        double low = -terms->goal[e], high = low;
        for (size_t j = 0; j < n; j++) {
            double a = terms->matrix[e * n + j] * g->step[j];
            double one = a * g->low[j], other = a * g->high[j];
            low += fmin(one, other);
            high += fmax(one, other);
        }
        sum += fmax(low * low, high * high);
    }
    return sum;
}

/* The limit of a stage; INFINITY past the last. */
static double limit_of(const sw_grid *grid, double known, double floor,
                       int stage)
{
    if (known < INFINITY)
        return stage < STAGES ? floor + shares[stage] * (known - floor)
                              : INFINITY;
    double reach = first_reach * pow(reach_growth, stage);
    bool past = reach > reach_growth * (most(grid) + first_reach);
    return past ? INFINITY : floor + reach;
}

sw_grid_end sw_grid_decode(sw_solver *solver, const sw_grid *grid, double stop,
                           double relative_gap, sw_count *best)
{
    search s = {.grid = grid,
                .y = sw_take_numbers(solver, grid->model->form.columns),
                .deviation = sw_take_numbers(solver, grid->model->terms.count),
                .relative_gap = relative_gap,
                .best = best,
                .stop = stop};
    double known = best->objective;
    sw_grid_end end = {.lower_bound = sw_grid_floor(grid)};
    for (int stage = 0; !end.in_time; stage++) {
        double limit = limit_of(grid, known, sw_grid_floor(grid), stage);
        if (limit < INFINITY && !search_below(solver, grid, &s, limit))
            break;
        /* nothing is below the limit, or what was found lowered it */
        end.lower_bound = fmax(end.lower_bound, fmin(s.limit, known));
        end.in_time = s.limit < limit || !(limit < known);
    }
    return end;
}
