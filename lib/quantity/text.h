/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Reading what people type: UTF-8 folded to ASCII, keys that ignore case and
 * spacing, numbers whatever the locale, and names near a mistyped one.
 */
#ifndef SW_QUANTITY_TEXT_H
#define SW_QUANTITY_TEXT_H

#include "quantity/keys.h"
#include "quantity/status.h"

#include <stddef.h>

/*
 * `text` folded, one byte per character, control characters as spaces, into
 * `out`.  False when it needs more than `size` bytes.
 */
bool sw_text_fold(const char *text, char *out, size_t size);

/* The same in lower case, as far as there is room. */
void sw_text_lower(const char *text, char *out, size_t size);

/* Appends an item to a list "a, b", or once and for all " and others" where it
 * does not fit. */
void sw_text_list(char *list, size_t size, const char *item);

/* Appends what fits to a text of `size` bytes; and the same, with `between`
 * before it where something is there already. */
void sw_text_add(char *text, size_t size, const char *format, ...)
    SW_PRINTF(3, 4);
void sw_text_join(char *text, size_t size, const char *between,
                  const char *format, ...) SW_PRINTF(4, 5);

/* How long the first `length` bytes of a text are without any of `marks` at
 * their end; takes those off a text's end; and copies, as far as there is room,
 * without them at either end. */
size_t sw_text_cut(const char *text, size_t length, const char *marks);
void sw_text_trim(char *text, const char *marks);
void sw_text_inner(const char *text, size_t length, const char *marks, char *to,
                   size_t size);

/* Drops from UTF-8 the characters that cuts have left unfinished, in place. */
void sw_text_mend(char *text);

/*
 * A decimal number at the start of `text` (a point as the decimal mark,
 * exponent allowed, no sign of infinity) whatever the locale: its length in
 * bytes, 0 when there is none.  Infinite where it is too large for a double,
 * NaN where it is too small.
 */
size_t sw_text_number(const char *text, double *value);

/* The next words of a list separated by `|`, folded and in lower case, and
 * *list moved past them; false at its end. */
bool sw_text_next_words(const char **list, char words[SW_KEY_SIZE]);

/* Whether `word` (in lower case) stands at `at` within `text` on its own. */
bool sw_text_word_at(const char *text, const char *at, const char *word);

/* Blanks out those words in a folded text; false when there were none. */
bool sw_text_blank(char *text, const char *const *words, size_t count);

/* The length of "~C", " degrees C", "C" at the start of a folded text; 0 where
 * it is not there. */
size_t sw_text_celsius(const char *text);

/* Blanks out "at 25 C", "@25 degC", "bei 25~C", "(a 25 oC)" in a folded text,
 * the temperature conductivities are given at; false when it is not there. */
bool sw_text_blank_25_c(char *text);

/* The closest few names met, the closest first. */
typedef struct sw_near {
    const char *names[3];
    size_t distance[3];
    size_t count;
    const char *key; /* what was asked for */
} sw_near;

/*
 * Considers `name` as what `near->key` may have meant; `display` (static) is
 * what is listed then.
 */
void sw_near_consider(sw_near *near, const char *name, const char *display);

/* The same for each name of a list separated by `|`. */
void sw_near_consider_list(sw_near *near, const char *list,
                           const char *display);

/* "; did you mean A, B or C?" or "" into `out`. */
void sw_near_say(const sw_near *near, char *out, size_t size);

/* ---- Characters of UTF-8, one at a time ---------------------------------- */

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
