/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Grids: the columns come from the cells, in the order in which they appear. */
#include "write/grid.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "io/memory.h"
#include "write/chart.h"
#include "write/escape.h"
#include "io/safe.h"
#include "write/table.h"
#include "write/bars.h"

enum {
    TEXT_COLUMNS = 4, /* beside each other on 80 columns */
    TEXT_ROOM = 54,   /* of all of them, with a gap of 2 between */
    HTML_COLUMNS = 6, /* on a page, and in a chart that is to be read */
    OWN_FIELDS = 3,
    NAME_BYTES = 1024
};

typedef struct grid {
    const doc_block *block;
    const char **names; /* of columns */
    size_t count;
    const doc_field *own[OWN_FIELDS]; /* of the rows themselves */
    size_t own_count;
} grid;

static const doc_record *cells_of(const doc_record *row)
{
    return row->blocks ? row->blocks->records : NULL;
}

static const doc_record *cell_in(const doc_record *row, const char *column)
{
    const doc_record *cell = cells_of(row);
    while (cell && strcmp(doc_kind_text(cell, DOC_NAME), column) != 0)
        cell = cell->next;
    return cell;
}

static bool has_column(const grid *g, const char *name)
{
    for (size_t i = 0; i < g->count; i++)
        if (strcmp(g->names[i], name) == 0)
            return true;
    return false;
}

static grid grid_new(const doc_view *view, const doc_block *block)
{
    grid g = {.block = block};
    for (const doc_record *r = block->records; r; r = r->next)
        for (const doc_record *c = cells_of(r); c; c = c->next) {
            if (has_column(&g, doc_kind_text(c, DOC_NAME)))
                continue;
            g.names = memory_grow(g.names, g.count, sizeof *g.names);
            g.names[g.count++] = doc_kind_text(c, DOC_NAME);
        }
    for (const doc_field *f = fields_next(block->kind); f; f = fields_next(f))
        if (f->kind != DOC_GROUP && g.own_count < OWN_FIELDS &&
            doc_has_column(view, block, f))
            g.own[g.own_count++] = f;
    return g;
}

/* What a reader sees in a cell; "-" where there is none. */
static const char *read_cell(const doc_view *view, const doc_record *cell,
                             cli_figure *room)
{
    for (size_t i = 0; cell && i < cell->cell_count; i++)
        if (cell->cells[i].field->kind != DOC_NAME &&
            doc_sees_field(view, cell->cells[i].field))
            return doc_read(cell, &cell->cells[i], room);
    return "-";
}

static const char *read_own(const doc_record *row, const doc_field *field,
                            cli_figure *room)
{
    const doc_cell *cell = doc_cell_of(row, field);
    return cell                        ? doc_read(row, cell, room)
           : field->kind == DOC_NUMBER ? "-"
                                       : "";
}

/* ---- In characters ------------------------------------------------------*/

typedef struct text_heads {
    char names[TEXT_COLUMNS][NAME_BYTES];
    cli_table_column columns[OWN_FIELDS + TEXT_COLUMNS];
    size_t count;
} text_heads;

/* Names stand whole, over as many lines as they need: what they differ in may
 * come last. */
static void fill_heads(const grid *g, size_t first, text_heads *heads)
{
    size_t left = g->count - first;
    size_t columns = left < TEXT_COLUMNS ? left : TEXT_COLUMNS;
    heads->count = 0;
    for (size_t i = 0; i < g->own_count; i++)
        heads->columns[heads->count++] =
            (cli_table_column){g->own[i]->words, g->own[i]->unit,
                               g->own[i]->kind == DOC_NUMBER, 0};
    for (size_t i = 0; i < columns; i++) {
        text_safe(heads->names[i], NAME_BYTES, g->names[first + i]);
        heads->columns[heads->count++] = (cli_table_column){
            heads->names[i], "", true, (TEXT_ROOM + 2) / columns - 2};
    }
}

static void add_group(cli_table *table, const char *group)
{
    char words[NAME_BYTES];
    const char *cells[TABLE_MAX_COLUMNS] = {words};
    snprintf(words, sizeof words, "(%s)", group);
    if (*group)
        table_add(table, cells);
}

