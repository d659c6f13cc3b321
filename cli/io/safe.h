/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Text from outside, made harmless for a terminal, and its width there. */
#ifndef CLI_IO_SAFE_H
#define CLI_IO_SAFE_H

#include <stdbool.h>
#include <stddef.h>

/*
 * Once at start: characters are read as UTF-8 whatever LANG says, since that
 * is what the files hold; numbers keep the C locale's point.  False: there is
 * no memory for it.
 */
bool text_use_utf8(void);

/*
 * Copies `text` with every control character, mark that turns the direction
 * of writing, other invisible character and byte that is not UTF-8 spelled
 * out: "<U+202E>", "<FF>".  Cut, at a character, to what fits in `size`.
 */
void text_safe(char *out, size_t size, const char *text);

/* Bytes of the character at the start of `text`, not at its end; 0 where that
 * is no UTF-8. */
size_t text_character_bytes(const char *text);

/* Room for one character as text_safe shows it. */
enum { TEXT_PIECE_BYTES = 16 };

/* One character of `text`, not at its end, as text_safe shows it; returns how
 * many bytes of `text` it took. */
size_t text_safe_piece(char piece[TEXT_PIECE_BYTES], const char *text);

/* Columns that a text made by text_safe takes on a terminal. */
size_t text_width(const char *safe);

/* Bytes of the longest start of `safe` that takes at most `columns`. */
size_t text_fit(const char *safe, size_t columns);

/* One more word of a list, `between` what there is and it. */
void text_join(char *list, size_t size, const char *between, const char *format,
               ...) __attribute__((format(printf, 4, 5)));

#endif
