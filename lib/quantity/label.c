/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A product's label, "NO3-N 14.4; NH4-N 1.1; Ca 19", into what a gram of it
 * carries.  Names come from the one table of names; a form that is not
 * declared is refused, never guessed.
 */
#include "quantity/label.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "quantity/components.h"
#include "quantity/elements.h"
#include "quantity/formula_parse.h"
#include "quantity/status.h"
#include "quantity/text.h"
#include "quantity/units.h"

enum { MAX_LABEL = 600, MAX_ENTRY = 120 };

/* How one component was declared so far. */
typedef enum declared { NOT_DECLARED, DECLARED, DECLARED_HELD } declared;

typedef struct reader {
    char text[MAX_LABEL]; /* folded: one byte a character */
    sw_label *label;
    sw_content *per_g; /* the label's */
    declared seen[SW_COMPONENT_COUNT];
    bool held_by[SW_COMPONENT_COUNT][SW_CITRATE_CHELATOR + 1];
    bool carbon_seen[2];
    double chelate_meq_per_g; /* charge of the chelates' anions */
    double largest;           /* of the numbers printed */
    bool percent_sign;        /* beside any of them */
    unsigned long column;     /* of the entry being read */
    sw_error *error;
} reader;

/* One entry: name, its value, and the chelator its name ends in. */
typedef struct entry {
    char name[MAX_ENTRY];
    double value, last_digit; /* one unit of the last digit given */
    sw_chelator chelator;
} entry;

#define FAIL(r, status, ...)                                                   \
    sw_fail_at((r)->error, status, &(sw_place){NULL, 0, (r)->column},          \
               __VA_ARGS__)

static const struct chelator_name {
    const char *key;
    sw_chelator chelator;
    int group;
} chelator_names[] = {
    {"hedta", SW_HEDTA, SW_GROUP_HEDTA},
    {"edta", SW_EDTA, SW_GROUP_EDTA},
    {"dtpa", SW_DTPA, SW_GROUP_DTPA},
    {"eddha", SW_EDDHA, SW_GROUP_EDDHA},
};

enum { CHELATORS = sizeof chelator_names / sizeof *chelator_names };

/* ---- Taking the text apart ---------------------------------------------- */

