/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a label's list of salts settles that its figures leave open. */
#ifndef SW_RECORDS_LABEL_DERIVED_H
#define SW_RECORDS_LABEL_DERIVED_H

#include "quantity/label.h"

/*
 * Fits the salts of label->derived to the printed figures within their
 * rounding: a linear program, GLPK.  Where there is a fit, *settled is true and
 * product->per_g is that of the salts; of S, Cl and Na what every fit has, with
 * the rest as undeclared ions, and open_acid, open_base how far the fits differ
 * in alkalinity.  Where a salt is not known, or no mixture gives the figures, a
 * remark says so and *settled is false.  `name` is the product's, for remarks.
 * SW_ERR_NAME (forms of nitrogen that neither list nor label tell),
 * SW_ERR_SOLVER, SW_ERR_MEMORY.
 */
sw_status sw_label_derive(const sw_label *label, const char *name,
                          sw_product *product, bool *settled, sw_error *error);

#endif
