/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A report on 80 columns. */
#include <string.h>

#include "io/safe.h"
#include "write/table.h"
#include "write/curve.h"
#include "write/grid.h"

enum { TERM_COLUMNS = 24, TEXT_BYTES = 4096, HEAD_BYTES = 64 };

typedef struct text_page {
    cli_page page;
    const doc_view *view;
    bool begun;
} text_page;

static void put_blocks(text_page *text, const doc_record *record);

static const char *words_of(const doc_field *field)
{
    return *field->words ? field->words : field->key;
}

static void put_lines(const text_page *text, const doc_line *lines,
                      size_t count)
{
    for (size_t i = 0; i < count; i++)
        page_paragraph(&text->page, 2, 2, "%s", lines[i].text);
}

/* A value with its unit; "" for what people do not read. */
static void read_whole(const doc_record *record, const doc_cell *cell,
                       char *words, size_t size)
{
    cli_figure room;
    const char *unit = cell->words ? "" : doc_unit(record, cell->field);
    snprintf(words, size, "%s%s%s", doc_read(record, cell, &room),
             *unit ? " " : "", unit);
}

static void put_facts(const text_page *text, const doc_record *record)
{
    char value[TEXT_BYTES];
    size_t columns = 0;
    for (size_t i = 0; i < record->cell_count; i++) {
        size_t width = text_width(words_of(record->cells[i].field));
        if (doc_sees_field(text->view, record->cells[i].field) &&
            width > columns)
            columns = width;
    }
    for (size_t i = 0; i < record->cell_count; i++) {
        const doc_cell *cell = &record->cells[i];
        if (!doc_sees_field(text->view, cell->field))
            continue;
        read_whole(record, cell, value, sizeof value);
        if (value[0])
            page_entry(&text->page, columns, words_of(cell->field), "%s",
                       value);
    }
}

/* The heads of a column: "restricted|if" on two lines, else its unit below. */
typedef struct text_head {
    char first[HEAD_BYTES];
    char second[HEAD_BYTES];
} text_head;

static text_head head_of(const doc_field *field)
{
    text_head head = {"", ""};
    const char *bar = strchr(field->words, '|');
    int length = bar ? (int)(bar - field->words) : (int)strlen(field->words);
    snprintf(head.first, sizeof head.first, "%.*s", length, field->words);
    snprintf(head.second, sizeof head.second, "%s",
             bar                   ? bar + 1
             : *field->unit == '@' ? ""
                                   : field->unit);
    return head;
}

static void put_remark(cli_table *table, const doc_record *record,
                       const doc_cell *cell)
{
    char words[TEXT_BYTES];
    cli_figure room;
    const char *own = doc_read(record, cell, &room);
    snprintf(words, sizeof words, "%s%s%s", cell->field->words,
             *cell->field->words ? ": " : "", own);
    if (*own)
        table_remark(table, words);
}

static void add_row(const text_page *text, cli_table *table,
                    const doc_field *const *fields, const doc_record *record)
{
    static const cli_tone tones[] = {
        [DOC_PLAIN] = TONE_PLAIN, [DOC_GOOD] = TONE_GOOD, [DOC_BAD] = TONE_BAD};
    const char *cells[TABLE_MAX_COLUMNS] = {0};
    cli_figure rooms[TABLE_MAX_COLUMNS];
    for (size_t i = 0; i < TABLE_MAX_COLUMNS && fields[i]; i++) {
        const doc_cell *cell = doc_cell_of(record, fields[i]);
        cells[i] = cell ? doc_read(record, cell, &rooms[i])
                   : fields[i]->kind == DOC_NUMBER ? "-"
                                                   : "";
    }
    table_add(table, cells)->tone = tones[record->tone];
    for (size_t i = 0; i < record->cell_count; i++)
        if (record->cells[i].field->kind == DOC_BELOW &&
            doc_sees_field(text->view, record->cells[i].field))
            put_remark(table, record, &record->cells[i]);
}

