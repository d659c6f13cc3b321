/* SPDX-License-Identifier: GPL-3.0-or-later */
/* --dose PRODUCT=RATE: amounts given on the command line. */
#ifndef CLI_RUN_DOSES_H
#define CLI_RUN_DOSES_H

#include "io/options.h"
#include "saltwright.h"

/*
 * Adds the doses' products to `shelf` and makes *recipe of them, where any are
 * given; a recipe that is there already cannot be joined by doses.  *best_set,
 * of each product: 0, or the set in which its best rate is to be found, as
 * sw_premix_fit takes it; the caller frees it.
 */
exit_code doses_read(const cli_options *options, sw_shelf *shelf,
                     sw_recipe **recipe, size_t **best_set);

#endif
