/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A product's label, "NO3-N 14.4; NH4-N 1.1; Ca 19" or a guaranteed analysis,
 * into what a gram of it carries.  Names come from the one table of names; a
 * form that is not declared is refused, never guessed.
 */
#include "quantity/label.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "quantity/components.h"
#include "quantity/label_claims.h"
#include "quantity/status.h"
#include "quantity/text.h"
#include "quantity/units.h"
#include "table_refusals.h"

typedef sw_label_entry entry;

typedef struct reader {
    sw_label_text text;
    sw_label *label;
    sw_content *per_g; /* the label's */
    sw_claims of[SW_COMPONENT_COUNT];
    bool carbon_seen[2];
    double largest;        /* of the numbers printed */
    bool percent_sign;     /* beside any of them */
    double given_g_per_ml; /* density, where the label has none */
    double grade[3];       /* N, P and K as printed ahead of it */
    unsigned long graded;  /* its column; 0: there is none */
    unsigned long column;  /* of the entry being read */
    sw_error *error;
} reader;

#define FAIL(r, ...)                                                           \
    sw_fail_at((r)->error, &(sw_place){NULL, 0, (r)->column}, __VA_ARGS__)

/* ---- What an entry declares --------------------------------------------- */

/* Whether a chelator stood in the name, which is then taken out. */
static bool cut_chelator(char *name, const char *key)
{
    size_t length = strlen(name);
    size_t tail = strlen(key);
    char *glued = length > tail ? name + length - tail : name;
    char end[8] = "";
    if (sw_text_blank(name, &key, 1))
        return true;
    if (glued == name)
        return false;
    (void)snprintf(end, sizeof end, "%s", glued);
    if (!sw_text_word_at(end, end, key))
        return false;
    *glued = '\0';
    return true;
}

static void trim_held(char *name)
{
    char *open = strchr(name, '(');
    if (open && open[1 + strspn(open + 1, " ")] == ')')
        memset(open, ' ', 2 + strspn(open + 1, " "));
    sw_text_trim(name, " -(:,");
    memmove(name, name + strspn(name, " -"),
            strlen(name + strspn(name, " -")) + 1);
}

/* The metal of "Fe-EDTA", "Iron (DTPA)", "Mn EDTA"; SW_COMPONENT_COUNT when it
 * is none. */
static sw_component held_metal(const char *text, const sw_chelator_name **by)
{
    const sw_chelator_name *one;
    for (size_t i = 0; (one = sw_chelator_named(i)); i++) {
        char name[SW_LABEL_ENTRY];
        sw_parameter p;
        (void)snprintf(name, sizeof name, "%s", text);
        if (!cut_chelator(name, one->key))
            continue;
        trim_held(name);
        *by = one;
        if (!*name || sw_parameter_find(name, &p, NULL) != SW_OK)
            return SW_COMPONENT_COUNT;
        bool is_metal = p.component < SW_COMPONENT_COUNT &&
                        sw_chelated_part(p.component) != SW_CARRIED_COUNT &&
                        p.component_per_mg == 1;
        return is_metal ? p.component : SW_COMPONENT_COUNT;
    }
    return SW_COMPONENT_COUNT;
}

static sw_status twice(const reader *r, const char *name)
{
    return FAIL(r, SW_BAD_LABEL_TWICE, name);
}

static sw_status both_ways(const reader *r, const char *name)
{
    return FAIL(r, SW_BAD_LABEL_FREE_AND_CHELATED, name, name);
}

/* Where a component stands on the label, and whether by its own name. */
static void mark(reader *r, sw_component component, bool by_element)
{
    unsigned long *column = &r->label->columns[component];
    bool *all = &r->label->by_element[component];
    *all = by_element && (*all || !*column);
    if (!*column)
        *column = r->column;
}

static sw_status declare_held(reader *r, const entry *e, sw_component metal,
                              const sw_chelator_name *by)
{
    const char *name = sw_component_name(metal);
    sw_claims *c = &r->of[metal];
    double mg_per_g = 10 * e->value;
    bool worded = e->role == SW_LABEL_CHELATED;
    if (sw_claims_dissolved(c).made && !worded)
        return both_ways(r, name);
    if (c->held[by->chelator].made)
        return twice(r, name);
    c->beside = c->beside || !worded;
    sw_claim_add(&c->held[by->chelator], mg_per_g, 10 * e->last_digit);
    sw_claim_add(&c->held[0], mg_per_g, 10 * e->last_digit);
    mark(r, metal, true);
    sw_claims_settle(c, metal, r->label);
    return SW_OK;
}

