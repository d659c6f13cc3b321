/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Many re-readings of one report, its names and units looked up once. */
#ifndef SW_ASSESS_REREAD_H
#define SW_ASSESS_REREAD_H

#include "records/water_build.h"

typedef struct sw_lookup {
    const sw_water *water; /* outlives it */
    sw_measure *measures;  /* one per reading */
} sw_lookup;

/* SW_ERR_NAME, _UNIT, _MEMORY; then there is nothing to close. */
sw_status sw_lookup_open(sw_lookup *reader, const sw_water *water,
                         sw_error *error);
void sw_lookup_close(sw_lookup *reader);

/* Whether the reading is of an ion, in that unit. */
bool sw_lookup_is_in(const sw_lookup *reader, size_t index, const char *unit);

/* sw_water_reread. */
sw_status sw_lookup_take(const sw_lookup *reader, const char *read_as,
                         sw_water **reread, sw_error *error);

#endif
