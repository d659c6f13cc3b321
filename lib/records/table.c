/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Tables whose columns are known by name.  A header that does not fit is
 * refused by the name of the column, with the list of those expected.
 */
#include "records/table.h"

#include "quantity/text.h"
#include "table_refusals.h"

#include <ctype.h>
#include <math.h>
#include <stdarg.h>
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

/* "parameter, target, min": so many. */
static void list_columns(const sw_table_kind *kind, size_t count,
                         const char *between, char to[256])
{
    *to = '\0';
    for (size_t i = 0; i < count; i++)
        sw_text_join(to, 256, between, "%s", kind->columns[i]);
}

/* ---- What is wrong ------------------------------------------------------ */

bool sw_table_is_refused(const sw_table *table)
{
    return table->refused.status != SW_OK;
}

/* Where a defect is told to; NULL: it is not the first. */
static sw_error *first_of(sw_table *table)
{
    return sw_table_is_refused(table) ? NULL : &table->refused;
}

static void refuse(sw_table *table, const sw_place *place, sw_status status,
                   const char *format, va_list list)
{
    char text[sizeof table->refused.message];
    (void)vsnprintf(text, sizeof text, format, list);
    (void)sw_fail_at(first_of(table), place, status, "%s", text);
}

void sw_table_refuse(sw_table *table, size_t column, sw_status status,
                     const char *format, ...)
{
    const sw_place place = sw_table_place(table, column);
    va_list list;
    va_start(list, format);
    refuse(table, &place, status, format, list);
    va_end(list);
}

void sw_table_refuse_at(sw_table *table, const sw_place *place,
                        sw_status status, const char *format, ...)
{
    va_list list;
    va_start(list, format);
    refuse(table, place, status, format, list);
    va_end(list);
}

void sw_table_blame(sw_table *table, size_t column, const sw_error *error)
{
    const sw_place place = sw_csv_place_in(
        table->reader, sw_table_cell(table, column), error->column);
    (void)sw_fail_at(first_of(table), &place, error->status, "%s",
                     error->message);
}

void sw_table_lack(sw_table *table)
{
    (void)sw_fail_memory(first_of(table));
}

/* ---- The header --------------------------------------------------------- */

static void refuse_unknown(sw_table *table, const sw_csv_cell *cell)
{
    char list[256];
    char shown[SW_SHOWN_BYTES];
    const sw_place place = sw_csv_place(table->reader, cell);
    list_columns(table->kind, table->kind->count, ", ", list);
    sw_shorten(cell->text, shown);
    if (!*cell->text)
        sw_table_refuse_at(table, &place, SW_BAD_COLUMN_UNNAMED);
    else
        sw_table_refuse_at(table, &place, SW_BAD_COLUMN_UNKNOWN,
                           table->kind->what, shown, list,
                           table->kind->example);
}

static int column_of(const sw_table_kind *kind, const char *name)
{
    for (size_t i = 0; i < kind->count; i++)
        if (sw_same_name(kind->columns[i], name))
            return (int)i;
    return -1;
}

/* "base,yamazaki-lettuce" alone: a row, of which the header is not there. */
static bool is_headless(const sw_table *table, const sw_csv_row *header)
{
    for (size_t i = 0; i < table->width; i++)
        if (column_of(table->kind, header->cells[i].text) >= 0)
            return false;
    return table->width <= table->kind->count;
}

static void refuse_headless(sw_table *table, const sw_csv_cell *cell)
{
    char list[256], few[256];
    char shown[SW_SHOWN_BYTES];
    const sw_place place = sw_csv_place(table->reader, cell);
    sw_shorten(cell->text, shown);
    list_columns(table->kind, table->kind->count, ", ", list);
    list_columns(table->kind, table->width, ",", few);
    sw_table_refuse_at(table, &place, SW_BAD_HEADER_MISSING, table->kind->what,
                       few, shown, list);
}

static void place_column(sw_table *table, const sw_csv_row *header, size_t at)
{
    const sw_csv_cell *cell = &header->cells[at];
    const sw_place place = sw_csv_place(table->reader, cell);
    int column = column_of(table->kind, cell->text);
    if (column < 0)
        refuse_unknown(table, cell);
    else if (table->places[column] >= 0)
        sw_table_refuse_at(table, &place, SW_BAD_COLUMN_AGAIN,
                           table->kind->columns[column]);
    else
        table->places[column] = (int)at;
}