static sw_status check_claim(const reader *r, const entry *e,
                             const sw_parameter *p, bool free_metal)
{
    const sw_claims *c = &r->of[p->component];
    bool chelated = e->role == SW_LABEL_CHELATED;
    if (isnan(p->component_per_mg) || !strcmp(p->name, "Mg as CaCO3"))
        return FAIL(r, SW_BAD_LABEL_SAYS_NOTHING, p->name);
    if (chelated && sw_chelated_part(p->component) == SW_CARRIED_COUNT)
        return FAIL(r, SW_BAD_LABEL_CHELATE, p->name);
    if (c->beside && !free_metal && !chelated)
        return both_ways(r, p->name);
    if (!free_metal && c->part[e->role].made) {
        char name[60];
        (void)snprintf(name, sizeof name, "%s%s",
                       sw_component_name(p->component),
                       sw_label_role_name(e->role));
        return twice(r, name);
    }
    return SW_OK;
}

/* "26.6 % CaO" beside "Calcium 19 %". */
static sw_status check_again(reader *r, const entry *e, const sw_claim *first)
{
    entry second;
    sw_parameter p;
    if (!*e->again)
        return SW_OK;
    sw_status status =
        sw_label_split(e->again, strlen(e->again), &second, r->error);
    if (status == SW_OK)
        status = sw_parameter_find(second.name, &p, r->error);
    if (status != SW_OK)
        return FAIL(r, status, "'%s' is not understood", e->again);
    double per_mg = 10 * p.component_per_mg;
    sw_claim as = {true, per_mg * second.value, per_mg * second.last_digit};
    if (sw_claim_low(&as) <= sw_claim_high(first) &&
        sw_claim_high(&as) >= sw_claim_low(first))
        return SW_OK;
    return FAIL(r, SW_BAD_LABEL_NOT_ITS_PARTS, e->again, e->value, e->name);
}

static sw_status declare_component(reader *r, const entry *e,
                                   const sw_parameter *p, bool free_metal)
{
    sw_claims *c = &r->of[p->component];
    sw_status status = check_claim(r, e, p, free_metal);
    if (status != SW_OK)
        return status;
    double per_percent = 10 * p->component_per_mg;
    sw_claim *to = free_metal ? &c->free : &c->part[e->role];
    sw_claim_add(to, per_percent * e->value, per_percent * e->last_digit);
    mark(r, p->component, p->component_per_mg == 1);
    sw_claims_settle(c, p->component, r->label);
    if (e->role == SW_LABEL_UNDISSOLVED && p->component != SW_N)
        sw_text_join(r->label->lost, sizeof r->label->lost, ", ", "%s",
                     e->name);
    return check_again(r, e, to);
}

/* In total, or the part of it that is of no named form or does not dissolve. */
static sw_status declare_nitrogen(reader *r, entry *e)
{
    sw_parameter n;
    sw_parameter_nitrogen(&n);
    bool all = e->role == SW_LABEL_WHOLE;
    bool perhaps = e->role == SW_LABEL_AVAILABLE || e->role == SW_LABEL_SOLUBLE;
    if (all || (perhaps && !r->label->n_column))
        r->label->n_column = r->column;
    sw_status status = check_claim(r, e, &n, false);
    if (status == SW_OK)
        sw_claim_add(&r->of[SW_N].part[e->role], 10 * e->value,
                     10 * e->last_digit);
    return status;
}

/* CO3 and HCO3 bring carbon. */
static sw_status declare_base(reader *r, const entry *e, const sw_parameter *p)
{
    bool carbonate = !strcmp(p->name, "CO3");
    bool bicarbonate = !strcmp(p->name, "HCO3");
    if (!carbonate && !bicarbonate && strcmp(p->name, "OH") != 0)
        return FAIL(r, SW_BAD_LABEL_CARBONATE, p->name);
    r->label->base_meq_per_g += 10 * e->value * p->component_per_mg;
    r->label->gap_below_meq_per_g += 10 * e->last_digit * p->component_per_mg;
    r->label->gap_above_meq_per_g += 5 * e->last_digit * p->component_per_mg;
    if (carbonate || bicarbonate) {
        if (r->carbon_seen[carbonate])
            return FAIL(r, SW_BAD_LABEL_TWICE, p->name);
        r->carbon_seen[carbonate] = true;
        r->per_g->amount[SW_CARBON] +=
            10 * e->value * p->component_per_mg / p->component_per_mmol;
    }
    return SW_OK;
}

