/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Charts in SVG: bars and curves.  Of a bar the base hatched, then the pieces
 * that a row holds, each in a colour and with a letter, over the range. Colours
 * are among those of Okabe and Ito (2008), Color Universal Design, that carry
 * dark letters; outlines and letters keep the pieces apart where there is no
 * colour.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "write/chart.h"
#include "write/curve.h"
#include "write/escape.h"
#include "write/grid.h"

enum { MOST_PIECES = 64 };

/* Where bars begin, where the mark stands, where they are cut. */
static const double left = 52.0, mark_x = 170.0, right = 231.0;
static const double row_height = 16.5, bar_height = 12.0, head = 20.0;

static double place(double value, const doc_bar *bar)
{
    double x = left + (mark_x - left) * value / bar->scale;
    return fmin(x, right);
}

/* The rows of the block that a row of bars holds, or NULL. */
static const doc_record *pieces_of(const doc_record *row)
{
    return row->blocks ? row->blocks->records : NULL;
}

const char *bar_colour(size_t place)
{
    static const char *const colours[] = {"#56B4E9", "#F0E442", "#CC79A7",
                                          "#E69F00", "#009E73"};
    return colours[place % (sizeof colours / sizeof *colours)];
}

/* Pieces with a letter are told apart by it, others by where they stand. */
static const char *colour_of(const doc_record *piece, size_t position)
{
    const doc_cell *key = doc_cell_of_kind(piece, DOC_TEXT);
    return bar_colour(key ? (size_t)(key->text[0] - 'a') : position);
}

static void put_range(FILE *out, const doc_bar *bar, double y)
{
    double from = isnan(bar->low) ? left : place(bar->low, bar);
    double to = isnan(bar->high) ? right : place(bar->high, bar);
    if (isnan(bar->low) && isnan(bar->high))
        return;
    fprintf(out,
            "<rect class=\"range\" x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" "
            "height=\"%.1f\" fill=\"#d9dfdf\"/>\n",
            from, y - 2.0, to - from, bar_height + 4.0);
}

static void put_ends(FILE *out, const doc_bar *bar, double y)
{
    const double limits[2] = {bar->low, bar->high};
    for (int i = 0; i < 2; i++) {
        if (isnan(limits[i]))
            continue;
        double x = place(limits[i], bar);
        const double above[4] = {x, y - 3.0, x, y};
        const double below[4] = {x, y + bar_height, x, y + bar_height + 3.0};
        chart_line(out, above, 2.0, NULL);
        chart_line(out, below, 2.0, NULL);
    }
}

static void put_pieces(FILE *out, const doc_bar *bar, double y)
{
    double sum = bar->base;
    size_t position = 0;
    const double base[4] = {left, y, place(sum, bar) - left, bar_height};
    const double whole[4] = {left, y, place(bar->length, bar) - left,
                             bar_height};
    chart_hatched(out, bar->row->kind->block, base);
    if (!pieces_of(bar->row) && !doc_cell_of_role(bar->row, DOC_BASE))
        chart_coloured(out, bar_colour(0), whole, "");
    for (const doc_record *p = pieces_of(bar->row); p; p = p->next) {
        const doc_cell *key = doc_cell_of_kind(p, DOC_TEXT);
        double x = place(sum, bar);
        sum += doc_cell_of_kind(p, DOC_NUMBER)->number;
        const double box[4] = {x, y, place(sum, bar) - x, bar_height};
        chart_coloured(out, colour_of(p, position++), box,
                       key ? key->text : doc_kind_text(p, DOC_NAME));
    }
}

/* "141 of 150", "52.0 (max 70.0) over" */
static void put_figures(FILE *out, const doc_bar *bar, double y)
{
    cli_figure room, wanted;
    char words[120];
    char against[60] = "";
    const doc_cell *range = doc_cell_of_role(bar->row, DOC_RANGE);
    const doc_cell *verdict = doc_cell_of_kind(bar->row, DOC_VERDICT);
    if (isfinite(bar->mark))
        snprintf(
            against, sizeof against, " of %s",
            doc_read(bar->row, doc_cell_of_role(bar->row, DOC_MARK), &wanted));
    else if (range)
        snprintf(against, sizeof against, " (%s)", range->text);
    bool beyond = bar->length / bar->scale * (mark_x - left) > right - left;
    snprintf(words, sizeof words, "%s%s%s%s%s", beyond ? "→ " : "",
             doc_read(bar->row, doc_cell_of_role(bar->row, DOC_LENGTH), &room),
             against, verdict && bar->row->tone == DOC_BAD ? " " : "",
             verdict && bar->row->tone == DOC_BAD ? verdict->text : "");
    chart_label(out, right + 6.0, y + bar_height - 2.0, "start", words);
}

static void put_bar(FILE *out, const doc_bar *bar, double y)
{
    chart_label(out, left - 6.0, y + bar_height - 2.0, "end",
                doc_kind_text(bar->row, DOC_NAME));
    put_range(out, bar, y);
    put_pieces(out, bar, y);
    put_ends(out, bar, y);
    put_figures(out, bar, y);
}

