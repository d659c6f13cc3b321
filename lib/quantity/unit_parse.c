/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Units as written.  What stands in reference/units.csv is taken as it is;
 * anything else is an amount per volume ("g/100 gal", "mg L-1"), perhaps as
 * CaCO3, CaO or HCO3, made of units from the same table.
 */
#include "quantity/unit_parse.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "quantity/formula_parse.h"
#include "quantity/status.h"
#include "quantity/text.h"

#include "table_units.h"

enum { MAX_UNIT = 80 };

static const struct quantity_name {
    const char *name;
    sw_quantity quantity;
} quantity_names[] = {
    {"mass", SW_Q_MASS},
    {"volume", SW_Q_VOLUME},
    {"amount", SW_Q_AMOUNT},
    {"equivalents", SW_Q_EQUIVALENTS},
    {"mass concentration", SW_Q_MASS_CONC},
    {"molar concentration", SW_Q_MOLAR_CONC},
    {"equivalent concentration", SW_Q_EQ_CONC},
    {"hardness degree", SW_Q_HARDNESS},
    {"conductivity", SW_Q_CONDUCTIVITY},
    {"temperature", SW_Q_TEMPERATURE},
    {"pH", SW_Q_PH},
    {"ambiguous", SW_Q_AMBIGUOUS},
};

static sw_quantity quantity_named(const char *name)
{
    size_t i = 0;
    while (strcmp(quantity_names[i].name, name) != 0)
        i++;
    return quantity_names[i].quantity;
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
        if (isalnum((unsigned char)c) || (c && strchr("/+%#", c)))
            return (char)tolower((unsigned char)c);
        if (c == '|')
            return c;
        if (c == '-' && (isdigit((unsigned char)*r->text) || *r->text == ')'))
            return c;
        if (c == '~') {
            r->pending = "eg";
            return 'd';
        }
    }
    return '\0';
}

static void unit_key(const char *text, char key[MAX_UNIT])
{
    key_reader r = {text, ""};
    size_t used = 0;
    char c;
    while ((c = next_key_char(&r)) && used + 1 < MAX_UNIT)
        key[used++] = c;
    key[used] = '\0';
}

/* Whether `key` is that of a name in a list parted by `|`. */
static bool key_listed(const char *list, const char *key)
{
    while (*list) {
        key_reader r = {list, ""};
        const char *at = key;
        char c;
        while ((c = next_key_char(&r)) && c != '|' && c == *at)
            at++;
        if ((!c || c == '|') && !*at)
            return true;
        list += strcspn(list, "|");
        list += *list == '|';
    }
    return false;
}

static double mg_per_mmol(const char *formula)
{
    sw_parsed_formula parsed;
    if (sw_formula_parse(formula, &parsed, NULL) != SW_OK)
        return NAN;
    return sw_formula_molar_mass(&parsed);
}

/* meq/L of one degree, from what the degree is defined by. */
static double degree_meq_per_l(const char *name)
{
    const double mg_per_grain = 64.79891;
    if (!strcmp(name, "dH"))
        return 10 * 2 / mg_per_mmol("CaO");
    double mg_caco3_per_l = !strcmp(name, "fH") ? 10
                            : !strcmp(name, "clark")
                                ? mg_per_grain / 4.54609
                                : mg_per_grain / 3.785411784;
    return mg_caco3_per_l * 2 / mg_per_mmol("CaCO3");
}

/* The row whose name or other name has that key; NULL when none. */
static const sw_units_row *row_of(const char *key)
{
    if (!*key)
        return NULL;
    for (size_t i = 0; i < sw_units_count; i++)
        if (key_listed(sw_units_table[i].name, key))
            return &sw_units_table[i];
    for (size_t i = 0; i < sw_units_count; i++)
        if (key_listed(sw_units_table[i].other_names, key))
            return &sw_units_table[i];
    return NULL;
}

