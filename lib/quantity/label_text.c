/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Labels as bags print them: entries in lines or with semicolons, the figure
 * before or after the name, dots between, and words that say which part of a
 * nutrient is meant.
 */
#include "quantity/label_text.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "quantity/text.h"
#include "quantity/units.h"

#include "table_label_words.h"
#include "table_refusals.h"

/* ---- Words of the table ------------------------------------------------- */

/* The next whose first letter, where that needs no folding, is in `letters`. */
static bool next_words_of(const char **list, const char *letters,
                          char words[SW_KEY_SIZE])
{
    unsigned char first;
    while ((first = (unsigned char)**list) && first < 0x80 &&
           !strchr(letters, first) && !strchr(letters, tolower(first)) &&
           !strchr(letters, toupper(first))) {
        *list += strcspn(*list, "|");
        *list += **list == '|';
    }
    return sw_text_next_words(list, words);
}

/* Blanks out the words of a row; false when there were none. */
static bool blank_row(char *name, const sw_label_words_row *row)
{
    char words[SW_KEY_SIZE];
    const char *list = row->words;
    bool any = false;
    while (next_words_of(&list, name, words)) {
        const char *one = words;
        any = (*words && sw_text_blank(name, &one, 1)) || any;
    }
    return any;
}

bool sw_label_blank(char *name, sw_label_role role)
{
    bool any = false;
    for (size_t i = 0; i < sw_label_words_count; i++)
        if ((sw_label_role)sw_label_words_table[i].role == role)
            any = blank_row(name, &sw_label_words_table[i]) || any;
    return any;
}

/* The length of a row's words at the start of `text`; 0: not there. */
static size_t starts_with(const char *text, const sw_label_words_row *row)
{
    char words[SW_KEY_SIZE];
    const char *list = row->words;
    const char first[] = {*text, '\0'};
    while (next_words_of(&list, first, words))
        if (*words && sw_text_word_at(text, text, words))
            return strlen(words);
    return 0;
}

/* Whether text of `length` ends in words of the row: how many bytes. */
static size_t ends_with(const char *text, size_t length,
                        const sw_label_words_row *row)
{
    char words[SW_KEY_SIZE];
    const char *list = row->words;
    while (next_words_of(&list, text, words)) {
        size_t tail = strlen(words);
        size_t i = 0;
        while (i < tail && tail < length &&
               tolower((unsigned char)text[length - tail + i]) == words[i])
            i++;
        if (tail && i == tail &&
            !isalpha((unsigned char)text[length - tail - 1]))
            return tail;
    }
    return 0;
}

size_t sw_label_begins(const char *start, sw_label_role role)
{
    size_t length = 0;
    for (size_t i = 0; i < sw_label_words_count && !length; i++)
        if ((sw_label_role)sw_label_words_table[i].role == role)
            length = starts_with(start, &sw_label_words_table[i]);
    return length;
}

bool sw_label_says(const char *name, sw_label_role role)
{
    char key[SW_KEY_SIZE];
    char words[SW_KEY_SIZE];
    bool said = false;
    sw_text_key(name, key);
    for (size_t i = 0; i < sw_label_words_count; i++) {
        const char *list = sw_label_words_table[i].words;
        while ((sw_label_role)sw_label_words_table[i].role == role &&
               sw_text_next_words(&list, words))
            said = said || strstr(key, words);
    }
    return said;
}

const char *sw_label_meaning(const char *text, sw_label_role role)
{
    char key[SW_KEY_SIZE];
    sw_text_key(text, key);
    for (size_t i = 0; i < sw_label_words_count; i++)
        if ((sw_label_role)sw_label_words_table[i].role == role &&
            sw_text_listed(sw_label_words_table[i].words, key))
            return sw_label_words_table[i].as;
    return NULL;
}

