/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Units that say what they are of: "mg/L as N", "mg N/L", "mg-N/L", "mgN/L",
 * "mg N L-1", "ppm CaCO3", "mg/L (SO4)", "N, mg/L".  Each way of parting such
 * a text is tried, and holds where a unit is left and a species is known.
 */
#include "quantity/unit_parse.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

#include "quantity/text.h"
#include "quantity/units.h"

enum { MAX_TEXT = 80 };

static const char separators[] = " ._-*:;,()[]{}";

/* `from` to `to` (not included), without separators at either end. */
static void cut(const char *from, const char *to, char out[MAX_TEXT])
{
    while (from < to && strchr(separators, *from))
        from++;
    while (to > from && to[-1] != '-' && strchr(separators, to[-1]))
        to--; /* not the charge of NO3- */
    (void)snprintf(out, MAX_TEXT, "%.*s", (int)(to - from), from);
}

/* Drops "as", "expressed as" and their like before something else. */
static void drop_connectors(char of[MAX_TEXT])
{
    static const char *const words[] = {
        "as",   "of",  "en", "de",        "als",   "como",
        "come", "som", "in", "expressed", "given", "calculated"};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        char rest[MAX_TEXT];
        const char *end = of + strlen(words[i]);
        if (!sw_text_word_at(of, of, words[i]))
            continue;
        cut(end, end + strlen(end), rest);
        if (!*rest)
            return;
        memcpy(of, rest, sizeof rest);
        i = (size_t)-1; /* "expressed as": from the first again */
    }
}

/* "CaCO3 eq" is CaCO3; of anything else an equivalent could be a meq. */
static void drop_equivalent(char of[MAX_TEXT])
{
    size_t length = strcspn(of, " -");
    const char *word = of + length + strspn(of + length, " -");
    if (length == 5 && sw_text_word_at(of, of, "caco3") &&
        (sw_text_word_at(of, word, "eq") ||
         sw_text_word_at(of, word, "equivalent")))
        of[length] = '\0';
}

/* Whether `from` to `to` is a species or nothing, into `of`. */
static bool is_species(const char *from, const char *to, char of[MAX_TEXT])
{
    cut(from, to, of);
    drop_connectors(of);
    drop_equivalent(of);
    if (!*of || sw_species_known(of))
        return true;
    bool as = !strncmp(of, "as", 2) && isupper((unsigned char)of[2]);
    if (as && sw_species_known(of + 2))
        memmove(of, of + 2, strlen(of + 2) + 1); /* "mg/l asNO3" */
    return as && sw_species_known(of);
}

bool sw_unit_is_amount(const char *text, size_t length)
{
    static const char *const units[] = {"mg",   "ug",   "mcg", "g",   "ng",
                                        "mmol", "umol", "mol", "meq", "ueq",
                                        "mval", "ppm",  "ppb"};
    for (size_t i = 0; i < sizeof units / sizeof *units; i++)
        if (strlen(units[i]) == length && !strncmp(text, units[i], length))
            return true;
    return false;
}

static bool parses(const char *text, size_t length, const char *tail,
                   sw_unit *unit)
{
    char part[MAX_TEXT];
    (void)snprintf(part, sizeof part, "%.*s%s", (int)length, text, tail);
    return sw_unit_parse(part, unit, NULL) == SW_OK;
}

/* What a species may be told of. */
static bool is_concentration(const sw_unit *unit)
{
    return unit->quantity == SW_Q_MASS_CONC ||
           unit->quantity == SW_Q_MOLAR_CONC ||
           unit->quantity == SW_Q_EQ_CONC || unit->quantity == SW_Q_HARDNESS;
}

/* "mg eq CaCO3": mg of CaCO3, or meq? */
static bool is_doubtful(const sw_unit *unit, const char *text, const char *of)
{
    return *of && !strcmp(unit->name, "meq") &&
           tolower((unsigned char)text[1]) == 'g';
}

/* The longest unit, with `tail`, that `text` begins with, a species or nothing
 * after it. */
static bool begins_with_unit(const char *text, const char *tail, size_t *length,
                             char of[MAX_TEXT])
{
    sw_unit unit;
    const char *end = text + strlen(text);
    for (size_t n = strlen(text); n > 0; n--) {
        bool apart = !text[n] || !isalnum((unsigned char)text[n]) ||
                     !isalnum((unsigned char)text[n - 1]);
        if ((apart || sw_unit_is_amount(text, n)) &&
            parses(text, n, tail, &unit) &&
            (!*tail || is_concentration(&unit)) && /* "g Al", not a gallon */
            is_species(text + n, end, of) && !is_doubtful(&unit, text, of)) {
            *length = n;
            return true;
        }
    }
    return false;
}

/* "mg N/L", "mg N per 100 mL": the species before the stroke. */
static bool of_ratio(const char *text, sw_unit *unit, char of[MAX_TEXT])
{
    char above[MAX_TEXT];
    const char *slash = strchr(text, '/');
    size_t length = 0;
    if (!slash)
        return false;
    (void)snprintf(above, sizeof above, "%.*s", (int)(slash - text), text);
    return begins_with_unit(above, "/L", &length, of) &&
           parses(above, length, slash, unit) && is_concentration(unit);
}

/* "N, mg/L", "NO3-N (mg/L)". */
static bool of_first(const char *text, sw_unit *unit, char of[MAX_TEXT])
{
    char rest[MAX_TEXT];
    for (const char *at = strpbrk(text, " ,("); at;
         at = strpbrk(at + 1, " ,(")) {
        cut(at, text + strlen(text), rest);
        if (is_species(text, at, of) && *of &&
            sw_unit_parse(rest, unit, NULL) == SW_OK && is_concentration(unit))
            return true;
    }
    return false;
}

sw_status sw_unit_parse_of(const char *text, sw_unit *unit,
                           char of[SW_KEY_SIZE], sw_error *error)
{
    char folded[MAX_TEXT];
    char found[MAX_TEXT];
    size_t length;
    *of = '\0';
    if (sw_unit_parse(text, unit, NULL) == SW_OK &&
        unit->quantity != SW_Q_VOLUME_RATIO) /* "g Al/L" is not gal/L */
        return SW_OK;
    if (unit->quantity != SW_Q_AMBIGUOUS &&
        sw_text_fold(text, folded, sizeof folded)) {
        sw_unit_write_strokes(folded);
        if (of_ratio(folded, unit, found) ||
            (begins_with_unit(folded, "", &length, found) &&
             parses(folded, length, "", unit) && is_concentration(unit)) ||
            of_first(folded, unit, found)) {
            (void)snprintf(of, SW_KEY_SIZE, "%s", found);
            return SW_OK;
        }
    }
    return sw_unit_parse(text, unit, error);
}
