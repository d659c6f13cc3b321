/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Decoding UTF-8 by RFC 3629.  The C library's own decoder follows the
 * locale of the process, which is not the library's to set.
 */
#include "records/utf8.h"

#include <string.h>

/* Length and lowest legal code point of a lead byte's sequence; 0: no lead. */
static size_t sequence(unsigned char lead, unsigned long *lowest)
{
    if (lead < 0x80)
        return *lowest = 0, 1;
    if (lead >= 0xC0 && lead < 0xE0)
        return *lowest = 0x80, 2;
    if (lead >= 0xE0 && lead < 0xF0)
        return *lowest = 0x800, 3;
    if (lead >= 0xF0 && lead < 0xF8)
        return *lowest = 0x10000, 4;
    return 0;
}

size_t sw_utf8_next(const char *text, size_t length, unsigned long *code)
{
    const unsigned char *bytes = (const unsigned char *)text;
    unsigned long lowest = 0;
    size_t count = sequence(bytes[0], &lowest);
    if (count == 0 || count > length)
        return 0;
    unsigned long value = count == 1 ? bytes[0] : bytes[0] & (0x7FU >> count);
    for (size_t i = 1; i < count; i++) {
        if ((bytes[i] & 0xC0) != 0x80)
            return 0;
        value = value << 6 | (bytes[i] & 0x3FU);
    }
    if (value < lowest || value > 0x10FFFF ||
        (value >= 0xD800 && value <= 0xDFFF))
        return 0;
    *code = value;
    return count;
}

void sw_shorten(const char *text, char shown[SW_SHOWN_BYTES])
{
    size_t length = strlen(text);
    size_t kept = length;
    if (length >= SW_SHOWN_BYTES) {
        kept = SW_SHOWN_BYTES - 4;
        while (kept > 0 && ((unsigned char)text[kept] & 0xC0) == 0x80)
            kept--;
    }
    for (size_t i = 0; i < kept; i++)
        shown[i] = (unsigned char)text[i] < 0x20 ? ' ' : text[i];
    shown[kept] = '\0';
    if (kept < length)
        memcpy(shown + kept, "...", 4);
}
