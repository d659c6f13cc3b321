/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A report as a page: a section for each heading, in the look of the sheet. */
#include <string.h>

#include "saltwright.h"
#include "write/escape.h"

#include "write/curve.h"
#include "write/grid.h"
#include "style_text.h"

enum { MOST_ON_A_PHONE = 3 }; /* columns */

/*
 * style.css: large type for a phone in a shed, quiet rules for paper, nothing
 * that needs colour to be understood.  Widths are free, so that A4 and Letter
 * both fit; no row, step or chart is cut by a page.
 */
#define TEXT(name, text) text
static const char html_style[] = STYLE_LIST(TEXT);
#undef TEXT

typedef struct html_page {
    FILE *out;
    const doc_view *view;
    bool in_section;
} html_page;

static void put_blocks(html_page *page, const doc_record *record);
static void html_blocks(const doc_record *record, const doc_view *view,
                        FILE *out);

/* At the foot of each printed page: what it is of, what wrote it, and which
 * page it is. */
static void put_page_style(FILE *out, const char *heading, const char *about)
{
    fputs("@page { font-size: 8pt;\n  @bottom-left { content: \"", out);
    escape_css(out, heading);
    escape_css(out, *about ? ": " : "");
    escape_css(out, about);
    fprintf(out,
            "\"; }\n  @bottom-center { content: \"Saltwright %s\"; }\n"
            "  @bottom-right { content: \"page \" counter(page)"
            " \" of \" counter(pages); } }\n",
            sw_version());
}

static void put_head(FILE *out, const char *heading, const char *about)
{
    fputs("<!DOCTYPE html>\n"
          "<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
          "<meta name=\"viewport\" content=\"width=device-width, "
          "initial-scale=1\">\n"
          "<meta http-equiv=\"Content-Security-Policy\" content=\""
          "default-src 'none'; style-src 'unsafe-inline'\">\n<title>",
          out);
    escape_text(out, heading);
    fputs(*about ? ": " : "", out);
    escape_text(out, about);
    fprintf(out, "</title>\n<style>\n%s", html_style);
    put_page_style(out, heading, about);
    fputs("</style>\n</head>\n<body>\n<main>\n<h1>", out);
    escape_name(out, heading);
    fputs("</h1>\n", out);
}

/* To be ticked with a finger, or a pen; its words are read aloud. */
static void put_square(FILE *out, const char *what, const char *of)
{
    fputs("<input type=\"checkbox\" class=\"square\" aria-label=\"", out);
    escape_print(out, "%s %s", what, of);
    fputs("\">", out);
}

/* A word of ours that may have two lines in 80 columns. */
static void put_words(FILE *out, const doc_field *field)
{
    const char *words = *field->words ? field->words : field->key;
    for (; *words; words++)
        fputc(*words == '|' ? ' ' : *words, out);
}

static void put_paragraph(FILE *out, const char *text, doc_tone tone)
{
    static const char *const marks[] = {[DOC_PLAIN] = "<p>",
                                        [DOC_GOOD] = "<p class=\"result\">",
                                        [DOC_BAD] =
                                            "<p class=\"result unmet\">"};
    fputs(marks[tone], out);
    escape_name(out, text);
    fputs("</p>\n", out);
}

/* Sentences are for the first of its readers. */
static void put_lines(const html_page *page, const doc_block *block,
                      const doc_line *lines, size_t count)
{
    unsigned readers = block->places & (DOC_WORKER | DOC_CLIENT | DOC_EVIDENCE);
    unsigned first = readers & (~readers + 1U); /* its lowest bit */
    for (size_t i = 0; i < count && (page->view->places & first); i++)
        put_paragraph(page->out, lines[i].text, lines[i].tone);
}

static void put_value(const html_page *page, const doc_record *record,
                      const doc_cell *cell, bool with_unit)
{
    cli_figure room;
    const char *unit = cell->words ? "" : doc_unit(record, cell->field);
    escape_name(page->out, doc_read(record, cell, &room));
    if (with_unit && *unit) {
        fputc(' ', page->out);
        escape_text(page->out, unit);
    }
}

