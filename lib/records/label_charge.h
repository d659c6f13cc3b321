/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The charge of a product known by its label.  A label is not a charge
 * analysis: it prints rounded nutrients and leaves ions out, so that the gap
 * between the charges it prints says nothing of an acid or a base.
 */
#ifndef SW_RECORDS_LABEL_CHARGE_H
#define SW_RECORDS_LABEL_CHARGE_H

#include "saltwright.h"

#include "quantity/label.h"

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

/* ---- The list of what a product is derived from -------------------------- */

enum { SW_LIST_NAMES = 32, SW_LIST_SALTS = 96, SW_LIST_NAME = 64 };

/* A row of the catalogue that a name of the list may mean. */
typedef struct sw_label_salt {
    size_t row;  /* of the catalogue */
    size_t name; /* of the list, from 0 */
    sw_content per_g;
    sw_chelator chelator;
    double g_per_g; /* in a gram of the product, once that is found */
} sw_label_salt;

typedef struct sw_label_list {
    char names[SW_LIST_NAMES][SW_LIST_NAME];
    size_t name_count;
    sw_label_salt sources[SW_LIST_SALTS];
    size_t count;
} sw_label_list;

/*
 * Fills *list, which is all zero; `unknown` is the first name that is not in
 * the catalogue, or "".  SW_ERR_LIMIT (too long a list), SW_ERR_MEMORY.
 */
sw_status sw_label_list_read(const char *text, sw_label_list *list,
                             char unknown[SW_LIST_NAME], sw_error *error);

/* How many names a list has, and how many of them say acid or hydroxide. */
typedef struct sw_label_kinds {
    int names, acids, bases;
} sw_label_kinds;
sw_label_kinds sw_label_list_kinds(const char *text);

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
