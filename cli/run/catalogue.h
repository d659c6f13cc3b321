/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Products to be listed. */
#ifndef CLI_RUN_CATALOGUE_H
#define CLI_RUN_CATALOGUE_H

#include "saltwright.h"

/* The same salt with another amount of water in it. */
typedef struct cli_hydrate {
    const sw_product *product;
    double g_per_g; /* grams of it that do the work of one gram */
} cli_hydrate;

typedef struct cli_catalogue {
    sw_product **products;
    size_t count;
    const sw_product *one; /* the one asked for, or NULL: all */
    cli_hydrate *hydrates; /* of `one` */
    size_t hydrate_count;
} cli_catalogue;

/* SW_ERR_MEMORY; free with catalogue_free. */
sw_status catalogue_read(cli_catalogue *out, sw_error *error);
/* Sets `one` and its hydrates.  SW_ERR_NAME. */
sw_status catalogue_choose(cli_catalogue *catalogue, const char *name,
                           sw_error *error);
void catalogue_free(cli_catalogue *catalogue);

#endif