static void put_facts(const html_page *page, const doc_record *record)
{
    fputs("<dl class=\"facts\">\n", page->out);
    for (size_t i = 0; i < record->cell_count; i++) {
        const doc_cell *cell = &record->cells[i];
        cli_figure room;
        if (!doc_sees_field(page->view, cell->field) ||
            !*doc_read(record, cell, &room))
            continue;
        fputs("<dt>", page->out);
        put_words(page->out, cell->field);
        fputs("</dt><dd>", page->out);
        put_value(page, record, cell, true);
        fputs("</dd>\n", page->out);
    }
    for (const doc_field *f = fields_next(record->kind); f; f = fields_next(f))
        if (f->kind == DOC_WRITE && doc_sees_field(page->view, f))
            fprintf(page->out,
                    "<dt class=\"paper\">%s</dt><dd class=\"paper\">"
                    "<span class=\"blank\"></span></dd>\n",
                    f->words);
    fputs("</dl>\n", page->out);
}

static void put_entries(const html_page *page, const doc_block *block)
{
    fputs("<dl class=\"facts\">\n", page->out);
    for (const doc_record *r = block->records; r; r = r->next) {
        if (!doc_sees_record(page->view, r))
            continue;
        fputs("<dt>", page->out);
        escape_name(page->out, r->cells[0].text);
        fputs("</dt><dd>", page->out);
        escape_name(page->out, r->cells[1].text);
        fputs("</dd>\n", page->out);
    }
    fputs("</dl>\n", page->out);
}

static bool is_column(const html_page *page, const doc_block *block,
                      const doc_field *field)
{
    return field->kind != DOC_BELOW && doc_has_column(page->view, block, field);
}

static size_t count_columns(const html_page *page, const doc_block *block)
{
    size_t count = 0;
    for (const doc_field *f = fields_next(block->kind); f; f = fields_next(f))
        count += is_column(page, block, f);
    return count;
}

static const char *class_of(const doc_field *field)
{
    switch (field->kind) {
    case DOC_NUMBER:
        return " class=\"number\"";
    case DOC_TICK:
        return " class=\"box\"";
    case DOC_WRITE:
        return " class=\"write paper\"";
    default:
        return "";
    }
}

static bool has_own_unit(const doc_field *field)
{
    return *field->unit && *field->unit != '@';
}

static void put_table_head(const html_page *page, const doc_block *block,
                           bool folds)
{
    fputs("<div class=\"scroll\" role=\"group\" tabindex=\"0\" aria-label=\"",
          page->out);
    escape_text(page->out, block->title ? block->title : block->field->key);
    fprintf(page->out, "\">\n<table class=\"dense whole%s\">\n<thead><tr>",
            folds ? " folds" : "");
    for (const doc_field *f = fields_next(block->kind); f; f = fields_next(f)) {
        if (!is_column(page, block, f))
            continue;
        fprintf(page->out, "<th scope=\"col\"%s>", class_of(f));
        put_words(page->out, f);
        if (has_own_unit(f))
            fprintf(page->out, "<br>%s", f->unit);
        fputs("</th>", page->out);
    }
    fputs("</tr></thead>\n<tbody>\n", page->out);
}

/* What stands before a value on a screen too narrow for the table. */
static void put_label(const html_page *page, const doc_field *field)
{
    fputs(" data-label=\"", page->out);
    put_words(page->out, field);
    fprintf(page->out, "%s%s\"", has_own_unit(field) ? ", " : "",
            has_own_unit(field) ? field->unit : "");
}

/* The first name heads its row. */
static void put_cell(const html_page *page, const doc_record *record,
                     const doc_field *field, bool head, bool folds)
{
    const doc_cell *cell = doc_cell_of(record, field);
    fprintf(page->out, "<%s%s", head ? "th scope=\"row\"" : "td",
            class_of(field));
    if (folds && cell && !head)
        put_label(page, field);
    fputc('>', page->out);
    if (cell)
        put_value(page, record, cell, false);
    if (field->kind == DOC_TICK)
        put_square(page->out, field->words, doc_kind_text(record, DOC_NAME));
    fputs(head ? "</th>" : "</td>", page->out);
}

