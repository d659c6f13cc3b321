/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What stands in brackets beside a name and is no unit: what the reading is
 * given as, "(como CaCO3)"; words that change nothing, "(dissolved)", "(EPA
 * 200.7)"; whose value it is, "(MDL)".  What is none of these is not guessed
 * at: it may turn the number into another.
 */
#include "records/lab.h"

#include "quantity/text.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

static const char between[] = " ,;:+&";

bool sw_lab_cut_lead(char *text)
{
    char word[80];
    for (size_t at = strlen(text); at-- > 1;) {
        if (!strchr(between, text[at]) && text[at] != '.')
            continue;
        size_t length = at + (text[at] == '.');
        (void)snprintf(word, sizeof word, "%.*s", (int)length, text);
        if (sw_word_is(word, SW_WORD_GIVEN_AS)) {
            const char *rest = text + at + 1;
            rest += strspn(rest, between);
            memmove(text, rest, strlen(rest) + 1);
            return true;
        }
        if (sw_word_is(text + at + 1, SW_WORD_GIVEN_AS)) {
            text[at] = '\0';
            return true;
        }
    }
    return false;
}

bool sw_lab_ends_in(const char *text, const char *list)
{
    size_t length = sw_text_cut(text, strlen(text), " )]");
    while (*list) {
        size_t size = strcspn(list, "|");
        size_t at = length - size;
        bool sign = strchr(list, '+') && strchr(list, '+') < list + size;
        if (size < length && !strncasecmp(text + at, list, size) &&
            (sign ? isalpha((unsigned char)text[at - 1]) ||
                        text[at - 1] == ' ' || text[at - 1] == '('
                  : !isalnum((unsigned char)text[at - 1])))
            return true;
        if (size <= strcspn(text, " ") && !sign && size > 4 &&
            !strncasecmp(text, list, size))
            return true; /* "Ferrous iron" */
        list += size + (list[size] == '|');
    }
    return false;
}

/* "20 °C", "180 degC", "20~C", "bei 12,4 °C" of a folded text. */
static bool is_temperature(const char *text)
{
    char rest[80] = "", lead[80];
    size_t before = strcspn(text, "0123456789");
    (void)snprintf(lead, sizeof lead, "%.*s", (int)before, text);
    if (!strcmp(lead, "@") || sw_word_is(lead, SW_WORD_AT))
        text += before;
    size_t digits = strspn(text, "0123456789.,");
    size_t used = 0;
    for (const char *c = text + digits; digits && *c; c++)
        if (!strchr(" ~", *c) && used + 1 < sizeof rest)
            rest[used++] = (char)tolower((unsigned char)*c);
    return digits &&
           (!strcmp(rest, "c") || !strcmp(rest, "degc") || !strcmp(rest, "oc"));
}

bool sw_lab_cut_warmth(const char *text, char unit[80], char warm[24])
{
    sw_lab_said said;
    char rest[80];
    for (size_t at = strlen(text); at-- > 1;) {
        if (!strchr(" ,;(@", text[at]))
            continue;
        (void)snprintf(unit, 80, "%.*s", (int)at, text);
        size_t start = at + strspn(text + at, " ,;(");
        (void)snprintf(rest, sizeof rest, "%.*s",
                       (int)strcspn(text + start, ")"), text + start);
        if (!sw_is_reading_unit(unit) || !sw_lab_read_said(rest, &said))
            continue;
        memcpy(warm, said.warm, sizeof said.warm);
        return *warm != '\0';
    }
    return false;
}

/* "7440-70-2", a number of the Chemical Abstracts Service. */
static bool is_cas(const char *text)
{
    size_t first = strspn(text, "0123456789");
    return first >= 2 && first <= 7 && text[first] == '-' &&
           strspn(text + first + 1, "0123456789") == 2 &&
           text[first + 3] == '-' && isdigit((unsigned char)text[first + 4]) &&
           !text[first + 5];
}

bool sw_lab_is_aside(const char *word)
{
    return sw_word_is(word, SW_WORD_ASIDE) ||
           sw_word_is(word, SW_WORD_DISSOLVED) ||
           sw_word_is(word, SW_WORD_TOTAL) || sw_word_is(word, SW_WORD_FIELD) ||
           sw_word_is(word, SW_WORD_LABORATORY) || is_cas(word);
}

/* Whether a word changes nothing; the number of a standard follows its name. */
static bool is_aside(const char *word, bool *standard)
{
    if (sw_word_is(word, SW_WORD_STANDARD))
        return *standard = true;
    return sw_lab_is_aside(word) ||
           (*standard && (isdigit((unsigned char)*word) || !word[1]));
}

