/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Words of laboratory reports, looked up whatever their case and marks. */
#include "records/lab_words.h"

#include "table_lab_words.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

/* No word has a digit behind a letter, nor is a number, but names of samples
 * and readings do, of which there may be millions. */
static bool is_numbered(const char *key)
{
    static const char digits[] = "0123456789";
    const char *letters = key + strspn(key, digits);
    return strpbrk(letters, digits) || !*letters;
}

sw_word sw_word_of_head(const char *text, int *rank)
{
    char key[SW_KEY_SIZE];
    int at;
    if (!strcmp(text, "<"))
        return SW_WORD_QUALIFIER;
    sw_text_key(text, key);
    if (is_numbered(key))
        return SW_WORD_NONE;
    for (size_t nth = 0;
         (at = sw_names_row(&sw_lab_words_names, key, nth)) >= 0; nth++) {
        const sw_lab_words_row *row = &sw_lab_words_table[at];
        if (row->role > SW_WORD_PART)
            continue;
        if (rank)
            *rank = at;
        return (sw_word)row->role;
    }
    return SW_WORD_NONE;
}

bool sw_word_is(const char *text, sw_word role)
{
    char key[SW_KEY_SIZE];
    int at = -1;
    sw_text_key(text, key);
    for (size_t nth = 0;
         (at = sw_names_row(&sw_lab_words_names, key, nth)) >= 0; nth++)
        if (sw_lab_words_table[at].role == (int)role)
            return true;
    return false;
}

/* Bytes beyond ASCII are of letters. */
static bool is_letter(char c)
{
    return isalnum((unsigned char)c) || (unsigned char)c >= 0x80;
}

size_t sw_word_within(const char *text, sw_word role)
{
    size_t longest = 0;
    char words[256];
    (void)snprintf(words, sizeof words, "%.255s", text);
    for (char *from = words; *from; from++) {
        if (is_letter(*from) && (from == words || !is_letter(from[-1])))
            for (char *to = from + 1; to[-1]; to++) {
                char kept = *to;
                *to = '\0';
                bool found = !is_letter(kept) && sw_word_is(from, role);
                *to = kept;
                if (found && (size_t)(to - from) > longest)
                    longest = (size_t)(to - from);
            }
    }
    return longest;
}

bool sw_word_says_foreign(const char *text, bool of_state)
{
    return sw_word_within(text, SW_WORD_FOREIGN) ||
           (!of_state && sw_word_within(text, SW_WORD_CHECK));
}