static void put_row(const html_page *page, const doc_block *block,
                    const doc_record *record, size_t columns, bool folds)
{
    bool first = true;
    fputs(record->tone == DOC_BAD ? "<tr class=\"unmet\">" : "<tr>", page->out);
    for (const doc_field *f = fields_next(block->kind); f; f = fields_next(f)) {
        if (!is_column(page, block, f))
            continue;
        bool head = first && !doc_is_room(f);
        put_cell(page, record, f, head, folds);
        first = first && !head;
    }
    fputs("</tr>\n", page->out);
    for (size_t i = 0; i < record->cell_count; i++) {
        const doc_cell *cell = &record->cells[i];
        if (cell->field->kind != DOC_BELOW ||
            !doc_sees_field(page->view, cell->field))
            continue;
        fprintf(page->out,
                "<tr class=\"below\"><td colspan=\"%zu\"><small>%s%s", columns,
                cell->field->words, *cell->field->words ? ": " : "");
        put_value(page, record, cell, false);
        fputs("</small></td></tr>\n", page->out);
    }
}

static void put_table(const html_page *page, const doc_block *block)
{
    size_t columns = count_columns(page, block);
    bool folds = columns > MOST_ON_A_PHONE;
    put_table_head(page, block, folds);
    for (const doc_record *r = block->records; r; r = r->next)
        if (doc_sees_record(page->view, r))
            put_row(page, block, r, columns, folds);
    fputs("</tbody>\n</table>\n</div>\n", page->out);
}

static void put_note(const html_page *page, const doc_record *record)
{
    fprintf(page->out, "<li%s>",
            record->tone == DOC_BAD ? " class=\"danger\"" : "");
    for (size_t i = 0; i < record->cell_count; i++) {
        const doc_cell *cell = &record->cells[i];
        bool signal = cell->field->kind == DOC_SIGNAL;
        bool rest = !signal && cell->field->kind != DOC_TEXT;
        cli_figure room;
        const char *words = doc_read(record, cell, &room);
        if (!doc_sees_field(page->view, cell->field) || !*words)
            continue;
        fputs(signal ? "<strong>" : rest ? " <small>" : "", page->out);
        escape_name(page->out, words);
        fputs(signal ? ": </strong>" : rest ? "</small>" : "", page->out);
    }
    fputs("</li>\n", page->out);
}

static void put_notes(const html_page *page, const doc_block *block)
{
    fputs("<ul class=\"cautions\">\n", page->out);
    for (const doc_record *r = block->records; r; r = r->next)
        if (doc_sees_record(page->view, r))
            put_note(page, r);
    fputs("</ul>\n", page->out);
}

static void put_list(const html_page *page, const doc_block *block)
{
    cli_figure room;
    fputs("<ul>\n", page->out);
    for (const doc_record *r = block->records; r; r = r->next) {
        fputs("<li>", page->out);
        escape_name(page->out, doc_read(r, &r->cells[0], &room));
        fputs("</li>\n", page->out);
    }
    fputs("</ul>\n", page->out);
}

/* The cells of a step that are of `kind`, each between two tags. */
static size_t put_cells(const html_page *page, const doc_record *record,
                        doc_kind kind, const char *tag)
{
    size_t count = 0;
    for (size_t i = 0; i < record->cell_count; i++) {
        const doc_cell *cell = &record->cells[i];
        cli_figure room;
        if (cell->field->kind != kind ||
            !doc_sees_field(page->view, cell->field) ||
            !*doc_read(record, cell, &room))
            continue;
        count++;
        fprintf(page->out, "<%s>", tag);
        if (kind == DOC_BELOW && *cell->field->words)
            fprintf(page->out, "%s: ", cell->field->words);
        put_value(page, record, cell, false);
        fprintf(page->out, "</%.*s> ", (int)strcspn(tag, " "), tag);
    }
    return count;
}

