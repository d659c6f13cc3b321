/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Five characters can leave a text and become markup (HTML Standard, 13.1.2;
 * XML 1.0, 2.4); what could deceive the eye is spelled out by text/safe.c.
 */
#include "sheet/escape.h"

#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "text/safe.h"

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

void escape_name(FILE *out, const char *text)
{
    fputs("<bdi>", out);
    escape_text(out, text);
    fputs("</bdi>", out);
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