static void add_row(cli_table *table, const doc_view *view, const grid *g,
                    const doc_record *row, size_t first)
{
    const char *cells[TABLE_MAX_COLUMNS] = {0};
    cli_figure rooms[TABLE_MAX_COLUMNS];
    size_t n = 0;
    for (; n < g->own_count; n++)
        cells[n] = read_own(row, g->own[n], &rooms[n]);
    for (size_t i = first; i < first + TEXT_COLUMNS && i < g->count; i++, n++)
        cells[n] = read_cell(view, cell_in(row, g->names[i]), &rooms[n]);
    table_add(table, cells);
}

static void put_columns(const cli_page *page, const doc_view *view,
                        const grid *g, size_t first)
{
    text_heads heads;
    const char *last = "";
    fill_heads(g, first, &heads);
    cli_table table = table_new(heads.columns, heads.count);
    for (const doc_record *r = g->block->records; r; r = r->next) {
        if (!doc_sees_record(view, r))
            continue;
        if (strcmp(doc_kind_text(r, DOC_GROUP), last) != 0)
            add_group(&table, doc_kind_text(r, DOC_GROUP));
        last = doc_kind_text(r, DOC_GROUP);
        add_row(&table, view, g, r, first);
    }
    table_print(page, &table);
    table_free(&table);
}

void text_grid(const cli_page *page, const doc_view *view,
               const doc_block *block)
{
    grid g = grid_new(view, block);
    for (size_t first = 0; first < g.count; first += TEXT_COLUMNS) {
        if (first)
            fputc('\n', page->out);
        put_columns(page, view, &g, first);
    }
    free(g.names);
}

/* ---- On a page ----------------------------------------------------------*/

static void put_key(FILE *out, size_t column)
{
    fprintf(out, "<i class=\"key\" style=\"background:%s\">%zu</i> ",
            bar_colour(column), column + 1);
}

static void put_heads(FILE *out, const grid *g, size_t first)
{
    fputs("<table class=\"dense side folds\">\n<thead><tr>", out);
    for (size_t i = 0; i < g->own_count; i++) {
        const char *tag = *g->own[i]->words ? "th" : "td";
        fprintf(out, "<%s%s%s>", tag, *g->own[i]->words ? " scope=\"col\"" : "",
                g->own[i]->kind == DOC_NUMBER ? " class=\"number\"" : "");
        escape_text(out, g->own[i]->words);
        fprintf(out, "</%s>", tag);
    }
    for (size_t i = first; i < first + HTML_COLUMNS && i < g->count; i++) {
        fputs("<th scope=\"col\" class=\"number\">", out);
        put_key(out, i);
        escape_name(out, g->names[i]);
        fputs("</th>", out);
    }
    fputs("</tr></thead>\n<tbody>\n", out);
}

/* What stands before a value where the table folds on a phone. */
static void put_label(FILE *out, const char *label)
{
    if (*label) {
        fputs(" data-label=\"", out);
        escape_text(out, label);
        fputc('"', out);
    }
    fputc('>', out);
}

static void put_row(FILE *out, const doc_view *view, const grid *g,
                    const doc_record *row, size_t first)
{
    cli_figure room;
    fputs("<tr>", out);
    for (size_t i = 0; i < g->own_count; i++) {
        fprintf(out, "<%s%s", i ? "td" : "th scope=\"row\"",
                g->own[i]->kind == DOC_NUMBER ? " class=\"number\"" : "");
        put_label(out, i ? g->own[i]->words : "");
        escape_name(out, read_own(row, g->own[i], &room));
        fputs(i ? "</td>" : "</th>", out);
    }
    for (size_t i = first; i < first + HTML_COLUMNS && i < g->count; i++) {
        fputs("<td class=\"number\"", out);
        put_label(out, g->names[i]);
        escape_text(out, read_cell(view, cell_in(row, g->names[i]), &room));
        fputs("</td>", out);
    }
    fputs("</tr>\n", out);
}

static void put_group(FILE *out, const grid *g, const char *group)
{
    if (!*group)
        return;
    fprintf(out, "<tr class=\"below\"><td colspan=\"%zu\"><small>",
            g->own_count + (g->count < HTML_COLUMNS ? g->count : HTML_COLUMNS));
    escape_text(out, group);
    fputs("</small></td></tr>\n", out);
}

