/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Words that make other numbers of the values they stand beside: "as CaCO3",
 * "x 1000", "at 20 degrees C". */
#include "records/lab_words.h"

#include "quantity/text.h"
#include "quantity/unit_parse.h"
#include "quantity/units.h"
#include "records/lab.h"
#include "records/water_build.h"
#include "table_refusals.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_TEXT = 256, COOLEST = 10, WARMEST = 30, STANDARD = 25 };

static const char between[] = " ,;:()[]{}\"'";

/* ---- What values are given as ------------------------------------------- */

/* "as", "expressed as", "als"; not "in" or "en", which say where things are. */
static bool leads(const char *word)
{
    return sw_word_is(word, SW_WORD_GIVEN_AS) && !sw_same_name(word, "in") &&
           !sw_same_name(word, "en") && tolower((unsigned char)*word) != 'e';
}

/* A formula or an element's name, "is" and "no" being neither. */
static bool is_given(const char *word)
{
    bool short_word = islower((unsigned char)*word) && strlen(word) < 4;
    return *word && !short_word && sw_species_known(word);
}

/* "mg/L CaCO3", "ppm as N" at the start of a text, of at most four words. */
static bool begins_with_unit_of(const char *text, char of[SW_KEY_SIZE])
{
    char part[80];
    sw_unit unit;
    const char *end = text;
    size_t letters = 0;
    while (isalpha((unsigned char)text[letters]))
        letters++;
    if (!sw_unit_is_amount(text, letters))
        return false;
    for (int words = 0; words < 4 && *end; words++) {
        end += strspn(end, " ");
        end += strcspn(end, " ,;:");
        (void)snprintf(part, sizeof part, "%.*s", (int)(end - text), text);
        if (sw_unit_parse_of(part, &unit, of, NULL) == SW_OK && *of &&
            !sw_same_name(of, "as")) /* arsenic is no word of "mg/L as N" */
            return true;
    }
    return false;
}

static void find_basis(const char *text, char basis[24])
{
    char of[SW_KEY_SIZE];
    bool led = false;
    for (text += strspn(text, between); *text; text += strspn(text, between)) {
        char word[MOST_TEXT];
        size_t length = strcspn(text, between);
        (void)snprintf(word, sizeof word, "%.*s", (int)length, text);
        sw_text_trim(word, ".*");
        if ((led && is_given(word)) || sw_same_name(word, "CaCO3"))
            (void)snprintf(basis, 24, "%.23s", word);
        else if (begins_with_unit_of(text, of))
            (void)snprintf(basis, 24, "%.23s", of);
        if (*basis)
            return;
        led = leads(word);
        text += strcspn(text, between);
    }
}

/* ---- In which unit ------------------------------------------------------ */

/* The first unit in a text from *at on, "ug/L", "micrograms per litre", which
 * is not of a number before it; *at moves behind it. */
static bool find_unit(const char **at, char unit[40])
{
    bool number = false; /* before */
    for (const char *from = *at + strspn(*at, between); *from;
         from += strspn(from, between)) {
        const char *to = from;
        for (int words = 0; words < 3 && *to && !number; words++) {
            to += strspn(to, " ");
            to += strcspn(to, " ,;()[]");
            (void)snprintf(unit, 40, "%.*s", (int)(to - from), from);
            bool ratio = strchr(unit, '/') || strstr(unit, " per ");
            if (ratio && to - from < 40 && sw_is_reading_unit(unit)) {
                *at = to;
                return true;
            }
        }
        number = isdigit((unsigned char)*from) || *from == '<';
        from += strcspn(from, " ,;()[]");
    }
    unit[0] = '\0';
    return false;
}

static void find_units(const char *text, sw_lab_said *said)
{
    char unit[40];
    const char *at = text;
    while (find_unit(&at, unit))
        if (!*said->unit)
            memcpy(said->unit, unit, sizeof unit);
        else if (!sw_lab_same_unit(said->unit, unit))
            memcpy(said->other_unit, unit, sizeof unit);
}

/* ---- What they are multiplied with -------------------------------------- */

/* The length of "x 1000", "1000 x", "x10^3" at `at`; 0: none. */
static size_t factor_length(const char *text, const char *at)
{
    if (at > text && (isalnum((unsigned char)at[-1]) || at[-1] == '.'))
        return 0;
    const char *from = at;
    bool sign = tolower((unsigned char)*at) == 'x' || *at == '*';
    at += sign ? 1 + strspn(at + 1, " ") : 0;
    if (*at != '1' || at[1] != '0')
        return 0;
    at += 1 + strspn(at + 1, "0");
    if (sign)
        return isalnum((unsigned char)*at) ? 0 : (size_t)(at - from);
    at += strspn(at, " ");
    sign = tolower((unsigned char)*at) == 'x' || *at == '*';
    return sign && !isalnum((unsigned char)at[1]) ? (size_t)(at + 1 - from) : 0;
}