static bool all_aside(const char *text)
{
    char word[80];
    bool standard = false;
    if (is_aside(text, &standard))
        return true;
    for (text += strspn(text, between); *text; text += strspn(text, between)) {
        size_t length = strcspn(text, between);
        (void)snprintf(word, sizeof word, "%.*s", (int)length, text);
        if (!is_aside(word, &standard))
            return false;
        text += length;
    }
    return true;
}

/* A conductivity at 20 degC has a name of its own. */
static bool take_warmth(sw_lab_split *split)
{
    sw_lab_said said;
    sw_parameter p;
    if (!sw_lab_read_said(split->unit, &said) || strcmp(said.warm, "20") != 0 ||
        sw_parameter_find(split->name, &p, NULL) || p.kind != SW_READS_EC)
        return false;
    char unit[80] = "", text[80], warm[24];
    if (!sw_lab_cut_warmth(split->unit, unit, warm) &&
        (!sw_text_fold(split->unit, text, sizeof text) ||
         !is_temperature(text)))
        return false;
    (void)snprintf(split->name, sizeof split->name, "EC at 20 C");
    (void)snprintf(split->unit, sizeof split->unit, "%s",
                   sw_is_reading_unit(unit) ? unit : "");
    return true;
}

sw_lab_beside sw_lab_read_beside(sw_lab_split *split)
{
    char text[80];
    sw_parameter p;
    if (!*split->unit || sw_is_reading_unit(split->unit) || take_warmth(split))
        return SW_BESIDE_CLEAR;
    if (!sw_text_fold(split->unit, text, sizeof text))
        return SW_BESIDE_UNKNOWN;
    if (sw_word_of_head(text, NULL) == SW_WORD_LIMIT ||
        sw_word_is(text, SW_WORD_APART) || sw_word_is(text, SW_WORD_CHECK))
        return SW_BESIDE_APART;
    while (sw_lab_cut_lead(text))
        ;
    split->unit[0] = '\0';
    if (sw_is_reading_unit(text)) {
        (void)snprintf(split->unit, sizeof split->unit, "%s", text);
        return SW_BESIDE_CLEAR;
    }
    bool warm = is_temperature(text) &&
                sw_parameter_find(split->name, &p, NULL) == SW_OK &&
                p.kind != SW_READS_EC; /* which depends on it */
    if (!warm && !all_aside(text)) {
        if (*split->basis || !sw_species_known(text))
            return SW_BESIDE_UNKNOWN;
        (void)snprintf(split->basis, sizeof split->basis, "%s", text);
    }
    return SW_BESIDE_CLEAR;
}

bool sw_lab_is_other_ec(const char *text)
{
    static const char ends[] = " ,;:([";
    sw_lab_said said;
    sw_parameter p;
    char name[80];
    (void)sw_lab_read_said(text, &said);
    if (!*said.warm || !strcmp(said.warm, "20"))
        return false;
    for (const char *at = text; *at; at++) {
        if (!strchr(ends, *at))
            continue;
        (void)snprintf(name, sizeof name, "%.*s", (int)(at - text), text);
        if (sw_parameter_find(name, &p, NULL) == SW_OK)
            return p.kind == SW_READS_EC;
    }
    return false;
}

bool sw_lab_holds_name(const char *text, char found[80])
{
    sw_parameter p;
    for (const char *at = text; *at;
         at += strcspn(at, " ,;:()[]/"), at += strspn(at, " ,;:()[]/")) {
        size_t length = strcspn(at, " ,;:()[]/");
        (void)snprintf(found, 80, "%.*s", (int)length, at);
        sw_known known = length < 3 ? SW_UNKNOWN : sw_parameter_known(found);
        if (known == SW_KNOWN_OPEN ||
            (known == SW_KNOWN && sw_parameter_find(found, &p, NULL) == SW_OK &&
             p.kind <= SW_READS_CA_HARDNESS))
            return true;
    }
    return false;
}

bool sw_lab_split_words(sw_lab_split *split)
{
    static const char marks[] = " ,;";
    const char *text = split->name;
    for (const char *rest = text + strlen(text); rest-- > text + 2;) {
        sw_lab_split tried = {0};
        if (!strchr(marks, rest[-1]) || strchr(marks, *rest))
            continue;
        size_t length = sw_text_cut(text, (size_t)(rest - text), marks);
        (void)snprintf(tried.name, sizeof tried.name, "%.*s", (int)length,
                       text);
        (void)snprintf(tried.unit, sizeof tried.unit, "%.79s", rest);
        tried.known = length > 1 && strlen(rest) < sizeof tried.unit &&
                      sw_parameter_known(tried.name) != SW_UNKNOWN;
        sw_lab_split read = tried;
        if (tried.known && sw_lab_read_beside(&read) != SW_BESIDE_UNKNOWN) {
            *split = tried;
            return true;
        }
    }
    return false;
}
