/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What remedies share: their list and the names of products. */
#ifndef SW_STOCK_REMEDY_WORDS_H
#define SW_STOCK_REMEDY_WORDS_H

#include "quantity/status.h"

#include <stdint.h>

/* One without its text. */
sw_remedy sw_remedy_of(sw_remedy_kind kind, double factor, size_t product,
                       sw_tank tank);
/* Adds one, with its text, while there is room. */
void sw_remedy_add(sw_stock *stock, sw_remedy remedy, const char *format, ...)
    SW_PRINTF(3, 4);

/* "a, b (30 %) and c": what a tank holds; "" for nothing. */
void sw_remedy_names(const sw_shelf *shelf, const sw_stock *stock, sw_tank tank,
                     char *text, size_t size);

/* Whether a product may be given by itself: no acid or lye, and nothing the
 * acid of the others is there for. */
bool sw_remedy_may_leave(const sw_mix *mix, size_t product);
/* "give it by itself, diluted ..." */
const char *sw_remedy_apart(const sw_product *product);

#endif
