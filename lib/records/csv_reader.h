/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * CSV as people have it, row by row, in bounded memory, every cell with its
 * place.
 *
 * Dialect.  UTF-8, with or without a byte order mark, UTF-16, Windows-1252.
 * Lines end in LF, CRLF or CR.  Blank lines, rows of empty cells and lines
 * whose first mark is `#` are skipped.  The separator is whichever of tab,
 * semicolon, bar and comma parts the lines best: most lines times marks, among
 * lines with one number of marks outside quotes, commas between digits left out
 * (at a tie: of which the first line has more, then the earlier of that
 * list; none: comma).  A quoted cell may hold separators, newlines and
 * doubled quotes.  Spaces around a cell, no-break spaces too, do not count.
 *
 * Numbers.  The decimal mark is the point; in files separated by semicolons,
 * bars or tabs it may be the comma, the same mark throughout a file.  Thousands
 * separators are refused.  "1,200" or "1.200" in such a file counts as 1.2
 * only when another number of the file shows which mark is the decimal one.
 */
#ifndef SW_RECORDS_CSV_READER_H
#define SW_RECORDS_CSV_READER_H

#include "records/csv_lines.h"

typedef struct sw_csv_cell {
    const char *text; /* UTF-8 without surrounding spaces; never NULL */
    const char *raw;  /* the same with them, for sw_csv_place_in */
    unsigned long line;
    unsigned long column; /* of its first character, or of its quote */
    bool quoted;
} sw_csv_cell;

/* Valid until the next call on its reader. */
typedef struct sw_csv_row {
    sw_csv_cell cells[SW_MAX_COLUMNS];
    size_t count; /* >= 1 */
} sw_csv_row;

/* Opaque, since the parser's type must not show. */
typedef struct sw_csv_reader sw_csv_reader;

/* `stream` and `name` stay the caller's and must outlive the reader.  Of a file
 * that `has_header` the first row alone tells the separator: its cells may hold
 * others. */
sw_status sw_csv_open(FILE *stream, const char *name, bool has_header,
                      sw_csv_reader **reader, sw_error *error);
void sw_csv_close(sw_csv_reader *reader);
/* Who keeps no rows may read any number: SW_MAX_LINES and SW_MAX_ROWS no longer
 * hold. */
void sw_csv_unbind(sw_csv_reader *reader);

/*
 * The next row that holds anything in *row, NULL at the end.  SW_ERR_IO,
 * SW_ERR_SYNTAX (not text, not UTF-8, quotes; at the end: a number whose
 * decimal mark stayed unclear), SW_ERR_LIMIT (SW_MAX_LINE_BYTES per row,
 * SW_MAX_FIELD_BYTES per cell, SW_MAX_COLUMNS, SW_MAX_LINES, SW_MAX_ROWS),
 * SW_ERR_MEMORY.
 */
sw_status sw_csv_next(sw_csv_reader *reader, const sw_csv_row **row,
                      sw_error *error);

/* What the file is written in; UTF-8 before the first row. */
sw_encoding sw_csv_encoding(const sw_csv_reader *reader);

/*
 * Whether a row of `count` cells fits a header of `width`.  Further cells must
 * be empty; missing ones count as empty, but in a file separated by commas such
 * a row is refused when two neighbours could be one number with a decimal
 * comma.
 */
sw_status sw_csv_check_width(const sw_csv_reader *reader,
                             const sw_csv_cell *cells, size_t count,
                             size_t width, sw_error *error);

/*
 * The number in `text`, part of `cell` (see above).  SW_ERR_SYNTAX: no number,
 * or one that could be read two ways; SW_ERR_VALUE: too large or too small
 * for a number.
 */
sw_status sw_csv_number(sw_csv_reader *reader, const sw_csv_cell *cell,
                        const char *text, double *value, sw_error *error);

/* After the numbers of rows that were kept: as sw_csv_next at the end. */
sw_status sw_csv_finish(const sw_csv_reader *reader, sw_error *error);

/* The place of a cell. */
sw_place sw_csv_place(const sw_csv_reader *reader, const sw_csv_cell *cell);

/* The place of character `character` (from 1; 0: the cell) of its text. */
sw_place sw_csv_place_in(const sw_csv_reader *reader, const sw_csv_cell *cell,
                         unsigned long character);

#endif
