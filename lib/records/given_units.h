/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What somebody states of readings: units where a file gives none, and what a
 * name or a unit means that says too little. */
#ifndef SW_RECORDS_GIVEN_UNITS_H
#define SW_RECORDS_GIVEN_UNITS_H

#include "records/water_build.h"

/* Whether readings may be in it: not "g", nor "mL/L". */
bool sw_is_reading_unit(const char *text);

enum { SW_MAX_GIVEN_UNITS = 64 };

typedef struct sw_given_unit {
    int row; /* of reference/parameters.csv; -1: of every other parameter */
    const char *unit;
} sw_given_unit;

/* "Nitrat=NO3", "alkalinity=[mg/L CaCO3]": either of the last two may be "". */
typedef struct sw_given_meaning {
    const char *name, *means, *unit;
} sw_given_meaning;

/* All zero: none is given. */
typedef struct sw_given_units {
    char *text; /* owned; the others point into it */
    sw_given_unit items[SW_MAX_GIVEN_UNITS];
    sw_given_meaning meanings[SW_MAX_GIVEN_UNITS];
    size_t count, meaning_count;
} sw_given_units;

/*
 * "mmol/L; Fe Mn Zn umol/L; EC uS/cm": parts separated by `;`, each a unit
 * alone or parameters (separated by spaces or commas) and their unit, or a
 * meaning.  NULL or "": none.  SW_ERR_UNIT, _NAME, _DUPLICATE, _LIMIT, _MEMORY,
 * without a place.
 */
sw_status sw_given_units_read(const char *text, sw_given_units *given,
                              sw_error *error);
void sw_given_units_clear(sw_given_units *given);

/* What is stated of `name`, which says too little; NULL: nothing. */
const sw_given_meaning *sw_given_meaning_of(const sw_given_units *given,
                                            const char *name);

/* The unit that is given for `name`, where it fits; "": none. */
const char *sw_given_unit_of(const sw_given_units *given, const char *name);

#endif