static void find_factor(const char *text, char factor[24])
{
    for (const char *at = text; *at && !*factor; at++)
        (void)snprintf(factor, 24, "%.*s", (int)factor_length(text, at), at);
}

/* ---- At which temperature ----------------------------------------------- */

/* Degrees C at the start of a text, "20 ~C", "20 deg C", "20C"; 0: none. */
static double degrees(const char *text)
{
    double value;
    size_t length = sw_text_number(text, &value);
    return length && sw_text_celsius(text + length) ? value : 0.0;
}

/* That of a conductivity, unless 25 degrees are named too; nor is it one at
 * which a sample was kept or dried. */
static void find_warm(const char *text, char warm[24])
{
    for (const char *at = text; *at; at++) {
        if (!isdigit((unsigned char)*at) ||
            (at > text &&
             (isalnum((unsigned char)at[-1]) || strchr(".-", at[-1]))))
            continue;
        double found = degrees(at);
        if (found == STANDARD) {
            *warm = '\0';
            return;
        }
        if (found >= COOLEST && found <= WARMEST)
            (void)snprintf(warm, 24, "%g", found);
    }
}

/* ---- The whole ---------------------------------------------------------- */

bool sw_lab_read_said(const char *text, sw_lab_said *said)
{
    char folded[MOST_TEXT];
    char cut[MOST_TEXT];
    *said = (sw_lab_said){.basis = ""};
    (void)snprintf(cut, sizeof cut, "%.255s", text);
    sw_text_mend(cut);
    if (!*text || !sw_text_fold(cut, folded, sizeof folded))
        return false;
    find_basis(folded, said->basis);
    find_factor(folded, said->factor);
    find_warm(folded, said->warm);
    return *said->basis || *said->factor || *said->warm;
}

void sw_lab_read_warmth(const char *text, sw_lab_said *said)
{
    double value;
    size_t length = sw_text_number(text, &value);
    if (length && !text[length] && value != STANDARD)
        (void)snprintf(said->warm, sizeof said->warm, "%g", value);
    said->certain = *said->warm;
}

void sw_lab_add_said(sw_lab_said *said, const sw_lab_said *more)
{
    if (!*said->basis)
        memcpy(said->basis, more->basis, sizeof said->basis);
    if (!*said->factor)
        memcpy(said->factor, more->factor, sizeof said->factor);
    if (!*said->warm) {
        memcpy(said->warm, more->warm, sizeof said->warm);
        said->certain = more->certain;
    }
}

bool sw_lab_is_of_all(const char *basis)
{
    return sw_same_name(basis, "CaCO3") || sw_same_name(basis, "CaO");
}

bool sw_lab_may_be_as(const sw_lab_name *name)
{
    sw_unit unit;
    char of[SW_KEY_SIZE];
    sw_reading_kind kind = name->measure.parameter.kind;
    return (kind <= SW_READS_CA_HARDNESS || kind == SW_READS_TDS) &&
           sw_unit_parse_of(name->unit, &unit, of, NULL) == SW_OK && !*of &&
           unit.quantity == SW_Q_MASS_CONC;
}

void sw_lab_find_unit(const char *text, char unit[80])
{
    sw_lab_said said = {.basis = ""};
    find_units(text, &said);
    (void)snprintf(unit, 80, "%s", *said.other_unit ? "" : said.unit);
}

/* ---- Of a whole file ---------------------------------------------------- */

void sw_lab_hear(sw_lab *lab, const sw_csv_cell *cell)
{
    sw_lab_saying *s = &lab->sayings[lab->saying_count];
    if (lab->saying_count == SW_LAB_SAYINGS)
        return;
    bool says = sw_lab_read_said(cell->text, &s->said);
    if (!sw_word_within(cell->text, SW_WORD_CHECK) &&
        !sw_word_within(cell->text, SW_WORD_LIMIT))
        find_units(cell->text, &s->said);
    if (!says && !*s->said.unit)
        return;
    s->cell = cell;
    lab->saying_count++;
}

/* "All results in mg/L unless stated otherwise": the unit of what has none. */
void sw_lab_hear_unit(sw_lab *lab, const char *text)
{
    char unit[80], name[80];
    if (strpbrk(text, "0123456789") || sw_word_within(text, SW_WORD_CHECK) ||
        sw_lab_holds_name(text, name))
        return; /* of one reading, of limits, or a reading itself */
    sw_lab_find_unit(text, unit);
    if (*unit)
        memcpy(lab->unit, unit, sizeof lab->unit);
}

void sw_lab_hear_title(sw_lab *lab, size_t row)
{
    for (size_t i = 0; i < sw_sheet_columns(&lab->sheet); i++)
        sw_lab_hear(lab, sw_sheet_cell(&lab->sheet, row, i));
    sw_lab_hear_unit(lab, sw_sheet_first(&lab->sheet, row)->text);
    lab->title_count = lab->saying_count;
}

