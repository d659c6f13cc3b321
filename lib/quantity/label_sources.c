/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Where the list of what a label's product is derived from ends: with its line
 * or sentence, with its last bullet, or before what is no name.
 */
#include "quantity/label_text.h"
#include "table_refusals.h"

#include <ctype.h>
#include <string.h>

/* Words of the longest name of a salt; a line of more is a sentence. */
enum { MOST_WORDS = 6 };

typedef struct listing {
    char *start;   /* behind the words that announce it */
    bool bulleted; /* each name behind a mark, on a line of its own */
    bool by_lines; /* a name a line, without marks */
} listing;

/* "F1234", the number of a registered fertiliser. */
static bool is_registration(const char *at)
{
    size_t skip = 1 + strspn(*at ? at + 1 : at, " -#");
    return *at == 'F' && isdigit((unsigned char)at[skip]);
}

/* Whether what starts at `at` is no name of the list. */
static bool is_beside_list(const char *at)
{
    return sw_label_begins(at, SW_LABEL_DENSITY) ||
           sw_label_begins(at, SW_LABEL_NOTHING) || is_registration(at);
}

/* How long "- ", "* ", "1. ", "b) " at the start of a line is; 0: no such mark.
 * A symbol without a letter of its own is folded to ?. */
static size_t mark_at(const char *line)
{
    size_t digits = strspn(line, "0123456789");
    size_t before = digits ? digits : isalpha((unsigned char)*line) ? 1 : 0;
    size_t mark = 0;
    if (before && line[before] && strchr(".)", line[before]) &&
        line[before + 1] == ' ')
        mark = before + 1;
    else if (*line && (strchr("-*+>?", *line) || !strncmp(line, "o ", 2)))
        mark = 1;
    return mark ? mark + strspn(line + mark, " ") : 0;
}

static const char *skip_blanks(const char *at, const char *which)
{
    return at + strspn(at, which);
}

static bool may_be_name(const char *line)
{
    size_t words = 0;
    size_t length = strcspn(line, "\n");
    for (size_t i = 0; i < length; i++)
        words += line[i] != ' ' && (i == 0 || line[i - 1] == ' ');
    return length && words <= MOST_WORDS && !memchr(line, '%', length) &&
           !memchr(line, ':', length);
}

/* Whether a list in sentences goes on after the end of its line: after a comma
 * or "and", before "and" or the rest of a name, or with further names. */
static bool sentence_goes_on(const listing *list, const char *line_end)
{
    const char *last = line_end;
    const char *next = skip_blanks(line_end + 1, " ");
    size_t length = strcspn(next, "\n");
    if (!length || memchr(next, '%', length) || memchr(next, ':', length))
        return false;
    while (last > list->start && strchr(" :", last[-1]))
        last--;
    const char *word = last;
    while (word > list->start && isalpha((unsigned char)word[-1]))
        word--;
    if (last == list->start || strchr(",;&", last[-1]) ||
        sw_label_begins(word, SW_LABEL_JOIN) ||
        sw_label_begins(next, SW_LABEL_JOIN))
        return true;
    bool digits = strcspn(next, "0123456789") < length;
    bool names = memchr(next, ',', length) &&
                 memchr(list->start, ',', (size_t)(last - list->start));
    return last[-1] != '.' && !digits &&
           (names || islower((unsigned char)*next));
}

static bool goes_on(const listing *list, const char *line_end)
{
    const char *next = skip_blanks(line_end + 1, " ");
    bool empty = skip_blanks(list->start, " :\n") > line_end;
    if (list->bulleted) {
        next = skip_blanks(next, " \n");
        return mark_at(next) || empty ||
               (*skip_blanks(line_end + 1, " ") != '\n' && may_be_name(next) &&
                islower((unsigned char)*next));
    }
    if (empty)
        return true;
    if (list->by_lines)
        return line_end[-1] != '.' && may_be_name(next);
    return sentence_goes_on(list, line_end);
}

static char *end_of(const listing *list)
{
    const char *line = list->start;
    for (char *c = list->start; *c; c++) {
        const char *next = skip_blanks(c + 1, " ");
        bool marks = list->bulleted && c < line + mark_at(line);
        if (*c == '.' && !marks && next > c + 1 &&
            isupper((unsigned char)*next))
            return c;
        if (strchr(",;\n", *c) && is_beside_list(skip_blanks(c + 1, " \n")))
            return c;
        if (*c == '\n' && !goes_on(list, c))
            return c;
        if (*c == '\n')
            line = next;
    }
    return list->start + strlen(list->start);
}

static listing listing_at(char *start)
{
    const char *first = skip_blanks(start, " :");
    bool alone = *first == '\n';
    first = skip_blanks(first, " \n");
    bool marked = mark_at(first);
    return (listing){start, marked,
                     alone && !marked && may_be_name(first) &&
                         !memchr(first, ',', strcspn(first, "\n"))};
}

/* A name of each line is set apart from the next by a comma. */
static void copy_names(const listing *list, const char *end, char *to)
{
    char *out = to;
    const char *at = skip_blanks(list->start, " :\n");
    at += list->bulleted ? mark_at(at) : 0;
    for (; at < end; at++) {
        const char *next = skip_blanks(at + 1, " \n");
        size_t mark = list->bulleted && *at == '\n' ? mark_at(next) : 0;
        bool apart = mark || (list->by_lines && *at == '\n');
        *out++ = apart ? ',' : *at;
        at = mark ? next + mark - 1 : at;
    }
    *out = '\0';
}

/* Blanks stay in place of the list. */
static sw_status take(sw_label_text *t, char *at, size_t words, sw_error *error)
{
    const listing list = listing_at(at + words);
    char *end = end_of(&list);
    if ((size_t)(end - list.start) >= sizeof t->derived)
        return sw_fail(error, SW_BAD_SOURCES_LONG, sizeof t->derived - 1);
    copy_names(&list, end, t->derived);
    for (char *c = at; c < end; c++)
        if (*c != '\n')
            *c = ' ';
    return SW_OK;
}

sw_status sw_label_take_list(sw_label_text *t, sw_error *error)
{
    bool starts = true;
    for (char *at = t->text; *at; at++) {
        size_t words = starts ? sw_label_begins(at, SW_LABEL_LIST) : 0;
        if (words)
            return take(t, at, words, error);
        starts = strchr("\n;", *at) || (starts && *at == ' ');
    }
    return SW_OK;
}
