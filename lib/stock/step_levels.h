/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The squares of a grid, turned so that one count after the other can be
 * settled: levels, each with the count it settles and the square that is known
 * from there on.
 */
#ifndef SW_STOCK_STEP_LEVELS_H
#define SW_STOCK_STEP_LEVELS_H

#include "stock/step_grid.h"

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
    double base;  /* objective where all squares are 0 */
    double floor; /* least objective of any whole counts */
    sw_guards guards;
} sw_levels;

/*
 * Levels for all counts not settled whose objective is at most `limit`; the
 * count with the fewest choices comes first.  Memory of the solver.
 */
sw_levels sw_levels_make(sw_solver *solver, const sw_grid *grid, double limit);

#endif