double sw_label_unclaimed(const char *component)
{
    for (size_t i = 0; i < sw_label_words_count; i++)
        if (sw_label_words_table[i].role == SW_LABEL_UNCLAIMED &&
            !strcmp(sw_label_words_table[i].as, component))
            return sw_label_words_table[i].factor;
    return 0;
}

/* ---- The whole text ----------------------------------------------------- */

/* Folded as elsewhere, but for the lines. */
static bool fold_lines(const char *text, sw_label_text *t)
{
    size_t used = 0;
    char c;
    while ((c = sw_text_next(&text))) {
        if (used + 1 >= sizeof t->text)
            return false;
        t->pasted = t->pasted || c == '\n';
        t->text[used++] = c == '\n' || !iscntrl((unsigned char)c) ? c : ' ';
    }
    t->text[used] = '\0';
    return true;
}

sw_status sw_label_open(const char *text, sw_label_text *t, sw_error *error)
{
    t->pasted = false;
    t->derived[0] = '\0';
    t->at = t->text;
    if (!fold_lines(text, t))
        return sw_fail(error, SW_BAD_LABEL_LONG, SW_LABEL_BYTES - 1);
    return sw_label_take_list(t, error);
}

/* ---- One entry ---------------------------------------------------------- */

/* The first number of a grade at `at` and what follows it. */
static const char *grade_number(const char *at, double *percent)
{
    char number[SW_LABEL_ENTRY];
    size_t length = strspn(at, "0123456789.,");
    (void)snprintf(number, sizeof number, "%.*s", (int)length, at);
    return length && length < sizeof number &&
                   sw_number_parse(number, true, percent, NULL) == SW_OK &&
                   *percent <= 100
               ? at + length
               : NULL;
}

bool sw_label_grade(const char *start, size_t length, double grade[3])
{
    const char *end = start + length;
    for (const char *at = start; at < end; at++) {
        const char *next = at;
        int found = 0;
        if (at > start &&
            (isalnum((unsigned char)at[-1]) || strchr("-.,/", at[-1])))
            continue;
        while (found < 3 && (next = grade_number(next, &grade[found])) &&
               next <= end) {
            found++;
            if (found < 3 && *next != '-')
                break;
            next += found < 3;
        }
        if (found == 3 && grade[0] + grade[1] + grade[2] <= 100 &&
            !isalnum((unsigned char)*next))
            return true;
    }
    return false;
}

/* "15-0-0": a grade, which does not say the forms. */
static bool is_grade(const char *text)
{
    size_t length = strspn(text, "0123456789.,- ");
    return length == strlen(text) && strchr(text, '-');
}

static sw_status no_value(const char *text, sw_error *error)
{
    if (is_grade(text))
        return sw_fail(error, SW_BAD_LABEL_GRADE_ALONE, text);
    return sw_fail(error, SW_BAD_LABEL_ENTRY, text);
}

/* A unit of the last digit of "14.4" or "14,4": 0.1. */
static double last_digit_of(const char *number)
{
    const char *mark = strpbrk(number, ".,");
    size_t decimals = mark ? strspn(mark + 1, "0123456789") : 0;
    return pow(10, -(double)decimals);
}

/* The unit at the end of the text, or of its first `length` bytes. */
static const sw_label_words_row *unit_of(const char *text, size_t length,
                                         size_t *bytes)
{
    for (size_t i = 0; i < sw_label_words_count; i++) {
        const sw_label_words_row *row = &sw_label_words_table[i];
        if (row->role != SW_LABEL_UNIT && row->role != SW_LABEL_VOLUME)
            continue;
        *bytes = ends_with(text, length, row);
        if (*bytes)
            return row;
    }
    return NULL;
}

/* The number `text` is; dots between name and figure stand before it. */
static sw_status take_number(const char *number, sw_label_entry *e,
                             const char *text, sw_error *error)
{
    size_t dots = strspn(number, ".");
    if (dots > 1)
        number += dots;
    if (dots > 1 && number[0] == '0' && isdigit((unsigned char)number[1]))
        return sw_fail(error, SW_BAD_LABEL_POINT, text, number, number);
    if (sw_number_parse(number, true, &e->value, NULL) != SW_OK)
        return no_value(text, error);
    e->last_digit = last_digit_of(number);
    return SW_OK;
}

