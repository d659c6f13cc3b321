/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Keys by which names are looked up, whatever their case, spacing and marks,
 * and the names of a table of reference/ by their keys, sorted as it is
 * compiled.  Needs nothing of the library: the build tool makes keys too.
 */
#ifndef SW_QUANTITY_KEYS_H
#define SW_QUANTITY_KEYS_H

#include <stdbool.h>
#include <stddef.h>

enum { SW_KEY_SIZE = 96 };

/*
 * The character at *text as one ASCII character, and *text moved past it; 0 at
 * the end.  The digits of any script, subscripts and superscripts become digits
 * and signs, a micro sign `u`, every kind of dash `-`, every kind of
 * multiplication dot `*`, a degree sign `~`, a per mille sign `^`, odd spaces `
 * `, an accented letter its base; anything else not ASCII, and broken UTF-8,
 * `?`.
 */
char sw_text_next(const char **text);

/*
 * A key for look-ups: folded, lower case, letters and digits only.  Empty, as
 * nothing that is looked up is, when it needs more than SW_KEY_SIZE bytes.
 */
void sw_text_key(const char *text, char key[SW_KEY_SIZE]);

/* The same of a unit, in which `/+%#` count too, a minus before a digit and in
 * (-), and a degree sign reads "deg". */
void sw_unit_key(const char *text, char key[SW_KEY_SIZE]);

/* Whether `key` is the key of one of the names in `list`, separated by `|`. */
bool sw_text_listed(const char *list, const char *key);

/* A name of a table: where its key begins among all keys, and its row. */
typedef struct sw_name {
    unsigned short key, row;
} sw_name;

/* In order of the keys, then of the table's columns and rows. */
typedef struct sw_names {
    const char *keys;
    const sw_name *name;
    size_t count;
} sw_names;

/* The row of the nth name with that key; -1 where there is none. */
int sw_names_row(const sw_names *names, const char *key, size_t nth);

#endif
