/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a reader sees of a report, and a value with the digits it deserves. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "write/tree.h"

const doc_cell *doc_cell_of(const doc_record *record, const doc_field *field)
{
    for (size_t i = 0; i < record->cell_count; i++)
        if (record->cells[i].field == field)
            return &record->cells[i];
    return NULL;
}

const doc_cell *doc_cell_of_kind(const doc_record *record, doc_kind kind)
{
    for (size_t i = 0; i < record->cell_count; i++)
        if (record->cells[i].field->kind == kind)
            return &record->cells[i];
    return NULL;
}

const doc_cell *doc_cell_of_role(const doc_record *record, doc_role role)
{
    for (size_t i = 0; i < record->cell_count; i++)
        if (record->cells[i].field->role == role)
            return &record->cells[i];
    return NULL;
}

const char *doc_kind_text(const doc_record *record, doc_kind kind)
{
    const doc_cell *cell = doc_cell_of_kind(record, kind);
    return cell ? cell->text : "";
}

double doc_role_number(const doc_record *record, doc_role role)
{
    const doc_cell *cell = doc_cell_of_role(record, role);
    return cell ? cell->number : (double)NAN;
}

const doc_block *doc_block_of(const doc_record *report, doc_form form)
{
    const doc_block *block = report->blocks;
    while (block && block->form != form)
        block = block->next;
    return block;
}

const char *doc_unit(const doc_record *record, const doc_field *field)
{
    if (*field->unit != '@')
        return field->unit;
    const doc_cell *cell =
        doc_cell_of(record, fields_find(record->kind, field->unit + 1));
    return cell ? cell->text : "";
}

/* By the word in fields.csv: "" and "short" are significant digits, a number
 * is decimals, "row" those of the row; "+" in front shows the sign, "~" keeps
 * what rounding would bend; "percent" behind is of a share. */
static cli_figure figure_of(const doc_field *field, double value, int row)
{
    const char *digits = field->digits;
    bool percent = strstr(digits, "percent") != NULL;
    char mark = *digits == '+' || *digits == '~' ? *digits++ : '\0';
    int decimals =
        strncmp(digits, "row", 3) == 0 ? row : (int)strtol(digits, NULL, 10);
    value *= percent ? 100.0 : 1.0;
    cli_figure out = strncmp(digits, "short", 5) == 0 ? figure_short(value)
                     : strcmp(digits, "given") == 0   ? figure_given(value)
                     : !*digits                       ? figure_plain(value)
                     : mark == '~' ? figure_kept(value, decimals)
                     : mark == '+' ? figure_signed(value, decimals)
                                   : figure_fixed(value, decimals);
    if (mark == '+' && value > 0.0 && strncmp(digits, "short", 5) == 0) {
        cli_figure plain = out;
        snprintf(out.text, sizeof out.text, "+%.46s", plain.text);
    }
    return percent ? figure_amount(out, "%") : out;
}

cli_figure doc_figure(const doc_field *field, double value)
{
    return figure_of(field, value, 0);
}

const char *doc_read(const doc_record *record, const doc_cell *cell,
                     cli_figure *room)
{
    if (cell->words)
        return cell->words;
    if (cell->text)
        return cell->text;
    if (cell->field->kind == DOC_FLAG)
        return cell->number != 0.0 ? "yes" : "no";
    *room = figure_of(cell->field, cell->number, record->decimals);
    return room->text;
}

bool doc_is_room(const doc_field *field)
{
    return field->kind == DOC_TICK || field->kind == DOC_WRITE;
}

bool doc_is_open(const doc_block *block)
{
    return block->form == DOC_RECORD || block->form == DOC_PARTS;
}

bool doc_is_alarm(const doc_block *block)
{
    return block->kind->form == DOC_ALARM;
}

/* Whether `key` is one of "a,b,c". */
static bool is_listed(const char *list, const char *key)
{
    size_t length = strlen(key);
    for (const char *at = list; at; at = strchr(at, ',')) {
        at += *at == ',';
        if (strncmp(at, key, length) == 0 && (!at[length] || at[length] == ','))
            return true;
    }
    return false;
}

bool doc_sees_block(const doc_view *view, const doc_block *block)
{
    /* The choice is of the report's own blocks, each with all that is in it,
     * and hides no alarm. */
    return (block->places & view->places) &&
           (!view->only || block->inner || doc_is_alarm(block) ||
            is_listed(view->only, block->field->key));
}

bool doc_sees_record(const doc_view *view, const doc_record *record)
{
    return !record->places || (record->places & view->places);
}

bool doc_sees_field(const doc_view *view, const doc_field *field)
{
    return !field->places || (field->places & view->places);
}

bool doc_has_column(const doc_view *view, const doc_block *block,
                    const doc_field *field)
{
    if (!doc_sees_field(view, field) || field->kind == DOC_BLOCK)
        return false;
    for (const doc_record *r = block->records; r; r = r->next)
        if (doc_sees_record(view, r) &&
            (doc_cell_of(r, field) || doc_is_room(field)))
            return true;
    return false;
}

bool doc_has_rows(const doc_view *view, const doc_block *block)
{
    for (const doc_field *f = fields_next(block->kind); f; f = fields_next(f))
        if (doc_has_column(view, block, f))
            return true;
    return false;
}

bool doc_has_own(const doc_view *view, const doc_block *block)
{
    return block->before_count || block->after_count ||
           doc_has_rows(view, block);
}

bool doc_is_headed(const doc_view *view, const doc_block *block)
{
    if (!block->title || doc_has_own(view, block))
        return block->title != NULL;
    for (const doc_record *r = block->records; r && doc_is_open(block);
         r = r->next)
        for (const doc_block *b = r->blocks; b; b = b->next)
            if (doc_sees_block(view, b) && doc_has_own(view, b))
                return !b->title;
    return false;
}
