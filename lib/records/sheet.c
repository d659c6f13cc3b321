/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cells of a file, line by line in one block each. */
#include "records/sheet.h"
#include "quantity/status.h"
#include "table_refusals.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

static const sw_csv_cell nothing = {.text = "", .raw = ""};

/* ---- Reading ------------------------------------------------------------ */

static size_t count_filled(const sw_csv_row *row)
{
    size_t count = row->count;
    while (count > 0 && !*row->cells[count - 1].text)
        count--;
    return count;
}

static sw_status check_size(const sw_sheet *sheet, const sw_csv_row *row,
                            sw_error *error)
{
    const sw_place place = sw_csv_place(sheet->reader, &row->cells[0]);
    if (sheet->bytes <= SW_MAX_SHEET_BYTES)
        return SW_OK;
    return sw_fail_at(error, &place, SW_BAD_FILE_LARGE,
                      SW_MAX_SHEET_BYTES >> 20);
}

/* Lines within a cell are one. */
static void join_lines(char *text)
{
    for (; *text; text++)
        if (*text == '\n' || *text == '\r')
            *text = ' ';
}

/* The line's cells and texts in one block. */
static sw_csv_cell *keep(const sw_csv_row *row, size_t count, size_t bytes)
{
    sw_csv_cell *cells = malloc(bytes);
    if (!cells)
        return NULL;
    char *text = (char *)(cells + count);
    for (size_t i = 0; i < count; i++) {
        const sw_csv_cell *from = &row->cells[i];
        size_t lead = (size_t)(from->text - from->raw);
        size_t length = strlen(from->raw) + 1;
        cells[i] = *from;
        cells[i].raw = memcpy(text, from->raw, length);
        join_lines(text);
        cells[i].text = cells[i].raw + lead;
        text += length;
    }
    return cells;
}

static sw_status add_line(sw_sheet *sheet, const sw_csv_row *row,
                          sw_error *error)
{
    size_t filled = count_filled(row);
    size_t count = filled + (filled < row->count);
    size_t bytes = count * sizeof(sw_csv_cell) + 1;
    for (size_t i = 0; i < count; i++)
        bytes += strlen(row->cells[i].raw) + 1;
    sw_sheet_line *lines =
        sw_grow(sheet->lines, sheet->line_count, sizeof *lines);
    if (!lines)
        return sw_fail_memory(error);
    sheet->lines = lines;
    sw_csv_cell *cells = keep(row, count, bytes);
    if (!cells)
        return sw_fail_memory(error);
    sheet->bytes += bytes;
    sheet->lines[sheet->line_count++] =
        (sw_sheet_line){cells, count, row->count, bytes};
    if (filled > sheet->width)
        sheet->width = filled;
    return check_size(sheet, row, error);
}

sw_status sw_sheet_begin(FILE *stream, const char *name, sw_sheet *sheet,
                         sw_error *error)
{
    *sheet = (sw_sheet){0};
    return sw_csv_open(stream, name, false, &sheet->reader, error);
}

sw_status sw_sheet_more(sw_sheet *sheet, size_t lines, sw_error *error)
{
    sw_status status = SW_OK;
    for (size_t i = 0; i < lines && !status && !sheet->ended; i++) {
        const sw_csv_row *row = NULL;
        status = sw_csv_next(sheet->reader, &row, error);
        sheet->ended = !row;
        if (row)
            status = add_line(sheet, row, error);
    }
    return status;
}

sw_status sw_sheet_read(FILE *stream, const char *name, sw_sheet *sheet,
                        sw_error *error)
{
    sw_status status = sw_sheet_begin(stream, name, sheet, error);
    if (!status)
        status = sw_sheet_more(sheet, SIZE_MAX, error);
    if (status)
        sw_sheet_clear(sheet);
    return status;
}

void sw_sheet_forget(sw_sheet *sheet, size_t first, size_t kept)
{
    bool keeps = kept < sheet->line_count;
    sw_sheet_line line = keeps ? sheet->lines[kept] : (sw_sheet_line){0};
    for (size_t i = first; i < sheet->line_count; i++) {
        if (i == kept)
            continue;
        sheet->bytes -= sheet->lines[i].bytes;
        free(sheet->lines[i].cells);
    }
    sheet->line_count = first;
    if (keeps)
        sheet->lines[sheet->line_count++] = line;
}

void sw_sheet_clear(sw_sheet *sheet)
{
    for (size_t i = 0; i < sheet->line_count; i++)
        free(sheet->lines[i].cells);
    free(sheet->lines);
    sw_csv_close(sheet->reader);
    *sheet = (sw_sheet){0};
}

/* ---- Looking ------------------------------------------------------------ */

size_t sw_sheet_rows(const sw_sheet *sheet)
{
    return sheet->turned ? sheet->width : sheet->line_count;
}

size_t sw_sheet_columns(const sw_sheet *sheet)
{
    return sheet->turned ? sheet->line_count : sheet->width;
}

const sw_csv_cell *sw_sheet_cell(const sw_sheet *sheet, size_t row,
                                 size_t column)
{
    size_t line = sheet->turned ? column : row;
    size_t at = sheet->turned ? row : column;
    return line < sheet->line_count && at < sheet->lines[line].count
               ? &sheet->lines[line].cells[at]
               : &nothing;
}

const char *sw_sheet_text(const sw_sheet *sheet, size_t row, size_t column)
{
    return sw_sheet_cell(sheet, row, column)->text;
}

/* Cells of a row that may hold anything. */
static size_t reach(const sw_sheet *sheet, size_t row)
{
    if (sheet->turned)
        return sheet->line_count;
    return row < sheet->line_count ? sheet->lines[row].count : 0;
}

size_t sw_sheet_filled(const sw_sheet *sheet, size_t row)
{
    size_t filled = 0;
    for (size_t i = 0; i < reach(sheet, row); i++)
        filled += *sw_sheet_text(sheet, row, i) != '\0';
    return filled;
}

const sw_csv_cell *sw_sheet_below(const sw_sheet *sheet, size_t row,
                                  size_t column)
{
    for (size_t i = row + 1; i < sw_sheet_rows(sheet); i++)
        if (*sw_sheet_text(sheet, i, column))
            return sw_sheet_cell(sheet, i, column);
    return NULL;
}

const sw_csv_cell *sw_sheet_first(const sw_sheet *sheet, size_t row)
{
    for (size_t i = 0; i < reach(sheet, row); i++)
        if (*sw_sheet_text(sheet, row, i))
            return sw_sheet_cell(sheet, row, i);
    return &nothing;
}

const char *sw_cell_text(const sw_csv_cell *cell)
{
    return cell ? cell->text : "";
}
