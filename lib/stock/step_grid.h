/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Whole steps: each product a whole number of steps of its scale, as close to
 * the targets as any such recipe.  The grid, and search on it.
 */
#ifndef SW_STOCK_STEP_GRID_H
#define SW_STOCK_STEP_GRID_H

#include "formulate/equal.h"
#include "formulate/fit.h"

/* Columns are those of the model, whose water is settled: a product each. */
typedef struct sw_grid {
    const sw_model *model;
    const double *best; /* continuous optimum, in the model's unit */
    double optimum;     /* its objective */
    double *step;       /* in the model's unit */
    double *low, *high; /* counts allowed, whole numbers */
    double *price;      /* the objective's growth at the optimum, by column */
    const volatile int *stop; /* of sw_scale; or NULL */
} sw_grid;

typedef struct sw_count {
    double *count;    /* of each column */
    double objective; /* INFINITY: breaks a limit */
} sw_count;

sw_count sw_count_take(sw_solver *solver, const sw_grid *grid);
void sw_count_copy(const sw_grid *grid, sw_count *to, const sw_count *from);

/* y of counts. */
void sw_grid_point(const sw_grid *grid, const double *count, double *y);

/* Sum of squares of a point, INFINITY when a limit of the form is broken;
 * `deviation` is room for the terms. */
double sw_grid_value_at(const sw_grid *grid, const double *y,
                        double *deviation);

/* Whether column j still has a choice of counts. */
bool sw_grid_is_open(const sw_grid *grid, size_t j);

/* A limit may be missed by this, in the form's scaled rows. */
extern const double sw_limit_tolerance;

/*
 * Rounds the continuous optimum, then changes one or two counts by a step as
 * long as that helps.
 */
void sw_grid_round(sw_solver *solver, const sw_grid *grid, sw_count *out);

/*
 * Narrows low and high to what can still beat `objective`: around the optimum
 * the objective grows at least by its gradient and the squares of the changed
 * deviations, which are linear limits.  What terms of a sole column must lose
 * by whole counts is taken from the room of all others.
 */
void sw_grid_shrink(sw_solver *solver, sw_grid *grid, double objective);

/* Least (change of term e's deviation)^2 that whole counts can have; 0 where
 * too many would have to be tried. */
double sw_grid_least_square(const sw_grid *grid, size_t e);

/* No counts do better: the optimum and all least squares. */
double sw_grid_floor(const sw_grid *grid);

/* How many contents and ratios of the target these counts meet. */
size_t sw_grid_met(sw_solver *solver, const sw_grid *grid, const sw_count *at);

/* Whether some count has no whole number left. */
bool sw_grid_is_empty(const sw_grid *grid);

/* With counts and steps of its own; and with those products alone, beside what
 * has to be, of which there is any in `hand`. */
sw_grid sw_grid_copy(sw_solver *solver, const sw_grid *grid);
sw_grid sw_grid_of_used(sw_solver *solver, const sw_grid *grid,
                        const double *hand);

/* The nearest count of each amount in hand that the grid allows. */
void sw_near_counts(const sw_grid *grid, const double *hand, double *count);

/* The misfit of those, whatever the grid allows. */
double sw_near_objective(sw_solver *solver, const sw_grid *grid,
                         const double *hand);
/* How many times finer all steps are where these are as near to the hand as
 * `apart` has it; 0: not even 100 times are. */
int sw_near_finer(sw_solver *solver, const sw_grid *grid, sw_nearness apart,
                  const double *hand);

/*
 * Among the counts whose recipe keeps the grid's limits and the rows of
 * `equal`: the fewest that are not the nearest to the amounts in `hand` (of
 * each column, in the model's unit), and of as many the least sum of moves as
 * shares of the amounts.  Branch and bound (GLPK).  False where there are none,
 * or the search did not end.
 */
bool sw_near_find(sw_solver *solver, const sw_grid *grid, const sw_equal *equal,
                  const double *hand, sw_count *out);

typedef struct sw_grid_end {
    double lower_bound;
    bool in_time;
} sw_grid_end;

/*
 * All counts that can beat *best, which must hold the best known; improves it.
 * Ends when none is better by more than `relative_gap`, or when sw_grid_clock
 * has passed `stop`, or the grid's own is set.
 */
sw_grid_end sw_grid_decode(sw_solver *solver, const sw_grid *grid, double stop,
                           double relative_gap, sw_count *best);
/* Seconds of a clock that only goes forward. */
double sw_grid_clock(void);

/* ---- Levels ---------------------------------------------------------------
 */

/*
 * The squares of a grid, turned so that one count after the other can be
 * settled: levels, each with the count it settles and the square that is known
 * from there on.
 */
typedef struct sw_level {
    size_t column;    /* of the grid */
    double low, high; /* its counts */
    double price;     /* the objective's growth by a step, at the optimum */
    double from;      /* count at the optimum */
    double pivot; /* by a step of it the square's root grows; 0: no square */
    double *row;  /* of the square's root, over the levels up to this */
    double goal;
    double after; /* least that all later levels add */
} sw_level;

/* Linear limits by level: those of the form, and each term within the room. */
typedef struct sw_guards {
    size_t count;
    double *low, *high;   /* of each guard */
    double *coefficient;  /* of guard i at level l: [l * count + i] */
    double *least, *most; /* what the levels after l bring: the same */
} sw_guards;

typedef struct sw_levels {
    sw_level *items;
    size_t count;
    double base; /* objective where all squares are 0 */
    sw_guards guards;
} sw_levels;

/*
 * Levels for all counts not settled whose objective is at most `limit`; the
 * count with the fewest choices comes first.  Memory of the solver.
 */
sw_levels sw_levels_make(sw_solver *solver, const sw_grid *grid, double limit);

#endif
