/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From one recipe to another: what is not sized, what differs. */
#ifndef SW_RECORDS_RECIPE_H
#define SW_RECORDS_RECIPE_H

#include "saltwright.h"

/*
 * Copies from->most_g_per_l, if any, into `to`, of as many products, which
 * owns the copy.  SW_ERR_MEMORY.
 */
sw_status sw_recipe_keep_most(const sw_recipe *from, sw_recipe *to,
                              sw_error *error);

/* "potassium sulfate (62.6 g per 1000 L), ..." of what one recipe of the shelf
 * has and the other lacks. */
void sw_recipe_list_apart(const sw_shelf *shelf, const sw_recipe *has,
                          const sw_recipe *lacks, char *text, size_t size);

#endif
