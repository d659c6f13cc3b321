/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Linear programs over a form, by GLPK's simplex method. */
#ifndef SW_SOLVE_LP_H
#define SW_SOLVE_LP_H

#include "solve/form.h"

typedef struct sw_lp sw_lp;

typedef enum sw_lp_end {
    SW_LP_OPTIMAL,
    SW_LP_INFEASIBLE,
    SW_LP_PIVOTS, /* the solve's pivots are spent */
    SW_LP_FAILED  /* numerical trouble */
} sw_lp_end;

/* SW_OPTIMAL, SW_CONFLICT where there is no point, else SW_LIMIT. */
sw_outcome sw_outcome_of(sw_lp_end end);

typedef enum sw_lp_method { SW_LP_PRIMAL, SW_LP_DUAL } sw_lp_method;

/*
 * The form's columns and rows, no objective, every column at its low bound.
 * That start is dual feasible for any objective >= 0.
 */
sw_lp *sw_lp_new(sw_solver *solver, const sw_form *form);
void sw_lp_free(sw_lp *lp);
/* To its start. */
void sw_lp_reset(sw_lp *lp);

void sw_lp_set_cost(sw_lp *lp, size_t column, double cost);
/* Costs of all columns, scaled so that the largest is 1. */
void sw_lp_set_costs(sw_lp *lp, const double *cost);
/* For the question whether there is a point: a dual simplex method without
 * costs meets nothing but ties and may go in circles. */
void sw_lp_set_distinct_costs(sw_lp *lp);
void sw_lp_bound_column(sw_lp *lp, size_t column, double low, double high);
void sw_lp_bound_row(sw_lp *lp, size_t row, double low, double high);
sw_lp_end sw_lp_solve(sw_lp *lp, sw_lp_method method);

/* Whole numbers only, and branch and bound over all columns that are so: after
 * `nodes` it gives up with SW_LP_PIVOTS.  From the first optimal answer on,
 * the value of a column in the best. */
void sw_lp_make_whole(sw_lp *lp, size_t column);
sw_lp_end sw_lp_branch(sw_lp *lp, int nodes);
double sw_lp_whole_value(const sw_lp *lp, size_t column);

double sw_lp_value(const sw_lp *lp, size_t column);
/* The values and prices of `form`, the first columns and rows of the
 * program's. */
void sw_lp_read_point(const sw_lp *lp, const sw_form *form,
                      const sw_point *point);
/* After SW_LP_INFEASIBLE by the dual method: row prices that prove it
 * (sw_is_refuted); false where the method leaves none. */
bool sw_lp_read_refutation(const sw_lp *lp, double *row_price);
/* Where the basis holds the columns and rows of `form`. */
void sw_lp_read_active(const sw_lp *lp, const sw_form *form,
                       const sw_active *active);
/* All of it: a corner of the form at which `cost` >= 0 is least (NULL: the one
 * that is found), and what is held there. */
sw_lp_end sw_lp_corner(sw_solver *solver, const sw_form *form,
                       const double *cost, double *y, const sw_active *active);
/*
 * Confines the program to its optimal face: whatever has a price stays where
 * it is.  Answers how many held columns and rows could still move.
 */
size_t sw_lp_confine(sw_lp *lp);
/* True when the column is held at a bound it cannot leave. */
bool sw_lp_is_settled(const sw_lp *lp, size_t column);

#endif
