/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What a target asks of the pH, which products may answer, and what of the
 * rest they must leave alone.  Acids and bases alone serve the pH: a shelf
 * without the one it takes must not bend its nutrients instead.
 */
#ifndef SW_FORMULATE_PH_PLAN_H
#define SW_FORMULATE_PH_PLAN_H

#include "assess/verdict.h"
#include "chemistry/ph_row.h"
#include "formulate/solver.h"

typedef enum sw_ph_mode {
    SW_PH_LEFT,  /* no pH rows */
    SW_PH_HELD,  /* at the target */
    SW_PH_WINDOW /* within `low` and `high` */
} sw_ph_mode;

typedef enum sw_ph_role {
    SW_PH_NEITHER,
    SW_PH_ACID,
    SW_PH_BASE,          /* carbonates, hydroxides */
    SW_PH_BASIC_NUTRIENT /* brings P or Si: dibasic phosphate, silicate */
} sw_ph_role;

typedef struct sw_ph_plan {
    const sw_target_row *row; /* the target's pH; NULL: none */
    sw_target_row implied;    /* stands in where it is NULL */
    sw_ph_mode mode;
    double low; /* finite: where the target gives none, a safe one */
    double high;
    bool open_low; /* the target gave none */
    bool open_high;
    sw_ph_role *role; /* of each product of the shelf */
    bool *is_closed;  /* of each: no more of it than its min */
    bool *moves;      /* of each: an amount the pH rows may set */
    bool has_acid;    /* whose amount is free */
    bool has_base;
    bool acid_moves;
    bool base_moves;
    bool guarded; /* each component stays within these, mg/L */
    sw_band guard[SW_COMPONENT_COUNT];
    bool clipped;   /* a pH row asks for all that can be, which is not enough */
    char stop[192]; /* what keeps it from more */
} sw_ph_plan;

/* The limits in force on a row: as given, or the band where it counts. */
sw_band sw_limits_of(const sw_problem *problem, const sw_target_row *row);

/*
 * Roles and limits, with the mode SW_PH_LEFT, nothing closed and nothing that
 * moves; arrays in memory of the solver.  Errors of sw_ph_row_at.
 */
sw_status sw_ph_plan_make(sw_solver *solver, const sw_problem *problem,
                          sw_ph_plan *plan, sw_error *error);

/* The pH asked for; without a target the one within the limits next to `ph`. */
double sw_ph_plan_aim(const sw_ph_plan *plan, double ph);

/* False where the shelf fixes the amount or allows none. */
bool sw_ph_can_vary(const sw_product *product);

/* Closes acids, bases, and basic nutrients another product can stand in for. */
void sw_ph_plan_close(sw_ph_plan *plan, const sw_problem *problem);

/* Whether `product` brings what `finished` is short of. */
bool sw_ph_brings_missing(const sw_problem *problem, const sw_product *product,
                          const sw_content *finished);

/*
 * Opens what takes `finished`, whose pH is `ph`, to where it is asked for and
 * says that it moves.  False: nothing does, or nothing has to.
 */
bool sw_ph_plan_open(sw_ph_plan *plan, const sw_problem *problem, double ph,
                     const sw_content *finished);

/*
 * No component that is in its band in `finished` may leave it and none that is
 * outside may go farther, except above by what acid or base bring along: P and
 * Si keep theirs in any case.  With `above_only` the bands are open below.
 */
void sw_ph_plan_guard(sw_ph_plan *plan, const sw_problem *problem,
                      const sw_content *finished, bool above_only);

#endif
