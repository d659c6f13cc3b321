/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What one gram of a labelled product carries. */
#ifndef SW_QUANTITY_LABEL_H
#define SW_QUANTITY_LABEL_H

#include "saltwright.h"

/*
 * Reads "NO3-N 14.4; NH4-N 1.1; Ca 19": a name and % by mass, parted by `;`.
 * Names are components, ions (NO3, SO4, PO4 ...) or the oxides of the trade
 * (P2O5, K2O, CaO, MgO, SO3, SiO2, B2O3 ...), each itself and never another.
 * Metals held by a chelator: "Fe-EDTA 6", "Fe-DTPA 11", "Mn-EDTA 13".
 * Alkalinity is reckoned from what is declared, by the rule for formulas
 * (reference/methods.md, Composition), or given: "alkalinity 1.2" in meq/g.
 *
 * The text may be UTF-8; error->column counts its characters from 1.
 * SW_ERR_SYNTAX, SW_ERR_NAME (unknown, or N whose form is not declared: the
 * message says how), SW_ERR_VALUE (negative, above 100, sum above 100),
 * SW_ERR_DUPLICATE (two names for one component).
 */
sw_status sw_label_content(const char *label, sw_content *per_g,
                           sw_error *error);

#endif