static void put_table(const text_page *text, const doc_block *block)
{
    const doc_field *fields[TABLE_MAX_COLUMNS] = {NULL};
    text_head heads[TABLE_MAX_COLUMNS];
    cli_table_column columns[TABLE_MAX_COLUMNS];
    size_t count = 0;
    for (const doc_field *f = fields_next(block->kind); f; f = fields_next(f)) {
        if (f->kind == DOC_BELOW || count == TABLE_MAX_COLUMNS ||
            !doc_has_column(text->view, block, f))
            continue;
        heads[count] = head_of(f);
        columns[count] = (cli_table_column){
            heads[count].first, heads[count].second, f->kind == DOC_NUMBER, 0};
        fields[count++] = f;
    }
    cli_table table = table_new(columns, count);
    table.remark_indent = 4;
    for (const doc_record *r = block->records; r; r = r->next)
        if (doc_sees_record(text->view, r))
            add_row(text, &table, fields, r);
    table_print(&text->page, &table);
    table_free(&table);
}

/* "Danger: text (others, others)" */
static void read_note(const text_page *text, const doc_record *record,
                      char *words, size_t size)
{
    char rest[TEXT_BYTES] = "";
    const char *signal = "";
    const char *note = "";
    cli_figure room;
    for (size_t i = 0; i < record->cell_count; i++) {
        const doc_cell *cell = &record->cells[i];
        if (!doc_sees_field(text->view, cell->field))
            continue;
        if (cell->field->kind == DOC_SIGNAL)
            signal = doc_read(record, cell, &room);
        else if (cell->field->kind == DOC_TEXT)
            note = doc_read(record, cell, &room);
        else
            text_join(rest, sizeof rest, ", ", "%s", cell->text);
    }
    snprintf(words, size, "%s%s%s%s%s%s", signal, *signal ? ": " : "", note,
             *rest ? " (" : "", rest, *rest ? ")" : "");
}

/* As wide as the longest name, up to a limit. */
static size_t term_columns(const doc_block *block)
{
    size_t widest = 0;
    for (const doc_record *r = block->records; r; r = r->next) {
        size_t width = text_width(r->cells[0].text);
        widest = width > widest ? width : widest;
    }
    return widest < TERM_COLUMNS ? widest : TERM_COLUMNS;
}

static void put_sentence(const text_page *text, const doc_record *record)
{
    char words[2 * TEXT_BYTES];
    cli_figure room;
    const char *said = doc_read(record, &record->cells[0], &room);
    switch (record->block->form) {
    case DOC_NOTES:
        read_note(text, record, words, sizeof words);
        page_paragraph(&text->page, 2, 4, "- %s", words);
        break;
    case DOC_ENTRIES:
        text_safe(words, sizeof words, record->cells[0].text);
        page_entry(&text->page, term_columns(record->block), words, "%s",
                   doc_read(record, &record->cells[1], &room));
        break;
    case DOC_LIST:
        page_paragraph(&text->page, 2, 4, "- %s", said);
        break;
    default:
        page_paragraph(&text->page, 2, 2, "%s", said);
    }
}

/* "7.63 lb (3.46 kg) potassium nitrate. Stir until clear." */
static void read_step(const text_page *text, const doc_record *record,
                      char *words, size_t size)
{
    size_t amounts = 0;
    words[0] = '\0';
    for (const doc_field *f = fields_next(record->kind); f;
         f = fields_next(f)) {
        const doc_cell *cell = doc_cell_of(record, f);
        cli_figure room;
        if (!cell || !doc_sees_field(text->view, f) || f->kind > DOC_NUMBER)
            continue;
        const char *own = doc_read(record, cell, &room);
        if (f->kind == DOC_NUMBER && amounts++)
            text_join(words, size, "", " (%s)", own);
        else if (*own)
            text_join(words, size, f->kind == DOC_NAME ? " " : ". ", "%s", own);
    }
}

