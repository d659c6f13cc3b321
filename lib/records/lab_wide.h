/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A table with a sample in each row, while it is read: its columns. */
#ifndef SW_RECORDS_LAB_WIDE_H
#define SW_RECORDS_LAB_WIDE_H

#include "records/lab.h"

typedef struct sw_wide_column {
    sw_word role;        /* SW_WORD_PARAMETER: of readings */
    const char *spelled; /* "Ca [mg/L]", in the sheet */
    char name[160], unit[80];
    char part[24];            /* "irr" of "irr_Ca" */
    bool from_row;            /* the unit stands in a row of its own */
    bool resolved, bad;       /* its unit is looked at with the first reading */
    const sw_csv_cell *limit; /* of a row of limits */
    bool asleep;              /* nothing in it yet that would say what it is */
    char of[160];             /* of marks: the parameter their head names */
} sw_wide_column;

struct sw_lab_wide {
    sw_lab *lab;
    size_t header, width;
    size_t looked_to; /* the last row that look_ahead has seen */
    size_t limits;    /* the row they stand in; SIZE_MAX: none */
    sw_wide_column *columns;
    int names; /* the column that names samples; -1 */
    int date, time;
    size_t samples;   /* rows of samples met */
    sw_lab_said said; /* by the name of the sample */
};

/* Takes row `row` as the header; false where memory ran out. */
bool sw_wide_read_header(sw_lab_wide *wide, size_t row);
/* Of a stream, whose later rows may show what a column is: looks again at those
 * that were empty so far. */
void sw_wide_wake(sw_lab_wide *wide, size_t row);

#endif