/* Whether the entry ends here: `;`, or `,` that is no decimal mark. */
static bool ends_entry(const char *at)
{
    if (*at == ';' || !*at)
        return true;
    if (*at != ',')
        return false;
    at += 1 + strspn(at + 1, " ");
    return !isdigit((unsigned char)*at);
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

static void trim_end(char *text, const char *what)
{
    size_t length = strlen(text);
    while (length && strchr(what, text[length - 1]))
        text[--length] = '\0';
}

/* "15-0-0": a grade, which does not say the forms. */
static bool is_grade(const char *text)
{
    size_t length = strspn(text, "0123456789.,- ");
    return length == strlen(text) && strchr(text, '-');
}

static sw_status no_value(const reader *r, const char *text)
{
    if (is_grade(text))
        return FAIL(r, SW_ERR_SYNTAX,
                    "a grade such as %s does not say the forms of N; write "
                    "NO3-N, NH4-N, urea-N, P2O5, K2O with their %%",
                    text);
    return FAIL(r, SW_ERR_SYNTAX,
                "'%s' is not a name and a %%; a label is written like "
                "NO3-N 14.4; NH4-N 1.1; Ca 19",
                text);
}

/* A unit of the last digit of "14.4" or "14,4": 0.1. */
static double last_digit_of(const char *number)
{
    const char *mark = strpbrk(number, ".,");
    size_t decimals = mark ? strspn(mark + 1, "0123456789") : 0;
    return pow(10, -(double)decimals);
}

static sw_status split_entry(reader *r, char *text, entry *e)
{
    r->percent_sign = r->percent_sign || strchr(text, '%');
    trim_end(text, " %");
    char *number = trailing_number(text);
    if (!*number || number == text || is_grade(text) ||
        !strchr(" :=", number[-1]))
        return no_value(r, text);
    if (sw_number_parse(number, true, &e->value, NULL) != SW_OK)
        return no_value(r, text);
    e->last_digit = last_digit_of(number);
    *number = '\0';
    trim_end(text, " :=%");
    (void)snprintf(e->name, sizeof e->name, "%s", text);
    return *text ? SW_OK : no_value(r, number);
}

/*
 * What a printed figure leaves open: it is rounded, or cut off as a guaranteed
 * minimum, so that the truth lies from half a unit of its last digit below to
 * a whole one above (common practice, no source).
 */
static void leave_open(reader *r, sw_component component, double mg_per_digit,
                       double meq_per_mg_of_it)
{
    sw_label *label = r->label;
    double meq = mg_per_digit * meq_per_mg_of_it;
    label->printed[component] = true;
    label->below_mg_per_g[component] += 0.5 * mg_per_digit;
    label->above_mg_per_g[component] += mg_per_digit;
    label->gap_below_meq_per_g += fmax(0.5 * meq, -meq);
    label->gap_above_meq_per_g += fmax(-0.5 * meq, meq);
}

/* ---- What an entry declares --------------------------------------------- */

/* The metal of "Fe-EDTA", "Iron (DTPA)", "Mn EDTA"; SW_COMPONENT_COUNT when it
 * is none. */
static sw_component held_metal(const char *name, sw_chelator *chelator,
                               int *group)
{
    char key[SW_KEY_SIZE];
    sw_parameter p;
    if (!sw_text_key(name, key))
        return SW_COMPONENT_COUNT;
    size_t length = strlen(key);
    for (int i = 0; i < CHELATORS; i++) {
        size_t tail = strlen(chelator_names[i].key);
        if (length <= tail ||
            strcmp(key + length - tail, chelator_names[i].key) != 0)
            continue;
        key[length - tail] = '\0';
        *chelator = chelator_names[i].chelator;
        *group = chelator_names[i].group;
        if (sw_parameter_find(key, &p, NULL) != SW_OK)
            return SW_COMPONENT_COUNT;
        bool is_metal = sw_chelated_part(p.component) != SW_CARRIED_COUNT &&
                        p.component_per_mg == 1;
        return is_metal ? p.component : SW_COMPONENT_COUNT;
    }
    return SW_COMPONENT_COUNT;
}

static sw_status twice(const reader *r, sw_component component)
{
    return FAIL(r, SW_ERR_DUPLICATE, "%s is declared twice",
                sw_component_name(component));
}

static sw_status declare_held(reader *r, const entry *e, sw_component metal,
                              int group)
{
    double mg_per_g = 10 * e->value;
    if (r->seen[metal] == DECLARED)
        return FAIL(r, SW_ERR_DUPLICATE,
                    "%s is declared both by itself and in a chelate; write "
                    "what no chelator holds as 'free %s'",
                    sw_component_name(metal), sw_component_name(metal));
    if (r->held_by[metal][e->chelator])
        return twice(r, metal);
    r->seen[metal] = DECLARED_HELD;
    r->held_by[metal][e->chelator] = true;
    r->per_g->amount[metal] += mg_per_g;
    r->per_g->amount[sw_chelated_part(metal)] += mg_per_g;
    leave_open(r, metal, 10 * e->last_digit, 0);
    r->chelate_meq_per_g -=
        mg_per_g / sw_element_weight(sw_component_element(metal)) *
        (sw_chelated_charge(metal) + sw_group_of(group)->charge);
    return SW_OK;
}

static sw_status declare_component(reader *r, const entry *e,
                                   const sw_parameter *p, bool free_metal)
{
    declared before = r->seen[p->component];
    if (isnan(p->component_per_mg) || !strcmp(p->name, "Mg as CaCO3"))
        return FAIL(r, SW_ERR_NAME, "%s says nothing of a product", p->name);
    if (before == DECLARED_HELD && !free_metal)
        return FAIL(r, SW_ERR_DUPLICATE,
                    "%s is declared both by itself and in a chelate; write "
                    "what no chelator holds as 'free %s'",
                    p->name, p->name);
    if (before == DECLARED)
        return twice(r, p->component);
    if (!free_metal)
        r->seen[p->component] = DECLARED;
    r->per_g->amount[p->component] += 10 * e->value * p->component_per_mg;
    leave_open(r, p->component, 10 * e->last_digit * p->component_per_mg,
               sw_charge_per_mg(p->component));
    return SW_OK;
}

/* CO3 and HCO3 bring carbon. */
static sw_status declare_base(reader *r, const entry *e, const sw_parameter *p)
{
    bool carbonate = !strcmp(p->name, "CO3");
    bool bicarbonate = !strcmp(p->name, "HCO3");
    if (!carbonate && !bicarbonate && strcmp(p->name, "OH") != 0)
        return FAIL(r, SW_ERR_NAME,
                    "%s says nothing of a product; write CO3, HCO3 or OH in "
                    "%%, or 'alkalinity' in meq/g",
                    p->name);
    r->label->base_meq_per_g += 10 * e->value * p->component_per_mg;
    r->label->gap_below_meq_per_g += 10 * e->last_digit * p->component_per_mg;
    r->label->gap_above_meq_per_g += 5 * e->last_digit * p->component_per_mg;
    if (carbonate || bicarbonate) {
        if (r->carbon_seen[carbonate])
            return FAIL(r, SW_ERR_DUPLICATE, "%s is declared twice", p->name);
        r->carbon_seen[carbonate] = true;
        r->per_g->amount[SW_CARBON] +=
            10 * e->value * p->component_per_mg / p->component_per_mmol;
    }
    return SW_OK;
}

static sw_status declare_alkalinity(reader *r, const entry *e)
{
    if (r->label->alkalinity_given)
        return FAIL(r, SW_ERR_DUPLICATE, "alkalinity is declared twice");
    if (fabs(e->value) > 100)
        return FAIL(r, SW_ERR_VALUE, "alkalinity is in meq/g: %g is too much",
                    e->value);
    r->label->alkalinity_given = true;
    r->per_g->amount[SW_ALKALINITY] = e->value;
    return SW_OK;
}

static sw_status check_percent(const reader *r, const entry *e)
{
    if (e->value >= 0 && e->value <= 100)
        return SW_OK;
    return FAIL(r, SW_ERR_VALUE, "%s: %g %% lies outside 0 to 100", e->name,
                e->value);
}

/*
 * The elements declared may not outweigh the product.  Oxides may: 60 % K2O
 * and 47 % Cl are one potassium chloride.  Each may be rounded up by half a
 * digit, and a tenth of a percent is for atomic weights.
 */
static sw_status check_sum(const reader *r)
{
    double mg_per_g = 0;
    double rounding = 0;
    for (int i = 0; i < SW_COMPONENT_COUNT; i++) {
        mg_per_g += r->per_g->amount[i];
        rounding += r->label->below_mg_per_g[i];
    }
    if (mg_per_g <= 1001 + rounding)
        return SW_OK;
    return FAIL(r, SW_ERR_VALUE,
                "up to here the label's elements sum to %.1f %%, more than "
                "the whole",
                mg_per_g / 10);
}

/* Bags say "10 % urea nitrogen" and "10 % urea" of two things. */
static sw_status two_ureas(const reader *r, const entry *e,
                           const sw_parameter *p)
{
    return FAIL(r, SW_ERR_NAME,
                "'%s %g' could be either of: urea-N %g (urea nitrogen, as most "
                "labels give it) or urea-N %.4g (%g %% of urea by mass)",
                e->name, e->value, e->value, e->value * p->component_per_mg,
                e->value);
}

static sw_status find_parameter(const reader *r, const char *name,
                                sw_parameter *p)
{
    sw_error inner;
    sw_status status = sw_parameter_find(name, p, &inner);
    if (status != SW_OK)
        return FAIL(r, status, "%s", inner.message);
    if (p->kind == SW_READS_COMPONENT || p->kind == SW_READS_ALKALINITY)
        return SW_OK;
    return FAIL(
        r, SW_ERR_NAME,
        "nothing is calculated from %s of a product; leave it out of the "
        "label",
        p->name);
}

static sw_status declare(reader *r, entry *e)
{
    int group;
    sw_parameter p;
    sw_component metal = held_metal(e->name, &e->chelator, &group);
    bool held = metal < SW_COMPONENT_COUNT;
    bool free_metal =
        !strncmp(e->name, "free ", 5) || !strncmp(e->name, "Free ", 5);
    sw_status status = SW_OK;
    if (!held)
        status = find_parameter(r, e->name + (free_metal ? 5 : 0), &p);
    if (status == SW_OK && !held && !strcmp(p.name, "alkalinity"))
        return declare_alkalinity(r, e);
    if (status == SW_OK)
        status = check_percent(r, e);
    if (status != SW_OK)
        return status;
    r->largest = fmax(r->largest, e->value);
    if (!held && !strcmp(p.name, "urea") && !strchr(e->name, '('))
        return two_ureas(r, e, &p);
    if (held)
        return declare_held(r, e, metal, group);
    if (p.kind == SW_READS_ALKALINITY)
        return declare_base(r, e, &p);
    return declare_component(r, e, &p, free_metal);
}

/* ---- The whole ---------------------------------------------------------- */

double sw_content_charge_gap(const sw_content *per_g)
{
    double gap = -per_g->amount[SW_CHELATE_CHARGE];
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        gap += sw_unchelated_mg(per_g, (sw_component)i) *
               sw_charge_per_mg((sw_component)i);
    return gap;
}

int sw_content_elements(const sw_content *per_g)
{
    int elements = 0;
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        elements += !sw_component_is((sw_component)i, SW_IS_FORM) &&
                    per_g->amount[i] > 0;
    return elements;
}

/* The chelates' sodium is rarely declared; where it is, it is theirs first. */
static void sum_charges(reader *r)
{
    sw_content *c = r->per_g;
    double sodium = c->amount[SW_NA] / sw_element_weight("Na");
    c->amount[SW_N] = sw_sum_of(c, SW_IS_FORM);
    c->amount[SW_CHELATE_CHARGE] = fmin(r->chelate_meq_per_g, sodium);
    r->label->gap_meq_per_g = sw_content_charge_gap(c);
}

/* 0.144 for 14.4: every number below 1, and as fractions they make a product.
 */
static sw_status check_fractions(const reader *r)
{
    double mg_per_g = 0;
    for (int i = 0; i < SW_N; i++)
        mg_per_g += r->per_g->amount[i];
    if (r->percent_sign || r->largest >= 1 || !(mg_per_g > 0) ||
        mg_per_g > 10.01)
        return SW_OK;
    return sw_fail(r->error, SW_ERR_VALUE,
                   "no number of this label reaches 1, which could be "
                   "fractions or %% by mass; write 14.4 for a fraction of "
                   "0.144, or 0.144 %% with the sign");
}

double sw_content_charges(const sw_content *per_g)
{
    double charges = per_g->amount[SW_CHELATE_CHARGE];
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        charges += fabs(sw_unchelated_mg(per_g, (sw_component)i) *
                        sw_charge_per_mg((sw_component)i));
    return charges;
}

double sw_content_imbalance(const sw_content *per_g)
{
    double charges = sw_content_charges(per_g);
    double share = charges > 0 ? per_g->amount[SW_ALKALINITY] / charges : 0;
    return fmax(-1, fmin(1, share));
}

static sw_status read_entry(reader *r, const char *start, size_t length)
{
    char text[MAX_ENTRY];
    entry e = {.chelator = SW_CHELATOR_NONE};
    if (length >= sizeof text)
        return FAIL(r, SW_ERR_LIMIT, "an entry of more than %d characters",
                    MAX_ENTRY - 1);
    memcpy(text, start, length);
    text[length] = '\0';
    sw_status status = split_entry(r, text, &e);
    if (status == SW_OK)
        status = declare(r, &e);
    return status == SW_OK ? check_sum(r) : status;
}

/* The next entry's start and length; false at the end. */
static bool next_entry(const char **at, const char **start, size_t *length)
{
    *at += strspn(*at, " ;,");
    *start = *at;
    while (!ends_entry(*at))
        (*at)++;
    *length = (size_t)(*at - *start);
    return *length > 0;
}

static sw_status read_entries(reader *r)
{
    const char *at = r->text;
    const char *start;
    size_t length;
    bool any = false;
    sw_status status = SW_OK;
    while (status == SW_OK && next_entry(&at, &start, &length)) {
        any = true;
        r->column = (unsigned long)(start - r->text) + 1;
        status = read_entry(r, start, length);
    }
    return status == SW_OK && !any ? no_value(r, "") : status;
}

sw_status sw_label_read(const char *text, sw_label *label, sw_error *error)
{
    reader r = {
        .label = label, .per_g = &label->per_g, .error = error, .column = 1};
    memset(label, 0, sizeof *label);
    if (!sw_text_fold(text, r.text, sizeof r.text))
        return sw_fail(error, SW_ERR_LIMIT,
                       "a label of more than %d characters", MAX_LABEL - 1);
    sw_status status = read_entries(&r);
    if (status == SW_OK)
        status = check_fractions(&r);
    if (status == SW_OK)
        sum_charges(&r);
    else
        memset(label, 0, sizeof *label);
    return status;
}

sw_chelator sw_label_chelator(const char *label)
{
    char text[MAX_LABEL];
    char entry_text[MAX_ENTRY];
    const char *at = text;
    const char *start;
    size_t length;
    sw_chelator found = SW_CHELATOR_NONE;
    if (!sw_text_fold(label, text, sizeof text))
        return found;
    while (next_entry(&at, &start, &length)) {
        sw_chelator chelator;
        int group;
        if (length >= sizeof entry_text)
            continue;
        memcpy(entry_text, start, length);
        entry_text[length] = '\0';
        trim_end(entry_text, " %");
        *trailing_number(entry_text) = '\0';
        sw_component metal = held_metal(entry_text, &chelator, &group);
        if (metal == SW_FE)
            return chelator;
        if (metal < SW_COMPONENT_COUNT && found == SW_CHELATOR_NONE)
            found = chelator;
    }
    return found;
}
