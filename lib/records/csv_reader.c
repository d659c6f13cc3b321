/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Rows of CSV with the place of every cell.  libcsv parses, but tells no
 * positions; so it is fed byte by byte, and where it reports a cell or a row
 * is where the reader stands.
 */
#include "records/csv_reader.h"

#include "records/csv_number.h"
#include "table_refusals.h"

#include <csv.h>
#include <ctype.h>
#include <stdlib.h>
#include <string.h>

/* Every byte of a row once, and an end for every cell. */
enum { CELL_TEXT_BYTES = SW_MAX_LINE_BYTES + 2 + SW_MAX_COLUMNS };

struct sw_csv_reader {
    sw_lines lines;
    struct csv_parser parser;
    sw_decimal_mark decimal;
    size_t row_count;
    bool has_header;
    /* The row being read. */
    sw_csv_row row;
    char text[CELL_TEXT_BYTES];
    size_t text_length;
    size_t row_bytes;
    bool row_done;
    bool too_many_cells;
    /* The cell being read. */
    sw_csv_cell cell;
    size_t cell_bytes;
    bool in_cell;
    unsigned long column; /* of the character last fed */
};

sw_place sw_csv_place(const sw_csv_reader *reader, const sw_csv_cell *cell)
{
    return (sw_place){reader->lines.name, cell->line, cell->column};
}

sw_place sw_csv_place_in(const sw_csv_reader *reader, const sw_csv_cell *cell,
                         unsigned long character)
{
    sw_place place = sw_csv_place(reader, cell);
    if (character == 0)
        return place;
    place.column += cell->quoted ? 1 : 0;
    const char *to = cell->text;
    for (const char *at = cell->raw; *at && (at < to || character > 1); at++) {
        if (((unsigned char)*at & 0xC0) == 0x80)
            continue;
        if (at >= to)
            character--;
        if (*at == '\n' || (*at == '\r' && at[1] != '\n')) {
            place.line++;
            place.column = 1;
        } else if (*at != '\r') {
            place.column += *at == '"' ? 2 : 1;
        }
    }
    return place;
}

sw_encoding sw_csv_encoding(const sw_csv_reader *reader)
{
    return reader->lines.encoding;
}

/* ---- What libcsv calls ------------------------------------------------- */

static size_t space_length(const char *text)
{
    if (*text == ' ' || *text == '\t' || *text == '\n' || *text == '\r')
        return 1;
    return strncmp(text, "\xC2\xA0", 2) == 0 ? 2 : 0; /* no-break space */
}

static size_t last_space_length(const char *text, size_t length)
{
    if (length >= 1 && space_length(text + length - 1) == 1)
        return 1;
    return length >= 2 && space_length(text + length - 2) == 2 ? 2 : 0;
}

/* Ends the text at `length` without the spaces around it. */
static const char *trim(char *text, size_t length)
{
    size_t space = 0;
    while ((space = last_space_length(text, length)) > 0)
        length -= space;
    text[length] = '\0';
    while ((space = space_length(text)) > 0)
        text += space;
    return text;
}

static void on_cell(void *data, size_t length, void *state)
{
    sw_csv_reader *reader = state;
    if (reader->row.count == SW_MAX_COLUMNS) {
        reader->too_many_cells = true;
        return;
    }
    char *text = reader->text + reader->text_length;
    if (length > 0)
        memcpy(text, data, length);
    reader->text_length += length + 1;
    reader->cell.raw = text;
    reader->cell.text = trim(text, length);
    reader->row.cells[reader->row.count++] = reader->cell;
    reader->in_cell = false;
    reader->cell_bytes = 0;
}

static void on_row(int end, void *state)
{
    (void)end;
    ((sw_csv_reader *)state)->row_done = true;
}

/* ---- Feeding it -------------------------------------------------------- */

