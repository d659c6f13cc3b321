/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Files of amounts of products: recipes, and tanks as mixed.  What is not on
 * the shelf comes from the catalogue and is appended to the shelf, but only
 * when the whole file can be read.
 */
#ifndef SW_RECORDS_AMOUNTS_H
#define SW_RECORDS_AMOUNTS_H

#include "records/product.h"
#include "records/table.h"

/* Columns that every such file has, in this order. */
enum {
    SW_AMOUNTS_PRODUCT,
    SW_AMOUNTS_AMOUNT,
    SW_AMOUNTS_UNIT,
    SW_AMOUNTS_TANK
};

/* What the file gives of a product. */
typedef struct sw_given {
    double amount;
    unsigned long line; /* 0: not in the file */
} sw_given;

typedef struct sw_amounts {
    const sw_table_kind *kind;
    const char *name;
    sw_shelf *shelf; /* the caller's, as it was */
    size_t slots;    /* amounts a product may have: tanks; or 1 */
    /* The row's `value` as grams, NaN where refused, and its slot. */
    double (*convert)(sw_table *table, const sw_product *product, double value,
                      size_t *slot);
    /* the rest is the reader's */
    sw_table table;
    sw_shelf added;  /* what is to be appended to the shelf */
    sw_given *given; /* [product * slots + slot] */
} sw_amounts;

/*
 * Reads the file; afterwards `given` has an entry a slot for each product of
 * the shelf and each that is to be appended.  Release with sw_amounts_clear
 * whatever is returned.
 */
sw_status sw_amounts_read(sw_amounts *file, FILE *stream, sw_error *error);
/* How many products that are. */
size_t sw_amounts_products(const sw_amounts *file);
/* Appends them to the shelf; last of all, since the shelf stays as it was when
 * anything fails. */
sw_status sw_amounts_keep(sw_amounts *file, sw_error *error);
void sw_amounts_clear(sw_amounts *file);

#endif
