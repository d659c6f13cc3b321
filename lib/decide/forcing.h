/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which targets make it that so much of a tank has to be let out. */
#ifndef SW_DECIDE_FORCING_H
#define SW_DECIDE_FORCING_H

#include "decide/reach.h"

/* A gain below this share of what the tank holds is none worth naming. */
#define SW_FORCING_WORTH 1e-3

/* An end that holds the share of the first water down. */
typedef struct sw_forcing_end {
    size_t end;      /* of the reach */
    double alone;    /* the highest share were it alone left aside */
    double together; /* with those before it left aside too; NaN: it is no part
                        of the way to all of the first water */
} sw_forcing_end;

typedef struct sw_forcing_ends {
    sw_forcing_end *items;
    size_t count;
} sw_forcing_ends;

/*
 * Of the ends that `reach` keeps, those that hold its share down: first a way
 * to all of the first water, each step the one that gains most or, where none
 * does alone, a smallest set that does together; then what alone would gain
 * without being on that way.  Every share is solved for.  The problem's waters
 * are free.  Statuses of sw_formulate.  Release the items with free whatever
 * is returned.
 */
sw_status sw_forcing_find(sw_solver *solver, const sw_problem *problem,
                          const sw_reach *reach, sw_forcing_ends *forcing,
                          sw_error *error);

#endif