static const char *separator_name(const sw_csv_reader *reader)
{
    return reader->decimal.separator == '\t'  ? "tab"
           : reader->decimal.separator == ';' ? ";"
           : reader->decimal.separator == '|' ? "|"
                                              : ",";
}

static sw_status fail_here(sw_csv_reader *reader, sw_error *error)
{
    const sw_place here = {reader->lines.name, reader->lines.number,
                           reader->column};
    if (csv_error(&reader->parser) != CSV_EPARSE)
        return sw_fail_memory(error);
    if (reader->cell.quoted)
        return sw_fail_at(error, &here, SW_BAD_QUOTE_TRAILING,
                          separator_name(reader));
    return sw_fail_at(error, &here, SW_BAD_QUOTE_INSIDE);
}

static sw_status fail_cell_size(const sw_csv_reader *reader, sw_error *error)
{
    const sw_place start = sw_csv_place(reader, &reader->cell);
    if (reader->cell.quoted)
        return sw_fail_at(error, &start, SW_BAD_QUOTE_LONG, SW_MAX_FIELD_BYTES);
    return sw_fail_at(error, &start, SW_BAD_CELL_LONG, SW_MAX_FIELD_BYTES);
}

/* Notes where the cell starts that `byte` belongs to. */
static void place_cell(sw_csv_reader *reader, char byte)
{
    if (reader->in_cell)
        return;
    reader->cell.line = reader->lines.number;
    reader->cell.column = reader->column;
    reader->cell.quoted = byte == '"';
    bool space = byte == ' ' || byte == '\r' || byte == '\n' ||
                 (byte == '\t' && reader->decimal.separator != '\t');
    reader->in_cell = !space && byte != reader->decimal.separator;
}

static sw_status feed_byte(sw_csv_reader *reader, char byte, sw_error *error)
{
    if (((unsigned char)byte & 0xC0) != 0x80)
        reader->column++;
    place_cell(reader, byte);
    if (++reader->cell_bytes > SW_MAX_FIELD_BYTES + 3)
        return fail_cell_size(reader, error);
    if (csv_parse(&reader->parser, &byte, 1, on_cell, on_row, reader) != 1)
        return fail_here(reader, error);
    if (reader->too_many_cells) {
        const sw_place start = sw_csv_place(reader, &reader->cell);
        return sw_fail_at(error, &start, SW_BAD_CELLS_MANY, SW_MAX_COLUMNS);
    }
    return SW_OK;
}

static sw_status feed_line(sw_csv_reader *reader, sw_error *error)
{
    reader->column = 0;
    reader->row_bytes += reader->lines.length;
    if (reader->row_bytes > SW_MAX_LINE_BYTES + 2) {
        const sw_place place = {reader->lines.name, reader->lines.number, 1};
        return sw_fail_at(error, &place, SW_BAD_ROW_LONG, SW_MAX_LINE_BYTES);
    }
    for (size_t i = 0; i < reader->lines.length; i++) {
        sw_status status = feed_byte(reader, reader->lines.text[i], error);
        if (status)
            return status;
    }
    return SW_OK;
}

/* ---- Rows -------------------------------------------------------------- */

static bool is_comment(const sw_lines *lines)
{
    size_t i = 0;
    while (i < lines->length &&
           (lines->text[i] == ' ' || lines->text[i] == '\t'))
        i++;
    return i < lines->length && lines->text[i] == '#';
}

static bool is_blank(const sw_lines *lines)
{
    for (size_t i = 0; i < lines->length; i++)
        if (!strchr(" \t\r\n", lines->text[i]))
            return false;
    return true;
}

/* A comma between digits may be a decimal one. */
static bool may_be_decimal(const sw_lines *lines, size_t at)
{
    return lines->text[at] == ',' && at > 0 && at + 1 < lines->length &&
           isdigit((unsigned char)lines->text[at - 1]) &&
           isdigit((unsigned char)lines->text[at + 1]);
}

