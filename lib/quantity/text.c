/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What people type: folded, numbers in the C locale, words blanked out, and
 * near names by edit distance.
 */
#include "quantity/text.h"

#include <ctype.h>
#include <errno.h>
#include <locale.h>
#include <math.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

bool sw_text_fold(const char *text, char *out, size_t size)
{
    size_t used = 0;
    char c;
    while ((c = sw_text_next(&text))) {
        if (used + 1 >= size)
            return false;
        out[used++] = iscntrl((unsigned char)c) ? ' ' : c;
    }
    out[used] = '\0';
    return true;
}

void sw_text_lower(const char *text, char *out, size_t size)
{
    size_t used = 0;
    char c;
    while (used + 1 < size && (c = sw_text_next(&text)))
        out[used++] = iscntrl((unsigned char)c) ? ' ' : (char)tolower(c);
    out[used] = '\0';
}

/* strtod follows the process's locale; a thread-local C locale does not. What
 * it rounds to nothing, or nearly, is none of its numbers. */
static double c_strtod(const char *text, char **end)
{
    locale_t c = newlocale(LC_ALL_MASK, "C", (locale_t)0);
    locale_t before = uselocale(c);
    errno = 0;
    double value = strtod(text, end);
    if (errno == ERANGE && fabs(value) < 1)
        value = NAN;
    uselocale(before);
    if (c)
        freelocale(c);
    return value;
}

size_t sw_text_number(const char *text, double *value)
{
    char *end;
    const char *digits = text + (*text == '-' || *text == '+');
    size_t whole = strspn(digits, "0123456789");
    /* Neither "inf" nor hexadecimal is a number of a lab report. */
    if (!whole && !(digits[0] == '.' && isdigit((unsigned char)digits[1])))
        return 0;
    if (digits[0] == '0' && (digits[1] == 'x' || digits[1] == 'X')) {
        *value = 0;
        return (size_t)(digits + 1 - text);
    }
    *value = c_strtod(text, &end);
    return (size_t)(end - text);
}

bool sw_text_word_at(const char *text, const char *at, const char *word)
{
    size_t length = strlen(word);
    for (size_t i = 0; i < length; i++)
        if (tolower((unsigned char)at[i]) != word[i])
            return false;
    return (at == text || !isalnum((unsigned char)at[-1])) &&
           !isalnum((unsigned char)at[length]);
}

bool sw_text_next_words(const char **list, char words[SW_KEY_SIZE])
{
    size_t used = 0;
    const char *at = *list;
    if (!*at)
        return false;
    while (*at && *at != '|') {
        char c = sw_text_next(&at);
        if (used + 1 < SW_KEY_SIZE)
            words[used++] = (char)tolower((unsigned char)c);
    }
    words[used] = '\0';
    *list = at + (*at == '|');
    return true;
}

bool sw_text_blank(char *text, const char *const *words, size_t count)
{
    bool any = false;
    for (char *at = text; *at; at++)
        for (size_t i = 0; i < count; i++) {
            if (!sw_text_word_at(text, at, words[i]))
                continue;
            memset(at, ' ', strlen(words[i]));
            any = true;
        }
    return any;
}

size_t sw_text_celsius(const char *text)
{
    static const char *const marks[] = {"~",   "degrees ", "deg. ", "deg ",
                                        "deg", "o",        ""};
    const char *rest = text + strspn(text, " ");
    for (size_t i = 0; i < sizeof marks / sizeof *marks; i++) {
        size_t length = strlen(marks[i]);
        if (strncmp(rest, marks[i], length) != 0)
            continue;
        const char *c = rest + length + strspn(rest + length, " ");
        if (tolower((unsigned char)*c) == 'c' && !isalnum((unsigned char)c[1]))
            return (size_t)(c + 1 - text);
    }
    return 0;
}

/* The length of "25 degC" and its like at `at`, 0 when it is not there. */
static size_t length_of_25_c(const char *text, const char *at)
{
    bool within =
        at > text && (isalnum((unsigned char)at[-1]) || at[-1] == '.');
    size_t degrees =
        !within && !strncmp(at, "25", 2) ? sw_text_celsius(at + 2) : 0;
    return degrees ? 2 + degrees : 0;
}

bool sw_text_blank_25_c(char *text)
{
    static const char *const before[] = {"at", "bei", "a", "bij", "to"};
    for (char *at = text; *at; at++) {
        size_t length = length_of_25_c(text, at);
        char *word = at;
        if (!length)
            continue;
        memset(at, ' ', length);
        while (word > text && strchr(" @,", word[-1]))
            *--word = ' ';
        while (word > text && isalpha((unsigned char)word[-1]))
            word--;
        for (size_t i = 0; i < sizeof before / sizeof *before; i++)
            if (sw_text_word_at(text, word, before[i]))
                memset(word, ' ', strlen(before[i]));
        return true;
    }
    return false;
}

/* Letters left out, put in or changed, or two that changed places, that make b
 * of a (Damerau 1964). */
static size_t edit_distance(const char *a, const char *b)
{
    size_t rows[3][SW_KEY_SIZE] = {{0}};
    size_t columns = strlen(b);
    size_t i = 0;
    for (size_t k = 0; k <= columns; k++)
        rows[0][k] = k;
    for (i = 1; a[i - 1]; i++) {
        size_t *row = rows[i % 3];
        const size_t *above = rows[(i + 2) % 3];
        const size_t *second = rows[(i + 1) % 3];
        row[0] = i;
        for (size_t k = 1; k <= columns; k++) {
            size_t best = above[k - 1] + (a[i - 1] != b[k - 1]);
            if (above[k] + 1 < best)
                best = above[k] + 1;
            if (row[k - 1] + 1 < best)
                best = row[k - 1] + 1;
            if (i > 1 && k > 1 && a[i - 1] == b[k - 2] &&
                a[i - 2] == b[k - 1] && second[k - 2] + 1 < best)
                best = second[k - 2] + 1;
            row[k] = best;
        }
    }
    return rows[(i - 1) % 3][columns];
}

