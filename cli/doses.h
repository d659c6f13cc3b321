/* SPDX-License-Identifier: GPL-3.0-or-later */
/* --dose PRODUCT=RATE: amounts given on the command line. */
#ifndef CLI_DOSES_H
#define CLI_DOSES_H

#include "options.h"
#include "saltwright.h"

#define DOSES_NO_BEST ((size_t)-1)

/*
 * Adds the doses' products to `shelf` and makes *recipe of them, where any are
 * given; a recipe that is there already cannot be joined by doses.  *best is
 * the product of "Base=best", with 0 in the recipe for now, or DOSES_NO_BEST.
 */
exit_code doses_read(const cli_options *options, sw_shelf *shelf,
                     sw_recipe **recipe, size_t *best);

#endif
