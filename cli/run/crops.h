/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Built-in targets of crops to be listed. */
#ifndef CLI_RUN_CROPS_H
#define CLI_RUN_CROPS_H

#include "saltwright.h"

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
