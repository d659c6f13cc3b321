/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One problem from its model to a fit, the pH included. */
#ifndef SW_FORMULATE_ATTEMPT_H
#define SW_FORMULATE_ATTEMPT_H

#include "formulate/fit.h"

typedef struct sw_attempt {
    const sw_problem *problem;
    sw_ph_plan plan;
    sw_model model; /* whose notes need sw_notes_free */
    sw_fit fit;
    sw_error error; /* of the status answered */
} sw_attempt;

/*
 * Solves for `problem`: first without acids and bases, then with those that
 * take the pH to where the target wants it, as far as limits, and nutrients
 * near what they were, allow.  Where the target names no pH, acids and bases
 * serve as nutrients within the usual range of pH.  What became of the pH is
 * in the notes.  Errors: see sw_formulate.
 */
sw_status sw_attempt_run(sw_solver *solver, sw_attempt *attempt);

#endif