static void put_figure(FILE *out, const doc_view *view, const grid *g)
{
    bool off_mark = *bar_words(g->block, DOC_MARK) != '\0';
    fputs("<figure>\n", out);
    svg_grid(out, view, g->block);
    fputs("<figcaption>", out);
    for (size_t i = 0; i < g->count; i++) {
        put_key(out, i);
        escape_name(out, g->names[i]);
        fputs(i + 1 < g->count ? ", " : ". ", out);
    }
    if (off_mark)
        fprintf(out,
                "Each bar runs from the %s to what there is. Dotted: accepted "
                "range. Rows within 1 %% of it everywhere are left out.",
                bar_words(g->block, DOC_MARK));
    else
        fputs("What is nothing everywhere is left out.", out);
    fputs("</figcaption>\n</figure>\n", out);
}

void html_grid(FILE *out, const doc_view *view, const doc_block *block)
{
    grid g = grid_new(view, block);
    if (grid_has_chart(block))
        put_figure(out, view, &g);
    for (size_t first = 0; first < g.count; first += HTML_COLUMNS) {
        const char *last = "";
        put_heads(out, &g, first);
        for (const doc_record *r = block->records; r; r = r->next) {
            if (!doc_sees_record(view, r))
                continue;
            if (strcmp(doc_kind_text(r, DOC_GROUP), last) != 0)
                put_group(out, &g, doc_kind_text(r, DOC_GROUP));
            last = doc_kind_text(r, DOC_GROUP);
            put_row(out, view, &g, r, first);
        }
        fputs("</tbody>\n</table>\n", out);
    }
    free(g.names);
}

/* ---- As a chart ---------------------------------------------------------*/

static const double left = 112.0, right = 300.0, head = 26.0, lane = 17.0;
/* Deviations are drawn to this share of the mark; rows that no cell is off by
 * the other share are left out. */
static const double widest = 0.3, least_off = 0.01;

static double length_of(const doc_record *cell)
{
    return cell ? doc_role_number(cell, DOC_LENGTH) : (double)NAN;
}

/* How far a cell is off the row's mark, as a share of it. */
static double off(const doc_record *row, const doc_record *cell)
{
    double mark = doc_role_number(row, DOC_MARK);
    return (length_of(cell) - mark) / mark;
}

static double longest(const doc_record *row)
{
    double most = 0.0;
    for (const doc_record *c = cells_of(row); c; c = c->next)
        most = fmax(most, length_of(c));
    return most;
}

static bool is_drawn(const grid *g, const doc_record *row)
{
    if (!*bar_words(g->block, DOC_MARK))
        return longest(row) > 0.0;
    for (const doc_record *c = cells_of(row); c; c = c->next)
        if (fabs(off(row, c)) >= least_off)
            return true;
    return false;
}

/* "2 town", cut to what stands left of a chart. */
static void put_name(FILE *out, const grid *g, size_t column, double y)
{
    char name[NAME_BYTES];
    char label[NAME_BYTES];
    text_safe(name, sizeof name, g->names[column]);
    snprintf(label, sizeof label, "%zu %.200s", column + 1, name);
    label[chart_fit(label, left - 6.0)] = '\0';
    chart_label(out, left - 6.0, y, "end", label);
}

static double put_bars(FILE *out, const doc_view *view, const grid *g,
                       const doc_record *row, double y)
{
    double most = longest(row);
    chart_label(out, 0.0, y + 12.0, "start", doc_kind_text(row, DOC_NAME));
    y += lane + 2.0;
    for (size_t i = 0; i < g->count; i++, y += lane) {
        const doc_record *cell = cell_in(row, g->names[i]);
        cli_figure room;
        double value = fmax(length_of(cell), 0.0);
        double width = isnan(value) ? 0.0 : (right - left) * value / most;
        const double box[4] = {left, y, width, lane - 5.0};
        put_name(out, g, i, y + 10.0);
        chart_coloured(out, bar_colour(i), box, "");
        chart_label(out, left + width + 6.0, y + 10.0, "start",
                    read_cell(view, cell, &room));
    }
    return y + 8.0;
}

static double place(double share)
{
    double part = fmin(fmax(share, -widest), widest) / widest;
    return (left + right) / 2.0 + part * (right - left) / 2.0;
}

static void put_range(FILE *out, const doc_record *row, double y, double bottom)
{
    double mark = doc_role_number(row, DOC_MARK);
    const double ends[2] = {doc_role_number(row, DOC_LOW),
                            doc_role_number(row, DOC_HIGH)};
    for (int i = 0; i < 2; i++) {
        double share = (ends[i] - mark) / mark;
        const double line[4] = {place(share), y, place(share), bottom};
        if (fabs(share) < widest)
            chart_line(out, line, 1.0, "1 2");
    }
}