static void check_required(sw_table *table, const sw_csv_row *header)
{
    char list[256];
    const sw_table_kind *kind = table->kind;
    const sw_place place = sw_csv_place(table->reader, &header->cells[0]);
    list_columns(kind, kind->count, ", ", list);
    for (size_t i = 0; i < kind->required; i++)
        if (table->places[i] < 0)
            sw_table_refuse_at(table, &place, SW_BAD_COLUMN_MISSING,
                               kind->columns[i], list, kind->what,
                               kind->example);
}

/* Spreadsheets leave empty cells at the end of the header. */
static size_t header_width(const sw_csv_row *header)
{
    size_t width = header->count;
    while (width > 0 && !*header->cells[width - 1].text)
        width--;
    return width;
}

static void read_header(sw_table *table)
{
    const sw_csv_row *header = NULL;
    const sw_place file = {table->name, 0, 0};
    (void)sw_csv_next(table->reader, &header, &table->refused);
    if (!header) {
        sw_table_refuse_at(table, &file, SW_BAD_TABLE_EMPTY, table->kind->what,
                           table->kind->example);
        return;
    }
    const sw_table_kind *other = table->kind->other;
    const char *first = header->cells[0].text;
    if (other && column_of(table->kind, first) < 0 &&
        column_of(other, first) >= 0)
        table->kind = other;
    table->width = header_width(header);
    for (size_t i = 0; i < table->kind->count; i++)
        table->places[i] = -1;
    if (is_headless(table, header))
        refuse_headless(table, &header->cells[0]);
    for (size_t i = 0; i < table->width; i++)
        place_column(table, header, i);
    check_required(table, header);
}

void sw_table_open(sw_table *table, const sw_table_kind *kind, FILE *stream,
                   const char *name)
{
    *table = (sw_table){.kind = kind, .name = name};
    if (!sw_csv_open(stream, name, true, &table->reader, &table->refused))
        read_header(table);
}

sw_status sw_table_close(sw_table *table, sw_error *error)
{
    sw_csv_close(table->reader);
    table->reader = NULL;
    if (sw_table_is_refused(table) && error)
        *error = table->refused;
    return table->refused.status;
}

/* ---- Rows --------------------------------------------------------------- */

/* False at the end, or where something is wrong. */
static bool next_row(sw_table *table)
{
    sw_error *error = &table->refused;
    if (sw_table_is_refused(table) ||
        sw_csv_next(table->reader, &table->row, error) || !table->row)
        return false;
    return !sw_csv_check_width(table->reader, table->row->cells,
                               table->row->count, table->width, error);
}

void sw_table_read(sw_table *table, sw_row_reader *read, void *context)
{
    size_t rows = 0;
    const sw_table_kind *kind = table->kind;
    const sw_place file = {table->name, 0, 0};
    while (next_row(table))
        rows += read(context);
    if (!rows)
        sw_table_refuse_at(table, &file, SW_BAD_TABLE_NO_ROWS, kind->what,
                           kind->row, strstr(kind->example, "/ ") + 2);
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

sw_shown sw_table_shown(sw_table *table, size_t column)
{
    sw_shown shown;
    sw_shorten(sw_table_text(table, column), shown.text);
    return shown;
}

sw_place sw_table_place(sw_table *table, size_t column)
{
    return sw_csv_place(table->reader, sw_table_cell(table, column));
}

double sw_table_number(sw_table *table, size_t column)
{
    double value = NAN;
    const sw_csv_cell *cell = sw_table_cell(table, column);
    if (*cell->text &&
        sw_csv_number(table->reader, cell, cell->text, &value, first_of(table)))
        return NAN;
    return value;
}

double sw_table_amount(sw_table *table, size_t column)
{
    double value = sw_table_number(table, column);
    if (value < 0.0)
        sw_table_refuse(table, column, SW_BAD_CELL_NEGATIVE,
                        table->kind->columns[column],
                        sw_table_shown(table, column).text);
    return value;
}

char *sw_table_name(sw_table *table, size_t column)
{
    const char *text = sw_table_text(table, column);
    const sw_place place = sw_table_place(table, column);
    if (!*text || sw_check_name(&place, text, first_of(table)))
        return NULL;
    char *name = sw_copy_text(text);
    if (!name)
        sw_table_lack(table);
    return name;
}
