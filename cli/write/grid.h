/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A table whose rows hold the cells of columns that are named in them. */
#ifndef CLI_WRITE_GRID_H
#define CLI_WRITE_GRID_H

#include "io/page.h"
#include "write/tree.h"

/* What does not fit beside each other follows below. */
void text_grid(const cli_page *page, const doc_view *view,
               const doc_block *block);
void html_grid(FILE *out, const doc_view *view, const doc_block *block);

/* The bars of its cells, row by row, where there are a few columns: from the
 * left, the longest of each row being as long as the others' longest, or, where
 * rows have a mark, from the mark, in per cent of it. */
bool grid_has_chart(const doc_block *block);
void svg_grid(FILE *out, const doc_view *view, const doc_block *block);

#endif
