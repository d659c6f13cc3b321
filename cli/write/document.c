/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Builds the tree of a report; memory that runs out ends the program. */
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

#include "io/memory.h"
#include "write/tree.h"

/* Where nothing else is said. */
static const unsigned everybody = DOC_SCREEN | DOC_EVIDENCE | DOC_DATA;

static doc_record *record_new(const doc_field *kind)
{
    doc_record *record = memory_array(1, sizeof *record);
    record->kind = kind;
    return record;
}

doc_record *doc_new(const char *name)
{
    return record_new(fields_block(name));
}

void doc_head(doc_record *report, const char *heading, const char *about)
{
    report->heading = memory_text(heading);
    report->about = memory_text(about);
}

doc_block *doc_add(doc_record *record, const char *key)
{
    const doc_field *field = fields_find(record->kind, key);
    doc_block *block = memory_array(1, sizeof *block);
    doc_block **end = &record->blocks;
    block->field = field;
    block->kind = fields_block(field->of);
    block->inner = record->block != NULL;
    block->form = field->one    ? DOC_RECORD
                  : field->runs ? DOC_RUNS
                                : block->kind->form;
    block->places = field->places         ? field->places
                    : block->kind->places ? block->kind->places
                                          : everybody;
    if (*block->kind->words)
        block->title = memory_text(block->kind->words);
    while (*end)
        end = &(*end)->next;
    *end = block;
    return block;
}

const char *doc_text_of(const doc_record *record, const char *key)
{
    const doc_cell *cell = doc_cell_of(record, fields_find(record->kind, key));
    return cell ? cell->text : "";
}

size_t doc_block_keys(const doc_record *report, const char **keys, size_t most)
{
    size_t count = 0;
    const doc_field *f = fields_next(report->kind);
    for (; f && count < most; f = fields_next(f))
        if (f->kind == DOC_BLOCK)
            keys[count++] = f->key;
    return count;
}

doc_record *doc_row(doc_block *block)
{
    doc_record *record = record_new(block->kind);
    record->block = block;
    if (block->last)
        block->last->next = record;
    else
        block->records = record;
    block->last = record;
    return record;
}

doc_record *doc_model(doc_block *block)
{
    block->model = record_new(block->kind);
    block->model->block = block;
    return block->model;
}

doc_record *doc_part(doc_record *record, const char *key)
{
    return doc_row(doc_add(record, key));
}

static char *print(const char *format, va_list list)
{
    va_list again;
    va_copy(again, list);
    int size = vsnprintf(NULL, 0, format, again);
    va_end(again);
    char *text = memory_array((size_t)(size > 0 ? size : 0) + 1, 1);
    vsnprintf(text, (size_t)size + 1, format, list);
    return text;
}

void doc_title(doc_block *block, const char *format, ...)
{
    va_list list;
    va_start(list, format);
    free(block->title);
    block->title = print(format, list);
    if (!*block->title) {
        free(block->title);
        block->title = NULL;
    }
    va_end(list);
}

static void add_line(doc_line **lines, size_t *count, doc_line line)
{
    *lines = memory_grow(*lines, *count, sizeof **lines);
    (*lines)[(*count)++] = line;
}

void doc_before(doc_block *block, const char *format, ...)
{
    va_list list;
    va_start(list, format);
    add_line(&block->before, &block->before_count,
             (doc_line){print(format, list), DOC_PLAIN});
    va_end(list);
}

void doc_after(doc_block *block, const char *format, ...)
{
    va_list list;
    va_start(list, format);
    add_line(&block->after, &block->after_count,
             (doc_line){print(format, list), DOC_PLAIN});
    va_end(list);
}

static doc_cell *add_cell(doc_record *record, const char *key)
{
    record->cells =
        memory_grow(record->cells, record->cell_count, sizeof *record->cells);
    doc_cell *cell = &record->cells[record->cell_count++];
    *cell = (doc_cell){.field = fields_find(record->kind, key),
                       .number = (double)NAN};
    return cell;
}