/* Lines to write on, where the step has an amount of something. */
static void put_room(const html_page *page, const doc_block *block)
{
    fputs("<div class=\"paper rooms\">", page->out);
    for (const doc_field *f = fields_next(block->kind); f; f = fields_next(f))
        if (f->kind == DOC_WRITE && doc_sees_field(page->view, f))
            fprintf(page->out, "<span>%s</span>", f->words);
    fputs("</div>", page->out);
}

static bool has_amount(const doc_record *record)
{
    for (size_t i = 0; i < record->cell_count; i++)
        if (record->cells[i].field->kind == DOC_NUMBER &&
            record->cells[i].words)
            return true;
    return false;
}

static void put_step(const html_page *page, const doc_block *block,
                     const doc_record *record, size_t number)
{
    char turn[24];
    snprintf(turn, sizeof turn, "%zu", number);
    fprintf(page->out, "<li%s>", has_amount(record) ? "" : " class=\"brief\"");
    put_square(page->out, "done: step", turn);
    fprintf(page->out, "<span class=\"turn\">%s</span>", turn);
    if (has_amount(record)) {
        fputs("<div class=\"much\">", page->out);
        put_cells(page, record, DOC_NUMBER, "b");
        fputs("</div>", page->out);
    }
    fputs("<div class=\"do\">", page->out);
    size_t names = put_cells(page, record, DOC_NAME, "strong");
    put_cells(page, record, DOC_TEXT, "span");
    put_cells(page, record, DOC_BELOW, "em class=\"safety\"");
    fputs("</div>", page->out);
    if (names)
        put_room(page, block);
    fputs("</li>\n", page->out);
}

static void put_steps(const html_page *page, const doc_block *block)
{
    const char *last = NULL;
    size_t number = 0;
    for (const doc_record *r = block->records; r; r = r->next) {
        const char *group = doc_kind_text(r, DOC_GROUP);
        if (!last || strcmp(group, last) != 0) {
            fputs(last ? "</ol>\n" : "", page->out);
            if (*group) {
                fputs("<h3>", page->out);
                escape_text(page->out, group);
                fputs("</h3>\n", page->out);
            }
            fputs("<ol class=\"steps\">\n", page->out);
        }
        last = group;
        put_step(page, block, r, ++number);
    }
    fputs(last ? "</ol>\n" : "", page->out);
}

static void close_section(html_page *page)
{
    if (page->in_section)
        fputs("</section>\n", page->out);
    page->in_section = false;
}

/* Where both read it, the chart is the client's and the table evidence. */
static void put_bars(const html_page *page, const doc_block *block)
{
    const unsigned both = DOC_CLIENT | DOC_EVIDENCE;
    bool parts = (block->places & both) == both;
    if (!parts || (page->view->places & DOC_CLIENT)) {
        fputs("<figure>\n", page->out);
        svg_bars(page->out, page->view, block);
        svg_legend(page->out, page->view, block);
        fputs("</figure>\n", page->out);
    }
    if (!parts || (page->view->places & DOC_EVIDENCE))
        put_table(page, block);
}

static void put_records(html_page *page, const doc_block *block)
{
    cli_figure room;
    switch (block->form) {
    case DOC_RECORD:
    case DOC_PARTS:
        put_facts(page, block->records);
        break;
    case DOC_ROWS:
    case DOC_LINES:
        put_table(page, block);
        break;
    case DOC_BARS:
        put_bars(page, block);
        break;
    case DOC_CURVE:
        fputs("<figure>\n", page->out);
        svg_curve(page->out, block);
        fputs("</figure>\n", page->out);
        put_table(page, block);
        break;
    case DOC_NOTES:
        put_notes(page, block);
        break;
    case DOC_ENTRIES:
        put_entries(page, block);
        break;
    case DOC_STEPS:
        put_steps(page, block);
        break;
    case DOC_LIST:
        put_list(page, block);
        break;
    case DOC_GRID:
        html_grid(page->out, page->view, block);
        break;
    case DOC_RUNS:
    case DOC_ALARM:
    case DOC_MAP: /* data alone */
        break;
    case DOC_TEXTS:
        for (const doc_record *r = block->records; r; r = r->next)
            if (doc_sees_record(page->view, r))
                put_paragraph(page->out, doc_read(r, &r->cells[0], &room),
                              r->tone);
    }
}

