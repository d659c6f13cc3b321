/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What a name or a unit that says too little may be taken as.  The words of the
 * tables, "NO3 (mg of the ion) or NO3-N (mg of the nitrogen in it)", are taken
 * apart: where a part is no name or unit, they are for people alone.
 */
#include "quantity/unit_parse.h"
#include "quantity/units.h"

#include <stdio.h>
#include <string.h>

enum { MOST_PART = 60 };

/* Where a choice ends: at its words in parentheses, a comma or an "or". */
static size_t part_length(const char *text)
{
    size_t length = 0;
    while (text[length] && strncmp(text + length, " (", 2) != 0 &&
           strncmp(text + length, ", ", 2) != 0 &&
           strncmp(text + length, " or ", 4) != 0)
        length++;
    return length;
}

/* The next choice; false where something else stands between two of them. */
static bool next_part(const char **at, char part[MOST_PART])
{
    size_t length = part_length(*at);
    const char *rest = *at + length;
    if (length >= MOST_PART)
        return false;
    (void)snprintf(part, MOST_PART, "%.*s", (int)length, *at);
    if (!strncmp(rest, " (", 2))
        rest += strcspn(rest, ")") + (strchr(rest, ')') ? 1 : 0);
    size_t mark = !strncmp(rest, " or ", 4)    ? 4
                  : !strncmp(rest, ", or ", 5) ? 5
                  : !strncmp(rest, ", ", 2)    ? 2
                                               : 0;
    *at = rest + mark;
    return length > 0 && (mark > 0 || !*rest);
}

static bool is_name(const char *part)
{
    return sw_parameter_known(part) == SW_KNOWN;
}

static bool is_unit(const char *part)
{
    sw_unit unit;
    char of[SW_KEY_SIZE];
    return sw_unit_parse_of(part, &unit, of, NULL) == SW_OK;
}

/* "NAME=" and each of the choices, a name or a unit in brackets. */
static void list_choices(const char *name, const char *words, bool units,
                         char *list, size_t size)
{
    char part[MOST_PART];
    size_t used = 0;
    bool good = *words != '\0';
    *list = '\0';
    for (const char *at = words; good && *at;) {
        good = next_part(&at, part) && (units ? is_unit(part) : is_name(part));
        int more =
            snprintf(list + used, size - used, "%s%s=%s%s%s", used ? "|" : "",
                     name, units ? "[" : "", part, units ? "]" : "");
        good = good && more > 0 && (size_t)more < size - used;
        used += good ? (size_t)more : 0;
    }
    if (!good)
        *list = '\0';
}

bool sw_parameter_may_be(const char *open, sw_parameter *first)
{
    char choice[MOST_PART];
    const char *choices = sw_parameter_choices(open);
    (void)snprintf(choice, sizeof choice, "%.*s", (int)strcspn(choices, " ,"),
                   choices);
    return *choice && sw_parameter_find(choice, first, NULL) == SW_OK;
}

void sw_name_choices(const char *open, char *list, size_t size)
{
    list_choices(open, sw_parameter_choices(open), false, list, size);
}

/* Hardness and alkalinity alone are given as so many things. */
void sw_unit_choices(const char *name, const sw_parameter *parameter,
                     char *list, size_t size)
{
    bool counts = parameter->kind == SW_READS_ALKALINITY ||
                  parameter->kind == SW_READS_HARDNESS ||
                  parameter->kind == SW_READS_CA_HARDNESS;
    list_choices(name, counts ? sw_parameter_units(parameter) : "", true, list,
                 size);
}
