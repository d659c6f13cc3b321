/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows as lines of a table: a column for each field, each name of a map, and
 * each field of a part that some row has. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "io/memory.h"
#include "write/tree.h"

enum { TEXT_BYTES = 4096 };

typedef struct column {
    const doc_field *field; /* of the row */
    const doc_field *inner; /* of the part in it; or NULL */
    const char *entry;      /* of the map in it: a name; or NULL */
} column;

typedef struct columns {
    column *items;
    size_t count;
} columns;

static void add(columns *list, column item)
{
    list->items = memory_grow(list->items, list->count, sizeof item);
    list->items[list->count++] = item;
}

static const doc_block *block_in(const doc_record *row, const doc_field *field)
{
    const doc_block *block = row->blocks;
    while (block && block->field != field)
        block = block->next;
    return block;
}

/* The first row that has a map has all its names. */
static void add_map(columns *list, const doc_block *lines,
                    const doc_field *field)
{
    const doc_block *map = NULL;
    for (const doc_record *r = lines->records; r && !map; r = r->next)
        map = block_in(r, field);
    for (const doc_record *e = map ? map->records : NULL; e; e = e->next)
        add(list, (column){field, e->cells[1].field, e->cells[0].text});
}

static void add_part(columns *list, const doc_block *lines,
                     const doc_field *field)
{
    const doc_field *f = fields_next(fields_block(field->of));
    for (; f; f = fields_next(f)) {
        bool any = false;
        for (const doc_record *r = lines->records; r && !any; r = r->next)
            any = block_in(r, field) &&
                  doc_cell_of(block_in(r, field)->records, f);
        if (any)
            add(list, (column){field, f, NULL});
    }
}

static columns columns_of(const doc_block *lines, const doc_view *view)
{
    columns list = {NULL, 0};
    const doc_field *f = fields_next(lines->kind);
    for (; f; f = fields_next(f)) {
        if (!doc_sees_field(view, f) || f->kind == DOC_BELOW)
            continue;
        if (f->kind != DOC_BLOCK || fields_block(f->of)->form == DOC_TEXTS)
            add(&list, (column){f, NULL, NULL});
        else if (fields_block(f->of)->form == DOC_MAP)
            add_map(&list, lines, f);
        else
            add_part(&list, lines, f);
    }
    return list;
}

static void put_head(const cli_lines *out, const column *at)
{
    char head[TEXT_BYTES];
    if (at->entry)
        snprintf(head, sizeof head, "%s [%s]", at->entry, at->inner->unit);
    else
        snprintf(head, sizeof head, "%s%s%s", at->field->key,
                 at->inner ? "." : "", at->inner ? at->inner->key : "");
    line_text(out, head);
}

static void put_cell(const cli_lines *out, const doc_cell *cell)
{
    if (!cell)
        return;
    if (cell->text)
        line_text(out, cell->text);
    else if (cell->field->kind == DOC_FLAG)
        line_text(out, cell->number != 0.0 ? "yes" : "no");
    else
        fprintf(out->stream, "%.10g", cell->number);
}

static void put_texts(const cli_lines *out, const doc_block *block)
{
    char joined[TEXT_BYTES] = "";
    for (const doc_record *r = block ? block->records : NULL; r; r = r->next) {
        size_t used = strlen(joined);
        snprintf(joined + used, sizeof joined - used, "%s%s", used ? " " : "",
                 r->cells[0].text);
    }
    line_text(out, joined);
}

static void put_entry(const cli_lines *out, const doc_block *map,
                      const char *name)
{
    for (const doc_record *r = map ? map->records : NULL; r; r = r->next)
        if (strcmp(r->cells[0].text, name) == 0) {
            put_cell(out, &r->cells[1]);
            return;
        }
}

static void put_value(const cli_lines *out, const doc_record *row,
                      const column *at)
{
    const doc_block *block =
        at->field->kind == DOC_BLOCK ? block_in(row, at->field) : NULL;
    if (at->entry)
        put_entry(out, block, at->entry);
    else if (at->inner)
        put_cell(out, block ? doc_cell_of(block->records, at->inner) : NULL);
    else if (at->field->kind == DOC_BLOCK)
        put_texts(out, block);
    else
        put_cell(out, doc_cell_of(row, at->field));
}

void csv_lines(const cli_lines *out, const doc_block *block,
               const doc_view *view)
{
    columns list = columns_of(block, view);
    for (size_t i = 0; i < list.count; i++) {
        fputs(i ? "," : "", out->stream);
        put_head(out, &list.items[i]);
    }
    fputs("\r\n", out->stream);
    for (const doc_record *r = block->records; r; r = r->next) {
        for (size_t i = 0; i < list.count; i++) {
            fputs(i ? "," : "", out->stream);
            put_value(out, r, &list.items[i]);
        }
        fputs("\r\n", out->stream);
    }
    free(list.items);
}
