/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Linear limits in scaled unknowns, points and prices that go with them, least
 * squares on them, and proof. */
#ifndef SW_SOLVE_FORM_H
#define SW_SOLVE_FORM_H

#include "solve/solver.h"

#include <stdint.h>

/* low <= y <= high, row_low <= matrix y <= row_high; matrix by rows. */
typedef struct sw_form {
    size_t columns;
    size_t rows;
    double *matrix;
    double *low;
    double *high;
    double *row_low;
    double *row_high;
} sw_form;

/* Where the coefficient of a column in a row stands. */
static inline double *sw_form_at(const sw_form *form, size_t row, size_t column)
{
    return &form->matrix[row * form->columns + column];
}

/* Squares to be kept small: sum over rows of (matrix y - goal)^2, to which
 * comes what no y changes. */
typedef struct sw_terms {
    size_t count;
    double *matrix;
    double *goal;
    double constant;
} sw_terms;

/* Where a column or row stands: between its bounds or held at one. */
typedef enum sw_stand { SW_BETWEEN, SW_AT_LOW, SW_AT_HIGH } sw_stand;

typedef struct sw_active {
    sw_stand *column;
    sw_stand *row;
} sw_active;

/*
 * A point and its multipliers: the gradient of the objective equals
 * sum of row_price * row + column_price, with a price > 0 at a low bound,
 * < 0 at a high one.  A price is the objective's change per unit of the bound.
 */
typedef struct sw_point {
    double *y;
    double *row_price;
    double *column_price;
} sw_point;

/* A gradient, and of each entry the sum of the sizes it was summed from. */
typedef struct sw_gradient {
    double *value;
    double *size;
} sw_gradient;

/* A copy with so many columns and rows more, of zeros, behind its own. */
sw_form sw_form_wider(sw_solver *solver, const sw_form *form, size_t columns,
                      size_t rows);

sw_active sw_active_take(sw_solver *solver, const sw_form *form);
void sw_active_copy(const sw_form *form, const sw_active *from,
                    const sw_active *to);
sw_point sw_point_take(sw_solver *solver, const sw_form *form);
void sw_point_copy(const sw_form *form, const sw_point *from,
                   const sw_point *to);

sw_gradient sw_gradient_take(sw_solver *solver, const sw_form *form);

/* Row `row` of `matrix` times y. */
double sw_row_value(const double *matrix, size_t row, size_t columns,
                    const double *y);

/* A power of two near a number above 0, by which dividing loses nothing; 1 of
 * any other number. */
double sw_power_of_two(double near);

double sw_row_largest(const double *row, size_t columns);

/* Divides a row by a power of two near `largest`; answers it. */
double sw_row_scale(double *row, size_t columns, double largest);

/* Deviations matrix y - goal into `deviation`; returns their sum of squares,
 * without the constant. */
double sw_terms_value(const sw_terms *terms, size_t columns, const double *y,
                      double *deviation);

/* Puts term `e` within bounds, in a row of the form. */
void sw_form_bound_term(const sw_form *form, size_t row, const sw_terms *terms,
                        size_t e, double low, double high);
/* Two rows from `row` on: the deviation of term e, of so many columns, is not
 * above column `by`, and not below it negated. */
void sw_form_bound_deviation(const sw_form *form, size_t row,
                             const sw_terms *terms, size_t e, size_t columns,
                             size_t by);

/* Gradient of the sum of squares where the deviations are `deviation`. */
void sw_terms_gradient(const sw_terms *terms, size_t columns,
                       const double *deviation, const sw_gradient *gradient);

/* Whether y keeps all bounds but for rounding. */
bool sw_form_allows(const sw_form *form, const double *y);
/* Whether there is a bound wherever `active` stands at one. */
bool sw_form_has(const sw_form *form, const sw_active *active);
/* Where all of it stands at y, but for rounding. */
void sw_form_stands(const sw_form *form, const double *y,
                    const sw_active *active);
/* But for rounding of the same point by another set. */
bool sw_is_near(const double *y, const double *other, size_t columns);

/* Its bounds into those of a form as large. */
void sw_form_put_bounds(const sw_form *form, const sw_form *to);
/* Widens each row to where the point is. */
void sw_form_take_in(const sw_form *form, const double *y);
/* Moves what rounding left a hair outside its column's bounds onto them. */
void sw_tuck_in(const sw_form *form, double *y);

/* ---- Dense least squares within one active set, and on from there -------- */

/* What an active set holds, factored: in memory of the solver, borrowing the
 * form, whose bounds it copies. */
typedef struct sw_frame sw_frame;
sw_frame *sw_frame_of(sw_solver *solver, const sw_form *form,
                      const sw_active *active);