doc_record *doc_say(doc_block *block, doc_tone tone, const char *format, ...)
{
    va_list list;
    doc_record *record = doc_row(block);
    record->tone = tone;
    va_start(list, format);
    add_cell(record, "text")->text = print(format, list);
    va_end(list);
    return record;
}

void doc_entry(doc_block *block, const char *name, double value)
{
    if (!isfinite(value))
        return;
    doc_record *record = doc_row(block);
    doc_text(record, "name", name);
    doc_number(record, "value", value);
}

void doc_text(doc_record *record, const char *key, const char *text)
{
    if (text && *text)
        add_cell(record, key)->text = memory_text(text);
}

void doc_print(doc_record *record, const char *key, const char *format, ...)
{
    va_list list;
    va_start(list, format);
    char *text = print(format, list);
    va_end(list);
    doc_text(record, key, text);
    free(text);
}

void doc_shown(doc_record *record, const char *key, double value,
               const char *words)
{
    doc_number(record, key, value);
    doc_words(record, key, words);
}

void doc_flag(doc_record *record, const char *key, bool flag)
{
    add_cell(record, key)->number = flag;
}

/* Less is rounding. */
static const double least_told = 1e-12;

void doc_number(doc_record *record, const char *key, double value)
{
    if (isfinite(value))
        add_cell(record, key)->number = fabs(value) < least_told ? 0.0 : value;
}

void doc_numbers(doc_record *record, const doc_keyed *numbers, size_t count)
{
    for (size_t i = 0; i < count; i++)
        doc_number(record, numbers[i].key, numbers[i].value);
}

/* The words are the cell's from here on, or nobody's. */
static void take_words(doc_record *record, const char *key, char *words)
{
    const doc_field *field = fields_find(record->kind, key);
    for (size_t i = 0; i < record->cell_count; i++)
        if (record->cells[i].field == field) {
            free(record->cells[i].words);
            record->cells[i].words = words;
            return;
        }
    free(words);
}

void doc_mend_text(doc_record *record, const char *key, const char *text)
{
    const doc_field *field = fields_find(record->kind, key);
    for (size_t i = 0; i < record->cell_count; i++)
        if (record->cells[i].field == field) {
            free(record->cells[i].text);
            record->cells[i].text = memory_text(text);
        }
}

void doc_words(doc_record *record, const char *key, const char *words)
{
    take_words(record, key, memory_text(words));
}

void doc_reads(doc_record *record, const char *key, const char *format, ...)
{
    va_list list;
    va_start(list, format);
    take_words(record, key, print(format, list));
    va_end(list);
}

void doc_decimals(doc_record *record, int decimals)
{
    record->decimals = decimals;
}

void doc_colour(doc_record *record, doc_tone tone)
{
    record->tone = tone;
}

void doc_show_row(doc_record *record, unsigned places)
{
    record->places = places;
}

void doc_show_block(doc_block *block, unsigned places)
{
    block->places = places;
}

static void free_lines(doc_line *lines, size_t count)
{
    for (size_t i = 0; i < count; i++)
        free(lines[i].text);
    free(lines);
}

static void free_block(doc_block *block)
{
    while (block->records) {
        doc_record *next = block->records->next;
        doc_free(block->records);
        block->records = next;
    }
    doc_free(block->model);
    free_lines(block->before, block->before_count);
    free_lines(block->after, block->after_count);
    free(block->title);
    free(block);
}

void doc_free(doc_record *record)
{
    if (!record)
        return;
    for (size_t i = 0; i < record->cell_count; i++) {
        free(record->cells[i].text);
        free(record->cells[i].words);
    }
    free(record->cells);
    free(record->heading);
    free(record->about);
    while (record->blocks) {
        doc_block *next = record->blocks->next;
        free_block(record->blocks);
        record->blocks = next;
    }
    free(record);
}
