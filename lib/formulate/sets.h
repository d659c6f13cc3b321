/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which products equal recipes can do without. */
#ifndef SW_FORMULATE_SETS_H
#define SW_FORMULATE_SETS_H

#include "formulate/fit.h"
#include "solve/lp.h"

/* Memory for each column of the form, and what is found. */
typedef struct sw_sets {
    sw_solver *solver;
    const sw_block *block;
    const double *closest;
    sw_form form;     /* of what is equal to it */
    bool *free;       /* products that may be chosen or not */
    bool *needed;     /* those that every equal recipe uses */
    bool *chosen;     /* those of the set found */
    double *most;     /* of each column in any equal recipe */
    double *ceiling;  /* the same, roughly */
    double *cost;     /* of each column, beside the dearest */
    double *cheapest; /* the point of the set found */
    sw_lp *lp;        /* of the form, once it is asked */
    size_t fewest;    /* no equal recipe chooses fewer */
} sw_sets;

/* In memory of the solver. */
sw_sets sw_sets_open(sw_solver *solver, const sw_block *block,
                     const double *closest);

/*
 * The set of the fewest products, and of such the cheapest, among the points of
 * `form`; *all: the closest does with no fewer, and nothing else was asked.
 * False where the search did not end.
 */
bool sw_sets_find(sw_sets *sets, const sw_form *form, bool *all);

/* Of each water. */
size_t sw_sets_products(const sw_sets *sets);
/* How many of the free products are used at a point. */
size_t sw_sets_count_used(const sw_sets *sets, const double *y);
/* The product's next column at or after water *i; false when there is none. One
 * in common is there once. */
bool sw_sets_next_column(const sw_sets *sets, size_t j, size_t *i,
                         size_t *column);

#endif