/*
 * The point of least sum of squares with everything that is held kept at its
 * bound and all other bounds ignored.  Writes point->y; answers whether no
 * other is as good.
 */
bool sw_dense_fit(sw_frame *frame, const sw_terms *terms,
                  const sw_point *point);

/*
 * Prices of the held rows from the gradient of the objective: least squares
 * over the columns between their bounds.  Writes point->row_price and, for
 * every column, the rest of the gradient: point->column_price.
 */
typedef void sw_pricing(const sw_frame *frame, const double *gradient,
                        const sw_point *point);
sw_pricing sw_dense_prices;
/* The same where each of the terms fitted last has a price too. */
sw_pricing sw_dense_prices_beside;

/*
 * Whether no other point has the same terms and the same held rows and
 * columns: full rank of what is left.
 */
bool sw_dense_is_unique(const sw_frame *frame, const sw_terms *terms);

/*
 * Walks from point->y, which the form allows, with what `active` holds (held
 * rows and columns independent, as a basis gives them), to the least sum of
 * squares; point's prices and `active` become those of the end.  False where
 * it goes round in circles, or takes too many steps: another start may lead
 * there.
 */
bool sw_walk(sw_solver *solver, const sw_form *form, const sw_terms *terms,
             const sw_active *active, const sw_point *point);

/*
 * Whether the least squares of the set that `active` holds is the least of all,
 * the only one with that set held, and stands at no other bound: then it and
 * its prices are written to `point`.  *frame: of the set, where it has one.
 */
bool sw_rests(sw_solver *solver, const sw_form *form, const sw_terms *terms,
              const sw_active *active, sw_frame **frame, const sw_point *point);
/*
 * Puts point->y, the least of all, to the least squares of everything that
 * stands at a bound there, which `active` becomes, and the prices to theirs
 * where they are right: then true, and the same digits whichever of the sets
 * that hold it was found.
 */
bool sw_rest_on_bounds(sw_solver *solver, const sw_form *form,
                       const sw_terms *terms, const sw_active *active,
                       const sw_point *point);

/* ---- What earlier solves of this solver found ---------------------------- */

/* Active sets of a form's shape and a question `of` the caller's, the latest
 * first; false where there is no nth. */
bool sw_recall(const sw_solver *solver, sw_kind_kept kind, const sw_form *form,
               uint64_t of, size_t nth, const sw_active *active);
void sw_remember(sw_solver *solver, sw_kind_kept kind, const sw_form *form,
                 uint64_t of, const sw_active *active);
/* Whether row prices that proved it before still prove that the form has no
 * point (sw_is_refuted); those that do are kept. */
bool sw_is_known_empty(const sw_solver *solver, const sw_form *form,
                       uint64_t of, const double *ceiling);
void sw_remember_empty(sw_solver *solver, const sw_form *form, uint64_t of,
                       const double *ceiling, const double *row_price);
void sw_forget(sw_solver *solver);

/* ---- What a point and its prices prove about the optimum ----------------- */

/* The KKT conditions hold when they do to this: columns, rows and terms are
 * near 1. */
#define SW_KKT_TOLERANCE 1e-10
/* Scaled violation of a limit that is kept but for rounding. */
#define SW_KEPT 1e-7

typedef struct sw_proof {
    double slack;   /* the optimum is at most this far below the objective */
    double kkt;     /* worst scaled violation of the KKT conditions */
    double outside; /* among them, of a limit */
} sw_proof;

/*
 * Gradient inequality of a convex objective under linear limits, at
 * point->y with point->row_price (wrong-signed prices of one-sided rows are
 * put to 0, and point->column_price is written).  `ceiling` holds a high bound
 * of each column, valid for every point at least as good as this one.
 */
sw_proof sw_prove(const sw_form *form, const sw_gradient *gradient,
                  const double *ceiling, const sw_point *point);

/*
 * Lowers each ceiling to what `rows` rows of `matrix` with `row_high` allow,
 * given the form's low bounds.
 */
void sw_lower_ceiling(const sw_form *form, const double *matrix, size_t rows,
                      const double *row_high, double *ceiling);
/* The same by the form's own rows. */
void sw_lower_ceiling_by_form(const sw_form *form, double *ceiling);

typedef struct sw_row_price {
    size_t row;
    double price;
} sw_row_price;
/*
 * Whether these prices of rows prove that the form has no point whose columns
 * are below `ceiling`: the most that the rows' sum gets there is less than the
 * rows allow (Farkas 1902), by more than any program would let pass.
 */
bool sw_is_refuted(const sw_form *form, const double *ceiling,
                   const sw_row_price *priced, size_t count);

#endif
