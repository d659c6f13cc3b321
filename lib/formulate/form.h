/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Linear limits in scaled unknowns, and points and prices that go with them. */
#ifndef SW_FORMULATE_FORM_H
#define SW_FORMULATE_FORM_H

#include "formulate/solver.h"

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

/* Squares to be kept small: sum over rows of (matrix y - goal)^2. */
typedef struct sw_terms {
    size_t count;
    double *matrix;
    double *goal;
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
sw_point sw_point_take(sw_solver *solver, const sw_form *form);

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

/* Deviations matrix y - goal into `deviation`; returns their sum of squares. */
double sw_terms_value(const sw_terms *terms, size_t columns, const double *y,
                      double *deviation);

/* Gradient of the sum of squares where the deviations are `deviation`. */
void sw_terms_gradient(const sw_terms *terms, size_t columns,
                       const double *deviation, const sw_gradient *gradient);

/* Moves what rounding left a hair outside its column's bounds onto them. */
void sw_tuck_in(const sw_form *form, double *y);

#endif
