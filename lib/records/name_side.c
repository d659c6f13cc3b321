/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Acid, base or water by name: bottles are opened by what is written on them.
 * Words of the trade: reference/name_words.csv.  A name that says both sides,
 * or neither, contradicts nothing.
 */
#include "records/name_side.h"

#include "quantity/text.h"

#include <ctype.h>
#include <stddef.h>
#include <string.h>

/* What words of the table say of a product. */
enum {
    SW_SAYS_FORM, /* nothing: any product may have them */
    SW_SAYS_LIQUID,
    SW_SAYS_DISSOLVED, /* what it is, and that it is a liquid */
    SW_SAYS_NOT_LIQUID,
    SW_SAYS_AGAINST,
    SW_SAYS_LOWERS_PH,
    SW_SAYS_RAISES_PH,
    SW_SAYS_ACID,
    SW_SAYS_NO_ACID,
    SW_SAYS_BASE,
    SW_SAYS_ACID_BESIDE,
    SW_SAYS_BASE_BESIDE,
    SW_SAYS_PEROXIDE,
    SW_SAYS_VINEGAR,
    SW_SAYS_WATER
};

/* Where in a name they stand. */
enum {
    SW_STANDS_ANYWHERE,
    SW_STANDS_PART, /* anywhere, within other words too */
    SW_STANDS_FIRST,
    SW_STANDS_LAST, /* as the name's noun, or the end of it */
    SW_STANDS_END,  /* ahead of that noun */
    SW_STANDS_WHOLE
};

#include "table_name_words.h"

/* A name in lower case, and what of it says the kind. */
typedef struct folded_name {
    char all[SW_NAME_BYTES], noun[SW_NAME_BYTES];
} folded_name;

bool sw_name_is_form(const char *at)
{
    char word[40], key[SW_KEY_SIZE];
    size_t length = strcspn(at, " ,;()[]");
    bool listed = false;
    if (length >= sizeof word)
        return false;
    memcpy(word, at, length);
    word[length] = '\0';
    sw_text_key(word, key);
    for (size_t i = 0; i < sw_name_words_count; i++)
        if (sw_name_words_table[i].says == SW_SAYS_FORM ||
            sw_name_words_table[i].says == SW_SAYS_LIQUID)
            listed |= sw_text_listed(sw_name_words_table[i].words, key);
    return *key && listed;
}

/* Draws a sign to the pH before it, as bottles print it: "pH +", "pH - (5 L)".
 * Before a word that dash parts: "pH - neutral". */
static void join_sign(char *text)
{
    for (char *at = text; *at; at++) {
        char *sign = at + 2;
        if (!sw_text_word_at(text, at, "ph"))
            continue;
        sign += strspn(sign, " ");
        if (*sign != '+' &&
            (*sign != '-' ||
             isalpha((unsigned char)sign[1 + strspn(sign + 1, " ")])))
            continue;
        at[2] = *sign;
        memset(at + 3, ' ', (size_t)(sign + 1 - (at + 3)));
    }
}

/* What a name says it is free of goes: "acid free base" is a base. */
static void drop_free(char *text)
{
    for (char *at = text; *at; at++) {
        char *from = at;
        if (!sw_text_word_at(text, at, "free"))
            continue;
        while (from > text && from[-1] == ' ')
            from--;
        while (from > text && from[-1] != ' ')
            from--;
        char *rest = at + strlen("free");
        rest += strspn(rest, " ");
        memmove(from, rest, strlen(rest) + 1);
        at = from > text ? from - 1 : from;
        if (!*text)
            return;
    }
}

/* A dash between letters parts words: "pH-Senker", but "pH-". */
static void fold_all(const char *name, char text[SW_NAME_BYTES])
{
    sw_text_lower(name, text, SW_NAME_BYTES);
    for (char *c = text; *c; c++)
        if (*c == '_' || (*c == '-' && isalpha((unsigned char)c[1])))
            *c = ' ';
    join_sign(text);
    drop_free(text);
}

/* Cuts what says nothing of the kind off the end: a strength, a number, a
 * bracket, the form. */
static void cut_tail(char *text)
{
    for (;;) {
        size_t end = strlen(text);
        char *open = end && text[end - 1] == ')' ? strrchr(text, '(') : NULL;
        while (end && !isalpha((unsigned char)text[end - 1]))
            end--;
        if (open && open > text)
            end = (size_t)(open - text);
        text[end] = '\0';
        char *last = strrchr(text, ' ');
        if (!open && (!last || !sw_name_is_form(last + 1)))
            return;
        if (!open)
            *last = '\0';
    }
}

static bool says(const folded_name *name, int what);

/* Ahead of a word it is not meant: "for acid water", "anti-acid". */
static bool is_of_other(const char *text, size_t length)
{
    folded_name ahead = {.all = ""};
    memcpy(ahead.noun, text, length);
    return says(&ahead, SW_SAYS_AGAINST);
}

static bool has_word(const char *text, const char *word)
{
    while (*text && !sw_text_word_at(text, text, word))
        text++;
    return *text;
}

static bool stands(const folded_name *name, const char *words, int where)
{
    const char *noun = name->noun;
    size_t length = strlen(noun), least = strlen(words);
    switch (where) {
    case SW_STANDS_ANYWHERE:
        return has_word(name->all, words);
    case SW_STANDS_PART:
        return strstr(name->all, words);
    case SW_STANDS_FIRST:
        return sw_text_word_at(noun, noun, words);
    case SW_STANDS_LAST:
        return length >= least && !strcmp(noun + length - least, words) &&
               !is_of_other(noun, length - least);
    case SW_STANDS_END:
        return length > least &&
               sw_text_word_at(noun, noun + length - least - 1, words);
    default:
        return !strcmp(noun, words);
    }
}

static bool says(const folded_name *name, int what)
{
    char words[SW_KEY_SIZE];
    for (size_t i = 0; i < sw_name_words_count; i++) {
        const sw_name_words_row *row = &sw_name_words_table[i];
        const char *list = row->words;
        while (row->says == what && sw_text_next_words(&list, words))
            if (stands(name, words, row->stands))
                return true;
    }
    return false;
}

sw_name_side sw_name_side_of(const char *text)
{
    folded_name name;
    fold_all(text, name.all);
    memcpy(name.noun, name.all, sizeof name.noun);
    cut_tail(name.noun);
    if (says(&name, SW_SAYS_VINEGAR))
        return SW_NAMES_VINEGAR;
    if (says(&name, SW_SAYS_PEROXIDE))
        return SW_NAMES_PEROXIDE;
    bool acid = says(&name, SW_SAYS_LOWERS_PH) ||
                (says(&name, SW_SAYS_ACID) && !says(&name, SW_SAYS_NO_ACID));
    bool base = says(&name, SW_SAYS_RAISES_PH) || says(&name, SW_SAYS_BASE);
    if (acid && !base && !says(&name, SW_SAYS_BASE_BESIDE))
        return SW_NAMES_ACID;
    if (base && !acid && !says(&name, SW_SAYS_ACID_BESIDE))
        return SW_NAMES_BASE;
    return says(&name, SW_SAYS_WATER) ? SW_NAMES_WATER : SW_NAMES_NONE;
}

static bool says_liquid(const char *text, int what)
{
    folded_name name = {.noun = ""};
    fold_all(text, name.all);
    return says(&name, what) && !says(&name, SW_SAYS_NOT_LIQUID);
}

bool sw_name_is_liquid(const char *text)
{
    return says_liquid(text, SW_SAYS_LIQUID);
}

bool sw_name_is_dissolved(const char *text)
{
    return says_liquid(text, SW_SAYS_DISSOLVED);
}
