/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A report for spreadsheets, a value a line. */
#include <string.h>

#include "write/tree.h"

enum { PATH_BYTES = 1024 };

/* Where in the report a line comes from. */
typedef struct csv_place {
    char section[PATH_BYTES];
    char name[PATH_BYTES];
} csv_place;

static void add_step(char *path, const char *between, const char *step)
{
    size_t used = strlen(path);
    snprintf(path + used, PATH_BYTES - used, "%s%s", used ? between : "", step);
}

static void put_cell(const cli_lines *out, const csv_place *place,
                     const doc_record *record, const doc_cell *cell)
{
    cli_cell at = {place->section, place->name, cell->field->key};
    switch (cell->field->kind) {
    case DOC_NUMBER:
        line_number(out, at, cell->number, doc_unit(record, cell->field));
        break;
    case DOC_FLAG:
        line_word(out, at, cell->number != 0.0 ? "yes" : "no");
        break;
    case DOC_NAME: /* it is in the row's */
        if (record->block->form == DOC_STEPS)
            line_word(out, at, cell->text);
        break;
    default:
        line_word(out, at, cell->text);
    }
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
            add_step(own, ", ", record->cells[i].text);
    if (!own[0] && record->block->form != DOC_RECORD)
        snprintf(own, sizeof own, "%zu", number);
    if (own[0])
        add_step(out.name, " / ", own);
    return out;
}

/* A map's names are quantities of what it is in. */
static void put_entry(const cli_lines *out, const csv_place *place,
                      const doc_record *record)
{
    const doc_cell *value = &record->cells[1];
    line_number(out,
                (cli_cell){place->section, place->name, record->cells[0].text},
                value->number, value->field->unit);
}

static void put_record(const cli_lines *out, const csv_place *place,
                       const doc_record *record, const doc_view *view);

static void put_block(const cli_lines *out, const csv_place *place,
                      const doc_block *block, const doc_view *view)
{
    doc_view inside = {view->places, NULL};
    csv_place below = *place;
    size_t number = 0;
    add_step(below.section, ".", block->field->key);
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

static void put_cells(const cli_lines *out, const csv_place *place,
                      const doc_record *record, const doc_view *view)
{
    for (size_t i = 0; i < record->cell_count; i++)
        if (doc_sees_field(view, record->cells[i].field))
            put_cell(out, place, record, &record->cells[i]);
}

static void put_blocks(const cli_lines *out, const csv_place *place,
                       const doc_record *record, const doc_view *view)
{
    for (const doc_block *b = record->blocks; b; b = b->next)
        if (b->form != DOC_RUNS && doc_sees_block(view, b))
            put_block(out, place, b, view);
}

static void put_record(const cli_lines *out, const csv_place *place,
                       const doc_record *record, const doc_view *view)
{
    put_cells(out, place, record, view);
    put_blocks(out, place, record, view);
}

void csv_blocks(const cli_lines *out, const doc_record *record,
                const doc_view *view)
{
    csv_place place = {.section = ""};
    put_blocks(out, &place, record, view);
}

static void put_report(const cli_lines *out, const doc_record *report,
                       const doc_view *view)
{
    csv_place run = {.section = "run"};
    put_cells(out, &run, report, view);
    csv_blocks(out, report, view);
}

/* Reports in a report: each line begins with the name of its own. */
static void put_runs(const cli_lines *out, const doc_block *runs,
                     const doc_view *view)
{
    doc_view inside = {view->places, NULL};
    for (const doc_record *r = runs->records; r; r = r->next) {
        cli_lines own = *out;
        own.water = doc_cell_of(r, fields_find(r->kind, "name"))->text;
        put_report(&own, r, &inside);
    }
}

static const doc_block *block_of(const doc_record *report, doc_form form)
{
    const doc_block *block = report->blocks;
    while (block && block->form != form)
        block = block->next;
    return block;
}

void write_csv(const doc_record *report, const doc_view *view, FILE *out)
{
    cli_lines lines = {out, NULL};
    const doc_block *runs = block_of(report, DOC_RUNS);
    if (block_of(report, DOC_LINES)) {
        csv_lines(&lines, block_of(report, DOC_LINES), view);
        return;
    }
    lines.water = runs ? "" : NULL;
    line_header(&lines, runs ? runs->field->words : "");
    put_report(&lines, report, view);
    if (runs && doc_sees_block(view, runs))
        put_runs(&lines, runs, view);
}
