/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Nearness is the number of letters to insert, delete or replace
 * (Levenshtein 1966); a third of the word may be wrong.
 */
#include "io/suggest.h"

#include <string.h>

enum { LONGEST = 32 };

static size_t least(size_t a, size_t b, size_t c)
{
    size_t ab = a < b ? a : b;
    return ab < c ? ab : c;
}

/* Both words are at most LONGEST letters. */
static size_t distance(const char *a, const char *b)
{
    size_t row[LONGEST + 1];
    size_t length = strlen(b);
    for (size_t j = 0; j <= length; j++)
        row[j] = j;
    for (size_t i = 0; a[i]; i++) {
        size_t diagonal = row[0];
        row[0] = i + 1;
        for (size_t j = 0; j < length; j++) {
            size_t replace = diagonal + (a[i] != b[j]);
            diagonal = row[j + 1];
            row[j + 1] = least(replace, row[j] + 1, diagonal + 1);
        }
    }
    return row[length];
}

const char *suggest(const char *given, const char *const *words, size_t count)
{
    const char *best = NULL;
    size_t best_distance = 0;
    if (strlen(given) > LONGEST)
        return NULL;
    for (size_t i = 0; i < count; i++) {
        size_t away = distance(given, words[i]);
        if (away <= 1 + strlen(words[i]) / 3 &&
            (!best || away < best_distance)) {
            best = words[i];
            best_distance = away;
        }
    }
    return best;
}