static void describe_cell(FILE *out, const doc_record *row, doc_role role,
                          const char *before)
{
    cli_figure room;
    const doc_cell *cell = doc_cell_of_role(row, role);
    if (cell)
        escape_print(out, "%s%s %s", before, cell->field->words,
                     doc_read(row, cell, &room));
}

static void describe_pieces(FILE *out, const doc_record *row)
{
    for (const doc_record *p = pieces_of(row); p; p = p->next) {
        cli_figure room;
        const doc_cell *key = doc_cell_of_kind(p, DOC_TEXT);
        escape_print(out, ", %s %s",
                     (key ? key : doc_cell_of_kind(p, DOC_NAME))->text,
                     doc_read(p, doc_cell_of_kind(p, DOC_NUMBER), &room));
    }
}

static void describe(FILE *out, const doc_view *view, const doc_block *block)
{
    doc_bar bar = {.row = NULL};
    while (bar_next(view, block, bar.row, &bar)) {
        const doc_cell *verdict = doc_cell_of_kind(bar.row, DOC_VERDICT);
        escape_print(out, "%s", doc_kind_text(bar.row, DOC_NAME));
        describe_cell(out, bar.row, DOC_LENGTH, ": ");
        describe_cell(out, bar.row, DOC_BASE, ", of it ");
        describe_pieces(out, bar.row);
        describe_cell(out, bar.row, DOC_MARK, ", ");
        describe_cell(out, bar.row, DOC_RANGE, ", ");
        escape_print(out, "%s%s. ", verdict ? ", " : "",
                     verdict ? verdict->text : "");
    }
}

static void put_scale(FILE *out, const doc_block *block, double bottom)
{
    const char *words = bar_words(block, DOC_MARK);
    const double marks[4] = {mark_x, head - 6.0, mark_x, bottom};
    const doc_cell *length =
        doc_cell_of_role(block->records, DOC_LENGTH); /* of the first bar */
    chart_label(out, right + 6.0, 12.0, "start",
                length ? doc_unit(block->records, length->field) : "");
    if (!*words)
        return;
    chart_line(out, marks, 0.8, "3 2");
    chart_label(out, left, 12.0, "middle", "0");
    chart_label(out, (left + mark_x) / 2.0, 12.0, "middle", "50 %");
    chart_label(out, mark_x, 12.0, "middle", words);
}

void svg_bars(FILE *out, const doc_view *view, const doc_block *block)
{
    size_t rows = 0;
    double y = head;
    doc_bar bar = {.row = NULL};
    while (bar_next(view, block, bar.row, &bar))
        rows++;
    double bottom = head + (double)rows * row_height;
    chart_open(out, bottom, block->title ? block->title : "");
    describe(out, view, block);
    if (!rows)
        fputs("Nothing here has a target.", out);
    chart_describe(out, block->kind->block);
    for (bar.row = NULL; bar_next(view, block, bar.row, &bar); y += row_height)
        put_bar(out, &bar, y);
    if (rows)
        put_scale(out, block, bottom);
    chart_close(out);
}

/* The box of a curve. */
static const double curve_left = 58.0, curve_right = 346.0, curve_top = 34.0,
                    curve_bottom = 214.0;

static double across(const curve_axis *axis, double value)
{
    return curve_left + (curve_right - curve_left) * curve_place(axis, value);
}

static double up(const curve_axis *axis, double value)
{
    return curve_bottom - (curve_bottom - curve_top) * curve_place(axis, value);
}

static void put_grid(FILE *out, const curve_axis *x, const curve_axis *y)
{
    long steps = lround((y->high - y->low) / y->step);
    for (long i = 0; i <= steps; i++) {
        double value = y->low + (double)i * y->step;
        const double line[4] = {curve_left, up(y, value), curve_right,
                                up(y, value)};
        chart_line(out, line, 0.4, "2 3");
        chart_label(out, curve_left - 6.0, up(y, value) + 4.0, "end",
                    figure_short(value).text);
    }
    steps = lround((x->high - x->low) / x->step);
    for (long i = 0; i <= steps; i++) {
        double value = x->low + (double)i * x->step;
        const double line[4] = {across(x, value), curve_bottom,
                                across(x, value), curve_bottom + 4.0};
        chart_line(out, line, 1.0, NULL);
        chart_label(out, across(x, value), curve_bottom + 18.0, "middle",
                    doc_figure(x->field, value).text);
    }
    const double foot[4] = {curve_left, curve_bottom, curve_right,
                            curve_bottom};
    chart_line(out, foot, 1.0, NULL);
}

static void put_points(FILE *out, const doc_block *block, const curve_axis *x,
                       const curve_axis *y)
{
    bool dense = curve_is_dense(block);
    for (const doc_record *r = block->records; r; r = r->next) {
        const double from[2] = {across(x, doc_role_number(r, DOC_ACROSS)),
                                up(y, doc_role_number(r, DOC_UP))};
        if (r->next) {
            const double line[4] = {
                from[0], from[1],
                across(x, doc_role_number(r->next, DOC_ACROSS)),
                up(y, doc_role_number(r->next, DOC_UP))};
            chart_line(out, line, 2.0, dense ? NULL : "3 3");
        }
        if (!dense || r == block->records || !r->next)
            chart_dot(out, from[0], from[1]);
    }
}