/* How many marks of a kind a line has outside quotes. */
static size_t count_marks(const sw_lines *lines, char mark)
{
    size_t count = 0;
    bool quoted = false;
    for (size_t i = 0; i < lines->length; i++) {
        quoted ^= lines->text[i] == '"';
        count += !quoted && lines->text[i] == mark && !may_be_decimal(lines, i);
    }
    return count;
}

enum { MOST_MARKS = 64 };

/* How well a mark parts the lines into as many cells each: the lines with the
 * count that most of them have, times that count. */
static size_t separates(const sw_csv_reader *reader, char mark)
{
    size_t lines_with[MOST_MARKS + 1] = {0};
    size_t best = 0;
    sw_lines lines = reader->lines;
    bool more = true;
    while (more && sw_lines_look(&lines)) {
        if (is_comment(&lines) || is_blank(&lines))
            continue;
        size_t count = count_marks(&lines, mark);
        lines_with[count < MOST_MARKS ? count : MOST_MARKS]++;
        more = !reader->has_header;
    }
    for (size_t i = 1; i <= MOST_MARKS; i++)
        if (lines_with[i] * i > best)
            best = lines_with[i] * i;
    return best;
}

/* How many of a kind the first line has. */
static size_t in_first_line(const sw_csv_reader *reader, char mark)
{
    sw_lines lines = reader->lines;
    while (sw_lines_look(&lines))
        if (!is_comment(&lines) && !is_blank(&lines))
            return count_marks(&lines, mark);
    return 0;
}

static void choose_separator(sw_csv_reader *reader)
{
    static const char candidates[] = "\t;|,";
    size_t best = 0;
    size_t best_first = 0;
    reader->decimal.separator = ',';
    for (const char *c = candidates; *c; c++) {
        size_t lines = separates(reader, *c);
        size_t first = in_first_line(reader, *c);
        if (lines > best || (lines && lines == best && first > best_first)) {
            best = lines;
            best_first = first;
            reader->decimal.separator = *c;
        }
    }
    csv_set_delim(&reader->parser, (unsigned char)reader->decimal.separator);
}

static bool is_empty(const sw_csv_row *row)
{
    for (size_t i = 0; i < row->count; i++)
        if (*row->cells[i].text)
            return false;
    return true;
}

static void start_row(sw_csv_reader *reader)
{
    reader->row.count = 0;
    reader->text_length = 0;
    reader->row_bytes = 0;
    reader->row_done = false;
    reader->in_cell = false;
    reader->cell_bytes = 0;
}

/* The last line may end without a newline, or inside quotes. */
static sw_status finish(sw_csv_reader *reader, sw_error *error)
{
    reader->column++;
    place_cell(reader, '\n');
    if (csv_fini(&reader->parser, on_cell, on_row, reader)) {
        const sw_place start = sw_csv_place(reader, &reader->cell);
        return sw_fail_at(error, &start, SW_BAD_QUOTE_OPEN);
    }
    return SW_OK;
}

/* One row into reader->row; none (row_done false) at the end. */
static sw_status read_row(sw_csv_reader *reader, sw_error *error)
{
    start_row(reader);
    while (!reader->row_done) {
        bool got = false;
        sw_status status = sw_lines_next(&reader->lines, &got, error);
        if (status)
            return status;
        if (!got)
            return finish(reader, error);
        if (!reader->in_cell &&
            (is_comment(&reader->lines) || is_blank(&reader->lines)))
            continue;
        status = feed_line(reader, error);
        if (status)
            return status;
    }
    return SW_OK;
}

static sw_status check_row_count(sw_csv_reader *reader, sw_error *error)
{
    if (++reader->row_count <= SW_MAX_ROWS + 1 || reader->lines.endless)
        return SW_OK;
    const sw_place place = {reader->lines.name, reader->lines.number, 1};
    return sw_fail_at(error, &place, SW_BAD_ROWS_MANY, SW_MAX_ROWS);
}

