/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A page of 80 columns: titles, paragraphs, colour where it is wanted. */
#ifndef CLI_IO_PAGE_H
#define CLI_IO_PAGE_H

#include <stdbool.h>
#include <stdio.h>

enum { PAGE_COLUMNS = 80 };

/* Colour repeats what a word says already; it never speaks alone. */
typedef enum cli_tone { TONE_PLAIN, TONE_TITLE, TONE_GOOD, TONE_BAD } cli_tone;

typedef struct cli_page {
    FILE *out;
    bool colour;
} cli_page;

/* An empty line, then the title. */
void page_title(const cli_page *page, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/*
 * A paragraph: `first` columns before its first line, `rest` before the
 * others.  Text from outside may be in it; page makes it harmless.
 */
void page_paragraph(const cli_page *page, size_t first, size_t rest,
                    const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/* "  term       text", the text hanging; wide enough for `columns` of term. */
void page_entry(const cli_page *page, size_t columns, const char *term,
                const char *format, ...) __attribute__((format(printf, 4, 5)));

/* Spaces up to column `to` where `at` columns are taken. */
void page_pad(const cli_page *page, size_t at, size_t to);

/* One word in its tone. */
void page_word(const cli_page *page, cli_tone tone, const char *word);

/*
 * How many bytes of `safe` go on a line of `columns`, broken at a space where
 * there is one, but none before a per cent sign; *next is where the following
 * line starts.
 */
size_t page_break(const char *safe, size_t columns, const char **next);

#endif
