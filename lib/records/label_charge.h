/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The charge of a product known by its label.  A label is not a charge
 * analysis: it prints rounded nutrients and leaves ions out, so that the gap
 * between the charges it prints says nothing of an acid or a base.
 */
#ifndef SW_RECORDS_LABEL_CHARGE_H
#define SW_RECORDS_LABEL_CHARGE_H

#include "saltwright.h"

/* What the owner of a label calls the product; either may be NULL or "". */
typedef struct sw_label_names {
    const char *name;
    const char *formula; /* beside the label; lives as long as the product */
} sw_label_names;

/*
 * Reads a label into product->per_g and what it leaves open.  Its alkalinity
 * comes from the first of these that speaks: an entry `alkalinity`; the formula
 * beside it, or the salt of its name in the catalogue; CO3, HCO3 or OH on it; a
 * name that says acid; the one salt of the catalogue that its printed digits
 * fit; the silicate of its K and Na where Si is the only anion.  Of a salt so
 * found, S, Cl and Na that are not printed are its too (product->taken_as).
 * Else the product is a neutral salt, and charges that rounding cannot close
 * are undeclared ions (product->undeclared_meq_per_g), of which it stays open
 * how far they are acid or base (product->open_acid, open_base).  Method:
 * reference/methods.md, Composition.
 *
 * Errors as sw_label_read; SW_ERR_MISSING: anions and no cation at all, so that
 * an acid and a salt print alike (the message spells out the choices).
 */
sw_status sw_label_compose(const char *text, const sw_label_names *names,
                           sw_product *product, sw_error *error);

#endif
