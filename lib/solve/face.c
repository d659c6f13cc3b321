/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Several points can be as good.  What has a price is held on the whole
 * optimal face (complementary slackness), which leaves a small linear program.
 * A chain of them picks one point: each is confined to the optimal face of
 * the one before by fixing whatever has a price (a lexicographic programme;
 * Isermann 1982), until nothing can move.
 */
#include "solve/fit.h"

#include <math.h>

/* A bound passed by less is not passed. */
static const double hair = 1e-12;
/* A linear program lets pass so much of a bound, and of rows that are nearly
 * parallel more. */
static const double least_digits = 1e-9, most_digits = 1e-6;

static void hold(sw_stand stand, double price, double *low, double *high)
{
    if (fabs(price) <= SW_PRICED)
        return;
    if (stand == SW_AT_LOW)
        *high = *low;
    else if (stand == SW_AT_HIGH)
        *low = *high;
}

void sw_face_hold(sw_form *form, const sw_point *point, const sw_active *active)
{
    for (size_t j = 0; j < form->columns; j++)
        hold(active->column[j], point->column_price[j], &form->low[j],
             &form->high[j]);
    for (size_t i = 0; i < form->rows; i++)
        hold(active->row[i], point->row_price[i], &form->row_low[i],
             &form->row_high[i]);
}

sw_form sw_face_of(sw_solver *solver, const sw_form *form,
                   const sw_point *point, const sw_active *active, size_t more)
{
    sw_form face = sw_form_wider(solver, form, 0, 0);
    sw_face_hold(&face, point, active);
    return more ? sw_form_wider(solver, &face, 0, more) : face;
}

/* As much of each column as can be, one after another. */
static sw_lp_end prefer_in_order(sw_lp *lp, double *preference, size_t columns)
{
    sw_lp_end end = SW_LP_OPTIMAL;
    for (size_t j = 0; j < columns && end == SW_LP_OPTIMAL; j++) {
        if (sw_lp_is_settled(lp, j))
            continue;
        preference[j] = -1;
        sw_lp_set_costs(lp, preference);
        preference[j] = 0;
        end = sw_lp_solve(lp, SW_LP_PRIMAL);
        if (end == SW_LP_OPTIMAL && sw_lp_confine(lp) == 0)
            break;
    }
    return end;
}

static sw_lp_end break_ties(sw_solver *solver, const sw_order *order, sw_lp *lp,
                            size_t columns)
{
    sw_lp_method method = SW_LP_DUAL;
    for (size_t k = 0; k < order->count; k++) {
        sw_lp_set_costs(lp, order->cost[k]);
        sw_lp_end end = sw_lp_solve(lp, method);
        method = SW_LP_PRIMAL;
        if (end != SW_LP_OPTIMAL || sw_lp_confine(lp) == 0)
            return end;
    }
    double *preference = sw_take_numbers(solver, columns);
    return prefer_in_order(lp, preference, columns);
}

/* What holds the first corner by the order, into `active`. */
static sw_lp_end find_first(sw_solver *solver, const sw_order *order,
                            const sw_form *form, const sw_active *active)
{
    sw_lp *lp = sw_lp_new(solver, form);
    sw_lp_end end = break_ties(solver, order, lp, form->columns);
    if (end == SW_LP_OPTIMAL)
        sw_lp_read_active(lp, form, active);
    sw_lp_free(lp);
    return end;
}

/* The points of the face that meet the goals. */
static sw_form form_of_same(sw_solver *solver, const sw_form *face,
                            const sw_terms *same)
{
    sw_form met = sw_form_wider(solver, face, 0, same->count);
    for (size_t e = 0; e < same->count; e++)
        sw_form_bound_term(&met, face->rows + e, same, e, same->goal[e],
                           same->goal[e]);
    return met;
}

/* What a face holds. */
static void hold_fixed(const sw_form *face, const sw_active *active)
{
    for (size_t j = 0; j < face->columns; j++)
        if (face->low[j] == face->high[j])
            active->column[j] = SW_AT_LOW;
    for (size_t i = 0; i < face->rows; i++)
        if (face->row_low[i] == face->row_high[i])
            active->row[i] = SW_AT_LOW;
}

/* The bound passed by the most. */
typedef struct sw_passed {
    double by;
    sw_stand *held;
    sw_stand stand;
} sw_passed;

static void look_past(sw_passed *passed, sw_stand *held, double at, double low,
                      double high)
{
    double below = (low - at) / (1 + fabs(low));
    double above = (at - high) / (1 + fabs(high));
    double by = fmax(below, above); /* what has no bound is not a number */
    if (*held != SW_BETWEEN || !(by > passed->by))
        return;
    *passed = (sw_passed){by, held, by == below ? SW_AT_LOW : SW_AT_HIGH};
}

