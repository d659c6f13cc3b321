/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Names of what laboratories report and labels declare, from
 * reference/parameters.csv.  A name is tried as written, then without its
 * charge, without "total" or "dissolved", and as "name (symbol)".
 */
#include "quantity/units.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "quantity/elements.h"
#include "quantity/formula_parse.h"
#include "quantity/status.h"
#include "quantity/text.h"

#include "table_parameters.h"

enum { MAX_NAME = 160 };

typedef sw_parameters_row parameter_row;

static const struct kind_name {
    const char *name;
    sw_reading_kind kind;
    bool partial;
} kind_names[] = {
    {"component", SW_READS_COMPONENT, false},
    {"alkalinity", SW_READS_ALKALINITY, false},
    {"alkalinity part", SW_READS_ALKALINITY, true},
    {"hardness", SW_READS_HARDNESS, false},
    {"Ca hardness", SW_READS_CA_HARDNESS, false},
    {"pH", SW_READS_PH, false},
    {"EC", SW_READS_EC, false},
    {"TDS", SW_READS_TDS, false},
    {"temperature", SW_READS_TEMPERATURE, false},
    {"other", SW_READS_OTHER, false},
};

enum { KIND_COUNT = sizeof kind_names / sizeof *kind_names };

static bool is_ambiguous(const parameter_row *row)
{
    return !strcmp(row->kind, "ambiguous");
}

static sw_component component_named(const char *name)
{
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        if (!strcmp(sw_component_name((sw_component)i), name))
            return (sw_component)i;
    return SW_COMPONENT_COUNT;
}

/* The element a component is weighed as. */
static const char *element_of(sw_component component)
{
    switch (component) {
    case SW_NO3_N:
    case SW_NH4_N:
    case SW_UREA_N:
        return "N";
    default:
        return sw_component_name(component);
    }
}

/* What a row says is reported: an element, or a formula of those that feeds
 * are made of. */
typedef struct substance {
    double mg_per_mmol; /* NaN: the row does not say */
    bool is_element;
    sw_parsed_formula formula;
} substance;

static substance substance_of(const parameter_row *row)
{
    substance s = {.mg_per_mmol = NAN};
    s.is_element = sw_element_index(row->formula, strlen(row->formula)) >= 0;
    if (s.is_element)
        s.mg_per_mmol = sw_element_weight(row->formula);
    else if (*row->formula &&
             sw_formula_parse(row->formula, &s.formula, NULL) == SW_OK)
        s.mg_per_mmol = sw_formula_molar_mass(&s.formula);
    return s;
}

static double atoms_in(const substance *s, const parameter_row *row,
                       const char *element)
{
    if (s->is_element)
        return !strcmp(row->formula, element);
    return sw_formula_atoms(&s->formula, element);
}

/*
 * What is in no mass balance is weighed as the row it counts as: NO2 as NO2-N,
 * atom for atom; OCl as Cl2, mole for mole.
 */
static void fill_other(const parameter_row *row, sw_parameter *p)
{
    const parameter_row *as = row;
    for (size_t i = 0; i < sw_parameters_count; i++)
        if (*row->component &&
            !strcmp(sw_parameters_table[i].name, row->component))
            as = &sw_parameters_table[i];
    substance own = substance_of(row);
    substance counted = substance_of(as);
    double atoms = counted.is_element ? atoms_in(&own, row, as->formula) : 1;
    p->name = as->name;
    p->component_per_mmol = counted.mg_per_mmol * atoms;
    p->component_per_mg = p->component_per_mmol / own.mg_per_mmol;
}

/* Component or meq per mg and per mmol of the formula that is reported. */
static void fill_factors(const parameter_row *row, sw_parameter *p)
{
    substance own = substance_of(row);
    bool counts_charge = p->component == SW_COMPONENT_COUNT;
    const char *element = counts_charge ? "" : element_of(p->component);
    double per_mmol = counts_charge ? p->charge : sw_element_weight(element);
    p->component_per_mmol = per_mmol > 0 ? per_mmol : NAN;
    if (isnan(own.mg_per_mmol))
        return;
    /* CaCO3 stands for the Mg of "Mg as CaCO3", mole for mole. */
    double atoms = counts_charge ? 1 : atoms_in(&own, row, element);
    if (atoms > 0)
        p->component_per_mmol = per_mmol * atoms;
    p->component_per_mg = p->component_per_mmol / own.mg_per_mmol;
}

