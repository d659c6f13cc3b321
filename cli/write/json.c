/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A report as JSON, by jansson: what has no value is absent, never null. */
#include <jansson.h>
#include <stdlib.h>

#include "io/complain.h"
#include "io/safe.h"
#include "write/tree.h"

/* Digits behind which sums of doubles show their rounding. */
enum { DIGITS = 12 };

static json_t *object_of(const doc_record *record, const doc_view *view);

/* jansson refuses NULL; a lost value must not pass for one left out. */
static void keep(int refused)
{
    if (refused)
        exit((int)complain_memory());
}

static void put(json_t *object, const char *key, json_t *value)
{
    keep(json_object_set_new(object, key, value));
}

/* A message cut within a character is no UTF-8: the rest of it is spelled out.
 */
static json_t *text_of(const char *text)
{
    char safe[4096];
    json_t *value = json_string(text);
    if (value)
        return value;
    text_safe(safe, sizeof safe, text);
    return json_string(safe);
}

static void put_cell(json_t *object, const doc_cell *cell)
{
    const char *key = cell->field->key;
    switch (cell->field->kind) {
    case DOC_NUMBER:
        put(object, key, json_real(cell->number));
        break;
    case DOC_FLAG:
        put(object, key, json_boolean(cell->number != 0.0));
        break;
    default:
        put(object, key, text_of(cell->text));
    }
}

static json_t *map_of(const doc_block *block)
{
    const doc_field *name = fields_find(block->kind, "name");
    const doc_field *value = fields_find(block->kind, "value");
    json_t *out = json_object();
    for (const doc_record *r = block->records; r; r = r->next)
        put(out, doc_cell_of(r, name)->text,
            json_real(doc_cell_of(r, value)->number));
    return out;
}

static json_t *array_of(const doc_block *block, const doc_view *view)
{
    bool texts = block->form == DOC_TEXTS || block->form == DOC_LIST;
    json_t *out = json_array();
    for (const doc_record *r = block->records; r; r = r->next)
        if (doc_sees_record(view, r))
            keep(json_array_append_new(out, texts ? text_of(r->cells[0].text)
                                                  : object_of(r, view)));
    return out;
}

static json_t *value_of(const doc_block *block, const doc_view *view)
{
    if (block->form == DOC_RECORD)
        return object_of(block->records, view);
    return block->form == DOC_MAP ? map_of(block) : array_of(block, view);
}

static json_t *object_of(const doc_record *record, const doc_view *view)
{
    doc_view inside = {view->places, NULL};
    json_t *out = json_object();
    for (size_t i = 0; i < record->cell_count; i++)
        if (doc_sees_field(view, record->cells[i].field))
            put_cell(out, &record->cells[i]);
    for (const doc_block *b = record->blocks; b; b = b->next)
        if (doc_sees_block(view, b))
            put(out, b->field->key, value_of(b, &inside));
    return out;
}

static void put_text(json_t *value, size_t flags, FILE *out)
{
    keep(json_dumpf(value, out, flags | JSON_REAL_PRECISION(DIGITS)));
}

void write_json(const doc_record *report, const doc_view *view, FILE *out)
{
    json_t *root = object_of(report, view);
    put_text(root, JSON_INDENT(2), out);
    fputc('\n', out);
    json_decref(root);
}

void write_ndjson(const doc_record *report, const doc_view *view, FILE *out)
{
    json_t *root = object_of(report, view);
    put_text(root, JSON_COMPACT, out);
    fputc('\n', out);
    json_decref(root);
}

/* ---- Lines ---------------------------------------------------------------*/

/* Members of an object, each on a line, without its braces. */
static void put_members(const json_t *object, const char *first, FILE *out)
{
    const char *key;
    json_t *value;
    json_object_foreach((json_t *)object, key, value)
    {
        fprintf(out, "%s\n  ", first);
        json_t *name = json_string(key);
        put_text(name, JSON_ENCODE_ANY, out);
        fputs(": ", out);
        put_text(value, JSON_ENCODE_ANY | JSON_COMPACT, out);
        json_decref(name);
        first = ",";
    }
}

void write_json_head(const doc_record *report, const doc_view *view, FILE *out)
{
    const char *key = doc_block_of(report, DOC_LINES)->field->key;
    json_t *root = object_of(report, view);
    json_object_del(root, key);
    fputc('{', out);
    put_members(root, "", out);
    fprintf(out, "%s\n  \"%s\": [", json_object_size(root) ? "," : "", key);
    json_decref(root);
}

void write_json_lines(const doc_record *report, const doc_view *view, FILE *out)
{
    const doc_record *first = doc_block_of(report, DOC_LINES)->records;
    for (const doc_record *r = first; r; r = r->next) {
        json_t *line = object_of(r, view);
        fputs(r == first ? "\n    " : ",\n    ", out);
        put_text(line, JSON_COMPACT, out);
        json_decref(line);
    }
}

void write_json_end(const doc_record *report, const doc_view *view, FILE *out)
{
    json_t *root = json_object();
    doc_view inside = {view->places, NULL};
    for (const doc_block *b = report->blocks; b; b = b->next)
        if (b->form != DOC_LINES && doc_sees_block(view, b))
            put(root, b->field->key, value_of(b, &inside));
    fputs("\n  ]", out);
    put_members(root, ",", out);
    fputs("\n}\n", out);
    json_decref(root);
}

void write_ndjson_lines(const doc_record *report, const doc_view *view,
                        FILE *out)
{
    for (const doc_record *r = doc_block_of(report, DOC_LINES)->records; r;
         r = r->next)
        write_ndjson(r, view, out);
}