/* Where the number at the end of `text` starts. */
static char *trailing_number(char *text)
{
    char *at = text + strlen(text);
    while (at > text &&
           (isdigit((unsigned char)at[-1]) || at[-1] == '.' || at[-1] == ','))
        at--;
    /* A minus after a letter is a hyphen or a charge, not a sign. */
    if (at > text + 1 && at[-1] == '-' && strchr(" :=", at[-2]))
        at--;
    return at;
}

/* "14.4 % nitrate nitrogen": how long figure and unit are, the longest that is
 * known, and its row; 0: not so. */
static size_t leading_figure(const char *text, size_t *digits,
                             const sw_label_words_row **by)
{
    size_t longest = 0;
    *digits = strspn(text, "0123456789.,");
    const char *unit = text + *digits + strspn(text + *digits, " ");
    for (size_t i = 0; *digits && i < sw_label_words_count; i++) {
        const sw_label_words_row *row = &sw_label_words_table[i];
        char words[SW_KEY_SIZE];
        const char *list = row->words;
        bool fits = row->role == SW_LABEL_UNIT || row->role == SW_LABEL_VOLUME;
        while (fits && sw_text_next_words(&list, words)) {
            size_t length = strlen(words);
            if (length <= longest || !sw_text_word_at(unit, unit, words) ||
                (*words != '%' && row->role == SW_LABEL_UNIT))
                continue;
            longest = length;
            *by = row;
        }
    }
    return longest ? (size_t)(unit - text) + longest : 0;
}

/* Whether an entry from `start` ends at the comma: "K2O 33, MgO 4", but not
 * "Chlorine (Cl), not more than 1 %", nor a decimal mark. */
static bool ends_at_comma(const char *start, const char *comma)
{
    const char *next = comma + 1 + strspn(comma + 1, " ");
    const char *last = comma;
    while (last > start && strchr(" )", last[-1]))
        last--;
    bool after_figure =
        last > start && (isdigit((unsigned char)last[-1]) || last[-1] == '%');
    const char *percent = memchr(start, '%', (size_t)(comma - start));
    const char *first = start + strspn(start, " -*");
    bool figure_first = percent && isdigit((unsigned char)*first);
    if (isdigit((unsigned char)*next))
        return (figure_first && !after_figure) ||
               (last > start && last[-1] == '%');
    while (last > start && strchr("0123456789.,%", last[-1]))
        last--;
    return figure_first ||
           (after_figure && last > start && strchr(" :=.", last[-1]));
}

/* "Copper (Cu) 0.01% 0.01% Chelated Copper": whether a part begins at the blank
 * behind the whole, in its line. */
static bool part_begins(const char *start, const char *blank)
{
    size_t digits;
    const sw_label_words_row *unit;
    const char *next = blank + strspn(blank, " ");
    if (blank == start || blank[-1] != '%' || next == blank)
        return false;
    size_t figure = leading_figure(next, &digits, &unit);
    return figure &&
           isalpha((unsigned char)next[figure + strspn(next + figure, " ")]);
}

bool sw_label_next(sw_label_text *t, const char **start, size_t *length)
{
    t->at += strspn(t->at, " ;,\n");
    *start = t->at;
    while (*t->at && !strchr(";\n", *t->at) && !part_begins(*start, t->at) &&
           !(*t->at == ',' && ends_at_comma(*start, t->at)))
        t->at++;
    *length = (size_t)(t->at - *start);
    return *length > 0;
}

static sw_status figure_first(char *text, size_t digits, size_t end,
                              sw_label_entry *e, sw_error *error)
{
    char number[SW_LABEL_ENTRY];
    (void)snprintf(number, sizeof number, "%.*s", (int)digits, text);
    (void)snprintf(e->name, sizeof e->name, "%s",
                   text + end + strspn(text + end, " :"));
    e->unit = true;
    return *e->name ? take_number(number, e, text, error)
                    : no_value(number, error);
}

