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

/* Of all, or of the one with that name unless it is NULL.  Kept; a name of
 * nothing ends the program, here and below. */
cli_catalogue *catalogue_read(const char *name);

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

/* All, or those of a set, or of a crop; kept. */
cli_crops *crops_read(const char *name);

#endif
