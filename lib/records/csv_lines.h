/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A text file line by line: bounded, decoded to UTF-8, checked. */
#ifndef SW_RECORDS_CSV_LINES_H
#define SW_RECORDS_CSV_LINES_H

#include "quantity/status.h"

typedef enum sw_encoding {
    SW_UTF_8,
    SW_UTF_16_LE, /* the low byte first */
    SW_UTF_16_BE,
    SW_WINDOWS_1252
} sw_encoding;

/* All zero at the start but stream and name. */
typedef struct sw_lines {
    FILE *stream;
    const char *name;
    unsigned long number; /* of the line held, from 1 */
    const char *text;     /* the line held, UTF-8 */
    size_t length;        /* its bytes, with the line's end */
    sw_encoding encoding;
    /* Lines read and not yet handed out, in `ahead` from `next` on; owned. */
    char *ahead;
    size_t size, room, next;
    unsigned long last; /* the number of the last of them */
    /* The stream: its first bytes, which tell the encoding. */
    char start[4];
    size_t start_length, taken;
    long held;        /* a character given back; -1: none */
    bool endless;     /* of as many lines as there are */
    sw_status broken; /* why no line follows those ahead, with `fault` */
    sw_error fault;
    bool beyond_ascii; /* what is no ASCII was met */
    bool torn;         /* UTF-16 that ends within a character */
} sw_lines;

/*
 * Begins to read: UTF-8, UTF-16 (told by its byte order mark, or by the zero
 * bytes of its first letters) or, where it is no UTF-8, Windows-1252.  So many
 * lines that the form of the file can be told are read ahead.  Errors as of
 * sw_lines_next; SW_ERR_SYNTAX: a file of another kind.
 */
sw_status sw_lines_begin(sw_lines *lines, sw_error *error);

/*
 * The next line; LF, CRLF and CR end it, a byte order mark is dropped.  *got is
 * false at the end.  SW_ERR_IO, SW_ERR_MEMORY; SW_ERR_SYNTAX: no text;
 * SW_ERR_LIMIT: above SW_MAX_LINE_BYTES or SW_MAX_LINES, of which no more is
 * read.
 */
sw_status sw_lines_next(sw_lines *lines, bool *got, sw_error *error);

/* The same of the lines read ahead alone, for a copy that looks at them. */
bool sw_lines_look(sw_lines *lines);

void sw_lines_free(sw_lines *lines);

/* "UTF-16" and the like, static. */
const char *sw_encoding_name(sw_encoding encoding);

#endif
