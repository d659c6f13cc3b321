/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Numbers in the name of an acid or a base, and what they are of, by the words
 * beside them: reference/strength_words.csv.  A number alone may be a strength
 * where it stands like one: with nothing behind it but words of the form.
 */
#include "records/name_strength.h"

#include "quantity/text.h"
#include "records/name_side.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { SW_STANDS_AHEAD, SW_STANDS_BEHIND, SW_STANDS_ANYWHERE };

#include "table_strength_words.h"

static const char digits[] = "0123456789";

/* Numbers with a dash, a stroke or a colon between: "60-65", "7697-37-2". */
typedef struct chain {
    double value[SW_MOST_SAID];
    size_t count;
    char joined;  /* by the last of those marks */
    bool is_date; /* "12.04.2026" */
    const char *start, *end;
} chain;

static bool is_within_word(const char *text, const char *at)
{
    return at > text && isalnum((unsigned char)at[-1]) &&
           isalnum((unsigned char)*at);
}

/* The length of the word where it begins at `at`; 0: it does not. */
static size_t begins(const char *at, const char *word)
{
    size_t length = strlen(word);
    bool here = !strncmp(at, word, length) && !is_within_word(at, at + length);
    return here ? length : 0;
}

/* Whether the word ends before `end`, blanks and marks between them aside. */
static bool ends(const char *text, const char *end, const char *word)
{
    while (end > text && strchr(" =:~([", end[-1]))
        end--;
    size_t length = strlen(word);
    const char *at = end - length;
    return (size_t)(end - text) >= length && !strncmp(at, word, length) &&
           !is_within_word(text, at);
}

/* The length of a word with its sign, "Masse-%", in a language that the table
 * lacks; 0: there is none. */
static size_t percent_word(const char *at)
{
    enum { LEAST_WORD = 3 };
    size_t length = 0;
    while (isalpha((unsigned char)at[length]) ||
           (at[length] && strchr("?.-", at[length])))
        length++;
    return length >= LEAST_WORD && at[length] == '%' ? length + 1 : 0;
}

/* The measure by the words there, and in *end where those behind it end. */
static sw_measure find_measure(const char *text, const char *start,
                               const char **end)
{
    char word[SW_KEY_SIZE];
    const char *behind = *end + strspn(*end, " ");
    for (size_t i = 0; i < sw_strength_words_count; i++) {
        const sw_strength_words_row *row = &sw_strength_words_table[i];
        const char *list = row->words;
        while (sw_text_next_words(&list, word)) {
            size_t length = begins(behind, word);
            if (row->stands == SW_STANDS_BEHIND && length)
                *end = behind + length;
            else if (row->stands != SW_STANDS_AHEAD || !ends(text, start, word))
                continue;
            return (sw_measure)row->measure;
        }
    }
    size_t length = percent_word(behind);
    *end = length ? behind + length : *end;
    return length ? SW_MEASURE_PERCENT : SW_MEASURE_BARE;
}

/* The number there, "60.5" or "60,5", and *at moved past it. */
static double read_number(const char **at)
{
    char number[16];
    double value = 0.0;
    size_t length = strspn(*at, "0123456789.,");
    while (length && !isdigit((unsigned char)(*at)[length - 1]))
        length--;
    (void)snprintf(number, sizeof number, "%.*s", (int)length, *at);
    if (strchr(number, ','))
        *strchr(number, ',') = '.';
    (void)sw_text_number(number, &value);
    *at += length;
    return value;
}

/* Behind so many letters two digits are no part of a formula: "nitric60". */
enum { LEAST_LETTERS = 4 };

static bool is_joined(const char *text, const char *at)
{
    const char *letter = at;
    while (letter > text && isalpha((unsigned char)letter[-1]))
        letter--;
    return at - letter >= LEAST_LETTERS && isdigit((unsigned char)at[0]) &&
           isdigit((unsigned char)at[1]);
}

/* The next digit from `at` on that no letter is before: not of "HNO3". */
static const char *next_digit(const char *text, const char *at)
{
    for (;;) {
        at += strcspn(at, digits);
        if (!is_within_word(text, at) || is_joined(text, at))
            return at;
        at += strspn(at, digits);
    }
}

