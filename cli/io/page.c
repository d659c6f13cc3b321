/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Lines of at most PAGE_COLUMNS columns.  Width is counted in terminal
 * columns, not bytes, so that accents and wide characters stay aligned.
 */
#include "io/page.h"

#include <stdarg.h>

#include "io/safe.h"

enum { PARAGRAPH_BYTES = 4096 };

void page_word(const cli_page *page, cli_tone tone, const char *word)
{
    static const char *const codes[] = {[TONE_TITLE] = "\033[1m",
                                        [TONE_GOOD] = "\033[32m",
                                        [TONE_BAD] = "\033[1;31m"};
    bool coloured = page->colour && codes[tone];
    if (coloured)
        fputs(codes[tone], page->out);
    fputs(word, page->out);
    if (coloured)
        fputs("\033[0m", page->out);
}

void page_pad(const cli_page *page, size_t at, size_t to)
{
    for (; at < to; at++)
        fputc(' ', page->out);
}

size_t page_break(const char *safe, size_t columns, const char **next)
{
    size_t fit = text_fit(safe, columns);
    size_t end = fit;
    if (safe[fit]) {
        while (end > 0 && (safe[end] != ' ' || safe[end + 1] == '%'))
            end--;
        if (end == 0)
            end = fit ? fit : 1;
        while (((unsigned char)safe[end] & 0xC0) == 0x80)
            end++; /* never inside a character */
    }
    *next = safe + end;
    while (**next == ' ')
        (*next)++;
    return end;
}

/* The lines of `safe`, the first starting where `at` columns are taken. */
static void put_lines(const cli_page *page, size_t at, size_t rest,
                      const char *safe)
{
    do {
        const char *next;
        size_t bytes = page_break(safe, PAGE_COLUMNS - at, &next);
        fwrite(safe, 1, bytes, page->out);
        fputc('\n', page->out);
        safe = next;
        if (*safe)
            page_pad(page, 0, rest);
        at = rest;
    } while (*safe);
}

static void put_raw(const cli_page *page, size_t at, size_t rest,
                    const char *raw)
{
    char safe[2 * PARAGRAPH_BYTES];
    text_safe(safe, sizeof safe, raw);
    put_lines(page, at, rest, safe);
}

void page_paragraph(const cli_page *page, size_t first, size_t rest,
                    const char *format, ...)
{
    char raw[PARAGRAPH_BYTES];
    va_list list;
    va_start(list, format);
    vsnprintf(raw, sizeof raw, format, list);
    va_end(list);
    page_pad(page, 0, first);
    put_raw(page, first, rest, raw);
}

void page_title(const cli_page *page, const char *format, ...)
{
    char title[256];
    char safe[512];
    va_list list;
    va_start(list, format);
    vsnprintf(title, sizeof title, format, list);
    va_end(list);
    text_safe(safe, sizeof safe, title);
    safe[text_fit(safe, PAGE_COLUMNS)] = '\0';
    fputc('\n', page->out);
    page_word(page, TONE_TITLE, safe);
    fputc('\n', page->out);
}

void page_entry(const cli_page *page, size_t columns, const char *term,
                const char *format, ...)
{
    size_t start = 2 + columns + 2;
    char raw[PARAGRAPH_BYTES];
    va_list list;
    va_start(list, format);
    vsnprintf(raw, sizeof raw, format, list);
    va_end(list);
    page_pad(page, 0, 2);
    fputs(term, page->out);
    if (2 + text_width(term) >= start)
        fputc('\n', page->out);
    page_pad(page, 2 + text_width(term) < start ? 2 + text_width(term) : 0,
             start);
    put_raw(page, start, start, raw);
}
