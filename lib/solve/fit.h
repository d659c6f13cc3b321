/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The best point of a form: by squares, by the largest deviation, by a cost. */
#ifndef SW_SOLVE_FIT_H
#define SW_SOLVE_FIT_H

#include "solve/lp.h"

/* How a solve ended; the point is in memory of the solver. */
typedef struct sw_fit {
    sw_outcome outcome;
    bool has_point; /* after SW_LIMIT there may be none */
    sw_point point;
    double objective;
    sw_proof proof;
    sw_active stands; /* what stands at a bound at the optimum of squares */
} sw_fit;

/* Of points that are as good the one of the least of these costs, a number for
 * each column, one after another; then with most of the first columns. */
typedef struct sw_order {
    size_t count;
    const double *cost[2];
} sw_order;

void sw_fit_squares(sw_solver *solver, const sw_form *form,
                    const sw_terms *terms, const sw_order *order, sw_fit *fit);
/* Where fits of forms that change with their points go round in circles. */
typedef struct sw_beside {
    double weight; /* of the squares of the way from `y`; 0: the first */
    double *y;     /* the point before */
    double *way;   /* to it from the one before that */
} sw_beside;

/* The same with these squares beside, as the form knows no curvature: on from
 * there at most by what is gained.  They vanish where nothing moves, and are
 * left out of objective and proof; SW_LIMIT where there is a point that is not
 * proved without them.  The weight doubles while ways go to and fro, else it is
 * halved; NULL: none are beside (a proximal method: Parikh & Boyd 2014, Found.
 * Trends Optim. 1:127).
 */
void sw_fit_squares_beside(sw_solver *solver, const sw_form *form,
                           const sw_terms *terms, const sw_order *order,
                           sw_beside *beside, sw_fit *fit);
/* The least squares of what `stands`, where that is the least of all and stands
 * at no other bound: into point, which stays as it is otherwise.  No other as
 * good is looked for, and nothing proved. */
bool sw_squares_stay(sw_solver *solver, const sw_form *form,
                     const sw_terms *terms, const sw_active *stands,
                     const sw_point *point);
/* The point has a column more, the largest deviation, and of each term two rows
 * more: the deviation is not above it, and not below it negated. */
void sw_fit_worst(sw_solver *solver, const sw_form *form, const sw_terms *terms,
                  const sw_order *order, sw_fit *fit);
/* By the first cost of the order, which is nowhere below 0. */
void sw_fit_cost(sw_solver *solver, const sw_form *form, const sw_order *order,
                 sw_fit *fit);

/*
 * The corner of a question `of` before that is still the first by the order,
 * which has a cost or two, and `alone` where it has to be the only one: into y,
 * and what is held there.
 */
bool sw_recall_corner(sw_solver *solver, const sw_form *form, uint64_t of,
                      const sw_order *order, bool alone, double *y,
                      const sw_active *active);

/* The same on foot from a point `from` of the form, by the first cost, none of
 * whose numbers is below 0: as the square of what it lacks of one that no point
 * has.  True where it is proved to be the only one. */
bool sw_walk_to_corner(sw_solver *solver, const sw_form *form,
                       const sw_order *order, const double *from, double *y,
                       const sw_active *active);

/* Whether the gap is small beside the objective, or than `floor`. */
bool sw_is_closed(const sw_fit *fit, double floor);

/* ---- What gives way ----------------------------------------------------- */

/* An end of a row that may give way. */
typedef struct sw_yield {
    const struct sw_side *side; /* whoever asks knows which */
    size_t water;               /* likewise */
    bool low_end;
    size_t row;
    double whole; /* what a share is of, in the row's unit */
    double cost;  /* of a share */
    double by;    /* shares */
} sw_yield;

/* Takes the end out of the form. */
void sw_yield_let_go(const sw_form *form, const sw_yield *yield);
/*
 * The least cost of the shares by which ends have to give way for there to be a
 * point of the form, into by; the point and the prices of what keeps it from
 * less into *held, and where these stand (elastic programming: Brown & Graves
 * 1975).  Infinite when it could not be found.
 */
double sw_yields_least(sw_solver *solver, const sw_form *form, sw_yield *yield,
                       size_t count, const sw_point *held,
                       const sw_active *active);

/* ---- What is as good ---------------------------------------------------- */

/* Prices up to this may be 0: what they hold might be free to move. */
#define SW_PRICED 1e-9

/*
 * The optimal face: a copy of `form` in which whatever `active` holds with a
 * price at `point` stays where it is, with `more` rows behind it.
 */
sw_form sw_face_of(sw_solver *solver, const sw_form *form,
                   const sw_point *point, const sw_active *active, size_t more);
/* The same of the form itself. */
void sw_face_hold(sw_form *form, const sw_point *point,
                  const sw_active *active);

/*
 * The first by `order` of the points of a face that meet the goals of `same`,
 * into point->y.  SW_LP_OPTIMAL, or how it stopped, a face that seems empty by
 * rounding with SW_LP_FAILED.
 */
sw_lp_end sw_pick(sw_solver *solver, const sw_order *order, const sw_form *face,
                  const sw_terms *same, const sw_point *point);

/* The same among all points with the deviations of `point`, an optimum of the
 * squares with the prices that prove it and the set that `active` holds. */
sw_lp_end sw_settle(sw_solver *solver, const sw_form *form,
                    const sw_terms *terms, const sw_order *order,
                    const sw_point *point, const sw_active *active);
/* Whether that is where `point` is already, to which `frame` was fitted, as it
 * is where each thing held that has no price in the squares has one in the
 * order. */
bool sw_is_settled(sw_solver *solver, const sw_form *form,
                   const sw_terms *terms, const sw_frame *frame,
                   const sw_order *order, const sw_point *point,
                   const sw_active *active);
/* By these prices alone. */
bool sw_is_first_there(sw_solver *solver, const sw_form *form,
                       const sw_frame *frame, const sw_order *order,
                       const sw_active *active, const sw_point *point);

#endif
