/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Built-in products and targets of crops to be listed. */
#ifndef CLI_RUN_CATALOGUE_H
#define CLI_RUN_CATALOGUE_H

#include "saltwright.h"

/* The same salt with another amount of water in it. */
typedef struct cli_hydrate {
    const sw_product *product;
    double g_per_g; /* grams of it that do the work of one gram */
} cli_hydrate;

typedef struct cli_catalogue {
    sw_shelf *shelf;
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

/* What one set holds in one stage. */
typedef struct cli_crop {
    sw_target_set set;
    sw_target *target;
    char *stage; /* or NULL */
    sw_printed_stage printed;
    double cations_meq_per_l, anions_meq_per_l; /* of N as nitrate where only
                                                   its sum is known */
    double ec_ms_per_cm; /* of N, P, K, Ca, Mg, S; NaN: none */
} cli_crop;

typedef struct cli_crops {
    cli_crop *items;
    size_t count;
    bool one; /* they are of one set */
} cli_crops;

/* All, or those of a set, or of a crop.  SW_ERR_NAME (near names are listed),
 * or of sw_equilibrate; free with crops_free either way. */
sw_status crops_read(const char *name, cli_crops *out, sw_error *error);
void crops_free(cli_crops *crops);

#endif
