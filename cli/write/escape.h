/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Text from outside as text of a page, never as its markup. */
#ifndef CLI_WRITE_ESCAPE_H
#define CLI_WRITE_ESCAPE_H

#include <stdio.h>

/*
 * The text, whole, with & < > " ' as references and every invisible, turning
 * or broken character spelled out as text_safe does.  Fit for the content and
 * the quoted attributes of HTML and of SVG.
 */
void escape_text(FILE *out, const char *text);

/* The same, between <bdi> tags where it may hold a script that runs from right
 * to left, so that it does not turn its surroundings. */
void escape_name(FILE *out, const char *text);

/* Inside the quotes of a CSS string, in a style element. */
void escape_css(FILE *out, const char *text);

/* Formats, then escapes what came of it. */
void escape_print(FILE *out, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

#endif
