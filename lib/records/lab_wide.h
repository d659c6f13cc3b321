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
    char section[80];         /* the unit a heading gives */
    bool from_row;            /* the unit stands in a row of its own */
    bool resolved, bad;       /* its unit is looked at with the first reading */
    const sw_csv_cell *limit; /* of a row of limits */
    bool asleep;              /* nothing in it yet that would say what it is */
    bool heard;               /* words that may change readings */
    bool of_kind, of_state;   /* of what the sample is; its status */
    sw_lab_said said;         /* of its readings, by a row of words */
    const char *basis, *fraction, *definition; /* by rows of those */
    int fraction_kept;                         /* what its head says of it */
    char of[160]; /* of marks: the parameter their head names */
} sw_wide_column;

/* On which side of a value its mark stands. */
typedef enum sw_marks_side {
    SW_MARKS_AFTER,
    SW_MARKS_BEFORE,
    SW_MARKS_UNCLEAR
} sw_marks_side;

/* Values and marks in their order: what tells the side. */
typedef struct sw_marks_order {
    size_t values, marks;
    bool first_marks, last_marks;
    bool after; /* by their heads */
} sw_marks_order;
void sw_marks_add(sw_marks_order *order, bool marks, const char *head);
sw_marks_side sw_marks_side_of(const sw_marks_order *order);

struct sw_lab_wide {
    sw_lab *lab;
    const sw_sheet *sheet; /* of it */
    size_t header, width;
    size_t looked_to; /* the last row that look_ahead has seen */
    size_t limits;    /* the row they stand in; SIZE_MAX: none */
    size_t words; /* the last row of words, which columns point into; or 0 */
    sw_wide_column *columns;
    /* Columns, or SW_NOWHERE: that names samples; of "Analyte", "Units", "RL"
     * in a turned sheet; units: of the rows. */
    size_t names, corner, date, time, units;
    char row_unit[80]; /* by its name, "Well 1 (meq/L)", or that column */
    size_t samples;    /* rows of samples met */
    size_t marks_row;  /* of the sample being read; 0: none */
    sw_marks_side side, row_side; /* of columns of marks, and of rows */
    sw_lab_said said; /* by the name of the sample, or words in its row */
};

typedef enum sw_row_kind {
    SW_ROW_OF_SAMPLE,
    SW_ROW_OF_UNITS,
    SW_ROW_OF_LIMITS,
    SW_ROW_OF_WORDS,
    SW_ROW_OF_MARKS,
    SW_ROW_HEADER_AGAIN,
    SW_ROW_OTHER_HEADER,
    SW_ROW_ASIDE
} sw_row_kind;
sw_row_kind sw_wide_kind_of_row(const sw_lab_wide *wide, size_t row);
/* "MW-1 Qual" for MW-1, where samples stand in columns; 0: none. */
size_t sw_wide_marks_named_for(const sw_lab_wide *wide, size_t row);
/* Takes a header, and units and limits wherever they stand below it. */
void sw_wide_take_header(sw_lab_wide *wide, size_t row);
/* Whether it names a sample and holds no reading. */
bool sw_wide_is_bare_sample(const sw_lab_wide *wide, size_t row);
/* Whether it holds no sample; what else it holds is taken. */
bool sw_wide_take_other_row(sw_lab_wide *wide, size_t row);

/* Takes row `row` as the header; false where memory ran out. */
bool sw_wide_read_header(sw_lab_wide *wide, size_t row);
/* Two columns that are the same, once rows of units and words are known. */
void sw_wide_check_repeated(sw_lab_wide *wide);
/* Of a stream, whose later rows may show what a column is: looks again at those
 * that were empty so far. */
void sw_wide_wake(sw_lab_wide *wide, size_t row);

#endif
