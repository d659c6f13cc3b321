/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A report for spreadsheets: a value a line; of a report of lines, a line each.
 *
 * A spreadsheet runs a cell that begins with = + - @ tab or CR as a formula,
 * some of them also where the sign is as wide as a Chinese character; a text
 * that does gets an apostrophe in front, and so does what follows each
 * semicolon, tab, bar or end of line in it, which separate cells elsewhere, and
 * spaces there.  Numbers are left as they are.  A message cut within a
 * character still makes UTF-8.
 */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "io/memory.h"
#include "io/safe.h"
#include "write/tree.h"

enum { PATH_BYTES = 1024, TEXT_BYTES = 4096 };

typedef struct csv_out {
    FILE *stream;
    const char *run; /* the first cell of each line; NULL: none */
} csv_out;

/* A quote twice, a byte that is no UTF-8 spelled out; returns its bytes. */
static size_t put_character(FILE *stream, const char *text)
{
    size_t bytes = text_character_bytes(text);
    if (!bytes) {
        fprintf(stream, "<%02X>", (unsigned char)*text);
        return 1;
    }
    if (*text == '"')
        fputc('"', stream);
    fwrite(text, 1, bytes, stream);
    return bytes;
}

/* Whether a formula may begin so; from U+FF0B on, the wide signs. */
static bool is_sign(const char *text)
{
    static const char *const signs[] = {"=",
                                        "+",
                                        "-",
                                        "@",
                                        "\t",
                                        "\r",
                                        "\n",
                                        "\xEF\xBC\x8B",
                                        "\xEF\xBC\x8D",
                                        "\xEF\xBC\x9D",
                                        "\xEF\xBC\xA0"};
    for (size_t i = 0; i < sizeof signs / sizeof *signs; i++)
        if (!strncmp(text, signs[i], strlen(signs[i])))
            return true;
    return false;
}

/* The cell with its quotes where RFC 4180 asks for them. */
static void put_text(FILE *out, const char *text)
{
    bool begins = true;
    bool quoted = strpbrk(text, ",\"\r\n") != NULL;
    if (quoted)
        fputc('"', out);
    while (*text) {
        if (begins && is_sign(text))
            fputc('\'', out);
        begins = (begins && *text == ' ') || strchr(";|\t\r\n", *text);
        text += put_character(out, text);
    }
    if (quoted)
        fputc('"', out);
}

/* Where in the report a line comes from. */
typedef struct csv_place {
    char section[PATH_BYTES];
    char name[PATH_BYTES];
} csv_place;

static void put_head(const csv_out *out, const csv_place *place,
                     const char *quantity)
{
    const char *cells[] = {out->run, place->section, place->name, quantity};
    for (size_t i = out->run ? 0 : 1; i < 4; i++) {
        put_text(out->stream, cells[i]);
        fputc(',', out->stream);
    }
}

static void put_number(const csv_out *out, const csv_place *place,
                       const char *quantity, double value, const char *unit)
{
    put_head(out, place, quantity);
    fprintf(out->stream, "%.10g,", value);
    put_text(out->stream, unit);
    fputs("\r\n", out->stream);
}

static void put_word(const csv_out *out, const csv_place *place,
                     const char *quantity, const char *word)
{
    put_head(out, place, quantity);
    put_text(out->stream, word);
    fputs(",\r\n", out->stream);
}

static void put_cell(const csv_out *out, const csv_place *place,
                     const doc_record *record, const doc_cell *cell)
{
    const char *key = cell->field->key;
    bool in_row = cell->field->kind == DOC_NAME;
    if (cell->field->kind == DOC_NUMBER)
        put_number(out, place, key, cell->number,
                   doc_unit(record, cell->field));
    else if (cell->field->kind == DOC_FLAG)
        put_word(out, place, key, cell->number != 0.0 ? "yes" : "no");
    else if (!in_row || record->block->form == DOC_STEPS)
        put_word(out, place, key, cell->text);
}