static void take_row(const sw_units_row *row, sw_unit *unit)
{
    unit->name = row->name;
    unit->quantity = quantity_named(row->quantity);
    unit->factor = unit->quantity == SW_Q_HARDNESS ? degree_meq_per_l(row->name)
                                                   : row->factor;
    unit->us = !strcmp(row->system, "US");
}

/* Blanks out `word`, brackets and "as"; false when the word is not there. */
static bool cut_word(char *text, const char *word)
{
    static const char *const fillers[] = {"as", "of", "eq", "equivalent"};
    char *at = strstr(text, word);
    if (!at)
        return false;
    memset(at, ' ', strlen(word));
    for (char *p = text; *p; p++)
        if (*p == '(' || *p == ')')
            *p = ' ';
    sw_text_blank(text, fillers, sizeof fillers / sizeof *fillers);
    for (size_t end = strlen(text); end && text[end - 1] == ' ';)
        text[--end] = '\0';
    return true;
}

/*
 * Splits "a/b", "a per b", "a b-1" into numerator and denominator, in place.
 * NULL when it is none of these.
 */
static char *split_ratio(char *text)
{
    char *slash = strchr(text, '/');
    char *per = strstr(text, " per ");
    size_t length = strlen(text);
    if (slash) {
        *slash = '\0';
        return slash + 1;
    }
    if (per) {
        *per = '\0';
        return per + 5;
    }
    if (length < 4 || strcmp(text + length - 2, "-1") != 0)
        return NULL;
    text[length - 2] = '\0';
    char *last = strpbrk(text, " .*");
    for (char *p = last; p; p = strpbrk(p + 1, " .*"))
        last = p[1] ? p : last;
    if (!last)
        return NULL;
    *last = '\0';
    return last + 1;
}

/* Litres of "100 gal", "m3", "L"; 0 when it is no volume. */
static double denominator_l(const char *text, bool *us)
{
    char key[MAX_UNIT];
    double count = 1;
    sw_unit unit;
    while (*text == ' ')
        text++;
    text += sw_text_number(text, &count);
    unit_key(text, key);
    const sw_units_row *row = row_of(key);
    if (!row)
        return 0;
    take_row(row, &unit);
    *us = unit.us;
    return unit.quantity == SW_Q_VOLUME && count > 0 ? count * unit.factor : 0;
}

/* Turns an amount into an amount per `litres`. */
static bool divide(sw_unit *unit, double litres)
{
    static const struct {
        sw_quantity from, to;
        double factor;
    } ratios[] = {
        {SW_Q_MASS, SW_Q_MASS_CONC, 1e3},
        {SW_Q_VOLUME, SW_Q_VOLUME_RATIO, 1},
        {SW_Q_AMOUNT, SW_Q_MOLAR_CONC, 1},
        {SW_Q_EQUIVALENTS, SW_Q_EQ_CONC, 1},
    };
    for (size_t i = 0; i < sizeof ratios / sizeof *ratios; i++) {
        if (unit->quantity != ratios[i].from)
            continue;
        unit->quantity = ratios[i].to;
        unit->factor *= ratios[i].factor / litres;
        return true;
    }
    return false;
}

static bool parse_ratio(char *text, sw_unit *unit)
{
    char key[MAX_UNIT];
    char *below = split_ratio(text);
    if (!below)
        return false;
    bool us_below = false;
    double litres = denominator_l(below, &us_below);
    unit_key(text, key);
    const sw_units_row *row = row_of(key);
    if (!row || litres == 0)
        return false;
    take_row(row, unit);
    unit->us = unit->us || us_below;
    return divide(unit, litres);
}

static bool parse_plain(const char *text, sw_unit *unit)
{
    char key[MAX_UNIT];
    unit_key(text, key);
    const sw_units_row *row = row_of(key);
    if (!row)
        return false;
    take_row(row, unit);
    return true;
}