static bool has_two_dots(const char *from, const char *end)
{
    int dots = 0;
    for (; from < end; from++)
        dots += *from == '.';
    return dots > 1;
}

/* The next numbers of a text from `at` on; none: a count of 0. */
static chain next_chain(const char *text, const char *at)
{
    chain c = {.count = 0};
    const char *next = next_digit(text, at);
    c.start = next;
    while (next && isdigit((unsigned char)*next)) {
        const char *number = next;
        double value = read_number(&next);
        c.is_date |= has_two_dots(number, next);
        if (c.count < SW_MOST_SAID)
            c.value[c.count++] = value;
        c.end = next;
        next += strspn(next, " ");
        bool more = *next && strchr("-/:", *next);
        const char *after = next + more + strspn(next + more, " ");
        if (more && isdigit((unsigned char)*after))
            c.joined = *next;
        next = more ? after : NULL;
    }
    return c;
}

/* Dates, grades, ratios and numbers of registers; "53/60/67 %" are strengths.
 */
static bool is_register(const chain *c, bool bare)
{
    if (c->is_date || c->joined == ':')
        return true;
    for (size_t i = 0; i < c->count; i++)
        if (c->count > 1 && c->value[i] > 100.0)
            return true;
    return c->count > 2 && (bare || c->joined == '-');
}

/* A day or a month and another or a year: "12/3", "12/24". */
static bool may_be_date(const chain *c)
{
    return c->joined == '/' && c->value[0] <= 31.0 && c->value[1] <= 31.0;
}

/* Whether it stands as a strength does, behind the name or, `leads`, ahead of
 * it, and is as large as one: below 10 bottles are counted. */
static bool may_be_strength(double value, const char *end, bool leads)
{
    const char *behind = end + strspn(end, " ");
    const char *rest = end + strspn(end, " -");
    bool whole = value == floor(value);
    bool fits = (value >= 10.0 && value <= 100.0) || (value < 2.2 && !whole);
    return fits &&
           (!*rest || strchr("(),;[]", *rest) || sw_name_is_form(rest) ||
            (leads && isalpha((unsigned char)*behind)));
}

size_t sw_name_strengths(const char *name, sw_said_strength said[SW_MOST_SAID])
{
    size_t count = 0;
    for (chain c = next_chain(name, name); c.count;
         c = next_chain(name, c.end)) {
        const char *end = c.end;
        sw_measure measure = find_measure(name, c.start, &end);
        bool bare = measure == SW_MEASURE_BARE;
        if (is_register(&c, bare) || measure == SW_MEASURE_COUNT ||
            (bare && may_be_date(&c)))
            continue;
        for (size_t i = 0; i < c.count && count < SW_MOST_SAID; i++)
            if (!bare || may_be_strength(c.value[i], end, c.start == name))
                said[count++] =
                    (sw_said_strength){c.value[i], measure, c.start, end};
    }
    return count;
}

bool sw_name_spells_percent(const char *name)
{
    char word[SW_KEY_SIZE];
    bool found = strchr(name, '%') != NULL;
    for (size_t i = 0; i < sw_strength_words_count; i++) {
        const char *list = sw_strength_words_table[i].words;
        while (sw_strength_words_table[i].measure == SW_MEASURE_SPELLED &&
               sw_text_next_words(&list, word))
            for (const char *at = name; *at; at++)
                found |= begins(at, word) && !is_within_word(name, at);
    }
    return found;
}

double sw_name_least_percent(const char *name, const char *formula, char word[],
                             size_t size)
{
    char one[SW_KEY_SIZE];
    for (size_t i = 0; i < sw_strength_words_count; i++) {
        const sw_strength_words_row *row = &sw_strength_words_table[i];
        const char *list = row->words;
        if (strcmp(row->substance, formula) != 0)
            continue;
        while (sw_text_next_words(&list, one))
            for (const char *at = name; *at; at++)
                if (begins(at, one) && !is_within_word(name, at)) {
                    (void)snprintf(word, size, "%s", one);
                    return row->least_percent;
                }
    }
    return NAN;
}
