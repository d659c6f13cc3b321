/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Recursive descent over a formula:
 *
 *     formula  = part { dot part }
 *     part     = [ coefficient ] item { item }
 *     item     = ( element | group | "(" item { item } ")" ) [ count ]
 *
 * It knows how formulas are written, not what they mean (formula.c does).
 */
#include "quantity/formula_parse.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#include "quantity/status.h"
#include "quantity/text.h"
#include "table_refusals.h"

enum { MAX_DEPTH = 8, MAX_COUNT_DIGITS = 4 };

static const sw_group groups[] = {
    [SW_GROUP_NO3 - SW_GROUP_NO3] = {"NO3", 0, 0, 1, 3, -1},
    [SW_GROUP_NO2 - SW_GROUP_NO3] = {"NO2", 0, 0, 1, 2, -1},
    [SW_GROUP_NH4 - SW_GROUP_NO3] = {"NH4", 4, 0, 1, 0, 1},
    [SW_GROUP_NH3 - SW_GROUP_NO3] = {"NH3", 3, 0, 1, 0, 0},
    [SW_GROUP_NH2 - SW_GROUP_NO3] = {"NH2", 2, 0, 1, 0, -1},
    [SW_GROUP_EDTA - SW_GROUP_NO3] = {"EDTA", 12, 10, 2, 8, -4},
    [SW_GROUP_HEDTA - SW_GROUP_NO3] = {"HEDTA", 15, 10, 2, 7, -3},
    [SW_GROUP_DTPA - SW_GROUP_NO3] = {"DTPA", 18, 14, 3, 10, -5},
    [SW_GROUP_EDDHA - SW_GROUP_NO3] = {"EDDHA", 16, 18, 2, 6, -4},
    [SW_GROUP_CITRATE - SW_GROUP_NO3] = {"citrate", 5, 6, 0, 7, -3},
    [SW_GROUP_UREA - SW_GROUP_NO3] = {"urea", 4, 1, 2, 1, 0},
};

const sw_group *sw_group_of(int species)
{
    return &groups[species - SW_GROUP_NO3];
}

typedef struct reader {
    char text[SW_MAX_FORMULA + 1]; /* folded: one byte a character */
    const char *at;
    int depth;
    sw_error *error;
} reader;

#define FAIL(r, place, ...)                                                    \
    sw_fail_at((r)->error,                                                     \
               &(sw_place){NULL, 0, (unsigned long)((place) - (r)->text) + 1}, \
               __VA_ARGS__)

static void skip_spaces(reader *r)
{
    while (*r->at == ' ')
        r->at++;
}

/* A subscript; 1 when there is none. */
static sw_status read_count(reader *r, double *count)
{
    const char *start = r->at;
    size_t digits = strspn(start, "0123456789");
    *count = 1;
    if (!digits)
        return SW_OK;
    if (digits > MAX_COUNT_DIGITS || *start == '0')
        return FAIL(r, start, SW_BAD_FORMULA_COUNT);
    *count = (double)strtol(start, NULL, 10);
    r->at += digits;
    return SW_OK;
}

/* Whether `text` starts with N and then that element and exactly that count. */
static bool n_then(const char *text, char element, char count)
{
    return text[0] == 'N' && text[1] == element && text[2] == count &&
           !isdigit((unsigned char)text[3]);
}

/* A group that stands here as written, its length in *length; or -1. */
static int group_here(const char *text, size_t *length)
{
    for (int g = SW_GROUP_EDTA; g <= SW_GROUP_EDDHA; g++) {
        *length = strlen(sw_group_of(g)->name);
        if (!strncmp(text, sw_group_of(g)->name, *length))
            return g;
    }
    *length = 3;
    if (n_then(text, 'O', '3'))
        return SW_GROUP_NO3;
    if (n_then(text, 'O', '2'))
        return SW_GROUP_NO2;
    if (n_then(text, 'H', '4'))
        return SW_GROUP_NH4;
    if (n_then(text, 'H', '3'))
        return SW_GROUP_NH3;
    return n_then(text, 'H', '2') ? SW_GROUP_NH2 : -1;
}