/* Holds what is past its bound by the most; false where nothing is. */
static bool hold_passed(const sw_form *form, const double *y,
                        const sw_active *active)
{
    sw_passed passed = {.by = hair};
    for (size_t j = 0; j < form->columns; j++)
        look_past(&passed, &active->column[j], y[j], form->low[j],
                  form->high[j]);
    for (size_t i = 0; i < form->rows; i++)
        look_past(&passed, &active->row[i],
                  sw_row_value(form->matrix, i, form->columns, y),
                  form->row_low[i], form->row_high[i]);
    if (passed.held)
        *passed.held = passed.stand;
    return passed.held != NULL;
}

/* Where nearly parallel columns are free together rounding may put them far
 * past a bound that the corner stands at as well: held there too they are as
 * near to it as digits go. */
static void stand_within(sw_solver *solver, const sw_form *face,
                         const sw_terms *same, const sw_active *active,
                         const sw_point *point)
{
    do {
        sw_mark mark = sw_solver_mark(solver);
        sw_dense_fit(sw_frame_of(solver, face, active), same, point);
        sw_solver_release(solver, mark);
    } while (hold_passed(face, point->y, active));
}

/* What holds the first corner of `met`.  As there is a point, what seems empty
 * is so by the program's digits, which say little of nearly parallel rows:
 * those of `same`, behind the face's, give way by these. */
static sw_lp_end find_in_digits(sw_solver *solver, const sw_order *order,
                                const sw_form *met, size_t same,
                                const sw_active *active)
{
    sw_lp_end end = find_first(solver, order, met, active);
    for (double by = least_digits; end == SW_LP_INFEASIBLE && by <= most_digits;
         by *= 10) {
        for (size_t i = met->rows - same; i < met->rows; i++) {
            met->row_low[i] -= by;
            met->row_high[i] += by;
        }
        end = find_first(solver, order, met, active);
    }
    return end;
}

sw_lp_end sw_pick(sw_solver *solver, const sw_order *order, const sw_form *face,
                  const sw_terms *same, const sw_point *point)
{
    sw_form met = form_of_same(solver, face, same);
    sw_active active = sw_active_take(solver, &met);
    double *corner = sw_take_numbers(solver, met.columns);
    sw_lp_end end = SW_LP_OPTIMAL;
    if (!sw_recall_corner(solver, &met, 0, order, true, corner, &active) &&
        !sw_walk_to_corner(solver, &met, order, point->y, corner, &active))
        end = find_in_digits(solver, order, &met, same->count, &active);
    if (end == SW_LP_OPTIMAL)
        sw_remember(solver, SW_KEPT_CORNERS, &met, 0, &active);
    if (end == SW_LP_OPTIMAL) {
        hold_fixed(face, &active); /* where a corner can do without, too */
        stand_within(solver, face, same, &active, point);
        sw_tuck_in(face, point->y);
    }
    return end == SW_LP_INFEASIBLE ? SW_LP_FAILED : end; /* of rounding */
}

static sw_terms same_as(sw_solver *solver, const sw_form *form,
                        const sw_terms *terms, const double *y)
{
    sw_terms same = *terms;
    same.goal = sw_take_numbers(solver, same.count);
    for (size_t e = 0; e < same.count; e++)
        same.goal[e] = sw_row_value(same.matrix, e, form->columns, y);
    return same;
}

/* The face's only point with the same terms. */
static bool is_alone(sw_solver *solver, const sw_form *face,
                     const sw_terms *terms)
{
    sw_active held = sw_active_take(solver, face);
    hold_fixed(face, &held);
    return sw_dense_is_unique(sw_frame_of(solver, face, &held), terms);
}

sw_lp_end sw_settle(sw_solver *solver, const sw_form *form,
                    const sw_terms *terms, const sw_order *order,
                    const sw_point *point, const sw_active *active)
{
    sw_form face = sw_face_of(solver, form, point, active, 0);
    if (is_alone(solver, &face, terms))
        return SW_LP_OPTIMAL;
    sw_terms same = same_as(solver, form, terms, point->y);
    return sw_pick(solver, order, &face, &same, point);
}

bool sw_is_settled(sw_solver *solver, const sw_form *form,
                   const sw_terms *terms, const sw_frame *frame,
                   const sw_order *order, const sw_point *point,
                   const sw_active *active)
{
    if (sw_is_first_there(solver, form, frame, order, active, point))
        return true;
    sw_form face = sw_face_of(solver, form, point, active, 0);
    return is_alone(solver, &face, terms);
}
