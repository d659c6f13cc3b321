/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The strength of an acid or a solution: whether it is given, and what name and
 * density say of it. */
#ifndef SW_RECORDS_PRODUCT_STRENGTH_H
#define SW_RECORDS_PRODUCT_STRENGTH_H

#include "quantity/status.h"

/*
 * Whether a product of a formula is sold as a solution, of which there is no
 * usual strength: as acids are that no solid of the catalogue is, as whatever
 * has a density or a name of a liquid, and an acid or a base whose name says
 * how weak it is.  A purity of 1 that is given for a liquid is none, either.
 * Then the strength that the bottle says, or such bottles have, as a fraction,
 * in *such.
 */
bool sw_product_lacks_strength(const sw_product *product, const char *name,
                               bool given, double *such);

/* Whether an acid or a solution is as strong as its name says, by per cent,
 * density, degrees Baume, mol/L, or words.  SW_ERR_VALUE. */
sw_status sw_product_check_strength(const sw_product *product, const char *name,
                                    sw_error *error);

/* Whether such a liquid is as dense as one of its strength.  SW_ERR_VALUE. */
sw_status sw_product_check_density(const sw_product *product, const char *name,
                                   sw_error *error);

#endif