static sw_status unknown_element(reader *r, size_t length)
{
    if (!isupper((unsigned char)*r->at))
        return FAIL(r, r->at, SW_BAD_FORMULA_CHARACTER, *r->at);
    return FAIL(r, r->at, SW_BAD_FORMULA_ELEMENT, (int)length, r->at);
}

static sw_status read_element(reader *r, double *count)
{
    size_t length = 1;
    if (isupper((unsigned char)r->at[0]) && islower((unsigned char)r->at[1]))
        length = sw_element_index(r->at, 2) < 0 && r->at[1] == 'x' ? 1 : 2;
    int index = sw_element_index(r->at, length);
    if (index < 0)
        return unknown_element(r, length);
    if (!sw_element_at(index).has_rule)
        return FAIL(r, r->at, SW_BAD_FORMULA_ELEMENT_UNUSED,
                    sw_element_at(index).symbol);
    double n;
    r->at += length;
    sw_status status = read_count(r, &n);
    if (status == SW_OK)
        count[index] += n;
    return status;
}

static char closing(char opening)
{
    switch (opening) {
    case '(':
        return ')';
    case '[':
        return ']';
    case '{':
        return '}';
    default:
        return '\0';
    }
}

static sw_status read_items(reader *r, double *count);

static sw_status read_bracket(reader *r, double *count)
{
    const char *open = r->at++;
    double inner[SW_SPECIES_COUNT] = {0};
    double n;
    if (r->depth == MAX_DEPTH)
        return FAIL(r, open, SW_BAD_FORMULA_NESTED, MAX_DEPTH);
    r->depth++;
    sw_status status = read_items(r, inner);
    r->depth--;
    if (status != SW_OK)
        return status;
    if (*r->at != closing(*open))
        return FAIL(r, open, SW_BAD_FORMULA_UNCLOSED, *open);
    r->at++;
    status = read_count(r, &n);
    for (int i = 0; i < SW_SPECIES_COUNT; i++)
        count[i] += n * inner[i];
    return status;
}

static sw_status read_group(reader *r, int group, size_t length, double *count)
{
    double n = 1;
    sw_status status = SW_OK;
    r->at += length;
    if (group >= SW_GROUP_EDTA)
        status = read_count(r, &n);
    count[group] += n;
    return status;
}

/* Whether the next part starts here: a dot, or a blank or x before a digit. */
static bool at_separator(const reader *r)
{
    const char *p = r->at + strspn(r->at, " ");
    if (*p == '*' || *p == '.')
        return true;
    bool crossed = *p == 'x' || *p == 'X';
    if (crossed)
        p += 1 + strspn(p + 1, " ");
    return isdigit((unsigned char)*p) && (crossed || p > r->at);
}

static sw_status read_item(reader *r, double *count)
{
    size_t length;
    if (*r->at == '-') { /* Na-Fe-EDTA, as the trade writes chelates */
        r->at++;
        if (!isupper((unsigned char)*r->at))
            return FAIL(r, r->at - 1, SW_BAD_FORMULA_DASH);
    }
    int group = group_here(r->at, &length);
    if (group >= 0)
        return read_group(r, group, length, count);
    if (closing(*r->at))
        return read_bracket(r, count);
    return read_element(r, count);
}

static bool at_end_of_items(const reader *r)
{
    const char *p = r->at + strspn(r->at, " ");
    return !*p || (*p && strchr(")]}", *p)) || at_separator(r);
}

static sw_status read_items(reader *r, double *count)
{
    sw_status status = SW_OK;
    skip_spaces(r);
    if (at_end_of_items(r))
        return FAIL(r, r->at, SW_BAD_FORMULA_EMPTY);
    while (status == SW_OK && !at_end_of_items(r)) {
        skip_spaces(r);
        status = read_item(r, count);
    }
    if (r->depth)
        skip_spaces(r);
    return status;
}