static void in_percent(sw_label_entry *e, const sw_label_words_row *unit)
{
    e->value *= unit->factor;
    e->last_digit *= unit->factor;
    e->by_volume = unit->role == SW_LABEL_VOLUME;
}

/* "Iron (Fe) 0.4 % (chelated)": what stands behind the unit, in its place
 * before the figure. */
static void put_figure_last(char text[SW_LABEL_ENTRY])
{
    char turned[SW_LABEL_ENTRY];
    size_t bytes;
    char *unit = strrchr(text, '%');
    if (!unit || !unit[1] || unit_of(text, strlen(text), &bytes) ||
        strpbrk(unit, "0123456789"))
        return;
    const char *words = unit + 1 + strspn(unit + 1, " ,(");
    words += strncmp(words, "as ", 3) ? 0 : 3;
    *unit = '\0';
    sw_text_trim(text, " ");
    char *number = trailing_number(text);
    int length = snprintf(turned, sizeof turned, "%.*s (%.*s) %s %%",
                          (int)(number - text), text, (int)strcspn(words, ")"),
                          words, number);
    if (length < SW_LABEL_ENTRY)
        memcpy(text, turned, (size_t)length + 1);
}

static sw_status figure_last(char *text, sw_label_entry *e, sw_error *error)
{
    put_figure_last(text);
    char whole[SW_LABEL_ENTRY];
    size_t bytes = 0;
    (void)snprintf(whole, sizeof whole, "%s", text);
    const sw_label_words_row *unit = unit_of(text, strlen(text), &bytes);
    if (unit)
        text[strlen(text) - bytes] = '\0';
    sw_text_trim(text, " %");
    char *number = trailing_number(text);
    if (!*number || number == text || is_grade(text) ||
        !(strchr(" :=)_", number[-1]) || !strncmp(number, "..", 2)))
        return no_value(text, error);
    sw_status status = take_number(number, e, whole, error);
    if (status != SW_OK)
        return status;
    e->unit = strchr(whole, '%') || unit;
    if (unit)
        in_percent(e, unit);
    *number = '\0';
    sw_text_trim(text, " :=%._");
    (void)snprintf(e->name, sizeof e->name, "%s", text);
    return *text ? SW_OK : no_value(whole + (number - text), error);
}

/* Cuts "(26.6 % CaO)" off the end of the text. */
static void cut_again(char *text, sw_label_entry *e)
{
    size_t digits;
    const sw_label_words_row *unit;
    size_t length = strlen(text);
    char *open = strrchr(text, '(');
    if (!open || open == text || text[length - 1] != ')' ||
        !leading_figure(open + 1, &digits, &unit))
        return;
    (void)snprintf(e->again, sizeof e->again, "%.*s",
                   (int)(text + length - 1 - open - 1), open + 1);
    *open = '\0';
    sw_text_trim(text, " ");
}

/* Cuts "(nitrate)" off "Nitrogen (N) 7 % (nitrate)": the form it means. */
static const char *cut_form(char *text)
{
    char words[SW_LABEL_ENTRY];
    char *open = strrchr(text, '(');
    size_t length = strlen(text);
    if (!open || text[length - 1] != ')' ||
        !memchr(text, '%', (size_t)(open - text)))
        return NULL;
    (void)snprintf(words, sizeof words, "%.*s",
                   (int)(text + length - 1 - open - 1), open + 1);
    const char *form = sw_label_meaning(words, SW_LABEL_FORM);
    if (form)
        *open = '\0';
    sw_text_trim(text, " ");
    return form;
}

