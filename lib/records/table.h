/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A CSV file whose columns are known by name, in any order. */
#ifndef SW_RECORDS_TABLE_H
#define SW_RECORDS_TABLE_H

#include "records/csv_reader.h"
#include "quantity/text.h"

enum { SW_TABLE_COLUMNS = 16 };

typedef struct sw_table_kind {
    const char *what;                      /* "target file" */
    const char *row;                       /* what one holds: "product" */
    const char *columns[SW_TABLE_COLUMNS]; /* their names */
    size_t required;                       /* the first so many must be there */
    size_t count;
    const char *example;               /* "header / row", for messages */
    const struct sw_table_kind *other; /* what it is where the first header cell
                                          is of that alone; or NULL */
} sw_table_kind;

typedef struct sw_table {
    const sw_table_kind *kind;
    const char *name; /* of the file that sw_table_open opened; not owned */
    sw_csv_reader *reader;
    int places[SW_TABLE_COLUMNS]; /* of each column; -1: not in the file */
    size_t width;                 /* cells of the header */
    const sw_csv_row *row;        /* the current one; NULL at the end */
    sw_csv_cell absent;           /* stands for a cell the row lacks */
    sw_error refused;             /* the first defect; status SW_OK: none yet */
} sw_table;

/*
 * Opens `stream` and reads the header.  Columns are matched without regard to
 * case and spaces; unknown, repeated and missing ones are refused by name.
 * SW_ERR_MISSING, _NAME, _DUPLICATE and those of sw_csv_next.  Close it in any
 * case, which tells the first defect.
 */
void sw_table_open(sw_table *table, const sw_table_kind *kind, FILE *stream,
                   const char *name);
sw_status sw_table_close(sw_table *table, sw_error *error);

/*
 * Hands every row to `read`, which finds it in the table and says whether it
 * counts, as long as nothing is wrong.  SW_ERR_MISSING: none does.
 */
typedef bool sw_row_reader(void *context);
void sw_table_read(sw_table *table, sw_row_reader *read, void *context);

/* The cell of a column in the current row; its text is "" when absent. */
const sw_csv_cell *sw_table_cell(sw_table *table, size_t column);

/* Its text; never NULL. */
const char *sw_table_text(sw_table *table, size_t column);
/* The same as sw_shorten shows it. */
typedef struct sw_shown {
    char text[SW_SHOWN_BYTES];
} sw_shown;
sw_shown sw_table_shown(sw_table *table, size_t column);

/* The place of that cell. */
sw_place sw_table_place(sw_table *table, size_t column);

/* Its number; NaN when empty, or refused. */
double sw_table_number(sw_table *table, size_t column);
/* The same; a negative one is refused (SW_ERR_VALUE). */
double sw_table_amount(sw_table *table, size_t column);

/* A copy of its text on one line; NULL when empty, refused (SW_ERR_LIMIT, of
 * more than a name has), or without memory. */
char *sw_table_name(sw_table *table, size_t column);

/* ---- What is wrong ------------------------------------------------------ */

/*
 * The table keeps the first defect and is deaf to any other, so that a row is
 * read without asking after each cell.  What follows a defect counts for
 * nothing.
 */
void sw_table_refuse(sw_table *table, size_t column, sw_status status,
                     const char *format, ...) SW_PRINTF(4, 5);
void sw_table_refuse_at(sw_table *table, const sw_place *place,
                        sw_status status, const char *format, ...)
    SW_PRINTF(4, 5);
/* An error of another room, which counted columns within the cell. */
void sw_table_blame(sw_table *table, size_t column, const sw_error *error);
/* Memory ran out. */
void sw_table_lack(sw_table *table);
bool sw_table_is_refused(const sw_table *table);

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
