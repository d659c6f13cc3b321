/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a row of a shelf says its product is made of. */
#ifndef SW_RECORDS_COMPOSITION_H
#define SW_RECORDS_COMPOSITION_H

#include "records/table.h"

/* Columns of a shelf file, in the order of its kind. */
enum {
    SW_SHELF_PRODUCT,
    SW_SHELF_FORMULA,
    SW_SHELF_PURITY,
    SW_SHELF_LABEL,
    SW_SHELF_DENSITY,
    SW_SHELF_MIN,
    SW_SHELF_MAX,
    SW_SHELF_FIXED,
    SW_SHELF_UNIT,
    SW_SHELF_PRICE,
    SW_SHELF_PRICE_UNIT,
    SW_SHELF_PACK,
    SW_SHELF_TANK,
    SW_SHELF_COLUMNS
};

/*
 * Composition, purity, density, chelator and hazards of the current row into
 * *product (blank before; the caller clears it, also after a refusal).  A
 * label is the composition; beside it a formula only documents.  Else the
 * formula with its purity; else the catalogue's entry of that name.
 */
void sw_shelf_compose(sw_table *table, sw_product *product);

/* Notes on a composition that is doubtful. */
void sw_shelf_doubt(const sw_product *product, sw_notes *notes,
                    const char *file);

#endif