sw_status sw_csv_next(sw_csv_reader *reader, const sw_csv_row **row,
                      sw_error *error)
{
    *row = NULL;
    if (!reader->decimal.separator) {
        sw_status status = sw_lines_begin(&reader->lines, error);
        if (status)
            return status;
        choose_separator(reader);
    }
    do {
        sw_status status = read_row(reader, error);
        if (status)
            return status;
        if (!reader->row_done)
            return sw_decimal_finish(&reader->decimal, error);
    } while (is_empty(&reader->row));
    sw_status status = check_row_count(reader, error);
    if (!status)
        *row = &reader->row;
    return status;
}

sw_status sw_csv_open(FILE *stream, const char *name, bool has_header,
                      sw_csv_reader **reader, sw_error *error)
{
    *reader = NULL;
    sw_csv_reader *made = calloc(1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    (void)csv_init(&made->parser, CSV_STRICT | CSV_STRICT_FINI);
    made->lines.stream = stream;
    made->lines.name = name;
    made->has_header = has_header;
    *reader = made;
    return SW_OK;
}

void sw_csv_close(sw_csv_reader *reader)
{
    if (!reader)
        return;
    csv_free(&reader->parser);
    sw_lines_free(&reader->lines);
    free(reader);
}

void sw_csv_unbind(sw_csv_reader *reader)
{
    reader->lines.endless = true;
}

/* ---- Widths and numbers ------------------------------------------------ */

static bool is_digits(const char *text)
{
    return *text && text[strspn(text, "0123456789")] == '\0';
}

static bool has_point(const char *text)
{
    size_t digits = strspn(text, "0123456789");
    return digits && text[digits] == '.' && is_digits(text + digits + 1);
}

/* The first of two neighbours that a decimal comma may have torn apart; none
 * in a row with a decimal point. */
static const sw_csv_cell *torn_number(const sw_csv_cell *cells, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (has_point(cells[i].text))
            return NULL;
    for (size_t i = 0; i + 1 < count; i++)
        if (is_digits(cells[i].text) && is_digits(cells[i + 1].text))
            return &cells[i];
    return NULL;
}

static sw_status fail_wide(const sw_csv_reader *reader, const sw_csv_cell *cell,
                           size_t count, size_t width, sw_error *error)
{
    const sw_place place = sw_csv_place(reader, cell);
    return sw_fail_at(error, &place, SW_BAD_ROW_WIDTH, count, width,
                      reader->decimal.separator == ','
                          ? ", expected a cell for each column; a number with "
                            "a decimal comma needs a point instead, such as "
                            "7.2, or cells separated by semicolons"
                          : ", expected a cell for each column; put a cell "
                            "that holds the separator in quotes, as in "
                            "\"Well 1; north\"");
}

sw_status sw_csv_check_width(const sw_csv_reader *reader,
                             const sw_csv_cell *cells, size_t count,
                             size_t width, sw_error *error)
{
    for (size_t i = width; i < count; i++)
        if (*cells[i].text)
            return fail_wide(reader, &cells[width], count, width, error);
    const sw_csv_cell *torn = NULL;
    if (count < width && reader->decimal.separator == ',')
        torn = torn_number(cells, count);
    if (!torn)
        return SW_OK;
    const sw_place place = sw_csv_place(reader, torn);
    return sw_fail_at(error, &place, SW_BAD_ROW_SHORT, torn[0].text,
                      torn[1].text, width, torn[0].text, torn[1].text);
}

sw_status sw_csv_finish(const sw_csv_reader *reader, sw_error *error)
{
    return sw_decimal_finish(&reader->decimal, error);
}

sw_status sw_csv_number(sw_csv_reader *reader, const sw_csv_cell *cell,
                        const char *text, double *value, sw_error *error)
{
    const sw_place place = sw_csv_place(reader, cell);
    return sw_decimal_read(&reader->decimal, text, &place, value, error);
}