static void fill(const parameter_row *row, sw_parameter *p)
{
    *p = (sw_parameter){
        .name = row->name,
        .component = component_named(row->component),
        .component_per_mg = NAN,
        .component_per_mmol = NAN,
        .charge = row->charge,
    };
    for (int i = 0; i < KIND_COUNT; i++) {
        if (strcmp(kind_names[i].name, row->kind) != 0)
            continue;
        p->kind = kind_names[i].kind;
        p->partial = kind_names[i].partial;
    }
    if (p->kind <= SW_READS_CA_HARDNESS)
        fill_factors(row, p);
    else if (p->kind == SW_READS_OTHER)
        fill_other(row, p);
}

/* Our own spelling first: it is the usual one, and found sooner. */
static const parameter_row *row_with_key(const char *key)
{
    for (size_t i = 0; *key && i < sw_parameters_count; i++)
        if (sw_text_listed(sw_parameters_table[i].name, key))
            return &sw_parameters_table[i];
    for (size_t i = 0; *key && i < sw_parameters_count; i++)
        if (sw_text_listed(sw_parameters_table[i].other_names, key))
            return &sw_parameters_table[i];
    return NULL;
}

/* Whether a name ends like "sulfate-S", whose key is that of "sulfates". */
static bool ends_apart_in_s(const char *name, size_t length)
{
    size_t start = strspn(name, "- _");
    return length > start + 2 && strchr("- _", name[length - 2]) &&
           tolower((unsigned char)name[length - 1]) == 's' &&
           (length < 5 || strncmp(name + length - 5, " as", 3) != 0);
}

static const parameter_row *row_named(const char *name)
{
    char spelled[2 * MAX_NAME + 8];
    char key[SW_KEY_SIZE];
    size_t length = strlen(name);
    while (length && name[length - 1] == ' ')
        length--;
    if (ends_apart_in_s(name, length))
        snprintf(spelled, sizeof spelled, "%.*s as S", (int)length - 2, name);
    else
        snprintf(spelled, sizeof spelled, "%s", name);
    return sw_text_key(spelled, key) ? row_with_key(key) : NULL;
}

/*
 * Cuts a charge off the end: "-", "++", "2+", "+2".  Returns its magnitude,
 * or 0 when there is none.
 */
static int cut_charge(char *name)
{
    size_t end = strlen(name);
    size_t start = end;
    while (start > 0 && strchr("+-= ", name[start - 1]))
        start--;
    bool signs = start < end;
    int magnitude = 0;
    for (size_t i = start; i < end; i++)
        magnitude += name[i] == '=' ? 2 : name[i] != ' ';
    if (start > 1 && isdigit((unsigned char)name[start - 1])) {
        size_t sign = start - 1;
        bool before = strchr("+-", name[sign - 1]) != NULL;
        if (!signs && !before)
            return 0;
        if (before || magnitude == 1) {
            magnitude = name[sign] - '0';
            start = sign - before;
        }
    }
    name[start] = '\0';
    return magnitude;
}

/* "Ca2+", "NO3-", "SO4--": only where the charge is the row's. */
static const parameter_row *row_with_charge(const char *name)
{
    char bare[MAX_NAME];
    (void)snprintf(bare, sizeof bare, "%s", name);
    int magnitude = cut_charge(bare);
    if (!magnitude)
        return NULL;
    const parameter_row *row = row_named(bare);
    if (row && (row->charge == magnitude || !row->charge))
        return row;
    /* "SO42-": the 4 is the formula's, "NO3-": the 3 is. */
    (void)snprintf(bare, sizeof bare, "%s", name);
    bare[strcspn(bare, "+-=")] = '\0';
    row = row_named(bare);
    return row && (row->charge == 1 || !row->charge) ? row : NULL;
}

/* Blanks out words that change nothing; false when there were none. */
static bool blank_fillers(char *name)
{
    static const char *const fillers[] = {
        "total",   "dissolved", "soluble", "filtered", "unfiltered",
        "tot",     "diss",      "ion",     "ions",     "content",
        "element", "elemental", "water",   "gesamt",   "concentration",
        "at 25 c", "at 25~c",   "at 25c",  "@ 25 c",   "@ 25c",
        "@25c",    "@ 25~c",    "@25~c",   "25~c",     "at 25 ~c",
        "25c",     "25 ~c",     "lab",     "field",    "total recoverable",
    };
    return sw_text_blank(name, fillers, sizeof fillers / sizeof *fillers);
}

/* Whether a row is among the choices an ambiguous one offers. */
static bool is_choice(const parameter_row *ambiguous, const parameter_row *row)
{
    char name[SW_KEY_SIZE] = "";
    for (size_t i = 0; row->name[i] && i + 1 < sizeof name; i++)
        name[i] = (char)tolower((unsigned char)row->name[i]);
    for (const char *at = ambiguous->remark; *at; at++)
        if (sw_text_word_at(ambiguous->remark, at, name))
            return true;
    return false;
}

