/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A stream line by line: bounded, checked to be UTF-8 text. */
#ifndef SW_RECORDS_CSV_LINES_H
#define SW_RECORDS_CSV_LINES_H

#include "quantity/status.h"

typedef struct sw_lines {
    FILE *stream;
    const char *name;
    unsigned long number; /* of the line held, from 1 */
    size_t length;        /* bytes held, with the line's end */
    char text[SW_MAX_LINE_BYTES + 2];
} sw_lines;

/*
 * Reads the next line; LF, CRLF and CR end it; a byte order mark is dropped.
 * *got is false at the end.  SW_ERR_IO; SW_ERR_SYNTAX: not UTF-8 text;
 * SW_ERR_LIMIT: above SW_MAX_LINE_BYTES or SW_MAX_LINES, of which no more is
 * read.
 */
sw_status sw_lines_next(sw_lines *lines, bool *got, sw_error *error);

#endif
