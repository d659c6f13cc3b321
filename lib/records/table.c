/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Tables whose columns are known by name.  A header that does not fit is
 * refused by the name of the column, with the list of those expected.
 */
#include "records/table.h"

#include "records/utf8.h"
#include "table_refusals.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_NAME_BYTES = 120 };

static const char *skip_spaces(const char *text)
{
    while (*text && isspace((unsigned char)*text))
        text++;
    return text;
}

bool sw_same_name(const char *a, const char *b)
{
    for (;; a++, b++) {
        a = skip_spaces(a);
        b = skip_spaces(b);
        if (tolower((unsigned char)*a) != tolower((unsigned char)*b))
            return false;
        if (!*a)
            return true;
    }
}

char *sw_copy_text(const char *text)
{
    char *copy = strdup(text);
    for (char *c = copy; c && *c; c++)
        if ((unsigned char)*c < 0x20)
            *c = ' ';
    return copy;
}

sw_status sw_check_name(const sw_place *place, const char *text,
                        sw_error *error)
{
    char shown[SW_SHOWN_BYTES];
    if (strlen(text) <= MOST_NAME_BYTES)
        return SW_OK;
    sw_shorten(text, shown);
    return sw_fail_at(error, place, SW_BAD_NAME_WIDE, shown, MOST_NAME_BYTES);
}

/* "parameter, target, min", at most `size` bytes. */
static void list_columns(const sw_table_kind *kind, char *to, size_t size)
{
    size_t length = 0;
    for (size_t i = 0; i < kind->count && length < size; i++)
        length += (size_t)snprintf(to + length, size - length, "%s%s",
                                   i ? ", " : "", kind->columns[i]);
}

static sw_status fail_unknown(const sw_table *table, const sw_csv_cell *cell,
                              sw_error *error)
{
    char list[256];
    char shown[SW_SHOWN_BYTES];
    const sw_place place = sw_csv_place(table->reader, cell);
    if (!*cell->text)
        return sw_fail_at(error, &place, SW_BAD_COLUMN_UNNAMED);
    list_columns(table->kind, list, sizeof list);
    sw_shorten(cell->text, shown);
    return sw_fail_at(error, &place, SW_BAD_COLUMN_UNKNOWN, table->kind->what,
                      shown, list, table->kind->example);
}

static int column_of(const sw_table_kind *kind, const char *name)
{
    for (size_t i = 0; i < kind->count; i++)
        if (sw_same_name(kind->columns[i], name))
            return (int)i;
    return -1;
}

static sw_status place_column(sw_table *table, const sw_csv_row *header,
                              size_t at, sw_error *error)
{
    const sw_csv_cell *cell = &header->cells[at];
    int column = column_of(table->kind, cell->text);
    if (column < 0)
        return fail_unknown(table, cell, error);
    if (table->places[column] >= 0) {
        const sw_place place = sw_csv_place(table->reader, cell);
        return sw_fail_at(error, &place, SW_BAD_COLUMN_AGAIN,
                          table->kind->columns[column]);
    }
    table->places[column] = (int)at;
    return SW_OK;
}

static sw_status check_required(const sw_table *table, const sw_csv_row *header,
                                sw_error *error)
{
    char list[256];
    const sw_place place = sw_csv_place(table->reader, &header->cells[0]);
    for (size_t i = 0; i < table->kind->required; i++) {
        if (table->places[i] >= 0)
            continue;
        list_columns(table->kind, list, sizeof list);
        return sw_fail_at(error, &place, SW_BAD_COLUMN_MISSING,
                          table->kind->columns[i], list, table->kind->what,
                          table->kind->example);
    }
    return SW_OK;
}

/* Spreadsheets leave empty cells at the end of the header. */
static size_t header_width(const sw_csv_row *header)
{
    size_t width = header->count;
    while (width > 0 && !*header->cells[width - 1].text)
        width--;
    return width;
}

static sw_status start_table(sw_table *table, const sw_table_kind *kind,
                             sw_csv_reader *reader, const sw_csv_row *header,
                             sw_error *error)
{
    *table = (sw_table){.kind = kind, .reader = reader};
    table->width = header_width(header);
    for (size_t i = 0; i < kind->count; i++)
        table->places[i] = -1;
    for (size_t i = 0; i < table->width; i++) {
        sw_status status = place_column(table, header, i, error);
        if (status)
            return status;
    }
    return check_required(table, header, error);
}