/*
 * A name said twice, "Calcium (Ca)", "Nitrate as NO3-N": the second makes the
 * first clearer, and must not contradict it.
 */
static const parameter_row *row_of_both(const char *first, const char *second)
{
    char joined[2 * MAX_NAME + 4];
    (void)snprintf(joined, sizeof joined, "%s as %s", first, second);
    const parameter_row *row = row_named(joined);
    if (row)
        return row;
    const parameter_row *of_first = row_named(first);
    const parameter_row *of_second = row_named(second);
    if (!of_second)
        of_second = row_with_charge(second);
    if (of_first && of_second &&
        (of_first == of_second ||
         (is_ambiguous(of_first) && is_choice(of_first, of_second))))
        return of_second;
    return NULL;
}

static const parameter_row *row_with_bracket(const char *name)
{
    char outer[MAX_NAME];
    char inner[MAX_NAME];
    const char *open = strpbrk(name, "([");
    const char *close = open ? strpbrk(open, ")]") : NULL;
    if (!close || open == name || close[1 + strspn(close + 1, " ,;")])
        return NULL;
    (void)snprintf(outer, sizeof outer, "%.*s", (int)(open - name), name);
    (void)snprintf(inner, sizeof inner, "%.*s", (int)(close - open - 1),
                   open + 1);
    return row_of_both(outer, inner);
}

/* "Boron, B", "Calcium Ca", "Iron as Fe", "Ca - Calcium". */
static const parameter_row *row_in_two_words(const char *name)
{
    char first[MAX_NAME];
    for (const char *at = name + strcspn(name, " ,"); *at;
         at += strcspn(at, " ,")) {
        (void)snprintf(first, sizeof first, "%.*s", (int)(at - name), name);
        at += strspn(at, " ,-");
        if (sw_text_word_at(name, at, "as"))
            at += 2 + strspn(at + 2, " ");
        const parameter_row *row = row_of_both(first, at);
        if (row)
            return row;
    }
    return NULL;
}

static const parameter_row *row_as_written(const char *name)
{
    const parameter_row *row = row_with_bracket(name);
    if (!row)
        row = row_named(name);
    if (!row)
        row = row_with_charge(name);
    return row ? row : row_in_two_words(name);
}

/* "Sodium %" is a share of the cations; only what is not used may be in %. */
static bool unit_belies(const parameter_row *row, const char *name)
{
    return row && strchr(name, '%') && strcmp(row->kind, "other") != 0;
}

static const parameter_row *find_row(char *name)
{
    const parameter_row *row = row_as_written(name);
    if (!row && blank_fillers(name))
        row = row_as_written(name);
    return unit_belies(row, name) ? NULL : row;
}

static sw_status say_unknown(const char *name, sw_error *error)
{
    char key[SW_KEY_SIZE];
    char near_text[160];
    sw_near near = {.key = key};
    if (!error) /* near names take long to find, and nobody listens */
        return SW_ERR_NAME;
    if (!sw_text_key(name, key))
        key[0] = '\0';
    for (size_t i = 0; i < sw_parameters_count; i++) {
        const parameter_row *row = &sw_parameters_table[i];
        sw_near_consider(&near, row->name, row->name);
        sw_near_consider_list(&near, row->other_names, row->name);
    }
    sw_near_say(&near, near_text, sizeof near_text);
    return sw_fail(error, SW_ERR_NAME, "the name '%s' is not known%s", name,
                   *near_text ? near_text
                              : "; names are written like NO3-N, SO4, "
                                "alkalinity, EC");
}

sw_status sw_parameter_find(const char *name, sw_parameter *parameter,
                            sw_error *error)
{
    char folded[MAX_NAME];
    memset(parameter, 0, sizeof *parameter);
    if (!sw_text_fold(name, folded, sizeof folded))
        return sw_fail(error, SW_ERR_NAME, "a name of more than %d characters",
                       MAX_NAME - 1);
    const parameter_row *row = find_row(folded);
    if (!row)
        return say_unknown(name, error);
    if (is_ambiguous(row))
        return sw_fail(error, SW_ERR_NAME,
                       "the name '%s' could mean more than one thing; choose: "
                       "%s",
                       name, row->remark);
    fill(row, parameter);
    return SW_OK;
}

bool sw_parameter_is_bare(const sw_parameter *parameter)
{
    return parameter->kind == SW_READS_OTHER &&
           isnan(parameter->component_per_mg);
}
