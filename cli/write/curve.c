/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The scales of a curve, and the curve in characters. */
#include "write/curve.h"

#include <math.h>
#include <string.h>

enum { PLOT_COLUMNS = 60, PLOT_LINES = 12, LABEL_COLUMNS = 9, MOST_MARKS = 12 };

void curve_words(const doc_field *field, char words[CURVE_WORDS])
{
    snprintf(words, CURVE_WORDS, "%s", field->words);
    if (strchr(words, '|'))
        *strchr(words, '|') = ' ';
}

double curve_place(const curve_axis *axis, double value)
{
    return (value - axis->low) / (axis->high - axis->low);
}

bool curve_is_dense(const doc_block *block)
{
    size_t count = 0;
    for (const doc_record *r = block->records; r; r = r->next)
        count++;
    return count > MOST_MARKS;
}

/* 1, 2 or 5 times a power of ten, the least that `span` holds four of at most.
 */
static double round_step(double span)
{
    static const double steps[] = {1.0, 2.0, 5.0, 10.0};
    double power = pow(10.0, floor(log10(span / 4.0)));
    size_t i = 0;
    while (i < 3 && steps[i] * power < span / 4.0)
        i++;
    return steps[i] * power;
}

curve_axis curve_axis_of(const doc_block *block, doc_role role)
{
    double low = role == DOC_UP ? 0.0 : INFINITY;
    double high = -INFINITY;
    const doc_field *field = fields_next(block->kind);
    while (field->role != role)
        field++;
    for (const doc_record *r = block->records; r; r = r->next) {
        low = fmin(low, doc_role_number(r, role));
        high = fmax(high, doc_role_number(r, role));
    }
    double step =
        round_step(high - low > 0.0 ? high - low : fmax(fabs(high), 1.0));
    if (strcmp(field->digits, "0") == 0)
        step = fmax(step, 1.0); /* of what is counted */
    low = step * floor(low / step + 1e-9);
    high = step * ceil(high / step - 1e-9);
    return (curve_axis){field, low, high > low ? high : low + step, step};
}

static size_t column_of(const curve_axis *axis, double value)
{
    return (size_t)lround(curve_place(axis, value) * (PLOT_COLUMNS - 1));
}

static size_t line_of(const curve_axis *axis, double value)
{
    return (size_t)lround((1.0 - curve_place(axis, value)) * (PLOT_LINES - 1));
}

/* Straight from a point to the next. */
static void join(char plot[PLOT_LINES][PLOT_COLUMNS + 1],
                 const curve_axis axes[2], const doc_record *from,
                 const doc_record *to)
{
    double x[2] = {doc_role_number(from, DOC_ACROSS),
                   doc_role_number(to, DOC_ACROSS)};
    double y[2] = {doc_role_number(from, DOC_UP), doc_role_number(to, DOC_UP)};
    for (int i = 0; i <= PLOT_COLUMNS; i++) {
        double part = (double)i / PLOT_COLUMNS;
        size_t column = column_of(&axes[0], x[0] + part * (x[1] - x[0]));
        plot[line_of(&axes[1], y[0] + part * (y[1] - y[0]))][column] = '.';
    }
}

static void draw(char plot[PLOT_LINES][PLOT_COLUMNS + 1],
                 const curve_axis axes[2], const doc_block *block)
{
    for (size_t i = 0; i < PLOT_LINES; i++) {
        memset(plot[i], ' ', PLOT_COLUMNS);
        plot[i][PLOT_COLUMNS] = '\0';
    }
    for (const doc_record *r = block->records; r; r = r->next)
        if (r->next)
            join(plot, axes, r, r->next);
    bool dense = curve_is_dense(block);
    for (const doc_record *r = block->records; r; r = r->next)
        if (!dense || r == block->records || !r->next)
            plot[line_of(&axes[1], doc_role_number(r, DOC_UP))]
                [column_of(&axes[0], doc_role_number(r, DOC_ACROSS))] = 'o';
}

/* The ends of an axis at the ends of a line, its words between them. */
static void put_foot(const cli_page *page, const curve_axis *axis)
{
    char words[CURVE_WORDS];
    curve_words(axis->field, words);
    int length = (int)strlen(words);
    int before = (PLOT_COLUMNS - length) / 2;
    fprintf(page->out, "%*s%-*s%s%*s\n", LABEL_COLUMNS + 2, "", before,
            doc_figure(axis->field, axis->low).text, words,
            PLOT_COLUMNS - length - before,
            doc_figure(axis->field, axis->high).text);
}

void text_curve(const cli_page *page, const doc_block *block)
{
    char plot[PLOT_LINES][PLOT_COLUMNS + 1];
    char words[CURVE_WORDS];
    const curve_axis axes[2] = {curve_axis_of(block, DOC_ACROSS),
                                curve_axis_of(block, DOC_UP)};
    draw(plot, axes, block);
    curve_words(axes[1].field, words);
    fprintf(page->out, "\n%*s\n", LABEL_COLUMNS + 1, words);
    for (int i = 0; i < PLOT_LINES; i++) {
        const char *label = !i ? figure_short(axes[1].high).text
                            : i + 1 == PLOT_LINES
                                ? figure_short(axes[1].low).text
                                : "";
        size_t length = PLOT_COLUMNS;
        while (length && plot[i][length - 1] == ' ')
            length--;
        fprintf(page->out, "%*s |%.*s\n", LABEL_COLUMNS, label, (int)length,
                plot[i]);
    }
    put_foot(page, &axes[0]);
}
