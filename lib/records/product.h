/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Products on a shelf: looked up, repeated, appended. */
#ifndef SW_RECORDS_PRODUCT_H
#define SW_RECORDS_PRODUCT_H

#include "quantity/status.h"

/* A product with nothing known: NaN and NULL. */
sw_product sw_product_blank(void);

/* Releases what a product holds, not the struct. */
void sw_product_clear(sw_product *product);

/*
 * Moves the catalogue's entry for `name` into *product, with no name of its
 * own.  SW_ERR_NAME: none such.
 */
sw_status sw_product_find(const char *name, sw_product *product,
                          sw_error *error);

/* An empty shelf of that name. */
sw_status sw_shelf_new(const char *name, sw_shelf **shelf, sw_error *error);

/*
 * Moves *product to the shelf's end.  SW_ERR_LIMIT above SW_MAX_PRODUCTS,
 * SW_ERR_VALUE for fluorides and hydrofluoric acid, which are for no crop,
 * SW_ERR_MEMORY; *product is then still the caller's.
 */
sw_status sw_shelf_append(sw_shelf *shelf, sw_product *product,
                          sw_error *error);

/* The product of that name on the shelf; shelf->count when there is none. */
size_t sw_shelf_index(const sw_shelf *shelf, const char *name);

/* Absent (NaN) or finite and not negative. */
bool sw_is_sound(double value);
/* SW_ERR_VALUE, at the place: a product's min, max and fixed amount are not
 * sound, or not the right way round, or more than a litre holds. */
sw_status sw_check_amounts(const sw_product *product, const sw_place *place,
                           sw_error *error);

#endif
