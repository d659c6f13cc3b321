/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Many re-readings of one lab report, its names and units looked up once. */
#ifndef SW_ASSESS_REREAD_H
#define SW_ASSESS_REREAD_H

#include "records/water_build.h"

typedef struct sw_rereader {
    const sw_water *water;
    sw_measure *measures; /* one per reading */
} sw_rereader;

/* The water must outlive the rereader.  SW_ERR_MEMORY, _NAME, _UNIT. */
sw_status sw_rereader_open(sw_rereader *rereader, const sw_water *water,
                           sw_error *error);
void sw_rereader_close(sw_rereader *rereader);

/* As sw_water_reread. */
sw_status sw_rereader_take(const sw_rereader *rereader, const char *read_as,
                           sw_water **reread, sw_error *error);

/* Is the number of reading `index`, an ion's, in `unit`, however written? */
bool sw_rereader_is_in(const sw_rereader *rereader, size_t index,
                       const char *unit);

#endif