/* Without brackets that blanking has emptied, and blanks at both ends. */
static void tidy(char *name)
{
    char *to = name;
    for (const char *from = name + strspn(name, " -*:,"); *from; from++) {
        if (*from == '(' && from[1 + strspn(from + 1, " ,")] == ')')
            from += 1 + strspn(from + 1, " ,");
        else if (*from != ' ' || (to > name && to[-1] != ' '))
            *to++ = *from;
    }
    *to = '\0';
    sw_text_trim(name, " :,*");
}

static const sw_label_words_row *row_with_key(const char *name)
{
    char key[SW_KEY_SIZE];
    sw_text_key(name, key);
    for (size_t i = 0; i < sw_label_words_count; i++)
        if (*sw_label_words_table[i].as &&
            sw_label_words_table[i].role < SW_LABEL_LIST &&
            sw_text_listed(sw_label_words_table[i].words, key))
            return &sw_label_words_table[i];
    return NULL;
}

/* The row whose name this is, or "N Stickstoff"; NULL: a name of its own. */
static const sw_label_words_row *row_called(const char *name)
{
    const sw_label_words_row *row = row_with_key(name);
    size_t symbol = strcspn(name, " ");
    if (row || !name[symbol])
        return row;
    row = row_with_key(name + symbol);
    return row && strlen(row->as) == symbol && !strncmp(row->as, name, symbol)
               ? row
               : NULL;
}

/* Of a row beside a name: words that are no role leave a figure what it is
 * without them, that of the whole. */
static sw_label_role role_of(const sw_label_words_row *row)
{
    return row->role < SW_LABEL_LIST ? (sw_label_role)row->role
                                     : SW_LABEL_WHOLE;
}

/* The first words found are the role: the table has the most telling first. */
static void take_role(sw_label_entry *e)
{
    const sw_label_words_row *row = row_called(e->name);
    bool any = row != NULL;
    e->role = SW_LABEL_WHOLE;
    for (size_t i = 0; !row && i < sw_label_words_count; i++) {
        const sw_label_words_row *words = &sw_label_words_table[i];
        bool within = !*words->as && words->role != SW_LABEL_LIST &&
                      words->role != SW_LABEL_UNIT &&
                      words->role != SW_LABEL_VOLUME &&
                      words->role < SW_LABEL_NOTHING;
        if (!within || !blank_row(e->name, words))
            continue;
        if (!any)
            e->role = role_of(words);
        any = any || words->role != SW_LABEL_FILLER;
    }
    tidy(e->name);
    if (!row)
        row = row_called(e->name);
    if (!row)
        return;
    (void)snprintf(e->name, sizeof e->name, "%s", row->as);
    if (row->role != SW_LABEL_WHOLE)
        e->role = role_of(row);
}

sw_status sw_label_split(const char *start, size_t length, sw_label_entry *e,
                         sw_error *error)
{
    char text[SW_LABEL_ENTRY];
    size_t digits;
    const sw_label_words_row *unit = NULL;
    *e = (sw_label_entry){.role = SW_LABEL_WHOLE};
    if (length >= sizeof text)
        return sw_fail(error, SW_BAD_LABEL_ENTRY_LONG, SW_LABEL_ENTRY - 1);
    memcpy(text, start, length);
    text[length] = '\0';
    sw_text_trim(text, " ");
    cut_again(text, e);
    const char *form = cut_form(text);
    char *first = text + strspn(text, " *-");
    size_t filler = sw_label_begins(first, SW_LABEL_FILLER);
    filler += strspn(first + filler, " :");
    if (isdigit((unsigned char)first[filler])) /* "dont 5 % nitrique" */
        first += filler;
    size_t end = leading_figure(first, &digits, &unit);
    sw_status status = end ? figure_first(first, digits, end, e, error)
                           : figure_last(text, e, error);
    if (status == SW_OK && unit)
        in_percent(e, unit);
    if (status == SW_OK)
        take_role(e);
    if (status == SW_OK && form && !strcmp(e->name, "N"))
        (void)snprintf(e->name, sizeof e->name, "%s", form);
    return status;
}