const char *sw_nearest_word(const char *given, const char *const *words,
                            size_t count)
{
    const char *best = NULL;
    size_t least = SIZE_MAX;
    for (size_t i = 0; given && words && i < count; i++) {
        size_t away = SIZE_MAX, length = strlen(words[i]);
        if (length < SW_KEY_SIZE && strlen(given) < SW_KEY_SIZE)
            away = edit_distance(given, words[i]);
        if (away > 1 + length / 3 || away >= least)
            continue;
        best = words[i];
        least = away;
    }
    return best;
}

static size_t distance_to(const sw_near *near, const char *name)
{
    char key[SW_KEY_SIZE];
    sw_text_key(name, key);
    if (!*key)
        return SIZE_MAX;
    /* A part of a longer name counts as near: "potash" in "muriate..." */
    if (strlen(near->key) >= 4 && strstr(key, near->key))
        return 1;
    size_t length = strlen(key);
    size_t asked = strlen(near->key);
    size_t allowed = length < 8 ? 1 : length / 4;
    size_t apart = length > asked ? length - asked : asked - length;
    if (apart > allowed)
        return SIZE_MAX;
    size_t distance = edit_distance(near->key, key);
    return distance <= allowed && distance < length ? distance : SIZE_MAX;
}

static bool already_near(const sw_near *near, const char *display)
{
    for (size_t i = 0; i < near->count; i++)
        if (!strcmp(near->names[i], display))
            return true;
    return false;
}

void sw_near_consider(sw_near *near, const char *name, const char *display)
{
    enum { KEPT = sizeof near->names / sizeof *near->names };
    size_t distance = distance_to(near, name);
    if (distance == SIZE_MAX || already_near(near, display))
        return;
    size_t place = near->count;
    while (place > 0 && near->distance[place - 1] > distance)
        place--;
    if (place == KEPT)
        return;
    size_t last = near->count < KEPT ? near->count++ : KEPT - 1;
    for (size_t i = last; i > place; i--) {
        near->names[i] = near->names[i - 1];
        near->distance[i] = near->distance[i - 1];
    }
    near->names[place] = display;
    near->distance[place] = distance;
}

void sw_near_consider_list(sw_near *near, const char *list, const char *display)
{
    char name[SW_KEY_SIZE];
    while (*list) {
        size_t length = strcspn(list, "|");
        snprintf(name, sizeof name, "%.*s", (int)length, list);
        sw_near_consider(near, name, display);
        list += length + (list[length] == '|');
    }
}

void sw_near_say(const sw_near *near, char *out, size_t size)
{
    out[0] = '\0';
    for (size_t i = 0; i < near->count; i++)
        sw_text_join(out, size, i + 1 == near->count ? " or " : ", ", "%s%s",
                     i ? "" : "; did you mean ", near->names[i]);
    if (near->count)
        sw_text_add(out, size, "?");
}

/* Bytes of the character that a byte begins; 0 for one that begins none. */
static size_t length_of(unsigned char first)
{
    if (first < 0x80)
        return 1;
    if (first < 0xC0 || first >= 0xF8)
        return 0;
    return first < 0xE0 ? 2 : first < 0xF0 ? 3 : 4;
}

static bool is_whole(const char *at, size_t length)
{
    for (size_t i = 1; i < length; i++)
        if (((unsigned char)at[i] & 0xC0) != 0x80)
            return false;
    return length > 0;
}

void sw_text_add(char *text, size_t size, const char *format, ...)
{
    size_t used = strlen(text);
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text + used, size - used, format, arguments);
    va_end(arguments);
}

void sw_text_join(char *text, size_t size, const char *between,
                  const char *format, ...)
{
    va_list arguments;
    if (*text)
        sw_text_add(text, size, "%s", between);
    size_t used = strlen(text);
    va_start(arguments, format);
    vsnprintf(text + used, size - used, format, arguments);
    va_end(arguments);
}

void sw_text_list(char *list, size_t size, const char *item)
{
    static const char others[] = " and others";
    size_t used = strlen(list), end = strlen(others);
    if (used >= end && !strcmp(list + used - end, others))
        return;
    bool fits = used + strlen(", ") + strlen(item) + end < size;
    if (fits)
        sw_text_join(list, size, ", ", "%s", item);
    else
        sw_text_add(list, size, "%s", others);
}

size_t sw_text_cut(const char *text, size_t length, const char *marks)
{
    while (length && strchr(marks, text[length - 1]))
        length--;
    return length;
}

void sw_text_trim(char *text, const char *marks)
{
    text[sw_text_cut(text, strlen(text), marks)] = '\0';
}

void sw_text_inner(const char *text, size_t length, const char *marks, char *to,
                   size_t size)
{
    while (length && strchr(marks, *text))
        text++, length--;
    length = sw_text_cut(text, length, marks);
    if (length >= size)
        length = size - 1;
    memcpy(to, text, length);
    to[length] = '\0';
}

void sw_text_mend(char *text)
{
    char *to = text;
    for (const char *from = text; *from;) {
        if ((unsigned char)*from < 0x80) {
            *to++ = *from++;
            continue;
        }
        size_t length = length_of((unsigned char)*from);
        bool keep = is_whole(from, length);
        for (size_t i = keep ? length : 1; i > 0; i--, from++)
            if (keep)
                *to++ = *from;
    }
    *to = '\0';
}

/* ---- Characters of UTF-8 ------------------------------------------------- */

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
