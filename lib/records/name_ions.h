/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The ions that the name of a salt is made of. */
#ifndef SW_RECORDS_NAME_IONS_H
#define SW_RECORDS_NAME_IONS_H

#include "quantity/status.h"

/*
 * Whether a product holds the ions of the first salt that its name names, in
 * English, German, French, Spanish, Italian or Dutch: "Calciumnitrat",
 * "nitrate de calcium", "nitrato cálcico".  A label may leave some of them out
 * where it holds no others.  SW_ERR_NAME.
 */
sw_status sw_product_check_ions(const sw_product *product, const char *name,
                                sw_error *error);

#endif
