/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is not sized in a recipe, from one to another. */
#ifndef SW_RECORDS_RECIPE_H
#define SW_RECORDS_RECIPE_H

#include "saltwright.h"

/*
 * Copies from->most_g_per_l, if any, into `to`, of as many products, which
 * owns the copy.  SW_ERR_MEMORY.
 */
sw_status sw_recipe_keep_most(const sw_recipe *from, sw_recipe *to,
                              sw_error *error);

#endif
