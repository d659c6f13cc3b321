/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Units as written.  What stands in reference/units.csv is taken as it is;
 * anything else is an amount per volume ("g/100 gal", "mg L-1"), made of units
 * from the same table.
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
#include "table_refusals.h"

enum { MAX_UNIT = 80 };

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

/* The row whose name or other name that is; NULL when none. */
static const sw_units_row *row_of(const char *text)
{
    char key[SW_KEY_SIZE];
    sw_unit_key(text, key);
    int row = sw_names_row(&sw_units_names, key, 0);
    return row < 0 ? NULL : &sw_units_table[row];
}

static void take_row(const sw_units_row *row, sw_unit *unit)
{
    unit->name = row->name;
    unit->quantity = (sw_quantity)row->quantity;
    unit->factor = unit->quantity == SW_Q_HARDNESS ? degree_meq_per_l(row->name)
                                                   : row->factor;
    unit->us = !strcmp(row->system, "US");
}

/* Where the word starts whose power of -1 or -3 is at `at`; NULL if none. */
static char *powered_word(char *text, char *at)
{
    char *word = at;
    while (word > text && isalpha((unsigned char)word[-1]))
        word--;
    bool volume = at[1] == '1' || (at[1] == '3' && at > text && at[-1] == 'm');
    return volume && word < at && word > text && strchr(" .*", word[-1]) &&
                   !isalnum((unsigned char)at[2])
               ? word
               : NULL;
}

void sw_unit_write_strokes(char *text)
{
    char *to = text;
    for (const char *from = text; *from; from++)
        if (*from != '^')
            *to++ = *from;
    *to = '\0';
    for (char *at = text; *at && !strchr(text, '/'); at++) {
        char *word = *at == '-' ? powered_word(text, at) : NULL;
        if (sw_text_word_at(text, at, "per")) {
            at[0] = at[2] = ' ';
            at[1] = '/';
        } else if (word) {
            word[-1] = '/';
            at[0] = at[1] == '3' ? '3' : ' ';
            at[1] = ' ';
        }
    }
}

/* Splits "a/b" into numerator and denominator, in place; NULL when it is none
 * of these. */
static char *split_ratio(char *text)
{
    sw_unit_write_strokes(text);
    char *slash = strchr(text, '/');
    if (!slash)
        return NULL;
    *slash = '\0';
    return slash + 1;
}

/* More than that many of a volume no unit is per: a slip. */
static const double most_volumes = 1e6;

/* Litres of "100 gal", "m3", "L"; 0 when it is not a volume. */
static double denominator_l(const char *text, bool *us)
{
    double count = 1;
    sw_unit unit;
    while (*text == ' ')
        text++;
    text += sw_text_number(text, &count);
    const sw_units_row *row = row_of(text);
    if (!row)
        return 0;
    take_row(row, &unit);
    *us = unit.us;
    return unit.quantity == SW_Q_VOLUME && count > 0 && count <= most_volumes
               ? count * unit.factor
               : 0;
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
    char *below = split_ratio(text);
    if (!below)
        return false;
    bool us_below = false;
    double litres = denominator_l(below, &us_below);
    const sw_units_row *row = row_of(text);
    if (!row || litres == 0)
        return false;
    take_row(row, unit);
    unit->us = unit->us || us_below;
    return divide(unit, litres);
}

static bool parse_plain(const char *text, sw_unit *unit)
{
    const sw_units_row *row = row_of(text);
    if (!row)
        return false;
    take_row(row, unit);
    return true;
}

static const char *choices_of(const char *text)
{
    const sw_units_row *row = row_of(text);
    return row ? row->remark : "";
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
    return parse_plain(text, unit) || parse_twice(text, unit) ||
           parse_ratio(text, unit);
}

/* What stands before an S that ends the `length` bytes of a text; 0 if none. */
static size_t before_sulfur(const char *text, size_t length, bool *apart)
{
    static const char between[] = " ._-*()[]{}";
    while (length && strchr(between, text[length - 1]))
        length--;
    if (!length || tolower((unsigned char)text[length - 1]) != 's')
        return 0;
    size_t before = length - 1;
    while (before && strchr(between, text[before - 1]))
        before--;
    *apart = before + 1 < length;
    return before;
}

/* "mg S/L", "kgS/m3" are of sulfur, no plurals of the gram; nor is the S of
 * "mg/100 mL S" one of the millilitre. */
static bool is_of_sulfur(const char *folded)
{
    char text[MAX_UNIT];
    bool apart;
    (void)snprintf(text, sizeof text, "%s", folded);
    sw_unit_write_strokes(text);
    const char *slash = strchr(text, '/');
    if (!slash)
        return false;
    if (before_sulfur(slash + 1, strlen(slash + 1), &apart) && apart)
        return true;
    size_t unit = before_sulfur(text, (size_t)(slash - text), &apart);
    if (!unit || (!apart && text[unit] != 'S'))
        return false;
    unit -= unit > 1 && text[unit - 1] == 'm';
    return tolower((unsigned char)text[unit - 1]) == 'g';
}

sw_status sw_unit_parse(const char *text, sw_unit *unit, sw_error *error)
{
    char folded[MAX_UNIT] = "";
    memset(unit, 0, sizeof *unit);
    if (!sw_text_fold(text, folded, sizeof folded))
        return sw_fail(error, SW_BAD_UNIT_LONG, MAX_UNIT - 1);
    bool sulfur = is_of_sulfur(folded);
    for (char *p = folded; *p; p++)
        *p = (char)tolower((unsigned char)*p);
    (void)sw_text_blank_25_c(folded);
    bool found = !sulfur && parse_any(folded, unit);
    if (!found)
        memset(unit, 0, sizeof *unit);
    if (!found)
        return sw_fail(error, SW_BAD_UNIT_UNKNOWN, text);
    if (unit->quantity == SW_Q_AMBIGUOUS)
        return sw_fail(error, SW_BAD_UNIT_INCOMPLETE, text, choices_of(text));
    return SW_OK;
}
