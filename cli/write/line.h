/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * For spreadsheets: RFC 4180, one value a line,
 *     section,name,quantity,value,unit
 * with the water first where there are several.
 */
#ifndef CLI_WRITE_LINE_H
#define CLI_WRITE_LINE_H

#include <stdio.h>

#include "saltwright.h"

/* Where lines go, and the water they are about where there are several. */
typedef struct cli_lines {
    FILE *stream;
    const char *water;
} cli_lines;

/* What a line is about. */
typedef struct cli_cell {
    const char *section;
    const char *name;
    const char *quantity;
} cli_cell;

/* `what` stands at the head of the column before; "": there is none. */
void line_header(const cli_lines *out, const char *what);
/* One cell, quoted where it must be. */
void line_text(const cli_lines *out, const char *text);
/* A number of what a section says about one name. */
typedef struct cli_quantity {
    const char *quantity;
    double value;
    const char *unit;
} cli_quantity;

/* A line, or none where there is no number or no word. */
void line_number(const cli_lines *out, cli_cell cell, double value,
                 const char *unit);
void line_word(const cli_lines *out, cli_cell cell, const char *word);
/* A line for each of `numbers` of `name` in `section`. */
void line_numbers(const cli_lines *out, const char *section, const char *name,
                  const cli_quantity *numbers, size_t count);

/* LINE_NUMBERS(out, "section", name, {"quantity", value, "unit"}, ...) */
#define LINE_NUMBERS(out, section, name, ...)                                  \
    line_numbers(out, section, name, (const cli_quantity[]){__VA_ARGS__},      \
                 sizeof((const cli_quantity[]){__VA_ARGS__}) /                 \
                     sizeof(cli_quantity))

#endif
