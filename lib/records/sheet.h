/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A file of cells, held whole: what is a table in it is found afterwards. */
#ifndef SW_RECORDS_SHEET_H
#define SW_RECORDS_SHEET_H

#include "records/csv_reader.h"
#include "records/table.h"

#include <stdint.h>

/* A line of the file that holds anything. */
typedef struct sw_sheet_line {
    sw_csv_cell *cells; /* one block with their texts */
    size_t count;       /* to the last that is not empty */
    size_t given;       /* with the empty ones after it */
    size_t bytes;       /* that it takes */
} sw_sheet_line;

typedef struct sw_sheet {
    sw_csv_reader *reader; /* its numbers and places */
    sw_sheet_line *lines;
    size_t line_count;
    size_t width; /* cells of the longest line, to its last that is not empty */
    size_t bytes;
    bool turned; /* columns are taken as rows */
    bool ended;  /* all of the stream is read */
} sw_sheet;

/*
 * Reads all of the stream.  SW_ERR_IO, _SYNTAX, _LIMIT (as sw_csv_next; and
 * SW_MAX_SHEET_BYTES), _MEMORY.  `stream` and `name` must outlive the sheet.
 */
sw_status sw_sheet_read(FILE *stream, const char *name, sw_sheet *sheet,
                        sw_error *error);
/* The same in parts: so many lines more, fewer only at the end of the stream;
 * and letting go of those from `first` on but line `kept`, which moves there
 * (its cells stay where they are; SIZE_MAX: of all). */
sw_status sw_sheet_begin(FILE *stream, const char *name, sw_sheet *sheet,
                         sw_error *error);
sw_status sw_sheet_more(sw_sheet *sheet, size_t lines, sw_error *error);
void sw_sheet_forget(sw_sheet *sheet, size_t first, size_t kept);
void sw_sheet_clear(sw_sheet *sheet);

/* As taken: rows are columns of the file where it is turned. */
size_t sw_sheet_rows(const sw_sheet *sheet);
size_t sw_sheet_columns(const sw_sheet *sheet);

/* No column. */
#define SW_NOWHERE SIZE_MAX

/* The cell, one without text or place where the file has none; never NULL. */
const sw_csv_cell *sw_sheet_cell(const sw_sheet *sheet, size_t row,
                                 size_t column);
const char *sw_sheet_text(const sw_sheet *sheet, size_t row, size_t column);

/* "" of NULL. */
const char *sw_cell_text(const sw_csv_cell *cell);

/* How many cells of a row hold anything. */
size_t sw_sheet_filled(const sw_sheet *sheet, size_t row);

/* The first cell of a column below a row that holds anything; NULL: none. */
const sw_csv_cell *sw_sheet_below(const sw_sheet *sheet, size_t row,
                                  size_t column);

/* The first cell of a row that holds anything, for its place; never NULL. */
const sw_csv_cell *sw_sheet_first(const sw_sheet *sheet, size_t row);

#endif
