/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Dense least squares within one active set, by GSL, and on from there. */
#ifndef SW_FORMULATE_DENSE_H
#define SW_FORMULATE_DENSE_H

#include "formulate/form.h"

/*
 * The point of least sum of squares with everything that `active` holds kept
 * at its bound and all other bounds ignored.  Writes point->y.
 */
void sw_dense_fit(sw_solver *solver, const sw_form *form, const sw_terms *terms,
                  const sw_active *active, const sw_point *point);

/*
 * Prices of the held rows from the gradient of the objective: least squares
 * over the columns between their bounds.  Writes point->row_price and, for
 * every column, the rest of the gradient: point->column_price.
 */
void sw_dense_prices(sw_solver *solver, const sw_form *form,
                     const double *gradient, const sw_active *active,
                     const sw_point *point);

/*
 * Whether no other point has the same terms and the same held rows and
 * columns: full rank of what is left.
 */
bool sw_dense_is_unique(sw_solver *solver, const sw_form *form,
                        const sw_terms *terms, const sw_active *active);

/*
 * Walks from point->y, which the form allows, with what `active` holds (held
 * rows and columns independent, as a basis gives them), to the least sum of
 * squares; point's prices and `active` become those of the end.  False when
 * the steps allowed did not suffice.
 */
bool sw_walk(sw_solver *solver, const sw_form *form, const sw_terms *terms,
             const sw_active *active, const sw_point *point);

#endif
