/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which single mistake in reading lab reports would make them agree. */
#ifndef SW_ASSESS_REREADINGS_H
#define SW_ASSESS_REREADINGS_H

#include "assess/evidence.h"

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
 * report, or in half of many and in 5 % more than as given.  *found, best
 * first, to be freed; nothing is touched where there are none to look for.
 * SW_ERR_MEMORY.
 */
sw_status sw_suspects_find(const sw_reports *reports,
                           const sw_conditions *conditions,
                           sw_rereading **found, size_t *count,
                           sw_error *error);

#endif
