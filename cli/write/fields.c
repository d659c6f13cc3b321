/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * report/fields.csv as the program holds it: its words for kinds, forms and
 * places become numbers once, at first use.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "io/exit_code.h"
#include "fields_text.h"
#include "write/tree.h"

enum { FIELDS = sw_fields_count };

static doc_field fields[FIELDS + 1];

/* No data or option can cause it. */
static _Noreturn void fault(const char *what, const char *block,
                            const char *key)
{
    fprintf(stderr, "saltwright: internal error: %s %s %s in fields.csv\n",
            what, block, key);
    exit(EXIT_INTERNAL);
}

/* Where what stands before `end` is among the words; -1: nowhere. */
static int index_of(const char *text, char end, const char *const *words,
                    size_t count)
{
    for (size_t i = 0; i < count; i++) {
        size_t same = 0;
        while (words[i][same] && words[i][same] == text[same])
            same++;
        if (!words[i][same] && (!text[same] || text[same] == end))
            return (int)i;
    }
    return -1;
}

static unsigned places_of(const char *where)
{
    static const char *const words[] = {"brief",  "screen",   "worker",
                                        "client", "evidence", "data"};
    unsigned places = 0;
    for (const char *at = where; *at; at += strspn(at, " ")) {
        int place = index_of(at, ' ', words, sizeof words / sizeof *words);
        if (place >= 0)
            places |= 1U << place;
        at += strcspn(at, " ");
    }
    return places;
}

/* "block", "part" or "runs", and ":NAME" where its own key is not the block's.
 */
static doc_field holder_of(const sw_fields_row *row)
{
    const char *colon = strchr(row->type, ':');
    return (doc_field){.kind = DOC_BLOCK,
                       .one = strncmp(row->type, "part", 4) == 0,
                       .runs = strncmp(row->type, "runs", 4) == 0,
                       .of = colon ? colon + 1 : row->key};
}

/* "KIND:ROLE" of a field that a chart is drawn from. */
static void read_kind(const sw_fields_row *row, doc_field *out)
{
    static const char *const kinds[] = {"name",    "text",   "number", "flag",
                                        "verdict", "signal", "below",  "group",
                                        "tick",    "write"};
    static const char *const roles[] = {"",       "base", "rest", "length",
                                        "mark",   "low",  "high", "range",
                                        "across", "up"};
    const char *colon = strchr(row->type, ':');
    int kind = index_of(row->type, ':', kinds, sizeof kinds / sizeof *kinds);
    int role = index_of(colon ? colon + 1 : "", '\0', roles, DOC_ROLES);
    if (kind < 0 || role < 0)
        fault("no such type", row->block, row->type);
    out->kind = (doc_kind)kind;
    out->role = (doc_role)role;
}

static doc_field field_of(const sw_fields_row *row)
{
    static const char *const forms[] = {
        "record", "alarm", "rows", "bars",  "curve", "notes", "entries",
        "texts",  "list",  "map",  "steps", "parts", "grid",  "lines"};
    doc_field out = {.kind = DOC_BLOCK};
    int form = index_of(row->type, '\0', forms, sizeof forms / sizeof *forms);
    if (form >= 0)
        out.form = (doc_form)form;
    else if (strncmp(row->type, "part", 4) == 0 ||
             strncmp(row->type, "block", 5) == 0 ||
             strncmp(row->type, "runs", 4) == 0)
        out = holder_of(row);
    else
        read_kind(row, &out);
    out.block = row->block;
    out.key = row->key;
    out.words = row->words;
    out.unit = row->unit;
    out.digits = row->digits;
    out.places = places_of(row->where);
    return out;
}

static const doc_field *all_fields(void)
{
    const doc_field *next = NULL;
    for (size_t i = FIELDS; i-- > 0 && !fields[0].block;) {
        fields[i] = field_of(&sw_fields_table[i]);
        fields[i].next = next;
        if (!*fields[i].key)
            next = &fields[i];
    }
    return fields;
}

const doc_field *fields_block(const char *name)
{
    for (const doc_field *f = all_fields(); f; f = f->next)
        if (strcmp(f->block, name) == 0)
            return f;
    fault("no block", name, "");
}

const doc_field *fields_next(const doc_field *field)
{
    return field[1].block && *field[1].key ? field + 1 : NULL;
}

const doc_field *fields_find(const doc_field *block, const char *key)
{
    for (const doc_field *f = fields_next(block); f; f = fields_next(f))
        if (strcmp(f->key, key) == 0)
            return f;
    fault("no field", block->block, key);
}
