/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which single mistake in reading lab reports would make them agree. */
#ifndef SW_ASSESS_REREADINGS_H
#define SW_ASSESS_REREADINGS_H

#include "assess/evidence.h"
#include "records/water_build.h"

/* One report or many of one origin, as given, each with its evidence. */
typedef struct sw_reports {
    const sw_water *const *waters;
    const sw_evidence *given;
    size_t count;
} sw_reports;

/*
 * Tries every re-reading of reference/rereadings.csv that fits the reports, one
 * at a time and in all of them at once.  Kept are those whose score, the
 * table's penalty included, beats that of the reports as given by the margin of
 * reference/methods.md, and under which nothing disagrees any more: in the one
 * report, or in half of many and in 5 % more than as given.  In one report any
 * figure may be mistyped instead: that has a share of the belief too.  *found,
 * best first, to be freed; nothing is touched where there are none to look for.
 * SW_ERR_MEMORY.
 */
sw_status sw_suspects_find(const sw_reports *reports,
                           const sw_conditions *conditions,
                           sw_rereading **found, size_t *count,
                           sw_error *error);

/* Whether there may be one to find, by a glance at its evidence. */
bool sw_suspects_may_be(const sw_water *water, const sw_evidence *glance);

/* ---- Re-readings of one report, its names and units looked up once ------- */

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

/* The report with so many times that figure. */
sw_status sw_lookup_slip(const sw_lookup *reader, size_t index, double times,
                         sw_water **reread, sw_error *error);

/* sw_water_reread. */
sw_status sw_lookup_take(const sw_lookup *reader, const char *read_as,
                         sw_water **reread, sw_error *error);

#endif
