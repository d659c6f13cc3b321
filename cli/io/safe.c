/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Names come from files written by anyone.  A control character can move the
 * cursor and a direction mark can make "max 10" read "01 xam"; both are shown
 * spelled out instead of obeyed.
 */
#include "io/safe.h"

#include <ctype.h>
#include <errno.h>
#include <locale.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <wchar.h>

/* Whether the C library reads UTF-8; what it needs for that it takes the first
 * time, and where it cannot have it, it reads bytes for ever. */
static bool reads_utf8(void)
{
    static const char degree[] = "\xC2\xB0";
    wchar_t c;
    return mbrtowc(&c, degree, sizeof degree - 1, &(mbstate_t){0}) == 2;
}

bool text_use_utf8(void)
{
    errno = 0;
    if (setlocale(LC_CTYPE, "C.UTF-8"))
        return reads_utf8();
    bool lacks_memory = errno == ENOMEM;
    setlocale(LC_CTYPE, "");
    return !lacks_memory;
}

/* Marks that change the order or joining of what is around them. */
static bool is_invisible(wchar_t c)
{
    static const struct {
        unsigned long first, last;
    } ranges[] = {{0x00AD, 0x00AD}, {0x061C, 0x061C},   {0x180E, 0x180E},
                  {0x200B, 0x200F}, {0x2028, 0x202E},   {0x2060, 0x206F},
                  {0xFE00, 0xFE0F}, {0xFEFF, 0xFEFF},   {0xFFF9, 0xFFFB},
                  {0xE000, 0xF8FF}, {0xE0000, 0x10FFFF}};
    unsigned long code = (unsigned long)c;
    for (size_t i = 0; i < sizeof ranges / sizeof ranges[0]; i++)
        if (code >= ranges[i].first && code <= ranges[i].last)
            return true;
    return false;
}

static bool is_ascii(char c)
{
    return (unsigned char)c < 0x80;
}

/* Most characters are a byte. */
static size_t read_character(wchar_t *c, const char *text)
{
    mbstate_t state = {0};
    if (is_ascii(*text)) {
        *c = (wchar_t)*text;
        return *text != '\0';
    }
    size_t bytes = mbrtowc(c, text, strlen(text), &state);
    return bytes == (size_t)-1 || bytes == (size_t)-2 ? 0 : bytes;
}

size_t text_character_bytes(const char *text)
{
    wchar_t c;
    return read_character(&c, text);
}

size_t text_safe_piece(char piece[TEXT_PIECE_BYTES], const char *text)
{
    wchar_t c;
    if (is_ascii(*text) && isprint((unsigned char)*text)) {
        piece[0] = *text;
        piece[1] = '\0';
        return 1;
    }
    size_t bytes = read_character(&c, text);
    if (!bytes) {
        snprintf(piece, TEXT_PIECE_BYTES, "<%02X>", (unsigned char)*text);
        return 1;
    }
    if (is_invisible(c) || wcwidth(c) < 0)
        snprintf(piece, TEXT_PIECE_BYTES, "<U+%04lX>", (unsigned long)c);
    else
        snprintf(piece, TEXT_PIECE_BYTES, "%.*s", (int)bytes, text);
    return bytes;
}

void text_safe(char *out, size_t size, const char *text)
{
    size_t used = 0;
    while (*text) {
        char piece[TEXT_PIECE_BYTES];
        text += text_safe_piece(piece, text);
        size_t bytes = strlen(piece);
        if (used + bytes >= size)
            break;
        memcpy(out + used, piece, bytes);
        used += bytes;
    }
    out[used] = '\0';
}

/* Columns of the character at `safe`; *bytes is its length. */
static size_t character_width(const char *safe, size_t *bytes)
{
    wchar_t c;
    *bytes = read_character(&c, safe);
    if (!*bytes || is_ascii(*safe)) {
        *bytes = 1;
        return 1;
    }
    int width = wcwidth(c);
    return width < 0 ? 1 : (size_t)width;
}

size_t text_width(const char *safe)
{
    size_t width = 0;
    size_t bytes;
    for (; *safe; safe += bytes)
        width += character_width(safe, &bytes);
    return width;
}

size_t text_fit(const char *safe, size_t columns)
{
    size_t width = 0;
    size_t fit = 0;
    while (safe[fit]) {
        size_t bytes;
        width += character_width(safe + fit, &bytes);
        if (width > columns)
            break;
        fit += bytes;
    }
    return fit;
}

void text_join(char *list, size_t size, const char *between, const char *format,
               ...)
{
    size_t used = strlen(list);
    va_list words;
    used +=
        (size_t)snprintf(list + used, size - used, "%s", used ? between : "");
    va_start(words, format);
    if (used < size)
        vsnprintf(list + used, size - used, format, words);
    va_end(words);
}
