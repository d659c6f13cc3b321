/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Five characters can leave a text and become markup (HTML Standard, 13.1.2;
 * XML 1.0, 2.4); what could deceive the eye is spelled out by text/safe.c.
 */
#include "write/escape.h"

#include <ctype.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdlib.h>

#include "io/memory.h"
#include "io/safe.h"

static const char *reference_of(char c)
{
    switch (c) {
    case '&':
        return "&amp;";
    case '<':
        return "&lt;";
    case '>':
        return "&gt;";
    case '"':
        return "&quot;";
    case '\'':
        return "&#39;";
    default:
        return NULL;
    }
}

void escape_text(FILE *out, const char *text)
{
    while (*text) {
        char piece[TEXT_PIECE_BYTES];
        text += text_safe_piece(piece, text);
        for (const char *c = piece; *c; c++) {
            const char *reference = reference_of(*c);
            if (reference)
                fputs(reference, out);
            else
                fputc(*c, out);
        }
    }
}

/* Every script written from right to left begins with one of these bytes in
 * UTF-8: U+0580 to U+0FFF, U+F000 to U+FFFF, U+10000 to U+3FFFF. */
static bool may_turn(const char *text)
{
    for (; *text; text++) {
        unsigned char c = (unsigned char)*text;
        if ((c >= 0xD6 && c <= 0xE0) || c == 0xEF || c == 0xF0)
            return true;
    }
    return false;
}

void escape_name(FILE *out, const char *text)
{
    bool turns = may_turn(text);
    fputs(turns ? "<bdi>" : "", out);
    escape_text(out, text);
    fputs(turns ? "</bdi>" : "", out);
}

void escape_css(FILE *out, const char *text)
{
    while (*text) {
        char piece[TEXT_PIECE_BYTES];
        text += text_safe_piece(piece, text);
        for (const char *c = piece; *c; c++)
            if (isalnum((unsigned char)*c) || *c == ' ' || *c < 0)
                fputc(*c, out);
            else
                fprintf(out, "\\%X ", (unsigned)*c);
    }
}

void escape_print(FILE *out, const char *format, ...)
{
    va_list list;
    va_start(list, format);
    int size = vsnprintf(NULL, 0, format, list);
    va_end(list);
    if (size < 0)
        return;
    char *text = memory_array((size_t)size + 1, 1);
    va_start(list, format);
    vsnprintf(text, (size_t)size + 1, format, list);
    va_end(list);
    escape_text(out, text);
    free(text);
}
