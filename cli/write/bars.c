/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Bars from the rows of a table, and the bars in characters.  Every bar has its
 * own scale, its mark standing at the same column, so that a look down the page
 * finds the bar that ends in the wrong place.
 */
#include "write/bars.h"

#include <math.h>
#include <string.h>

#include "io/safe.h"

enum { BAR_COLUMNS = 60, MARK_COLUMN = 40, NAME_COLUMNS = 9 };

const char *bar_words(const doc_block *block, doc_role role)
{
    const doc_field *f = fields_next(block->kind);
    while (f && f->role != role)
        f = fields_next(f);
    return f ? f->words : "";
}

/* The longest bar of a block that has neither marks nor limits. */
static double longest(const doc_view *view, const doc_block *block)
{
    double most = 0.0;
    if (*bar_words(block, DOC_MARK))
        return (double)NAN;
    for (const doc_record *r = block->records; r; r = r->next)
        if (doc_sees_record(view, r))
            most = fmax(most, doc_role_number(r, DOC_LENGTH));
    return most * MARK_COLUMN / BAR_COLUMNS;
}

static double scale_of(const doc_bar *bar, double most)
{
    const double scales[] = {bar->mark, bar->high, bar->low, most};
    for (size_t i = 0; i < sizeof scales / sizeof *scales; i++)
        if (scales[i] > 0.0)
            return scales[i];
    return (double)NAN;
}

bool bar_next(const doc_view *view, const doc_block *block,
              const doc_record *row, doc_bar *bar)
{
    double most = longest(view, block);
    for (row = row ? row->next : block->records; row; row = row->next) {
        *bar = (doc_bar){row,
                         fmax(doc_role_number(row, DOC_BASE), 0.0),
                         doc_role_number(row, DOC_LENGTH),
                         doc_role_number(row, DOC_MARK),
                         doc_role_number(row, DOC_LOW),
                         doc_role_number(row, DOC_HIGH),
                         (double)NAN};
        bar->scale = scale_of(bar, most);
        if (doc_sees_record(view, row) && bar->scale > 0.0)
            return true;
    }
    return false;
}

static size_t column_of(double value, double scale)
{
    double column = floor(value / scale * MARK_COLUMN + 0.5);
    if (!(column > 0.0))
        return 0;
    return column < BAR_COLUMNS ? (size_t)column : BAR_COLUMNS;
}

static void mark(char line[BAR_COLUMNS + 2], double value, double scale,
                 char sign)
{
    if (!isnan(value) && column_of(value, scale) < BAR_COLUMNS)
        line[column_of(value, scale)] = sign;
}

static void draw(char line[BAR_COLUMNS + 2], const doc_bar *bar)
{
    size_t base = column_of(bar->base, bar->scale);
    size_t end = column_of(bar->length, bar->scale);
    memset(line, ' ', BAR_COLUMNS + 1);
    memset(line, '#', end);
    memset(line, '~', base < end ? base : end);
    mark(line, bar->low, bar->scale, '[');
    mark(line, bar->high, bar->scale, ']');
    mark(line, bar->mark, bar->scale, '|');
    if (bar->length / bar->scale * MARK_COLUMN > BAR_COLUMNS)
        line[BAR_COLUMNS - 1] = '>';
    line[BAR_COLUMNS] = '\0';
}

static void put_bar(const cli_page *page, const doc_bar *bar)
{
    static const cli_tone tones[] = {
        [DOC_PLAIN] = TONE_PLAIN, [DOC_GOOD] = TONE_GOOD, [DOC_BAD] = TONE_BAD};
    char line[BAR_COLUMNS + 2];
    const char *name = doc_kind_text(bar->row, DOC_NAME);
    const doc_cell *verdict = doc_cell_of_kind(bar->row, DOC_VERDICT);
    draw(line, bar);
    fprintf(page->out, "  %s", name);
    page_pad(page, text_width(name), NAME_COLUMNS);
    fprintf(page->out, "%s ", line);
    if (verdict)
        page_word(page, tones[bar->row->tone], verdict->text);
    fputc('\n', page->out);
}

static void put_scale(const cli_page *page, const doc_block *block)
{
    const char *words = bar_words(block, DOC_MARK);
    page_paragraph(page, 2, 2,
                   "~ %s   # %s   [ ] %s   | %s   > beyond the scale",
                   bar_words(block, DOC_BASE), bar_words(block, DOC_REST),
                   bar_words(block, DOC_RANGE), words);
    page_pad(page, 0, 2 + NAME_COLUMNS);
    fprintf(page->out, "0%*s%*s%*s\n", MARK_COLUMN / 2, "half", MARK_COLUMN / 2,
            words, BAR_COLUMNS - MARK_COLUMN - 1, "1.5 x");
}

void text_bars(const cli_page *page, const doc_view *view,
               const doc_block *block)
{
    doc_bar bar = {.row = NULL};
    if (!*bar_words(block, DOC_BASE)) /* the table says it all */
        return;
    for (bool first = true; bar_next(view, block, bar.row, &bar);
         first = false) {
        if (first) {
            fputc('\n', page->out);
            put_scale(page, block);
        }
        put_bar(page, &bar);
    }
}