void svg_curve(FILE *out, const doc_block *block)
{
    char words[CURVE_WORDS];
    curve_axis x = curve_axis_of(block, DOC_ACROSS);
    curve_axis y = curve_axis_of(block, DOC_UP);
    const char *title = block->title ? block->title : "";
    curve_words(x.field, words);
    chart_open(out, 258.0, title);
    for (const doc_record *r = block->records; r; r = r->next)
        escape_print(out, "%s %s, %s %s; ", words,
                     doc_figure(x.field, doc_role_number(r, DOC_ACROSS)).text,
                     y.field->words,
                     doc_figure(y.field, doc_role_number(r, DOC_UP)).text);
    chart_describe(out, block->kind->block);
    chart_label(out, 8.0, 14.0, "start", title);
    chart_label(out, curve_left, curve_top - 5.0, "start", y.field->words);
    chart_label(out, curve_right, curve_bottom + 36.0, "end", words);
    put_grid(out, &x, &y);
    put_points(out, block, &x, &y);
    chart_close(out);
}

/* The first chart of a report. */
static bool draws(const doc_block *block)
{
    return block->form == DOC_BARS ||
           (block->form == DOC_CURVE && block->records) ||
           (block->form == DOC_GRID && grid_has_chart(block));
}

/* The first in the order of fields.csv. */
static const doc_block *chart_of(const doc_record *record, const doc_view *view)
{
    const doc_view inside = {view->places, NULL};
    const doc_block *found = NULL;
    for (const doc_field *f = fields_next(record->kind); f && !found;
         f = fields_next(f))
        for (const doc_block *b = record->blocks; b && !found; b = b->next) {
            if (b->field != f || !doc_sees_block(view, b))
                continue;
            found = draws(b) ? b : NULL;
            for (const doc_record *r = b->records;
                 r && !found && doc_is_open(b); r = r->next)
                found = chart_of(r, &inside);
        }
    return found;
}

bool write_has_charts(const doc_record *report)
{
    for (const doc_field *f = fields_next(report->kind); f;
         f = fields_next(f)) {
        doc_form form =
            f->kind == DOC_BLOCK ? fields_block(f->of)->form : DOC_RECORD;
        if (form == DOC_BARS || form == DOC_CURVE || form == DOC_GRID)
            return true;
    }
    return false;
}

bool write_chart(const doc_record *report, const doc_view *view, FILE *out)
{
    const doc_block *block = chart_of(report, view);
    if (block && block->form == DOC_CURVE)
        svg_curve(out, block);
    else if (block && block->form == DOC_GRID)
        svg_grid(out, view, block);
    else if (block)
        svg_bars(out, view, block);
    return block != NULL;
}

/* Whether a piece with its letter is among the first `count` of `list`. */
static bool is_listed(const doc_record *const *list, size_t count,
                      const doc_record *piece)
{
    const char *key = doc_kind_text(piece, DOC_TEXT);
    for (size_t i = 0; i < count; i++)
        if (!strcmp(doc_kind_text(list[i], DOC_TEXT), key))
            return true;
    return false;
}

static int by_letter(const void *a, const void *b)
{
    const doc_record *const *one = a;
    const doc_record *const *other = b;
    const char *first = doc_kind_text(*one, DOC_TEXT);
    const char *second = doc_kind_text(*other, DOC_TEXT);
    int longer =
        (strlen(first) > strlen(second)) - (strlen(first) < strlen(second));
    return longer ? longer : strcmp(first, second);
}

static size_t list_pieces(const doc_view *view, const doc_block *block,
                          const doc_record *list[MOST_PIECES])
{
    size_t count = 0;
    doc_bar bar = {.row = NULL};
    while (bar_next(view, block, bar.row, &bar))
        for (const doc_record *p = pieces_of(bar.row); p; p = p->next)
            if (doc_cell_of_kind(p, DOC_TEXT) && count < MOST_PIECES &&
                !is_listed(list, count, p))
                list[count++] = p;
    qsort(list, count, sizeof(const void *), by_letter);
    return count;
}

void svg_legend(FILE *out, const doc_view *view, const doc_block *block)
{
    const doc_record *list[MOST_PIECES];
    size_t count = list_pieces(view, block, list);
    if (!*bar_words(block, DOC_MARK))
        return;
    fprintf(out, "<figcaption>Hatched: %s.", bar_words(block, DOC_BASE));
    for (size_t i = 0; i < count; i++) {
        fprintf(out, " <i class=\"key\" style=\"background:%s\">%s</i> ",
                colour_of(list[i], i), doc_kind_text(list[i], DOC_TEXT));
        escape_name(out, doc_kind_text(list[i], DOC_NAME));
        fputs(i + 1 < count ? "," : ".", out);
    }
    fprintf(out,
            " Grey with end marks: %s. Each row on its own scale, its %s at "
            "the dashed line; →: beyond the scale.</figcaption>\n",
            bar_words(block, DOC_RANGE), bar_words(block, DOC_MARK));
}