/* Where rows have no name, and of steps, their number stands for it. */
static csv_place place_of_row(const csv_place *place, const doc_record *record,
                              const doc_view *view, size_t number)
{
    csv_place out = *place;
    char own[PATH_BYTES] = "";
    bool numbered = record->block->form == DOC_STEPS;
    for (size_t i = 0; i < record->cell_count && !numbered; i++)
        if (record->cells[i].field->kind == DOC_NAME &&
            doc_sees_field(view, record->cells[i].field))
            text_join(own, PATH_BYTES, ", ", "%s", record->cells[i].text);
    if (!own[0] && record->block->form != DOC_RECORD)
        snprintf(own, sizeof own, "%zu", number);
    if (own[0])
        text_join(out.name, PATH_BYTES, " / ", "%s", own);
    return out;
}

/* A map's names are quantities of what it is in. */
static void put_entry(const csv_out *out, const csv_place *place,
                      const doc_record *record)
{
    const doc_cell *value = &record->cells[1];
    put_number(out, place, record->cells[0].text, value->number,
               value->field->unit);
}

static void put_record(const csv_out *out, const csv_place *place,
                       const doc_record *record, const doc_view *view);

static void put_block(const csv_out *out, const csv_place *place,
                      const doc_block *block, const doc_view *view)
{
    doc_view inside = {view->places, NULL};
    csv_place below = *place;
    size_t number = 0;
    text_join(below.section, PATH_BYTES, ".", "%s", block->field->key);
    for (const doc_record *r = block->records; r; r = r->next) {
        if (!doc_sees_record(view, r))
            continue;
        csv_place row = place_of_row(&below, r, &inside, ++number);
        if (block->form == DOC_MAP)
            put_entry(out, &below, r);
        else
            put_record(out, &row, r, &inside);
    }
}

static void put_cells(const csv_out *out, const csv_place *place,
                      const doc_record *record, const doc_view *view)
{
    for (size_t i = 0; i < record->cell_count; i++)
        if (doc_sees_field(view, record->cells[i].field))
            put_cell(out, place, record, &record->cells[i]);
}

static void put_blocks(const csv_out *out, const csv_place *place,
                       const doc_record *record, const doc_view *view)
{
    for (const doc_block *b = record->blocks; b; b = b->next)
        if (b->form != DOC_RUNS && doc_sees_block(view, b))
            put_block(out, place, b, view);
}

static void put_record(const csv_out *out, const csv_place *place,
                       const doc_record *record, const doc_view *view)
{
    put_cells(out, place, record, view);
    put_blocks(out, place, record, view);
}

static void put_report(const csv_out *out, const doc_record *report,
                       const doc_view *view)
{
    const csv_place run = {.section = "run"};
    const csv_place root = {.section = ""};
    put_cells(out, &run, report, view);
    put_blocks(out, &root, report, view);
}

/* Reports in a report: each line begins with the name of its own. */
static void put_runs(const csv_out *out, const doc_block *runs,
                     const doc_view *view)
{
    doc_view inside = {view->places, NULL};
    for (const doc_record *r = runs->records; r; r = r->next) {
        csv_out own = *out;
        own.run = doc_cell_of(r, fields_find(r->kind, "name"))->text;
        put_report(&own, r, &inside);
    }
}

/* ---- Lines --------------------------------------------------------------*/

/* A column for each field, each name of a map, and each field of a part. */
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
    const doc_block *block = row ? row->blocks : NULL;
    while (block && block->field != field)
        block = block->next;
    return block;
}

static void add_map(columns *list, const doc_block *map, const doc_field *field)
{
    for (const doc_record *e = map ? map->records : NULL; e; e = e->next)
        add(list, (column){field, e->cells[1].field, e->cells[0].text});
}

static void add_part(columns *list, const doc_block *part,
                     const doc_field *field)
{
    const doc_field *f = part ? fields_next(part->kind) : NULL;
    for (; f; f = fields_next(f))
        add(list, (column){field, f, NULL});
}

/* The same whatever the lines hold, so that those of several runs go together.
 */
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
            add_map(&list, block_in(lines->model, f), f);
        else
            add_part(&list, block_in(lines->model, f), f);
    }
    return list;
}

static void put_column(FILE *out, const column *at)
{
    char head[TEXT_BYTES];
    if (at->entry)
        snprintf(head, sizeof head, "%s [%s]", at->entry, at->inner->unit);
    else
        snprintf(head, sizeof head, "%s%s%s", at->field->key,
                 at->inner ? "." : "", at->inner ? at->inner->key : "");
    put_text(out, head);
}