/* One cell's bar from the mark to where it is, and its number there. */
static void put_off(FILE *out, const doc_record *row, const doc_record *cell,
                    size_t column, double y)
{
    char text[64];
    double share = off(row, cell);
    double from = place(fmin(share, 0.0));
    const double box[4] = {from, y + 2.0, place(fmax(share, 0.0)) - from, 7.0};
    const doc_cell *verdict = doc_cell_of_kind(cell, DOC_VERDICT);
    bool beyond = fabs(share) > widest;
    bool missed = cell->tone == DOC_BAD && verdict;
    bool left_of = share < -0.5 * least_off;
    chart_coloured(out, bar_colour(column), box, "");
    snprintf(text, sizeof text, "%zu%s%s%s", column + 1, missed ? " " : "",
             missed ? verdict->text : "",
             !beyond       ? ""
             : share > 0.0 ? " →"
                           : " ←");
    chart_label(out, place(share) + (left_of ? -4.0 : 4.0), y + 9.5,
                left_of ? "end" : "start", text);
}

static double put_deviations(FILE *out, const grid *g, const doc_record *row,
                             double y)
{
    double bottom = y + 12.0 * (double)g->count;
    chart_label(out, left - 30.0, y + 10.0, "end",
                doc_kind_text(row, DOC_NAME));
    put_range(out, row, y, bottom);
    for (size_t i = 0; i < g->count; i++, y += 12.0) {
        const doc_record *cell = cell_in(row, g->names[i]);
        if (cell)
            put_off(out, row, cell, i, y);
    }
    return bottom + 9.0;
}

/* The chart in words, for who does not see it. */
static void describe(FILE *out, const doc_view *view, const grid *g,
                     const doc_record *row)
{
    bool off_mark = *bar_words(g->block, DOC_MARK) != '\0';
    escape_print(out, "%s%s: ", doc_kind_text(row, DOC_NAME),
                 off_mark ? ", % off" : "");
    for (const doc_record *c = cells_of(row); c; c = c->next) {
        cli_figure room = figure_signed(100.0 * off(row, c), 0);
        escape_print(out, "%s%s %s", c == cells_of(row) ? "" : ", ",
                     doc_kind_text(c, DOC_NAME),
                     off_mark ? room.text : read_cell(view, c, &room));
    }
    fputs(". ", out);
}

static void put_scale(FILE *out, const grid *g, double bottom)
{
    const double target[4] = {place(0.0), head - 8.0, place(0.0), bottom};
    chart_line(out, target, 1.4, NULL);
    chart_label(out, place(0.0), 12.0, "middle", bar_words(g->block, DOC_MARK));
    chart_label(out, place(-0.2), 12.0, "middle", "-20 %");
    chart_label(out, place(0.2), 12.0, "middle", "+20 %");
}

static void draw(FILE *out, const doc_view *view, const grid *g)
{
    bool off_mark = *bar_words(g->block, DOC_MARK) != '\0';
    double each = off_mark ? 12.0 * (double)g->count + 9.0
                           : lane * (double)g->count + lane + 10.0;
    double y = off_mark ? head : 4.0;
    double bottom = y;
    for (const doc_record *r = g->block->records; r; r = r->next)
        bottom += is_drawn(g, r) ? each : 0.0;
    chart_open(out, bottom, g->block->title ? g->block->title : "");
    for (const doc_record *r = g->block->records; r; r = r->next)
        if (is_drawn(g, r))
            describe(out, view, g, r);
    chart_describe(out, g->block->kind->block);
    if (off_mark)
        put_scale(out, g, bottom);
    for (const doc_record *r = g->block->records; r; r = r->next)
        if (is_drawn(g, r))
            y = off_mark ? put_deviations(out, g, r, y)
                         : put_bars(out, view, g, r, y);
    chart_close(out);
}

bool grid_has_chart(const doc_block *block)
{
    const doc_record *cell = block->records ? cells_of(block->records) : NULL;
    size_t count = 0;
    for (const doc_record *c = cell; c; c = c->next)
        count++;
    return cell && *bar_words(cell->block, DOC_LENGTH) && count <= HTML_COLUMNS;
}

void svg_grid(FILE *out, const doc_view *view, const doc_block *block)
{
    grid g = grid_new(view, block);
    draw(out, view, &g);
    free(g.names);
}
