/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What one gram of a labelled product carries. */
#ifndef SW_QUANTITY_LABEL_H
#define SW_QUANTITY_LABEL_H

#include "saltwright.h"

/*
 * Reads "NO3-N 14.4; NH4-N 1.1; Ca 19": a name and % by mass, parted by `;`
 * (or by `,` before a letter).  "14.4 %", "Ca: 19", "Ca = 19" and a decimal
 * comma are understood.  Names are those of reference/parameters.csv:
 * components, ions, or the oxides of the trade (P2O5, K2O, CaO ...), each
 * itself and never another.  A metal held by a chelator is "Fe-EDTA 13" (or
 * HEDTA, DTPA, EDDHA); beside one, what it does not hold is "free Fe 2".
 *
 * Alkalinity is reckoned from the declared ions by the rule for formulas
 * (reference/methods.md, Composition), or given: "alkalinity 1.2", meq/g.  It
 * is 0 where SW_MIX_ELEMENTS are declared, no CO3, HCO3 or OH, and rounding the
 * figures to the digits given can be all that parts their charges.
 *
 * error->column counts the label's characters from 1.  SW_ERR_SYNTAX,
 * SW_ERR_NAME (unknown, or N whose form is not declared: the message says
 * how), SW_ERR_VALUE (negative, above 100, or a sum above 100),
 * SW_ERR_DUPLICATE (two names for one component), SW_ERR_LIMIT (its length).
 */
sw_status sw_label_content(const char *label, sw_content *per_g,
                           sw_error *error);

/* Elements from which a labelled product is a mixture: a premix. */
enum { SW_MIX_ELEMENTS = 4 };

/* Elements a gram carries, the forms of nitrogen being one. */
int sw_content_elements(const sw_content *per_g);

/* Cations less anions of the components alone, meq/g; above 0 a base. */
double sw_content_charge_gap(const sw_content *per_g);

/* The sum of both, meq/g. */
double sw_content_charges(const sw_content *per_g);

/*
 * The chelator a label names for iron, else for another metal;
 * SW_CHELATOR_NONE when it names none.
 */
sw_chelator sw_label_chelator(const char *label);

/*
 * How far the ions of a product are from neutral: alkalinity over the sum of
 * its charges, -1 to 1.  Acids and bases are far from 0; so is a label that
 * leaves an ion out, which makes its alkalinity wrong.
 */
double sw_content_imbalance(const sw_content *per_g);

#endif
