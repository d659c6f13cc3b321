/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A CSV file whose columns are known by name, in any order. */
#ifndef SW_RECORDS_TABLE_H
#define SW_RECORDS_TABLE_H

#include "records/csv_reader.h"

enum { SW_TABLE_COLUMNS = 16 };

typedef struct sw_table_kind {
    const char *what;                      /* "target file" */
    const char *row;                       /* what one holds: "product" */
    const char *columns[SW_TABLE_COLUMNS]; /* their names */
    size_t required;                       /* the first so many must be there */
    size_t count;
    const char *example; /* "header / row", for messages */
} sw_table_kind;

typedef struct sw_table {
    const sw_table_kind *kind;
    const char *name; /* of the file that sw_table_open opened; not owned */
    sw_csv_reader *reader;
    int places[SW_TABLE_COLUMNS]; /* of each column; -1: not in the file */
    size_t width;                 /* cells of the header */
    const sw_csv_row *row;        /* the current one; NULL at the end */
    sw_csv_cell absent;           /* stands for a cell the row lacks */
} sw_table;

/*
 * Opens `stream` and reads the header.  Columns are matched without regard to
 * case and spaces; unknown, repeated and missing ones are refused by name.
 * SW_ERR_MISSING, _NAME, _DUPLICATE and those of sw_csv_next.  On failure
 * nothing is left open.
 */
sw_status sw_table_open(sw_table *table, const sw_table_kind *kind,
                        FILE *stream, const char *name, sw_error *error);
void sw_table_close(sw_table *table);

/*
 * Hands every row to `read`, which finds it in the table, until one fails.
 * SW_ERR_MISSING: there is none.
 */
typedef sw_status sw_row_reader(void *context);
sw_status sw_table_read(sw_table *table, sw_row_reader *read, void *context,
                        sw_error *error);

/* The cell of a column in the current row; its text is "" when absent. */
const sw_csv_cell *sw_table_cell(sw_table *table, size_t column);

/* Its text; never NULL. */
const char *sw_table_text(sw_table *table, size_t column);

/* The place of that cell, for an error. */
sw_place sw_table_place(sw_table *table, size_t column);

/* Its number, NaN when empty. */
sw_status sw_table_number(sw_table *table, size_t column, double *value,
                          sw_error *error);

/* The same; SW_ERR_VALUE when negative. */
sw_status sw_table_amount(sw_table *table, size_t column, double *value,
                          sw_error *error);

/*
 * Gives an error of another room, which counted columns within the cell, its
 * place in the file.  Returns `status`.
 */
sw_status sw_table_blame(sw_table *table, size_t column, sw_status status,
                         sw_error *error);

/* Whether two names differ at most by case and spaces. */
bool sw_same_name(const char *a, const char *b);

/*
 * Whether `text` will do as a name on screens: SW_ERR_LIMIT, at `place`, when
 * it has more than 120 bytes.
 */
sw_status sw_check_name(const sw_place *place, const char *text,
                        sw_error *error);

/* A copy on one line (each control character a space); NULL: no memory. */
char *sw_copy_text(const char *text);

#endif
