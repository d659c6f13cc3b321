/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What counts as equal to a recipe: nobody could weigh or measure more. */
#ifndef SW_FORMULATE_EQUAL_H
#define SW_FORMULATE_EQUAL_H

#include "formulate/model.h"

/* Rows over the columns of a model, by rows: low <= matrix y <= high. */
typedef struct sw_equal {
    size_t rows;
    double *matrix, *low, *high;
} sw_equal;

/* Of a target, or a pH: six digits do not tell it. */
#define SW_SAME_SHARE 1e-6

/* How far apart what is equal may be; at SW_SAME_SHARE, a pH asked for too. */
typedef struct sw_nearness {
    double share, ph;
    const double *step; /* that a scale has, of each column; NULL: any amount */
} sw_nearness;

/*
 * The points that count as equal to `y`: no component that has a target is
 * further from it than the share of that target, none that the target does not
 * name rises by more than that share (of what there is of it; of N, for its
 * forms; of sw_feed_ceiling_mg_per_l), or than the coarsest step of what is
 * used; every component and ratio within its accepted range stays there, and
 * the pH, linear at the activities of `y`, stays as near.  EC is for who knows
 * the point.  In memory of the solver; errors of sw_equilibrate.
 */
sw_status sw_equal_to(sw_solver *solver, const sw_model *model, const double *y,
                      sw_nearness apart, sw_equal *equal, sw_error *error);
/* The form of all with these rows of each water behind its own; its bounds are
 * copies, and where `y`, of all, does not keep them they stand where it is;
 * NULL: they stand. */
sw_form sw_equal_form(sw_solver *solver, const sw_block *block,
                      const sw_equal *equal, const double *y);

#endif
