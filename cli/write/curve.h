/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A curve through the rows of a block, by the roles of its fields; those that
 * the table leaves out are on it too. */
#ifndef CLI_WRITE_CURVE_H
#define CLI_WRITE_CURVE_H

#include "write/bars.h"

enum { CURVE_WORDS = 64 };

/* An axis from one round number to another. */
typedef struct curve_axis {
    const doc_field *field;
    double low, high, step;
} curve_axis;

curve_axis curve_axis_of(const doc_block *block, doc_role role);
/* Where on the axis a value is, from 0 to 1. */
double curve_place(const curve_axis *axis, double value);
/* Whether it has so many points that its ends alone are marked. */
bool curve_is_dense(const doc_block *block);
/* "cost of 1000 L" */
void curve_words(const doc_field *field, char words[CURVE_WORDS]);

/* In characters; and as an svg element that can stand alone. */
void text_curve(const cli_page *page, const doc_block *block);
void svg_curve(FILE *out, const doc_block *block);

#endif
