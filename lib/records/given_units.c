/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Units and meanings stated for a whole file.  The unit of a part is the
 * shortest end of it that is one, so that "alkalinity mg/L CaCO3" names
 * alkalinity.
 */
#include "records/given_units.h"

#include "quantity/text.h"
#include "quantity/unit_parse.h"
#include "records/table.h"
#include "table_refusals.h"

#include <stdlib.h>
#include <string.h>

static char *trim(char *text)
{
    text += strspn(text, " \t");
    sw_text_trim(text, " \t");
    return text;
}

bool sw_is_reading_unit(const char *text)
{
    sw_unit unit;
    char of[SW_KEY_SIZE];
    return sw_unit_parse_of(text, &unit, of, NULL) == SW_OK &&
           unit.quantity >= SW_Q_MASS_CONC &&
           unit.quantity != SW_Q_VOLUME_RATIO;
}

/* Where the unit starts in a part; NULL: nowhere. */
static char *unit_of(char *part)
{
    for (char *at = part + strlen(part); at-- > part;) {
        bool starts = at == part || strchr(" \t,", at[-1]);
        if (starts && *at != ' ' && sw_is_reading_unit(at))
            return at;
    }
    return NULL;
}

static sw_status add(sw_given_units *given, int row, const char *unit,
                     sw_error *error)
{
    for (size_t i = 0; i < given->count; i++)
        if (given->items[i].row == row)
            return sw_fail(error, SW_BAD_UNIT_GIVEN_AGAIN, given->items[i].unit,
                           unit);
    if (given->count == SW_MAX_GIVEN_UNITS)
        return sw_fail(error, SW_BAD_UNITS_MANY, SW_MAX_GIVEN_UNITS);
    given->items[given->count++] = (sw_given_unit){row, unit};
    return SW_OK;
}

/* A name or several; "Ca hardness" is tried whole first, "Ca, Mg", which some
 * call hardness, is not. */
static sw_status add_names(sw_given_units *given, char *names, const char *unit,
                           sw_error *error)
{
    sw_parameter p;
    char *rest = NULL;
    const char *marks = strchr(names, ',') ? "," : " \t";
    if (*marks != ',' && sw_parameter_find_in(names, unit, &p, NULL) == SW_OK)
        return add(given, p.row, unit, error);
    for (char *name = strtok_r(names, marks, &rest); name;
         name = strtok_r(NULL, marks, &rest)) {
        sw_status status = sw_parameter_find_in(trim(name), unit, &p, error);
        if (!status)
            status = add(given, p.row, unit, error);
        if (status)
            return status;
    }
    return SW_OK;
}

/* "NAME=NAME [UNIT]", either of the latter optional. */
static sw_status add_meaning(sw_given_units *given, char *part, char *equals,
                             sw_error *error)
{
    char *unit = strchr(equals, '[');
    char *end = unit ? strchr(unit, ']') : NULL;
    if (given->meaning_count == SW_MAX_GIVEN_UNITS)
        return sw_fail(error, SW_BAD_MEANINGS_MANY, SW_MAX_GIVEN_UNITS);
    *equals = '\0';
    if (end)
        *unit = *end = '\0';
    given->meanings[given->meaning_count++] = (sw_given_meaning){
        trim(part), trim(equals + 1), end ? trim(unit + 1) : ""};
    return SW_OK;
}

static sw_status add_part(sw_given_units *given, char *part, sw_error *error)
{
    char *equals = strchr(part, '=');
    if (equals)
        return add_meaning(given, part, equals, error);
    char *unit = unit_of(part);
    if (!unit)
        return sw_fail(error, SW_BAD_UNIT_ENDING, part);
    if (unit == part)
        return add(given, -1, unit, error);
    unit[-1] = '\0';
    return add_names(given, trim(part), unit, error);
}

sw_status sw_given_units_read(const char *text, sw_given_units *given,
                              sw_error *error)
{
    char *rest = NULL;
    sw_status status = SW_OK;
    *given = (sw_given_units){0};
    if (!text)
        return SW_OK;
    given->text = strdup(text);
    if (!given->text)
        return sw_fail_memory(error);
    for (char *part = strtok_r(given->text, ";", &rest); part && !status;
         part = strtok_r(NULL, ";", &rest)) {
        part = trim(part);
        if (*part)
            status = add_part(given, part, error);
    }
    if (status)
        sw_given_units_clear(given);
    return status;
}

void sw_given_units_clear(sw_given_units *given)
{
    free(given->text);
    *given = (sw_given_units){0};
}

const sw_given_meaning *sw_given_meaning_of(const sw_given_units *given,
                                            const char *name)
{
    for (size_t i = 0; i < given->meaning_count; i++)
        if (sw_same_name(given->meanings[i].name, name))
            return &given->meanings[i];
    return NULL;
}

const char *sw_given_unit_of(const sw_given_units *given, const char *name)
{
    const char *all = "";
    sw_measure measure;
    const sw_given_meaning *stated = sw_given_meaning_of(given, name);
    name = stated && *stated->means ? stated->means : name;
    for (size_t i = 0; i < given->count; i++) {
        const sw_given_unit *item = &given->items[i];
        if (sw_measure_find(name, item->unit, &measure, NULL) != SW_OK)
            continue;
        if (item->row == measure.parameter.row)
            return item->unit;
        if (item->row < 0)
            all = item->unit;
    }
    return all;
}
