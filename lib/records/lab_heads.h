/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the heads of a table with a reading in each row say of its columns. */
#ifndef SW_RECORDS_LAB_HEADS_H
#define SW_RECORDS_LAB_HEADS_H

#include "records/lab.h"

enum {
    SW_LAB_MOST_VALUES = 6,
    SW_LAB_MOST_PANELS = 4,
    SW_LAB_MOST_MARKS = 4,
    SW_LAB_MOST_ORIGINS = 8,
    SW_LAB_MOST_WORDS = 12
};

typedef struct sw_lab_column {
    size_t at;
    size_t unit_at;   /* its column of units; SW_NOWHERE: the panel's */
    char unit[80];    /* of its head, or of a row of units below it */
    sw_lab_said said; /* by its head */
} sw_lab_column;

/* A column that says of what a row is, and the last it said. */
typedef struct sw_lab_origin {
    size_t at;
    char said[100];
    bool apart;
    bool fed;      /* of what a crop gets or has left */
    bool of_state; /* "within limits" is of the water */
    sw_word role;  /* ORIGIN, STATISTIC, VALIDITY, INVALIDITY */
} sw_lab_origin;

/* A column of words about values, and the last it said. */
typedef struct sw_lab_words {
    size_t at;
    sw_word role; /* REMARK, WARMTH, DEFINITION, IGNORED, NONE */
    char text[100];
    sw_lab_said said;
    bool below; /* "not detected", perhaps */
} sw_lab_words;

/* Columns from one naming of parameters to the next. */
typedef struct sw_lab_panel {
    size_t at[SW_WORD_COUNT]; /* of each role; SW_NOWHERE */
    int rank[SW_WORD_COUNT];
    size_t limits[2];        /* columns of limits; SW_NOWHERE */
    char limit_units[2][80]; /* of their heads */
    size_t
        more_units; /* of a second column of units of the value; SW_NOWHERE */
    size_t definitions[SW_LAB_DEFINITIONS];
    size_t
        marks[SW_LAB_MOST_MARKS]; /* columns of marks, whatever their heads */
    size_t mark_count;
    sw_lab_column values[SW_LAB_MOST_VALUES];
    size_t value_count;
    sw_lab_origin origins[SW_LAB_MOST_ORIGINS];
    size_t origin_count;
    sw_lab_words words[SW_LAB_MOST_WORDS];
    size_t word_count;
    sw_lab_said said;              /* by the heads of names and units */
    char section[80];              /* the unit a heading gives */
    sw_lab_said section_said;      /* what else it says */
    const sw_csv_cell *unheeded;   /* that heading, until a reading follows */
    const sw_csv_cell *apart_from; /* a heading of limits or blanks; NULL */
    const sw_csv_cell *unclear;    /* a heading that may begin another water */
    bool any;                      /* readings were taken */
} sw_lab_panel;

typedef struct sw_lab_long {
    sw_lab *lab;
    const sw_sheet *sheet; /* of it */
    size_t header, width;
    sw_lab_panel panels[SW_LAB_MOST_PANELS];
    size_t panel_count;
    bool means;              /* the only values are means */
    size_t sample;           /* of the row before */
    sw_lab_said row_said;    /* by words in the row */
    const sw_csv_cell *hint; /* of them that may mean "not detected" */
} sw_lab_long;

/* Sets the panels of a table by a header in `row`; parameters are named in the
 * column `names`. */
void sw_lab_read_header(sw_lab_long *t, size_t row, size_t names);

#endif
