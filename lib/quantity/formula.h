/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What one gram of a chemical formula carries.
 *
 * Parentheses and brackets nest, multipliers are digits (subscripts too), the
 * hydrate dot is `·`, `.` or `*`, parts may have a leading coefficient:
 * "Ca(NO3)2·4H2O", "5Ca(NO3)2.NH4NO3.10H2O", "CO(NH2)2", "K2HPO4".
 * Atomic weights: reference/atomic_weights.csv.  Rules: reference/methods.md,
 * Composition.
 */
#ifndef SW_QUANTITY_FORMULA_H
#define SW_QUANTITY_FORMULA_H

#include "saltwright.h"

/*
 * What one gram of a substance of `purity` (mass fraction, above 0, at most 1;
 * the rest is inert) carries: mg per g in `per_g`, with alkalinity and chelate
 * charge in meq/g, carbon and citrate in mmol/g.  `molar_mass_g_per_mol` is
 * that of the pure formula and may be NULL.
 *
 * SW_ERR_SYNTAX: no formula; error->column is the character, from 1.
 * SW_ERR_NAME: an element that is not in the table.
 * SW_ERR_VALUE: purity out of its domain, or a formula whose atoms have no
 * stated place (nitrite, sulfide, a metal of no known use): said, not dropped.
 */
sw_status sw_formula_content(const char *formula, double purity,
                             sw_content *per_g, double *molar_mass_g_per_mol,
                             sw_error *error);

#endif
