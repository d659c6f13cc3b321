/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The rounds in which a pH settles, for one water or for several together; and
 * one problem from its settings to the best fit. */
#ifndef SW_FORMULATE_SETTLE_H
#define SW_FORMULATE_SETTLE_H

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
    bool may_stay;  /* what stands at its point may still hold the next one */
    bool is_proved; /* the point is, not only the least of what it stands on */
    sw_point held;
    sw_beside beside; /* its y is the fit's */
    sw_reached reached;
    bool settled;
} sw_rounds;

/* Limits on a pH missed by amounts this near are missed alike. */
#define SW_SAME_MEQ_PER_L 1e-6

/* Takes memory for a solution of so many columns, rows and terms of `all`. */
void sw_rounds_open(sw_rounds *rounds, size_t columns, size_t rows,
                    size_t terms);

/* Puts into each y the recipe without acid or base and with no regard to the
 * pH, where there is none the waters; rows begin at the solution asked for. */
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

/* ---- One problem -------------------------------------------------------- */

typedef struct sw_attempt {
    sw_setting setting;
    sw_model model; /* whose notes need sw_notes_free */
    sw_fit fit;
    sw_reached reached;
    double ionic_strength; /* of its solution; NaN where no pH is asked for */
    bool misses_ph;
} sw_attempt;

/*
 * Solves `problem`, of which `gave` gave way (or NULL), with neither acid nor
 * base, with acids, with bases, as far as each may be better; *best is the
 * best of them, which keeps the limits on the pH or comes nearest,
 * and then has the least objective. What became of the pH is in its notes.
 * Of what is undetermined there is an outcome alone.
 * Errors: see sw_formulate.
 */
sw_status sw_settle_best(sw_solver *solver, const sw_problem *problem,
                         const sw_gave *gave,
                         sw_attempt attempts[SW_MOST_SETTINGS],
                         sw_attempt **best, sw_error *error);

/* The pH, into the model, and ionic strength at the attempt's point, and notes
 * on its pH and on what is left out.  Errors of sw_equilibrate that are none of
 * a brine's. */
sw_status sw_settle_look(sw_attempt *a, sw_error *error);
/* A pH this far out of its range is missed, a share of a target short. */
#define SW_PH_MISSED 0.005

/* Whether the `ph` of the attempt's solution misses the aim, and notes on it.
 * SW_ERR_MEMORY. */
sw_status sw_say_ph(sw_attempt *a, const sw_ph_aim *aim, double ph);
/* Whether nobody knows the alkalinity, or the CO2 where the pH as mixed is in
 * the problem, for its own sake or that of acid or base on the shelf. */
bool sw_is_undetermined(const sw_setting *none, const sw_problem *problem);
/* Which of them.  SW_ERR_MEMORY. */
sw_status sw_note_undetermined(const sw_problem *problem, sw_notes *notes);
/* Moves what cannot be sized of the attempt's acid or base from the amounts of
 * `recipe` to its most_g_per_l, and says so.  SW_ERR_MEMORY. */
sw_status sw_leave_unsized(const sw_attempt *a, sw_recipe *recipe,
                           sw_notes *notes);
/* Acids and bases that are left out though what they bring is short in the
 * `finished` solution.  SW_ERR_MEMORY. */
sw_status sw_say_left_out(const sw_attempt *a, const sw_content *finished,
                          sw_notes *notes);

#endif
