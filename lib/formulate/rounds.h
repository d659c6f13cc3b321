/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The rounds in which a pH settles, for one water or for several together. */
#ifndef SW_FORMULATE_ROUNDS_H
#define SW_FORMULATE_ROUNDS_H

#include "formulate/fit.h"

/* How near a pH out of reach was come to. */
typedef struct sw_reached {
    double miss_meq_per_l; /* in all; 0: every limit on a pH is kept */
    bool is_held;
    sw_point held; /* the prices of what keeps it from more */
} sw_reached;

typedef struct sw_rounds {
    sw_solver *solver;
    sw_block block;
    double **y; /* of each water: a guess, then the solution */
    void (*assemble)(void *context); /* what the models now say into `all` */
    void *context;
    bool keeps; /* no pH may give way: is there a recipe at all? */
    sw_fit fit;
    sw_point held;
    sw_reached reached;
    bool settled;
} sw_rounds;

/* Limits on a pH missed by amounts this near are missed alike. */
#define SW_SAME_MEQ_PER_L 1e-6

/* Takes memory for a solution of so many columns, rows and terms of `all`. */
void sw_rounds_open(sw_rounds *rounds, size_t columns, size_t rows,
                    size_t terms);

/* Puts into each y the recipe without acid or base and with no regard to the
 * pH; where there is none, the waters. */
void sw_rounds_guess(sw_rounds *rounds);

/*
 * From the guess `y` until the rows on the pH say the same again: first with
 * acids, bases and buffers, as they tell whether the pH can be had, then with
 * what salts do to it (Newton's method).  What cannot be had is come as near to
 * as acids and bases alone can.  Errors of sw_model_set_ph.
 */
sw_status sw_rounds_run(sw_rounds *rounds, sw_error *error);

/* A brine beyond the chemistry has no pH to speak of: what was found without
 * one stands. */
sw_status sw_forgive_brine(sw_status status, sw_error *error);

#endif