/* The slot of the parameter some words are a name of; SW_SLOT_COUNT: none. */
static int slot_named(const char *words)
{
    sw_parameter p;
    sw_known known = strlen(words) < 3 ? SW_UNKNOWN : sw_parameter_known(words);
    if ((known == SW_KNOWN && sw_parameter_find(words, &p, NULL) == SW_OK) ||
        (known == SW_KNOWN_OPEN && sw_parameter_may_be(words, &p)))
        return sw_slot_of(&p);
    return SW_SLOT_COUNT;
}

/* Whether a text is of a reading: it names its parameter, or none but what it
 * is given as. */
static bool is_about(const char *text, const char *basis,
                     const sw_parameter *parameter)
{
    static const char ends[] = " ,;:()[]*";
    bool names = false;
    for (const char *from = text + strspn(text, ends); *from;
         from += strspn(from, ends)) {
        const char *to = from;
        for (int words = 0; words < 3 && *to; words++) {
            char part[80];
            to += strspn(to, ends);
            to += strcspn(to, ends);
            (void)snprintf(part, sizeof part, "%.*s", (int)(to - from), from);
            int slot = *basis && strstr(part, basis) ? SW_SLOT_COUNT
                                                     : slot_named(part);
            names |= slot != SW_SLOT_COUNT;
            if (slot != SW_SLOT_COUNT && slot == sw_slot_of(parameter))
                return true;
        }
        from += strcspn(from, ends);
    }
    return !names;
}

/* Whether a unit for many is not that of a reading without one of its own. */
static bool differs(sw_lab *lab, const sw_lab_reading *r, const char *unit)
{
    if (!*unit || r->own_unit || sw_lab_same_unit(unit, r->name->unit))
        return false;
    const sw_lab_name *other = sw_lab_look_up(lab, r->name->name, unit);
    return other && other->status == SW_OK &&
           r->name->measure.parameter.kind <= SW_READS_TDS &&
           r->name->measure.parameter.kind != SW_READS_EC &&
           r->name->measure.parameter.kind != SW_READS_PH;
}

/* Whether it may make another number of a reading. */
static bool may_change(sw_lab *lab, const sw_lab_saying *s,
                       const sw_lab_reading *r)
{
    char unit[96];
    const sw_lab_name *name = r->name;
    const sw_parameter *p = &name->measure.parameter;
    if (name->status || !is_about(s->cell->text, s->said.basis, p))
        return false;
    if (*s->said.factor ||
        (*s->said.warm && p->kind == SW_READS_EC &&
         !(p->partial && !strcmp(s->said.warm, "20")) &&
         !strstr(name->unit, "25") && !strstr(r->cell->text, "25")))
        return true;
    if (differs(lab, r, s->said.unit) || differs(lab, r, s->said.other_unit))
        return true;
    if (!*s->said.basis || !sw_lab_may_be_as(name))
        return false;
    (void)snprintf(unit, sizeof unit, "%.40s as %.40s", name->unit,
                   s->said.basis);
    const sw_lab_name *as = sw_lab_look_up(lab, name->name, unit);
    return as && (as->status ? sw_lab_is_of_all(s->said.basis)
                             : fabs(as->measure.scale - name->measure.scale) >
                                   1e-6 * fabs(name->measure.scale));
}

static void ask(sw_lab *lab, const sw_lab_saying *s, const sw_lab_reading *r)
{
    const char *name = r->name->name;
    if (*s->said.factor)
        sw_lab_defect(lab, SW_WHOLE_FILE, s->cell, SW_BAD_LAB_SAID_MULTIPLIED,
                      s->cell->text, s->said.factor);
    else if (*s->said.warm && r->name->measure.parameter.kind == SW_READS_EC)
        sw_lab_defect(lab, SW_WHOLE_FILE, s->cell, SW_BAD_LAB_SAID_WARMTH,
                      s->cell->text, s->said.warm, name, s->said.warm);
    else if (differs(lab, r, s->said.unit) ||
             differs(lab, r, s->said.other_unit))
        sw_lab_defect(lab, SW_WHOLE_FILE, s->cell, SW_BAD_LAB_SAID_UNIT,
                      s->cell->text, name, r->name->unit);
    else
        sw_lab_defect(lab, SW_WHOLE_FILE, s->cell, SW_BAD_LAB_SAID_GIVEN_AS,
                      s->cell->text, s->said.basis, name, r->name->unit,
                      s->said.basis);
}

static void ask_of(sw_lab *lab, sw_lab_saying *s)
{
    for (size_t i = 0; i < lab->sample_count; i++)
        for (size_t k = 0; k < lab->samples[i].count; k++)
            if (may_change(lab, s, &lab->samples[i].readings[k])) {
                ask(lab, s, &lab->samples[i].readings[k]);
                s->said = (sw_lab_said){.basis = ""}; /* once */
                return;
            }
}

void sw_lab_ask_said(sw_lab *lab)
{
    for (size_t i = 0; i < lab->saying_count; i++)
        ask_of(lab, &lab->sayings[i]);
}