static sw_status read_header(sw_table *table, const sw_table_kind *kind,
                             sw_csv_reader *reader, const char *name,
                             sw_error *error)
{
    const sw_csv_row *header = NULL;
    sw_status status = sw_csv_next(reader, &header, error);
    if (status)
        return status;
    if (!header) {
        const sw_place place = {name, 0, 0};
        return sw_fail_at(error, &place, SW_BAD_TABLE_EMPTY, kind->what,
                          kind->example);
    }
    return start_table(table, kind, reader, header, error);
}

sw_status sw_table_open(sw_table *table, const sw_table_kind *kind,
                        FILE *stream, const char *name, sw_error *error)
{
    sw_csv_reader *reader = NULL;
    sw_status status = sw_csv_open(stream, name, true, &reader, error);
    if (status)
        return status;
    status = read_header(table, kind, reader, name, error);
    table->name = name;
    if (status)
        sw_csv_close(reader);
    return status;
}

void sw_table_close(sw_table *table)
{
    sw_csv_close(table->reader);
    table->reader = NULL;
}

/* Moves to the next row; table->row is NULL at the end. */
static sw_status next_row(sw_table *table, sw_error *error)
{
    sw_status status = sw_csv_next(table->reader, &table->row, error);
    if (status || !table->row)
        return status;
    return sw_csv_check_width(table->reader, table->row->cells,
                              table->row->count, table->width, error);
}

static sw_status fail_no_row(const sw_table *table, sw_error *error)
{
    const sw_table_kind *kind = table->kind;
    const sw_place place = {table->name, 0, 0};
    return sw_fail_at(error, &place, SW_BAD_TABLE_NO_ROWS, kind->what,
                      kind->row, strstr(kind->example, "/ ") + 2);
}

sw_status sw_table_read(sw_table *table, sw_row_reader *read, void *context,
                        sw_error *error)
{
    size_t rows = 0;
    sw_status status = next_row(table, error);
    for (; !status && table->row; rows++) {
        status = read(context);
        if (!status)
            status = next_row(table, error);
    }
    return status || rows ? status : fail_no_row(table, error);
}

const sw_csv_cell *sw_table_cell(sw_table *table, size_t column)
{
    int place = table->places[column];
    const sw_csv_row *row = table->row;
    if (place >= 0 && (size_t)place < row->count)
        return &row->cells[place];
    table->absent = row->cells[0];
    table->absent.text = table->absent.raw = "";
    return &table->absent;
}

const char *sw_table_text(sw_table *table, size_t column)
{
    return sw_table_cell(table, column)->text;
}

sw_place sw_table_place(sw_table *table, size_t column)
{
    return sw_csv_place(table->reader, sw_table_cell(table, column));
}

sw_status sw_table_number(sw_table *table, size_t column, double *value,
                          sw_error *error)
{
    const sw_csv_cell *cell = sw_table_cell(table, column);
    *value = NAN;
    if (!*cell->text)
        return SW_OK;
    return sw_csv_number(table->reader, cell, cell->text, value, error);
}

sw_status sw_table_amount(sw_table *table, size_t column, double *value,
                          sw_error *error)
{
    sw_status status = sw_table_number(table, column, value, error);
    if (status || !(*value < 0.0))
        return status;
    const sw_place place = sw_table_place(table, column);
    char shown[SW_SHOWN_BYTES];
    sw_shorten(sw_table_text(table, column), shown);
    return sw_fail_at(error, &place, SW_BAD_CELL_NEGATIVE,
                      table->kind->columns[column], shown);
}

sw_status sw_table_blame(sw_table *table, size_t column, sw_status status,
                         sw_error *error)
{
    if (!error)
        return status;
    const sw_csv_cell *cell = sw_table_cell(table, column);
    const sw_place place = sw_csv_place_in(table->reader, cell, error->column);
    (void)snprintf(error->file, sizeof error->file, "%s", place.file);
    error->line = place.line;
    error->column = place.column;
    return status;
}
