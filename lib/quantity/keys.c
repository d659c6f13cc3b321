/* SPDX-License-Identifier: GPL-3.0-or-later */
/* UTF-8 to ASCII one character for one, and the keys of names and units. */
#include "quantity/keys.h"

#include <ctype.h>
#include <string.h>

typedef struct folded {
    unsigned first;
    unsigned last;
    const char *ascii; /* one for each, or one for all */
} folded;

/* Ranges of Unicode and what they read as. */
static const folded folds[] = {
    {0xA0, 0xA0, " "},
    {0xB0, 0xB0, "~"},
    {0xB2, 0xB3, "23"},
    {0xB5, 0xB5, "u"},
    {0xB7, 0xB7, "*"},
    {0xB9, 0xB9, "1"},
    {0xBA, 0xBA, "~"},
    {0xC0, 0xC5, "A"},
    {0xC7, 0xC7, "C"},
    {0xC8, 0xCB, "E"},
    {0xCC, 0xCF, "I"},
    {0xD1, 0xD1, "N"},
    {0xD2, 0xD6, "O"},
    {0xD7, 0xD7, "*"},
    {0xD9, 0xDC, "U"},
    {0xDF, 0xDF, "s"},
    {0xE0, 0xE5, "a"},
    {0xE7, 0xE7, "c"},
    {0xE8, 0xEB, "e"},
    {0xEC, 0xEF, "i"},
    {0xF1, 0xF1, "n"},
    {0xF2, 0xF6, "o"},
    {0xF8, 0xF8, "o"},
    {0xF9, 0xFC, "u"},
    {0x2DA, 0x2DA, "~"},
    {0x387, 0x387, "*"},
    {0x3BC, 0x3BC, "u"},
    {0x66A, 0x66A, "%"},
    {0x2000, 0x200B, " "},
    {0x2010, 0x2015, "-"},
    {0x2022, 0x2022, "*"},
    {0x2024, 0x2024, "*"},
    {0x2027, 0x2027, "*"},
    {0x202F, 0x202F, " "},
    {0x2030, 0x2030, "^"},
    {0x2044, 0x2044, "/"},
    {0x205F, 0x205F, " "},
    {0x2070, 0x2070, "0"},
    {0x2074, 0x2079, "456789"},
    {0x207A, 0x207B, "+-"},
    {0x2080, 0x2089, "0123456789"},
    {0x208A, 0x208B, "+-"},
    {0x20AC, 0x20AC, "E"}, /* euro */
    {0x2212, 0x2212, "-"},
    {0x2215, 0x2215, "/"},
    {0x2217, 0x2217, "*"},
    {0x2219, 0x2219, "*"},
    {0x22C5, 0x22C5, "*"},
    {0x30FB, 0x30FB, "*"},
    {0xFE6A, 0xFE6A, "%"},
    {0xFEFF, 0xFEFF, " "},
    {0xFF05, 0xFF05, "%"},
    {0xFF10, 0xFF19, "0123456789"},
};

/* Each script's decimal digit zero, with the others behind it (Unicode 14.0,
 * category Nd, of the basic plane and the five mathematical alphabets). */
static const unsigned zeros[] = {
    0x660,  0x6F0,  0x7C0,  0x966,   0x9E6,   0xA66,   0xAE6,   0xB66,
    0xBE6,  0xC66,  0xCE6,  0xD66,   0xDE6,   0xE50,   0xED0,   0xF20,
    0x1040, 0x1090, 0x17E0, 0x1810,  0x1946,  0x19D0,  0x1A80,  0x1A90,
    0x1B50, 0x1BB0, 0x1C40, 0x1C50,  0xA620,  0xA8D0,  0xA900,  0xA9D0,
    0xA9F0, 0xAA50, 0xABF0, 0x1D7CE, 0x1D7D8, 0x1D7E2, 0x1D7EC, 0x1D7F6};

static char fold(unsigned code)
{
    for (size_t i = 0; i < sizeof folds / sizeof *folds; i++) {
        const folded *f = &folds[i];
        if (code >= f->first && code <= f->last)
            return f->ascii[1] ? f->ascii[code - f->first] : f->ascii[0];
    }
    for (size_t i = 0; i < sizeof zeros / sizeof *zeros; i++)
        if (code >= zeros[i] && code < zeros[i] + 10)
            return (char)('0' + (code - zeros[i]));
    return '?';
}

