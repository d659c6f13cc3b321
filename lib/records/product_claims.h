/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the row of a product says of it twice, held against itself: its name
 * says which bag is opened, formula or label what is computed. */
#ifndef SW_RECORDS_PRODUCT_CLAIMS_H
#define SW_RECORDS_PRODUCT_CLAIMS_H

#include "quantity/status.h"

/*
 * Whether the product is what the catalogue knows by that name, and an acid or
 * a solution of a base as strong as its name says.  SW_ERR_NAME, SW_ERR_VALUE,
 * SW_ERR_MEMORY.  In *hydrate, static, the row of the name where its formula
 * has other crystal water than each row of that name; else NULL.
 */
sw_status sw_product_check_name(const sw_product *product, const char *name,
                                const char **hydrate, sw_error *error);

#endif
