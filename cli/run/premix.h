/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bought premixes among the amounts that were given. */
#ifndef CLI_RUN_PREMIX_H
#define CLI_RUN_PREMIX_H

#include "run/report.h"

/* The rates of each "premix=best" into the recipe. */
exit_code premix_fit(cli_inputs *inputs, const cli_settings *settings);
/* What was found for a product; NULL where its amount was given. */
const sw_premix_rate *premix_best(const cli_inputs *inputs, size_t product);

/* A review of each premix in the recipe given; none where there is none. */
exit_code premix_review(const cli_report *report, cli_premixes *out);
void premix_free(cli_premixes *premixes);

#endif
