/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Units of readings that a file leaves without one, as somebody states them. */
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

/* All zero: none is given. */
typedef struct sw_given_units {
    char *text; /* owned; the units point into it */
    sw_given_unit items[SW_MAX_GIVEN_UNITS];
    size_t count;
} sw_given_units;

/*
 * "mmol/L; Fe Mn Zn umol/L; EC uS/cm": parts separated by `;`, each a unit
 * alone or parameters (separated by spaces or commas) and their unit.  NULL or
 * "": none.  SW_ERR_UNIT, _NAME, _DUPLICATE, _LIMIT, _MEMORY, without a place.
 */
sw_status sw_given_units_read(const char *text, sw_given_units *given,
                              sw_error *error);
void sw_given_units_clear(sw_given_units *given);

/* The unit that is given for `name`, where it fits; "": none. */
const char *sw_given_unit_of(const sw_given_units *given, const char *name);

#endif
