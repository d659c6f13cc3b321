/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What a model of a problem is built under: which products may serve, and what
 * the target asks of the pH.  Acids and bases never serve together, so a
 * problem is solved with either and the better is taken.
 */
#ifndef SW_FORMULATE_SETTING_H
#define SW_FORMULATE_SETTING_H

#include "assess/agent.h"
#include "assess/verdict.h"
#include "chemistry/ph_row.h"
#include "solve/solver.h"

/* Of acids and bases.  With either, no limit of ours holds and nothing keeps
 * one from the other: a relaxation for who branches on it. */
typedef enum sw_allowed {
    SW_NO_AGENT,
    SW_ACIDS,
    SW_BASES,
    SW_EITHER = SW_ACIDS | SW_BASES
} sw_allowed;

/* Of a row of the target: what a solution of each of two waters alone stays
 * between; a mix of them, between the same mix of these.  NaN: nothing. */
typedef struct sw_no_further {
    double min[2], max[2];
} sw_no_further;

/* One row of the target on pH. */
typedef struct sw_ph_aim {
    const sw_target_row *row; /* of line 0 where the target names none */
    double target;            /* NaN: none */
    double low;               /* limits in force; infinite: none */
    double high;
    sw_origin low_origin;
    sw_origin high_origin;
    /* What a meq/L less, or more, than at the target counts: 0.1 at the end of
     * the accepted range in the solution the target asks for. */
    double scale_below;
    double scale_above;
} sw_ph_aim;

enum { SW_MOST_AIMS = 2 }; /* pH as mixed, and aired */

/* What gave way of a row: its limits as they were, NaN where they stand. */
typedef struct sw_gave {
    double min, max;
    double brings; /* mg/L, too much, that the water alone does; or 0 */
    bool lifted;   /* a ratio that only a solution without it kept */
} sw_gave;

/* A problem whose limits are moved to where a recipe is. */
typedef struct sw_easing_state {
    sw_problem problem;
    sw_target target;
    sw_gave *gave; /* of each row of the target */
} sw_easing_state;

typedef struct sw_setting {
    const sw_gave *gave; /* of each row of the target; NULL: nothing */
    sw_allowed allowed;
    sw_ph_role *role;  /* of each product of the shelf */
    sw_left_out *shut; /* of each: SW_IN_USE, or why no more than its min */
    bool has_acid;     /* whose amount is free */
    bool has_base;
    bool own_limit;      /* `allowed` brings a limit of ours on the pH */
    bool seeks_ph;       /* a line of the target, or a set of ours, names one */
    sw_content possible; /* some of all that waters and products bring */
    sw_ph_aim aim[SW_MOST_AIMS];
    size_t aims;
    sw_ph_memory *start; /* rows of the solution that is asked for */
    size_t starts;
} sw_setting;

/* Whether its objective is a sum over amounts: targets are limits only. */
bool sw_is_of_amounts(const sw_problem *problem);
/* The limits in force on a row: as given, or the accepted range where it
 * counts. */
sw_band sw_limits_of(const sw_problem *problem, const sw_target_row *row);
/* Whether an end of those is there for a ratio's target alone. */
bool sw_seeks_ratio(const sw_problem *problem, const sw_target_row *row);

/*
 * The setting with neither acid nor base, of a problem of which `gave` gave way
 * (NULL: nothing); arrays in memory of the solver.  Errors of sw_ph_row_at.
 */
sw_status sw_setting_make(sw_solver *solver, const sw_problem *problem,
                          const sw_gave *gave, sw_setting *setting,
                          sw_error *error);
/* The same in which acids, or bases, serve, with the limits that go with it. */
sw_setting sw_setting_with(sw_solver *solver, const sw_setting *none,
                           const sw_problem *problem, sw_allowed allowed);
/* Those that a problem is solved under, into `list`; answers how many. */
enum { SW_MOST_SETTINGS = 3 };
size_t sw_settings_list(sw_solver *solver, const sw_setting *none,
                        const sw_problem *problem, sw_setting *list);

/* Its waters in the shares that are given; a litre of each without. */
sw_content sw_problem_water(const sw_problem *problem);

#endif
