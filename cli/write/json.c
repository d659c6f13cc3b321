/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A report as JSON: what has no value is absent, never null. */
#include "write/tree.h"

static cli_value *object_of(const doc_record *record, const doc_view *view);

static void put_cell(cli_value *object, const doc_cell *cell)
{
    const char *key = cell->field->key;
    switch (cell->field->kind) {
    case DOC_NUMBER:
        value_put_number(object, key, cell->number);
        break;
    case DOC_FLAG:
        value_put_flag(object, key, cell->number != 0.0);
        break;
    default:
        value_put_text(object, key, cell->text);
    }
}

static cli_value *map_of(const doc_block *block)
{
    const doc_field *name = fields_find(block->kind, "name");
    const doc_field *value = fields_find(block->kind, "value");
    cli_value *out = value_object();
    for (const doc_record *r = block->records; r; r = r->next)
        value_put_number(out, doc_cell_of(r, name)->text,
                         doc_cell_of(r, value)->number);
    return out;
}

static cli_value *array_of(const doc_block *block, const doc_view *view)
{
    cli_value *out = value_array();
    for (const doc_record *r = block->records; r; r = r->next) {
        if (!doc_sees_record(view, r))
            continue;
        value_append(out, block->form == DOC_TEXTS || block->form == DOC_LIST
                              ? value_text(r->cells[0].text)
                              : object_of(r, view));
    }
    return out;
}

static cli_value *value_of(const doc_block *block, const doc_view *view)
{
    if (block->form == DOC_RECORD)
        return object_of(block->records, view);
    return block->form == DOC_MAP ? map_of(block) : array_of(block, view);
}

void json_blocks(cli_value *object, const doc_record *record,
                 const doc_view *view)
{
    doc_view inside = {view->places, NULL};
    for (const doc_block *b = record->blocks; b; b = b->next)
        if (doc_sees_block(view, b))
            value_put(object, b->field->key, value_of(b, &inside));
}

static cli_value *object_of(const doc_record *record, const doc_view *view)
{
    cli_value *out = value_object();
    for (size_t i = 0; i < record->cell_count; i++)
        if (doc_sees_field(view, record->cells[i].field))
            put_cell(out, &record->cells[i]);
    json_blocks(out, record, view);
    return out;
}

void write_json(const doc_record *report, const doc_view *view, FILE *out)
{
    value_write(object_of(report, view), out);
}
