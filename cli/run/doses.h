/* SPDX-License-Identifier: GPL-3.0-or-later */
/* --dose PRODUCT=RATE: amounts given on the command line. */
#ifndef CLI_RUN_DOSES_H
#define CLI_RUN_DOSES_H

#include "io/options.h"
#include "saltwright.h"
#include "run/report.h"

/*
 * Adds the doses' products to `shelf` and makes *recipe of them, where any are
 * given; a recipe that is there already cannot be joined by doses.  *best_set,
 * of each product: 0, or the set in which its best rate is to be found, as
 * sw_premix_fit takes it; the caller frees it.
 */
exit_code doses_read(const cli_options *options, sw_shelf *shelf,
                     sw_recipe **recipe, size_t **best_set);

/* The rates of each "premix=best" into the recipe. */
exit_code premix_fit(cli_inputs *inputs, const cli_settings *settings);
/* What was found for a product; NULL where its amount was given. */
const sw_premix_rate *premix_best(const cli_inputs *inputs, size_t product);

/* A review of each premix in the recipe given; none where there is none. */
exit_code premix_review(const cli_report *report, cli_premixes *out);
void premix_free(cli_premixes *premixes);

#endif