/* Bytes of the UTF-8 sequence that `lead` starts; 0 when it starts none. */
static int sequence_length(unsigned char lead)
{
    if (lead >= 0xC2 && lead <= 0xDF)
        return 2;
    if (lead >= 0xE0 && lead <= 0xEF)
        return 3;
    return lead >= 0xF0 && lead <= 0xF4 ? 4 : 0;
}

char sw_text_next(const char **text)
{
    unsigned char lead = (unsigned char)**text;
    if (!lead)
        return '\0';
    (*text)++;
    if (lead < 0x80)
        return (char)lead;
    int length = sequence_length(lead);
    unsigned code = lead & (0x7Fu >> length);
    for (int i = 1; i < length; i++) {
        unsigned char next = (unsigned char)**text;
        if ((next & 0xC0) != 0x80)
            return '?';
        code = code << 6 | (next & 0x3Fu);
        (*text)++;
    }
    return length ? fold(code) : '?';
}

void sw_text_key(const char *text, char key[SW_KEY_SIZE])
{
    size_t used = 0;
    char c;
    while ((c = sw_text_next(&text))) {
        if (!isalnum((unsigned char)c))
            continue;
        if (used + 1 >= SW_KEY_SIZE) {
            used = 0;
            break;
        }
        key[used++] = (char)tolower((unsigned char)c);
    }
    key[used] = '\0';
}

/*
 * The next character of a unit's key at *text; 0 at the end.  Case, spaces,
 * brackets and points play no part; a degree sign reads "deg", a minus counts
 * before a digit and in (-).
 */
typedef struct key_reader {
    const char *text;
    const char *pending;
} key_reader;

static char next_key_char(key_reader *r)
{
    char c;
    if (*r->pending)
        return *r->pending++;
    while ((c = sw_text_next(&r->text))) {
        if (isalnum((unsigned char)c) || (c && strchr("/+%#|", c)))
            return (char)tolower((unsigned char)c);
        if (c == '-' && (isdigit((unsigned char)*r->text) || *r->text == ')'))
            return c;
        if (c == '~') {
            r->pending = "eg";
            return 'd';
        }
    }
    return '\0';
}

void sw_unit_key(const char *text, char key[SW_KEY_SIZE])
{
    key_reader r = {text, ""};
    size_t used = 0;
    char c;
    while ((c = next_key_char(&r))) {
        if (used + 1 >= SW_KEY_SIZE) {
            used = 0;
            break;
        }
        key[used++] = c;
    }
    key[used] = '\0';
}

static void skip_name(const char **list)
{
    const char *end = strchr(*list, '|');
    *list = end ? end + 1 : *list + strlen(*list);
}

/*
 * Compares one name of a list with `key` without making its key; *list moves
 * to the next name.  Most differ in the first letter.
 */
static bool next_name_is(const char **list, const char *key)
{
    bool empty = true;
    char c = **list;
    if ((unsigned char)c < 0x80 && isalnum(c) && tolower(c) != *key) {
        skip_name(list);
        return false;
    }
    while ((c = sw_text_next(list)) && c != '|') {
        if (!isalnum((unsigned char)c))
            continue;
        if (tolower((unsigned char)c) != *key) {
            skip_name(list);
            return false;
        }
        empty = false;
        key++;
    }
    return !empty && !*key;
}

bool sw_text_listed(const char *list, const char *key)
{
    while (*list)
        if (next_name_is(&list, key))
            return true;
    return false;
}

int sw_names_row(const sw_names *names, const char *key, size_t nth)
{
    size_t from = 0, to = names->count;
    while (from < to) {
        size_t middle = (from + to) / 2;
        if (strcmp(names->keys + names->name[middle].key, key) < 0)
            from = middle + 1;
        else
            to = middle;
    }
    from += nth;
    return from < names->count &&
                   !strcmp(names->keys + names->name[from].key, key)
               ? names->name[from].row
               : -1;
}
