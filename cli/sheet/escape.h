/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Text from outside as text of a page, never as its markup. */
#ifndef CLI_SHEET_ESCAPE_H
#define CLI_SHEET_ESCAPE_H

#include <stdio.h>

/*
 * The text, whole, with & < > " ' as references and every invisible, turning
 * or broken character spelled out as text_safe does.  Fit for the content and
 * the quoted attributes of HTML and of SVG.
 */
void escape_text(FILE *out, const char *text);

/* The same between <bdi> tags, so that no script turns its surroundings. */
void escape_name(FILE *out, const char *text);

/* Formats, then escapes what came of it. */
void escape_print(FILE *out, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

#endif
