/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which groups of columns the points of a form can do without. */
#ifndef SW_SOLVE_SETS_H
#define SW_SOLVE_SETS_H

#include "solve/lp.h"

/* Columns that count as one: of each group one in each copy; one in common is
 * in all of them. */
typedef struct sw_groups {
    size_t count, copies;
    const size_t *column; /* copy by copy; NULL: each its own */
    size_t stride;        /* from one copy to the next */
} sw_groups;

/* The group's next column at or after copy *i; false when there is none. */
bool sw_group_next(const sw_groups *groups, size_t j, size_t *i,
                   size_t *column);

/* What is asked, memory for each column of the form, and what is found. */
typedef struct sw_sets {
    sw_solver *solver;
    sw_groups groups;
    const bool *free;    /* groups that may be chosen or not */
    const bool *used;    /* free ones that the point at hand uses */
    const double *price; /* of each column, above or at 0 */
    sw_form form;        /* in whose points they are chosen */
    bool *needed;        /* those that every point uses */
    bool *chosen;        /* those of the set found */
    double *most;        /* of each column in any point */
    double *ceiling;     /* the same, roughly */
    double *cost;        /* of each column, beside the dearest */
    double *cheapest;    /* the point of the set found */
    double *without;     /* the cheapest point without each group, */
    bool *told;          /* where one was found that is used */
    sw_lp *lp;           /* of the form, once it is asked */
    size_t fewest;       /* no point chooses fewer */
} sw_sets;

/* For forms of so many columns; in memory of the solver. */
sw_sets sw_sets_open(sw_solver *solver, sw_groups groups, size_t columns);

/*
 * The set of the fewest groups, and of such the cheapest, among the points of
 * the form; *all: the set has all that the point at hand uses.  False where the
 * search did not end.
 */
bool sw_sets_find(sw_sets *sets, bool *all);

#endif
