/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A water from its readings; for the reader and for the audit. */
#ifndef SW_RECORDS_WATER_H
#define SW_RECORDS_WATER_H

#include "records/water_build.h"

/* Notes one file may give; a last one says that more were left out. */
enum { SW_MAX_NOTES = 1000 };

/*
 * Recomputes everything of `water` but sample, file and readings from the
 * parameter, unit, value and below_detection of its readings, whose kind and
 * component are set too.  So a reading may be changed and the water taken
 * anew.  Rules: reference/methods.md, Records.
 *
 * Notes: readings that agree, what was derived, what is missing, what is
 * improbable.  SW_ERR_NAME, _UNIT, _VALUE, _MEMORY; SW_ERR_DUPLICATE: readings
 * that contradict each other.
 */
sw_status sw_water_from_readings(sw_water *water, sw_notes *notes,
                                 sw_error *error);

/* The readings of a sample, each with its measure; nothing is owned. */
typedef struct sw_gathered {
    const char *sample, *file, *fed;
    const sw_reading *readings;
    const sw_measure *measures;
    size_t count;
} sw_gathered;

/* The water of them.  SW_ERR_MEMORY; else `told` hears of every defect, and
 * the water has readings alone. */
sw_status sw_water_of(sw_water *water, const sw_gathered *gathered,
                      sw_notes *notes, const sw_told *told, sw_error *error);

/*
 * A copy of all but the notes into *copy, to be cleared.  Its readings' texts
 * may be replaced by pointers to others that outlive it.
 */
sw_status sw_water_copy(const sw_water *water, sw_water *copy, sw_error *error);

/* What the laboratory itself worked out, "sum of cations", "sum of anions" in
 * meq/L or "SAR", where the reading is that; NaN: it is not. */
double sw_reading_told(const sw_reading *reading, const char *name);

/* The base capacity or acidity that is reported, in meq/L: a base capacity in
 * mmol/L counts hydroxide (DIN 38409-7, value from memory).  NaN: it is none,
 * is below detection, or its unit does not tell of what. */
double sw_reading_acidity(const sw_reading *reading);

/* Its sample, or "the water" where it has none; borrowed. */
const char *sw_water_name(const sw_water *water);

/* Releases what the water holds, not the struct. */
void sw_water_clear(sw_water *water);

/* Appends a note unless SW_MAX_NOTES are there. */
sw_status sw_notes_bounded(sw_notes *notes, const sw_note *note);

/* More than any water's: beyond it a report is doubted (water_ranges.csv). */
double sw_most_alkalinity_meq_per_l(void);

#endif
