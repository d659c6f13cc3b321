/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers of one file: which mark is decimal, and what is refused. */
#ifndef SW_RECORDS_CSV_NUMBER_H
#define SW_RECORDS_CSV_NUMBER_H

#include "quantity/status.h"

/* A number that could be read two ways until another one decides. */
typedef struct sw_unclear_number {
    char text[64];
    sw_place place;
} sw_unclear_number;

/* What the numbers met so far say; all zero at the start, but the first. */
typedef struct sw_decimal_mark {
    char separator;          /* of cells; with ',' only the point is decimal */
    char mark;               /* '.' or ',' once known */
    sw_place known;          /* where it became known */
    sw_unclear_number point; /* "1.200"; place.line 0 when none */
    sw_unclear_number comma; /* "1,200" */
} sw_decimal_mark;

/* The number in `text`, which starts at `place`.  SW_ERR_SYNTAX, _VALUE. */
sw_status sw_decimal_read(sw_decimal_mark *decimal, const char *text,
                          const sw_place *place, double *value,
                          sw_error *error);

/* At the file's end: SW_ERR_SYNTAX when a number stayed unclear, or was read
 * with one mark before another number told the other. */
sw_status sw_decimal_finish(const sw_decimal_mark *decimal, sw_error *error);

#endif
