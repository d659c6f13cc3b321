/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Characters of UTF-8, one at a time. */
#ifndef SW_RECORDS_UTF8_H
#define SW_RECORDS_UTF8_H

#include <stddef.h>

/*
 * Bytes of the character at the head of `text` (`length` >= 1 bytes), its code
 * point in *code; 0 when it is no valid UTF-8 (RFC 3629: no overlong form, no
 * surrogate, nothing above U+10FFFF).
 */
size_t sw_utf8_next(const char *text, size_t length, unsigned long *code);

enum { SW_SHOWN_BYTES = 48 };

/* `text` as messages show it: on one line, cut with "..." where it is long. */
void sw_shorten(const char *text, char shown[SW_SHOWN_BYTES]);

#endif