static sw_status declare_alkalinity(reader *r, const entry *e)
{
    if (r->label->alkalinity_given)
        return FAIL(r, SW_BAD_LABEL_ALKALINITY_TWICE);
    if (fabs(e->value) > 100)
        return FAIL(r, SW_BAD_LABEL_ALKALINITY, e->value);
    r->label->alkalinity_given = true;
    r->per_g->amount[SW_ALKALINITY] = e->value;
    return SW_OK;
}

static sw_status check_percent(const reader *r, const entry *e)
{
    if (e->value >= 0 && e->value <= 100)
        return SW_OK;
    return FAIL(r, SW_BAD_LABEL_PERCENT, e->name, e->value);
}

/* Bags say "10 % urea nitrogen" and "10 % urea" of two things. */
static sw_status two_ureas(const reader *r, const entry *e,
                           const sw_parameter *p)
{
    return FAIL(r, SW_BAD_LABEL_UREA_TWO_WAYS, e->name, e->value, e->value,
                e->value * p->component_per_mg, e->value);
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
    return FAIL(r, SW_BAD_LABEL_OF_NO_USE, p->name);
}

static bool starts_free(const char *name)
{
    return !strncmp(name, "free ", 5) || !strncmp(name, "Free ", 5);
}

static sw_status declare_named(reader *r, const entry *e, const sw_parameter *p)
{
    if (!strcmp(p->name, "urea") && !strchr(e->name, '('))
        return two_ureas(r, e, p);
    if (p->kind == SW_READS_ALKALINITY)
        return declare_base(r, e, p);
    return declare_component(r, e, p, starts_free(e->name));
}

/* "Fe-HBED", "Iron (IDHA)": chelated iron, by what our tables lack. */
static void cut_untabled(reader *r, entry *e)
{
    char *tail = e->name + strlen(e->name);
    char by[12];
    while (tail > e->name && !strchr(" -(", tail[-1]))
        tail--;
    (void)snprintf(by, sizeof by, "%.*s", (int)strcspn(tail, ")"), tail);
    if (tail == e->name || !sw_label_meaning(by, SW_LABEL_UNTABLED))
        return;
    memcpy(r->label->untabled, by, sizeof by);
    *tail = '\0';
    trim_held(e->name);
    e->role = SW_LABEL_CHELATED;
}

static sw_status declare(reader *r, entry *e)
{
    cut_untabled(r, e);
    const sw_chelator_name *by = NULL;
    sw_parameter p = {.name = ""};
    sw_component metal = held_metal(e->name, &by);
    bool is_held = metal < SW_COMPONENT_COUNT;
    bool nitrogen = !strcmp(e->name, "N");
    sw_status status = SW_OK;
    if (!is_held && !nitrogen)
        status =
            find_parameter(r, e->name + (starts_free(e->name) ? 5 : 0), &p);
    if (status == SW_OK && !strcmp(p.name, "alkalinity"))
        return declare_alkalinity(r, e);
    if (status == SW_OK)
        status = check_percent(r, e);
    if (status != SW_OK)
        return status;
    r->percent_sign = r->percent_sign || e->unit;
    r->largest = fmax(r->largest, e->value);
    if (is_held)
        return declare_held(r, e, metal, by);
    return nitrogen ? declare_nitrogen(r, e) : declare_named(r, e, &p);
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
    return sw_fail(r->error, SW_BAD_LABEL_FRACTIONS);
}

/* A heading, an address, a lot: lines of a bag that say nothing of it. */
static bool is_idle_line(reader *r, const char *start, size_t length,
                         sw_status status)
{
    if (!r->text.pasted || memchr(start, '%', length) ||
        (status != SW_ERR_SYNTAX && status != SW_ERR_NAME))
        return false;
    if (sw_label_begins(start, SW_LABEL_NOTHING))
        return true;
    sw_text_join(r->label->unread, sizeof r->label->unread, ", ", "'%.*s'",
                 (int)length, start);
    return true;
}