/* "mg/L as CaCO3" and its like: meq/L. */
static bool parse_expressed(char *text, sw_unit *unit)
{
    static const struct {
        const char *word, *formula;
        int charge;
        sw_quantity quantity;
    } forms[] = {
        {"caco3", "CaCO3", 2, SW_Q_HARDNESS},
        {"cao", "CaO", 2, SW_Q_HARDNESS},
        {"hco3", "HCO3", 1, SW_Q_BICARBONATE},
    };
    for (size_t i = 0; i < sizeof forms / sizeof *forms; i++) {
        if (!cut_word(text, forms[i].word))
            continue;
        if (!(parse_plain(text, unit) || parse_ratio(text, unit)))
            return false;
        /* Grains per gallon are of CaCO3 anyway. */
        if (unit->quantity == SW_Q_HARDNESS && i == 0)
            return true;
        if (unit->quantity != SW_Q_MASS_CONC)
            return false;
        unit->quantity = forms[i].quantity;
        unit->factor *= forms[i].charge / mg_per_mmol(forms[i].formula);
        return true;
    }
    return false;
}

static const char *choices_of(const char *text)
{
    char key[MAX_UNIT];
    unit_key(text, key);
    const sw_units_row *row = row_of(key);
    return row ? row->remark : "";
}

/* "uS/cm @ 25 degC": the temperature conductivities are given at anyway. */
static void blank_temperature(char *text)
{
    static const char *const words[] = {
        "at 25 ~c",   "at 25~c",     "at 25c",    "at 25 c", "@ 25 ~c",
        "@ 25~c",     "@25~c",       "@25 ~c",    "@25c",    "@ 25c",
        "@25 c",      "@ 25 c",      "25 ~c",     "25~c",    "25c",
        "at 25 degc", "at 25 deg c", "@ 25 degc", "25 degc",
    };
    sw_text_blank(text, words, sizeof words / sizeof *words);
}

/* "mg/L (ppm)": two spellings of one unit. */
static bool parse_twice(const char *text, sw_unit *unit)
{
    char first[MAX_UNIT];
    sw_unit second;
    const char *open = strchr(text, '(');
    const char *close = open ? strchr(open, ')') : NULL;
    if (!close || open == text || close[1])
        return false;
    (void)snprintf(first, sizeof first, "%.*s", (int)(open - text), text);
    if (sw_unit_parse(first, unit, NULL) != SW_OK)
        return false;
    (void)snprintf(first, sizeof first, "%.*s", (int)(close - open - 1),
                   open + 1);
    return sw_unit_parse(first, &second, NULL) == SW_OK &&
           second.quantity == unit->quantity && second.factor == unit->factor;
}

/* In any of the ways above; `text` is folded and in lower case. */
static bool parse_any(char *text, sw_unit *unit)
{
    char scratch[MAX_UNIT];
    (void)snprintf(scratch, sizeof scratch, "%s", text);
    if (parse_plain(text, unit) || parse_twice(text, unit))
        return true;
    return parse_expressed(scratch, unit) || parse_ratio(text, unit);
}

sw_status sw_unit_parse(const char *text, sw_unit *unit, sw_error *error)
{
    char folded[MAX_UNIT] = "";
    memset(unit, 0, sizeof *unit);
    if (!sw_text_fold(text, folded, sizeof folded))
        return sw_fail(error, SW_ERR_UNIT, "a unit of more than %d characters",
                       MAX_UNIT - 1);
    for (char *p = folded; *p; p++)
        *p = (char)tolower((unsigned char)*p);
    blank_temperature(folded);
    if (!parse_any(folded, unit))
        return sw_fail(error, SW_ERR_UNIT,
                       "the unit '%s' is not known; units are written like "
                       "mg/L, mmol/L, meq/L, mg/L CaCO3, dH, mS/cm, g/100gal",
                       text);
    if (unit->quantity == SW_Q_AMBIGUOUS)
        return sw_fail(error, SW_ERR_UNIT,
                       "the unit '%s' says too little; choose: %s", text,
                       choices_of(text));
    return SW_OK;
}
