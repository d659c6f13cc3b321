/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a worker must know before adding a product to others. */
#ifndef SW_STOCK_SAFETY_H
#define SW_STOCK_SAFETY_H

#include "saltwright.h"

/*
 * For who adds `added` to water that holds the `count` products `held`: the
 * signal word and statements of its hazards, strongest first, how to meet water
 * with it, what it gives with one of `held`, and what to wear with a Danger.
 * Whole sentences, as many as fit in `size`; "" where there is nothing to say.
 */
void sw_safety_of_adding(const sw_product *added, const sw_product *const *held,
                         size_t count, char *text, size_t size);

/* Of it, how to meet water with it and what it gives with one of `held`. */
void sw_advice_of_adding(const sw_product *added, const sw_product *const *held,
                         size_t count, char *text, size_t size);

#endif
