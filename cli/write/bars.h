/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bars drawn from the rows of a block, by the roles of its fields. */
#ifndef CLI_WRITE_BARS_H
#define CLI_WRITE_BARS_H

#include "io/page.h"
#include "write/tree.h"

/* One bar; NaN where the row has no such number. */
typedef struct doc_bar {
    const doc_record *row;
    double base, length, mark, low, high;
    /* What stands where the mark is on every bar: the mark, or else the only
     * limit, or of a block without either its longest bar. */
    double scale;
} doc_bar;

/* "accepted range": the words of the field with that role; "": none. */
const char *bar_words(const doc_block *block, doc_role role);

/* Of a piece or a column, by its place. */
const char *bar_colour(size_t place);

/* The bar after `row`, NULL for the first, that a reader sees; false after the
 * last. */
bool bar_next(const doc_view *view, const doc_block *block,
              const doc_record *row, doc_bar *bar);

/* In characters, each on a line; and as an svg element that can stand alone.
 * Nothing where no row makes a bar. */
void text_bars(const cli_page *page, const doc_view *view,
               const doc_block *block);
void svg_bars(FILE *out, const doc_view *view, const doc_block *block);
/* What its hatching, letters and marks mean, for a page. */
void svg_legend(FILE *out, const doc_view *view, const doc_block *block);

#endif
