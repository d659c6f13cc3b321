/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A table on a page: columns as wide as they need, the first one wrapping. */
#ifndef CLI_WRITE_TABLE_H
#define CLI_WRITE_TABLE_H

#include "io/page.h"

enum { TABLE_MAX_COLUMNS = 10 };

typedef struct cli_table_column {
    const char *head;
    const char *unit;    /* second line of the head; "" for none */
    bool right;          /* numbers stand to the right */
    size_t head_columns; /* a longer head goes on over lines; 0: as it is */
} cli_table_column;

typedef struct cli_table_row {
    char *cells[TABLE_MAX_COLUMNS];
    char *remark;  /* a line of its own below the row, or NULL */
    cli_tone tone; /* of the last cell */
} cli_table_row;

typedef struct cli_table {
    const cli_table_column *columns;
    size_t column_count;
    cli_table_row *rows;
    size_t row_count;
    size_t remark_indent; /* of remarks; 0: below the second column */
} cli_table;

/* `columns` must outlive the table. */
cli_table table_new(const cli_table_column *columns, size_t column_count);
/* Adds a row, copying the cells; NULL is an empty cell. */
cli_table_row *table_add(cli_table *table, const char *const *cells);
/* A remark below the last row; a second one is joined to it by "; ". */
void table_remark(cli_table *table, const char *remark);
void table_print(const cli_page *page, const cli_table *table);
void table_free(cli_table *table);

#endif