static void put_step(const text_page *text, const doc_record *record,
                     size_t number)
{
    char words[TEXT_BYTES];
    read_step(text, record, words, sizeof words);
    page_paragraph(&text->page, 2, 6, "%2zu. %s", number, words);
    for (size_t i = 0; i < record->cell_count; i++) {
        const doc_cell *cell = &record->cells[i];
        cli_figure room;
        if (cell->field->kind == DOC_BELOW &&
            doc_sees_field(text->view, cell->field))
            page_paragraph(&text->page, 6, 6, "%s: %s", cell->field->words,
                           doc_read(record, cell, &room));
    }
}

static void put_steps(const text_page *text, const doc_block *block)
{
    const char *last = "";
    size_t number = 0;
    for (const doc_record *r = block->records; r; r = r->next) {
        const char *group = doc_kind_text(r, DOC_GROUP);
        if (strcmp(group, last) != 0)
            page_paragraph(&text->page, 2, 2, "%s", group);
        last = group;
        put_step(text, r, ++number);
    }
}

static void put_records(text_page *text, const doc_block *block)
{
    switch (block->form) {
    case DOC_RECORD:
    case DOC_PARTS:
        put_facts(text, block->records);
        break;
    case DOC_ROWS:
    case DOC_LINES:
        put_table(text, block);
        break;
    case DOC_BARS:
        put_table(text, block);
        text_bars(&text->page, text->view, block);
        break;
    case DOC_CURVE:
        put_table(text, block);
        text_curve(&text->page, block);
        break;
    case DOC_MAP: /* data alone */
        break;
    case DOC_STEPS:
        put_steps(text, block);
        break;
    case DOC_GRID:
        text_grid(&text->page, text->view, block);
        break;
    default:
        for (const doc_record *r = block->records; r; r = r->next)
            if (doc_sees_record(text->view, r))
                put_sentence(text, r);
    }
}

static void put_title(const text_page *text, const char *title)
{
    char safe[2 * PAGE_COLUMNS * 8];
    text_safe(safe, sizeof safe, title);
    safe[text_fit(safe, PAGE_COLUMNS)] = '\0';
    page_word(&text->page, TONE_TITLE, safe);
    fputc('\n', text->page.out);
}

/* "STOP. Danger: ...", and its blocks under it. */
static void put_alarm(text_page *text, const doc_block *block)
{
    page_word(&text->page, TONE_BAD, block->title);
    for (size_t i = 0; i < block->before_count; i++) {
        page_word(&text->page, TONE_BAD, ". ");
        page_word(&text->page, TONE_BAD, block->before[i].text);
    }
    fputc('\n', text->page.out);
    text->begun = false;
}

static void put_block(text_page *text, const doc_block *block)
{
    bool any = doc_has_rows(text->view, block);
    bool own = doc_has_own(text->view, block);
    bool headed = doc_is_headed(text->view, block);
    if (doc_is_alarm(block))
        put_alarm(text, block);
    else if (own || headed) {
        bool brief = text->view->places == DOC_BRIEF;
        bool first = !text->begun;
        if (!first && !brief)
            fputc('\n', text->page.out);
        text->begun = own; /* else what is inside stands under the title */
        if (headed && !(first && brief))
            put_title(text, block->title);
        put_lines(text, block->before, block->before_count);
        if (any)
            put_records(text, block);
        put_lines(text, block->after, block->after_count);
    }
    for (const doc_record *r = block->records; r && doc_is_open(block);
         r = r->next)
        put_blocks(text, r);
}

static void put_blocks(text_page *text, const doc_record *record)
{
    for (const doc_block *b = record->blocks; b; b = b->next)
        if (doc_sees_block(text->view, b))
            put_block(text, b);
}

void write_text(const doc_record *report, const doc_view *view, bool colour,
                FILE *out)
{
    text_page text = {{out, colour}, view, false};
    put_blocks(&text, report);
}