static sw_status read_coefficient(reader *r, double *coefficient)
{
    const char *start = r->at;
    *coefficient = 1;
    if ((*start == 'x' || *start == 'n') && isupper((unsigned char)start[1]))
        return FAIL(r, start, SW_BAD_FORMULA_HOW_MUCH, *start);
    if (!isdigit((unsigned char)*start))
        return SW_OK;
    r->at += sw_text_number(start, coefficient);
    if (!(*coefficient > 0 && *coefficient <= 9999))
        return FAIL(r, start, SW_BAD_FORMULA_COEFFICIENT);
    return SW_OK;
}

static sw_status read_part(reader *r, sw_formula_part *part)
{
    skip_spaces(r);
    *part = (sw_formula_part){.column = (unsigned long)(r->at - r->text) + 1};
    sw_status status = read_coefficient(r, &part->coefficient);
    return status == SW_OK ? read_items(r, part->count) : status;
}

static void skip_separator(reader *r)
{
    skip_spaces(r);
    if (*r->at && strchr("*.xX", *r->at))
        r->at++;
}

static sw_status read_parts(reader *r, sw_parsed_formula *formula)
{
    for (;;) {
        if (formula->part_count == SW_MAX_PARTS)
            return FAIL(r, r->at, SW_BAD_FORMULA_PARTS, SW_MAX_PARTS);
        sw_status status = read_part(r, &formula->parts[formula->part_count++]);
        if (status != SW_OK)
            return status;
        skip_spaces(r);
        if (!*r->at)
            return SW_OK;
        if (strchr(")]}", *r->at))
            return FAIL(r, r->at, SW_BAD_FORMULA_UNOPENED, *r->at);
        skip_separator(r);
    }
}

sw_status sw_formula_parse(const char *text, sw_parsed_formula *formula,
                           sw_error *error)
{
    reader r = {.error = error};
    r.at = r.text;
    memset(formula, 0, sizeof *formula);
    if (!sw_text_fold(text, r.text, sizeof r.text))
        return sw_fail(error, SW_BAD_FORMULA_LONG, SW_MAX_FORMULA);
    return read_parts(&r, formula);
}

/* Atoms of an element that the groups of a part hold. */
static double atoms_in_groups(const sw_formula_part *part, const char *symbol)
{
    double atoms = 0;
    if (symbol[1])
        return 0;
    for (int g = SW_GROUP_NO3; g < SW_SPECIES_COUNT; g++) {
        const sw_group *group = sw_group_of(g);
        int each = *symbol == 'H'   ? group->h
                   : *symbol == 'C' ? group->c
                   : *symbol == 'N' ? group->n
                   : *symbol == 'O' ? group->o
                                    : 0;
        atoms += each * part->count[g];
    }
    return atoms;
}

double sw_formula_atoms(const sw_parsed_formula *formula, const char *symbol)
{
    int index = sw_element_index(symbol, strlen(symbol));
    double atoms = 0;
    for (size_t i = 0; i < formula->part_count; i++) {
        const sw_formula_part *part = &formula->parts[i];
        atoms += part->coefficient *
                 (part->count[index] + atoms_in_groups(part, symbol));
    }
    return atoms;
}

double sw_formula_molar_mass(const sw_parsed_formula *formula)
{
    static const char *const in_groups[] = {"H", "C", "N", "O"};
    double mass = 0;
    for (size_t i = 0; i < formula->part_count; i++) {
        const sw_formula_part *part = &formula->parts[i];
        double part_mass = 0;
        for (int k = 0; k < sw_element_count(); k++)
            if (part->count[k] > 0)
                part_mass += part->count[k] * sw_element_at(k).weight_g_per_mol;
        for (size_t k = 0; k < sizeof in_groups / sizeof *in_groups; k++)
            part_mass += atoms_in_groups(part, in_groups[k]) *
                         sw_element_weight(in_groups[k]);
        mass += part->coefficient * part_mass;
    }
    return mass;
}
