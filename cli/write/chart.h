/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The few marks that the charts are drawn with.  Units are those of a box 360
 * wide, so that on a phone a letter of 12 is a letter of 12. */
#ifndef CLI_WRITE_CHART_H
#define CLI_WRITE_CHART_H

#include <stdio.h>

enum { CHART_WIDTH = 360 };

/*
 * Opens an svg element that a screen reader takes for an image with `title`.
 * Its description follows: write it, escaped, and end it with chart_describe.
 */
void chart_open(FILE *out, double height, const char *title);
void chart_describe(FILE *out, const char *name);
void chart_close(FILE *out);

/* A piece of a bar, hatched; or in a light colour, its label inside where there
 * is room. */
void chart_hatched(FILE *out, const char *name, const double box[4]);
void chart_coloured(FILE *out, const char *colour, const double box[4],
                    const char *label);
void chart_line(FILE *out, const double from_to[4], double width,
                const char *dashes);
/* A mark on a curve. */
void chart_dot(FILE *out, double x, double y);
/* Bytes of the longest start of `safe`, made by text_safe, that a label of
 * `units` holds in a wide face. */
size_t chart_fit(const char *safe, double units);
/* `anchor` is start, middle or end. */
void chart_label(FILE *out, double x, double y, const char *anchor,
                 const char *text);

#endif