/* Puts a number as "%.10g" does, in a fifth of the time; false, and nothing is
 * put, where it would have a power of ten, or rounding leaves its tenth digit
 * in doubt. */
static bool put_ten_digits(FILE *out, double value)
{
    static const double tens[] = {1e0, 1e1, 1e2, 1e3,  1e4,  1e5,  1e6,
                                  1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13};
    char text[32], *at = text + sizeof text;
    double size = fabs(value);
    int after = 0; /* the point */
    if (!(size >= 1e-4 && size < 9e9))
        return false;
    while (size * tens[after] < 1e9)
        after++;
    long double shifted = (long double)size * (long double)tens[after];
    uint64_t digits = (uint64_t)shifted;
    long double part = shifted - (long double)digits;
    if (fabsl(part - 0.5L) < 1e-5L)
        return false;
    digits += part > 0.5L;
    for (; after > 0 && digits % 10 == 0; after--)
        digits /= 10;
    for (int i = 0; digits > 0 || i <= after; i++, digits /= 10) {
        if (i > 0 && i == after)
            *--at = '.';
        *--at = (char)('0' + digits % 10);
    }
    if (value < 0)
        *--at = '-';
    return fwrite(at, 1, (size_t)(text + sizeof text - at), out) > 0;
}

static void put_plain(FILE *out, const doc_cell *cell)
{
    if (!cell)
        return;
    if (cell->text)
        put_text(out, cell->text);
    else if (cell->field->kind == DOC_FLAG)
        put_text(out, cell->number != 0.0 ? "yes" : "no");
    else if (!put_ten_digits(out, cell->number))
        fprintf(out, "%.10g", cell->number);
}

static void put_texts(FILE *out, const doc_block *block)
{
    char joined[TEXT_BYTES] = "";
    for (const doc_record *r = block ? block->records : NULL; r; r = r->next)
        text_join(joined, sizeof joined, " ", "%s", r->cells[0].text);
    put_text(out, joined);
}

static void put_named(FILE *out, const doc_block *map, const char *name)
{
    for (const doc_record *r = map ? map->records : NULL; r; r = r->next)
        if (strcmp(r->cells[0].text, name) == 0) {
            put_plain(out, &r->cells[1]);
            return;
        }
}

static void put_value(FILE *out, const doc_record *row, const column *at)
{
    const doc_block *block =
        at->field->kind == DOC_BLOCK ? block_in(row, at->field) : NULL;
    if (at->entry)
        put_named(out, block, at->entry);
    else if (at->inner)
        put_plain(out, block ? doc_cell_of(block->records, at->inner) : NULL);
    else if (at->field->kind == DOC_BLOCK)
        put_texts(out, block);
    else
        put_plain(out, doc_cell_of(row, at->field));
}

void write_csv_head(const doc_record *report, const doc_view *view, FILE *out)
{
    columns list = columns_of(doc_block_of(report, DOC_LINES), view);
    for (size_t i = 0; i < list.count; i++) {
        fputs(i ? "," : "", out);
        put_column(out, &list.items[i]);
    }
    fputs("\r\n", out);
    free(list.items);
}

void write_csv_lines(const doc_record *report, const doc_view *view, FILE *out)
{
    const doc_block *block = doc_block_of(report, DOC_LINES);
    columns list = columns_of(block, view);
    for (const doc_record *r = block->records; r; r = r->next) {
        for (size_t i = 0; i < list.count; i++) {
            fputs(i ? "," : "", out);
            put_value(out, r, &list.items[i]);
        }
        fputs("\r\n", out);
    }
    free(list.items);
}

/* ---- The report ---------------------------------------------------------*/

void write_csv(const doc_record *report, const doc_view *view, FILE *out)
{
    const doc_block *runs = doc_block_of(report, DOC_RUNS);
    const csv_out whole = {out, runs ? "" : NULL};
    fprintf(out, "%s%ssection,name,quantity,value,unit\r\n",
            runs ? runs->field->words : "", runs ? "," : "");
    put_report(&whole, report, view);
    if (runs && doc_sees_block(view, runs))
        put_runs(&whole, runs, view);
}
