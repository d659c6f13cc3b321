/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a point and its prices prove about the optimum. */
#ifndef SW_FORMULATE_CERTIFICATE_H
#define SW_FORMULATE_CERTIFICATE_H

#include "formulate/form.h"

/* The KKT conditions hold when they do to this: columns, rows and terms are
 * near 1. */
#define SW_KKT_TOLERANCE 1e-10

typedef struct sw_proof {
    double slack; /* the optimum is at most this far below the objective */
    double kkt;   /* worst scaled violation of the KKT conditions */
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

#endif