/* Without "@ 68 F", "at 20 degC" or "(20 C)" at its end, and that blank. */
static void cut_temperature(char *text)
{
    static const char *const words[] = {"at", "bei", "a", "bij"};
    sw_text_trim(text, " ).");
    size_t end = strlen(text);
    if (!end || !strchr("FCfc", text[end - 1]))
        return;
    size_t letter = --end;
    while (end && !isdigit((unsigned char)text[end - 1]) &&
           letter - end <= sizeof "degrees")
        end--;
    end = sw_text_cut(text, end, "0123456789.,");
    if (end == letter)
        return;
    end = sw_text_cut(text, end, " ");
    size_t word = end;
    while (word && isalpha((unsigned char)text[word - 1]))
        word--;
    bool joined = end && strchr("@(", text[end - 1]);
    for (size_t i = 0; i < sizeof words / sizeof *words && !joined; i++)
        joined = word < end && sw_text_word_at(text, text + word, words[i]);
    if (!joined)
        return;
    text[sw_text_cut(text, word < end ? word : end - 1, " ")] = '\0';
}

/* "Density at 20 C: 1.24 kg/L", "Weight per gallon 10.3 lb", "specific gravity
 * 1.2": the last number of the entry and its unit. */
static sw_status read_density(reader *r, const char *start, size_t length)
{
    char text[SW_LABEL_ENTRY];
    double value = NAN;
    double g_per_l = 1000;
    if (!sw_label_begins(start, SW_LABEL_DENSITY))
        return SW_OK;
    (void)snprintf(text, sizeof text, "%.*s", (int)length, start);
    cut_temperature(text);
    size_t unit = strlen(text);
    while (unit && !isdigit((unsigned char)text[unit - 1]))
        unit--;
    size_t number = sw_text_cut(text, unit, "0123456789.,");
    char digits[SW_LABEL_ENTRY];
    (void)snprintf(digits, sizeof digits, "%.*s", (int)(unit - number),
                   text + number);
    char *named = text + unit + strspn(text + unit, " ");
    if (*named && !strpbrk(named, "/") && !strstr(named, "per"))
        sw_text_add(text, sizeof text, "/gal");
    bool known =
        sw_number_parse(digits, true, &value, NULL) == SW_OK &&
        (!*named || sw_rate_convert(named, NAN, &g_per_l, NULL) == SW_OK);
    r->label->density_g_per_ml = value * g_per_l / 1000;
    if (known && r->label->density_g_per_ml >= 0.6 &&
        r->label->density_g_per_ml <= 2.5)
        return SW_OK;
    return FAIL(r, SW_BAD_LABEL_DENSITY, (int)length, start);
}

/* g in 100 mL over g/mL are g in 100 g. */
static sw_status to_mass(const reader *r, entry *e)
{
    double own = r->label->density_g_per_ml;
    double g_per_ml = own > 0 ? own : r->given_g_per_ml;
    if (!e->by_volume)
        return SW_OK;
    if (!(g_per_ml > 0))
        return FAIL(r, SW_BAD_LABEL_BY_VOLUME, e->name);
    e->value /= g_per_ml;
    e->last_digit /= g_per_ml;
    return SW_OK;
}

/* A grade alone, or behind the product's name. */
static bool take_grade(reader *r, const char *start, size_t length)
{
    double grade[3];
    if (memchr(start, '%', length) || !sw_label_grade(start, length, grade))
        return false;
    if (!r->graded) {
        memcpy(r->grade, grade, sizeof grade);
        r->graded = r->column;
    }
    return true;
}

/* "Phosphoric acid 75 %" says what is in the bottle, not what it brings. */
static bool names_acid(const char *start, size_t length)
{
    char line[SW_KEY_SIZE];
    (void)snprintf(line, sizeof line, "%.*s", (int)length, start);
    return sw_label_says(line, SW_LABEL_ACID);
}

static sw_status read_entry(reader *r, const char *start, size_t length)
{
    entry e;
    sw_error inner;
    if (sw_label_begins(start, SW_LABEL_DENSITY) ||
        take_grade(r, start, length))
        return SW_OK;
    sw_status status = sw_label_split(start, length, &e, &inner);
    if (status == SW_OK) {
        status = to_mass(r, &e);
        if (status == SW_OK)
            status = declare(r, &e);
        inner = r->error && status != SW_OK ? *r->error : inner;
    }
    if (status == SW_OK)
        return SW_OK;
    if (is_idle_line(r, start, length, status))
        return SW_OK;
    if (status == SW_ERR_NAME && names_acid(start, length))
        return FAIL(r, SW_BAD_LABEL_ACID, (int)length, start);
    return FAIL(r, status, "%s", inner.message);
}

