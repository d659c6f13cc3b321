/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Column widths come from what the cells hold.  Where that is more than the
 * page has, the widest column of words gives way and breaks its cells over
 * several lines, so no line is ever wider than the page.
 */
#include "write/table.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "io/memory.h"
#include "io/safe.h"

enum { TABLE_INDENT = 2, TABLE_GAP = 2, TABLE_NARROWEST = 6 };

cli_table table_new(const cli_table_column *columns, size_t column_count)
{
    return (cli_table){.columns = columns, .column_count = column_count};
}

static char *safe_copy(const char *text)
{
    size_t size = 9 * strlen(text) + 1;
    char *safe = memory_array(size, 1);
    text_safe(safe, size, text);
    return safe;
}

cli_table_row *table_add(cli_table *table, const char *const *cells)
{
    table->rows =
        memory_grow(table->rows, table->row_count, sizeof *table->rows);
    cli_table_row *row = &table->rows[table->row_count++];
    *row = (cli_table_row){.tone = TONE_PLAIN};
    for (size_t i = 0; i < table->column_count; i++)
        row->cells[i] = safe_copy(cells[i] ? cells[i] : "");
    return row;
}

void table_remark(cli_table *table, const char *remark)
{
    cli_table_row *row = &table->rows[table->row_count - 1];
    char *before = row->remark;
    row->remark = safe_copy(remark);
    if (!before)
        return;
    size_t size = strlen(before) + strlen(row->remark) + sizeof "; ";
    char *both = memory_array(size, 1);
    snprintf(both, size, "%s; %s", before, row->remark);
    free(row->remark);
    free(before);
    row->remark = both;
}

static size_t larger(size_t a, size_t b)
{
    return a > b ? a : b;
}

/* The least columns of a column: as its head's longest word, or where the page
 * has no room for words, TABLE_NARROWEST. */
static size_t least_width(const cli_table_column *column, bool words)
{
    size_t most = TABLE_NARROWEST;
    for (const char *next = column->head; words && *next;) {
        size_t bytes = strcspn(next, " ");
        most = larger(most, text_width(next) - text_width(next + bytes));
        next += bytes + strspn(next + bytes, " ");
    }
    return most;
}

/* The widest column of words that can still give way; none: the count. */
static size_t widest(const cli_table *table, const size_t *widths, bool words)
{
    size_t found = table->column_count;
    size_t most = 0;
    for (size_t i = 0; i < table->column_count; i++)
        if (!table->columns[i].right && widths[i] > most &&
            widths[i] > least_width(&table->columns[i], words)) {
            found = i;
            most = widths[i];
        }
    return found;
}

static size_t head_width(const cli_table_column *column)
{
    size_t all = text_width(column->head);
    size_t most = column->head_columns;
    return most && most < all ? most : all;
}

static void measure(const cli_table *table, size_t widths[TABLE_MAX_COLUMNS])
{
    size_t room = PAGE_COLUMNS - TABLE_INDENT;
    size_t all = 0;
    for (size_t i = 0; i < table->column_count; i++) {
        const cli_table_column *column = &table->columns[i];
        widths[i] = larger(head_width(column), text_width(column->unit));
        for (size_t r = 0; r < table->row_count; r++)
            widths[i] = larger(widths[i], text_width(table->rows[r].cells[i]));
        all += widths[i] + (i ? TABLE_GAP : 0);
    }
    for (; all > room; all--) {
        size_t column = widest(table, widths, true);
        if (column == table->column_count)
            column = widest(table, widths, false);
        if (column == table->column_count)
            return;
        widths[column]--;
    }
}

/* Whether a line has anything from column `from` on. */
static bool is_empty_from(const char *const *cells, size_t from, size_t count)
{
    for (size_t i = from; i < count; i++)
        if (cells[i] && cells[i][0])
            return false;
    return true;
}

/* One line, padded but never with spaces at its end. */
static void put_line(const cli_page *page, const cli_table *table,
                     const size_t *widths, const char *const *cells,
                     cli_tone tone)
{
    page_pad(page, 0, TABLE_INDENT);
    for (size_t i = 0; i < table->column_count; i++) {
        const char *cell = cells[i] ? cells[i] : "";
        size_t width = text_width(cell);
        bool last = is_empty_from(cells, i + 1, table->column_count);
        if (table->columns[i].right)
            page_pad(page, width, widths[i]);
        page_word(page, i + 1 == table->column_count ? tone : TONE_PLAIN, cell);
        if (last)
            break;
        if (!table->columns[i].right)
            page_pad(page, width, widths[i]);
        page_pad(page, 0, TABLE_GAP);
    }
    fputc('\n', page->out);
}

/* Takes the next line of each cell, `rest`, into `cells`.  Returns whether
 * anything is left. */
static bool take_lines(const cli_table *table, const size_t *widths,
                       const char **rest, char *const *cells)
{
    bool more = false;
    for (size_t i = 0; i < table->column_count; i++) {
        const char *start = rest[i];
        size_t bytes = page_break(start, widths[i], &rest[i]);
        memcpy(cells[i], start, bytes);
        cells[i][bytes] = '\0';
        more = more || *rest[i];
    }
    return more;
}

/* Words on as many lines as they need, the other cells on the first. */
static void put_cells(const cli_page *page, const cli_table *table,
                      const size_t *widths,
                      const char *const of[TABLE_MAX_COLUMNS], cli_tone tone)
{
    const char *rest[TABLE_MAX_COLUMNS];
    char *cells[TABLE_MAX_COLUMNS];
    bool more;
    for (size_t i = 0; i < table->column_count; i++) {
        rest[i] = of[i] ? of[i] : "";
        cells[i] = memory_text(rest[i]);
    }
    do {
        more = take_lines(table, widths, rest, cells);
        put_line(page, table, widths, (const char *const *)cells, tone);
    } while (more);
    for (size_t i = 0; i < table->column_count; i++)
        free(cells[i]);
}

static void put_row(const cli_page *page, const cli_table *table,
                    const size_t *widths, const cli_table_row *row)
{
    put_cells(page, table, widths, (const char *const *)row->cells, row->tone);
    if (row->remark) {
        size_t indent = table->remark_indent
                            ? table->remark_indent
                            : TABLE_INDENT + widths[0] + TABLE_GAP;
        page_paragraph(page, indent, indent, "%s", row->remark);
    }
}

void table_print(const cli_page *page, const cli_table *table)
{
    size_t widths[TABLE_MAX_COLUMNS] = {0};
    const char *heads[TABLE_MAX_COLUMNS] = {""};
    const char *units[TABLE_MAX_COLUMNS] = {0};
    measure(table, widths);
    for (size_t i = 0; i < table->column_count; i++) {
        heads[i] = table->columns[i].head;
        units[i] = table->columns[i].unit;
    }
    put_cells(page, table, widths, heads, TONE_PLAIN);
    if (!is_empty_from(units, 0, table->column_count))
        put_line(page, table, widths, units, TONE_PLAIN);
    for (size_t r = 0; r < table->row_count; r++)
        put_row(page, table, widths, &table->rows[r]);
}

void table_free(cli_table *table)
{
    for (size_t r = 0; r < table->row_count; r++) {
        for (size_t i = 0; i < table->column_count; i++)
            free(table->rows[r].cells[i]);
        free(table->rows[r].remark);
    }
    free(table->rows);
    *table = (struct cli_table){0};
}
