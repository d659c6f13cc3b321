/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What one thread needs between solves: memory that is reused, and a net. */
#ifndef SW_SOLVE_SOLVER_H
#define SW_SOLVE_SOLVER_H

#include "quantity/status.h"

#include <setjmp.h>

struct sw_chunk;
struct sw_lp;
struct sw_kept;

/* What earlier solves leave, see form.h: active sets, those of corners, and
 * prices that prove that there is no point. */
typedef enum sw_kind_kept {
    SW_KEPT_SETS,
    SW_KEPT_CORNERS,
    SW_KEPT_PROOFS,
    SW_KINDS_KEPT
} sw_kind_kept;

struct sw_solver {
    struct sw_chunk *blocks; /* memory of the solve in hand, then kept */
    struct sw_lp *lps;       /* problems GLPK holds for it */
    jmp_buf net;             /* where sw_solver_drop lands */
    char complaint[200];     /* what GLPK last had to say */
    int pivot_limit;         /* of the solve in hand */
    int pivots;              /* spent by the solve in hand */
    struct sw_kept *kept[SW_KINDS_KEPT];
    bool forgets; /* none of it is tried: for tests */
};

/*
 * Runs work(solver, task) over a net: an internal error of GLPK (SW_ERR_SOLVER)
 * or a lack of memory, GLPK's too (SW_ERR_MEMORY), below it ends the work there
 * and becomes the status returned.  Everything taken from the solver meanwhile
 * is returned to it, and GLPK's environment is gone; that of an application is
 * left alone, as the work then has a thread of its own.  GLPK prints nothing.
 */
sw_status sw_solver_run(sw_solver *solver,
                        sw_status (*work)(sw_solver *solver, void *task),
                        void *task);

/* Returns `status`, with *error filled where it fell into the net; `doing` is
 * what could not be done: "assigning the tanks". */
sw_status sw_solver_fail(const sw_solver *solver, sw_status status,
                         const char *doing, sw_error *error);

/* Zeroed memory until the work ends; never NULL (drops into the net). */
void *sw_take(sw_solver *solver, size_t count, size_t size);
double *sw_take_numbers(sw_solver *solver, size_t count);

/* Where the memory taken stands, and the way back: what was taken since, and
 * the problems GLPK holds since, are gone. */
typedef struct sw_mark {
    struct sw_chunk *block;
    size_t used;
    struct sw_lp *lps;
} sw_mark;
sw_mark sw_solver_mark(const sw_solver *solver);
void sw_solver_release(sw_solver *solver, sw_mark mark);

/* Ends the work in hand with `status`. */
_Noreturn void sw_solver_drop(sw_solver *solver, sw_status status);

#endif