/* The density is for figures before it too. */
static sw_status read_all(reader *r,
                          sw_status (*read)(reader *r, const char *, size_t))
{
    const char *start;
    size_t length;
    sw_status status = SW_OK;
    r->text.at = r->text.text;
    while (status == SW_OK && sw_label_next(&r->text, &start, &length)) {
        r->column = (unsigned long)(start - r->text.text) + 1;
        status = read(r, start, length);
    }
    return status;
}

static sw_status read_entries(reader *r)
{
    bool any = false;
    sw_status status = read_all(r, read_density);
    if (status == SW_OK)
        status = read_all(r, read_entry);
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        any = any || r->label->printed[i];
    any = any || r->label->alkalinity_given || r->label->base_meq_per_g > 0 ||
          r->of[SW_N].part[SW_LABEL_WHOLE].made;
    if (status != SW_OK || any)
        return status;
    if (r->graded)
        return FAIL(r, SW_BAD_LABEL_GRADE_ALONE_TOO, r->grade[0], r->grade[1],
                    r->grade[2]);
    return FAIL(r, SW_BAD_LABEL_NO_FIGURE);
}

void sw_grade_of(const sw_content *per_g, double n_mg_per_g, double as[2][3])
{
    static const char *const oxides[2] = {"P2O5", "K2O"};
    static const sw_component elements[2] = {SW_P, SW_K};
    as[0][0] = as[1][0] = n_mg_per_g / 10;
    for (int i = 0; i < 2; i++) {
        sw_parameter p = {.component_per_mg = 1};
        (void)sw_parameter_find(oxides[i], &p, NULL);
        as[1][i + 1] = per_g->amount[elements[i]] / 10;
        as[0][i + 1] = as[1][i + 1] / p.component_per_mg;
    }
}

/* A grade is rounded, or cut, to whole percent, and P and K in it are both
 * oxides or both elements. */
static sw_status check_grade(const reader *r)
{
    static const char *const names[3] = {"N", "P2O5", "K2O"};
    const sw_place place = {NULL, 0, r->graded};
    double as[2][3];
    bool fits[2] = {true, true};
    const double *amount = r->label->per_g.amount;
    double forms = amount[SW_NO3_N] + amount[SW_NH4_N] + amount[SW_UREA_N];
    if (!r->graded)
        return SW_OK;
    sw_grade_of(&r->label->per_g, fmax(r->label->n_total_mg_per_g, forms), as);
    for (int i = 0; i < 3; i++) {
        bool one[2] = {fabs(r->grade[i] - as[0][i]) < 1,
                       fabs(r->grade[i] - as[1][i]) < 1};
        if (!one[0] && !one[1])
            return sw_fail_at(r->error, &place, SW_BAD_LABEL_GRADE, r->grade[0],
                              r->grade[1], r->grade[2], names[i], r->grade[i],
                              as[0][i]);
        fits[0] = fits[0] && one[0];
        fits[1] = fits[1] && one[1];
    }
    if (fits[0] || fits[1])
        return SW_OK;
    return sw_fail_at(r->error, &place, SW_BAD_LABEL_GRADE_MIXED, r->grade[0],
                      r->grade[1], r->grade[2], as[0][1], as[1][1], as[0][2],
                      as[1][2]);
}

sw_status sw_label_read(const char *text, const char *name,
                        double density_g_per_ml, sw_label *label,
                        sw_error *error)
{
    sw_error own;
    reader r = {.label = label,
                .per_g = &label->per_g,
                .error = error ? error : &own,
                .given_g_per_ml = density_g_per_ml,
                .column = 1};
    memset(label, 0, sizeof *label);
    sw_status status = sw_label_open(text, &r.text, r.error);
    if (status == SW_OK) {
        (void)snprintf(label->derived, sizeof label->derived, "%s",
                       r.text.derived);
        status = read_entries(&r);
    }
    if (status == SW_OK)
        status = check_fractions(&r);
    if (status == SW_OK)
        status = sw_claims_conclude(r.of, name, label, r.error);
    if (status == SW_OK)
        status = check_grade(&r);
    if (status == SW_OK)
        status = sw_label_check_whole(label, r.error);
    if (status != SW_OK)
        memset(label, 0, sizeof *label);
    return status;
}