static void put_alarm(html_page *page, const doc_block *block)
{
    close_section(page);
    fprintf(page->out, "<section class=\"stop\">\n<p class=\"word\">%s</p>\n",
            block->title);
    for (size_t i = 0; i < block->before_count; i++) {
        fputs("<p class=\"lead\"><strong>", page->out);
        escape_text(page->out, block->before[i].text);
        fputs("</strong></p>\n", page->out);
    }
    html_blocks(block->records, page->view, page->out);
    fputs("</section>\n", page->out);
}

static void put_block(html_page *page, const doc_block *block)
{
    bool any = doc_has_rows(page->view, block);
    if (doc_is_alarm(block)) {
        put_alarm(page, block);
        return;
    }
    if (doc_is_headed(page->view, block)) {
        close_section(page);
        page->in_section = true;
        fputs("<section>\n<h2>", page->out);
        escape_name(page->out, block->title);
        fputs("</h2>\n", page->out);
    }
    put_lines(page, block, block->before, block->before_count);
    if (any)
        put_records(page, block);
    put_lines(page, block, block->after, block->after_count);
    for (const doc_record *r = block->records; r && doc_is_open(block);
         r = r->next)
        put_blocks(page, r);
}

static void put_blocks(html_page *page, const doc_record *record)
{
    for (const doc_block *b = record->blocks; b; b = b->next)
        if (b->form != DOC_RUNS && doc_sees_block(page->view, b))
            put_block(page, b);
}

static void html_blocks(const doc_record *record, const doc_view *view,
                        FILE *out)
{
    html_page page = {out, view, false};
    put_blocks(&page, record);
    close_section(&page);
}

/* One reader's part, which begins a sheet of its own where it follows another.
 */
static void put_part(const doc_record *report, doc_place place,
                     const char *name, FILE *out)
{
    const doc_view view = {place, NULL};
    bool any = false;
    for (const doc_block *b = report->blocks; b && !any; b = b->next)
        any = b->form != DOC_RUNS && doc_sees_block(&view, b) &&
              (doc_is_alarm(b) || doc_is_headed(&view, b) ||
               doc_has_own(&view, b));
    if (!any)
        return;
    fprintf(out, "<div class=\"%s\">\n", name);
    html_blocks(report, &view, out);
    fputs("</div>\n", out);
}

/* Each run's worker gets a page. */
static void put_runs(const doc_block *block, FILE *out)
{
    const doc_view worker = {DOC_WORKER, NULL};
    for (const doc_record *r = block->records; r; r = r->next) {
        fputs("<div class=\"stage worker\">\n<h1>", out);
        escape_name(out, doc_cell_of(r, fields_find(r->kind, "name"))->text);
        fputs("</h1>\n", out);
        html_blocks(r, &worker, out);
        fputs("</div>\n", out);
    }
}

void write_html(const doc_record *report, FILE *out)
{
    put_head(out, report->heading ? report->heading : report->kind->words,
             report->about ? report->about : "");
    put_part(report, DOC_WORKER, "worker", out);
    put_part(report, DOC_CLIENT, "client", out);
    put_part(report, DOC_EVIDENCE, "evidence", out);
    for (const doc_block *b = report->blocks; b; b = b->next)
        if (b->form == DOC_RUNS && (b->places & DOC_WORKER))
            put_runs(b, out);
    fprintf(out,
            "</main>\n<footer><p>Saltwright %s.</p></footer>\n</body>\n"
            "</html>\n",
            sw_version());
}
