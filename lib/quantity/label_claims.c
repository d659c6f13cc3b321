/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The figures of a label against each other: what dissolves of a total, what a
 * chelator holds, the forms of nitrogen, and the charges they make.
 */
#include "quantity/label_claims.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "quantity/components.h"
#include "quantity/formula_parse.h"
#include "quantity/text.h"
#include "quantity/units.h"
#include "table_refusals.h"

static const sw_chelator_name chelator_names[] = {
    {"hedta", SW_HEDTA, SW_GROUP_HEDTA},
    {"edta", SW_EDTA, SW_GROUP_EDTA},
    {"dtpa", SW_DTPA, SW_GROUP_DTPA},
    {"eddha", SW_EDDHA, SW_GROUP_EDDHA},
};

enum { CHELATOR_NAMES = sizeof chelator_names / sizeof *chelator_names };

/* A chelate of which the label does not say by what: the weakest of them. */
static const sw_chelator chelator_assumed = SW_EDTA;

const sw_chelator_name *sw_chelator_named(size_t index)
{
    return index < CHELATOR_NAMES ? &chelator_names[index] : NULL;
}

SW_TEXTS(sw_chelator_word, sw_chelator, "", "none", "EDTA", "HEDTA", "DTPA",
         "EDDHA", "citrate")

const char *sw_label_role_name(sw_label_role role)
{
    const char *const names[] = {
        [SW_LABEL_WHOLE] = "",
        [SW_LABEL_AVAILABLE] = ", the available part,",
        [SW_LABEL_SOLUBLE] = ", the water-soluble part,",
        [SW_LABEL_CHELATED] = ", the chelated part,",
        [SW_LABEL_OTHER] = ", other water soluble,",
        [SW_LABEL_UNDISSOLVED] = ", the insoluble part,",
        [SW_LABEL_MOST] = ", the most,",
    };
    return names[role];
}

double sw_claim_low(const sw_claim *c)
{
    return c->mg_per_g - 0.5 * c->digit;
}

double sw_claim_high(const sw_claim *c)
{
    return c->mg_per_g + c->digit;
}

void sw_claim_add(sw_claim *to, double mg_per_g, double digit)
{
    to->made = true;
    to->mg_per_g += mg_per_g;
    to->digit += digit;
}

sw_claim sw_claims_dissolved(const sw_claims *c)
{
    sw_claim found = {.made = false};
    for (int role = SW_LABEL_WHOLE; role <= SW_LABEL_SOLUBLE; role++)
        if (c->part[role].made)
            found = c->part[role];
    return found;
}

/* What is held of it: by those named, or all that is chelated. */
static sw_claim held(const sw_claims *c)
{
    return c->part[SW_LABEL_CHELATED].made ? c->part[SW_LABEL_CHELATED]
                                           : c->held[0];
}

void sw_claims_settle(const sw_claims *c, sw_component component,
                      sw_label *label)
{
    sw_claim all = sw_claims_dissolved(c);
    sw_claim chelated = held(c);
    sw_component part = sw_chelated_part(component);
    if (!all.made || all.mg_per_g < chelated.mg_per_g)
        all = chelated.made ? chelated : all;
    if (c->free.made)
        sw_claim_add(&all, c->free.mg_per_g, c->free.digit);
    label->printed[component] = all.made;
    label->per_g.amount[component] = all.mg_per_g;
    label->below_mg_per_g[component] = 0.5 * all.digit;
    label->above_mg_per_g[component] = all.digit;
    if (!all.made)
        label->above_mg_per_g[component] = c->part[SW_LABEL_MOST].mg_per_g;
    if (part != SW_CARRIED_COUNT)
        label->per_g.amount[part] = chelated.mg_per_g;
}

/* ---- Parts and wholes --------------------------------------------------- */

static sw_status check_part(const sw_claim *part, const sw_claim *whole,
                            sw_component component, int role, sw_error *error)
{
    if (!part->made || !whole->made ||
        sw_claim_low(part) <= sw_claim_high(whole))
        return SW_OK;
    return sw_fail(error, SW_BAD_CLAIM_ABOVE_WHOLE,
                   sw_component_name(component),
                   sw_label_role_name((sw_label_role)role), part->mg_per_g / 10,
                   whole->mg_per_g / 10);
}

/* Each of what it is a part of; by named chelators of all that is chelated. */
static sw_status check_parts(const sw_claims *c, sw_component component,
                             sw_error *error)
{
    sw_claim whole = {.made = false};
    sw_status status = check_part(&c->held[0], &c->part[SW_LABEL_CHELATED],
                                  component, SW_LABEL_CHELATED, error);
    for (int role = SW_LABEL_WHOLE;
         role <= SW_LABEL_CHELATED && !status && !c->beside; role++) {
        sw_claim part = role == SW_LABEL_CHELATED ? held(c) : c->part[role];
        status = check_part(&part, &whole, component, role, error);
        whole = part.made ? part : whole;
    }
    return status;
}

/* "Water soluble nitrogen" is the total where none is printed; else it is of no
 * named form. */
static void place_soluble(sw_claims *n)
{
    sw_claim *total = &n->part[SW_LABEL_WHOLE];
    for (int role = SW_LABEL_AVAILABLE; role <= SW_LABEL_SOLUBLE; role++)
        if (n->part[role].made)
            sw_claim_add(total->made ? &n->part[SW_LABEL_OTHER] : total,
                         n->part[role].mg_per_g, n->part[role].digit);
}

/* The forms of N, and what is of none: what they leave of the total. */
static sw_status check_nitrogen(const sw_claims *of, sw_label *label,
                                sw_error *error)
{
    const sw_claims *n = &of[SW_N];
    sw_claim forms = n->part[SW_LABEL_OTHER];
    const sw_claim *total = &n->part[SW_LABEL_WHOLE];
    for (int i = 0; i < SW_N; i++)
        if (sw_component_is((sw_component)i, SW_IS_FORM) && label->printed[i]) {
            sw_claim form = sw_claims_dissolved(&of[i]);
            sw_claim_add(&forms, form.mg_per_g, form.digit);
        }
    sw_claim_add(&forms, n->part[SW_LABEL_UNDISSOLVED].mg_per_g,
                 n->part[SW_LABEL_UNDISSOLVED].digit);
    label->n_total_mg_per_g = total->mg_per_g;
    label->n_open = total->made && sw_claim_high(&forms) < sw_claim_low(total);
    if (total->made && sw_claim_low(&forms) > sw_claim_high(total))
        return sw_fail_at(error, &(sw_place){NULL, 0, label->n_column},
                          SW_BAD_N_FORMS_SUM, forms.mg_per_g / 10,
                          total->mg_per_g / 10);
    if (!label->n_open || *label->derived)
        return SW_OK;
    return sw_label_ask_forms(label, error);
}

sw_status sw_label_ask_forms(const sw_label *label, sw_error *error)
{
    double formed = sw_sum_of(&label->per_g, SW_IS_FORM);
    return sw_fail_at(error, &(sw_place){NULL, 0, label->n_column},
                      SW_BAD_N_FORMS_MISSING, label->n_total_mg_per_g / 10,
                      formed / 10);
}

/* Not of N, of which what dissolves without a form counts as uncharged. */
static sw_status check_wholes(sw_claims *of, sw_label *label, sw_error *error)
{
    const sw_claim *other = &of[SW_N].part[SW_LABEL_OTHER];
    sw_status status = SW_OK;
    for (int i = 0; i < SW_N && status == SW_OK; i++)
        status = check_parts(&of[i], (sw_component)i, error);
    place_soluble(&of[SW_N]);
    if (status == SW_OK)
        status = check_nitrogen(of, label, error);
    label->n_unformed_mg_per_g = other->mg_per_g;
    label->per_g.amount[SW_UREA_N] += other->mg_per_g;
    if (of[SW_N].part[SW_LABEL_UNDISSOLVED].made)
        sw_text_join(label->lost, sizeof label->lost, ", ", "%s", "N");
    return status;
}

/* ---- Chelators of a list ------------------------------------------------ */

/* What a name of the list says: metals by component, chelators by kind. */
typedef struct listed_name {
    bool metal[SW_N], any_metal;
    bool negated; /* "not EDTA", up to a number: "No. 1 EDTA" */
    unsigned chelators;
    char untabled[12]; /* HBED */
} listed_name;

/* Chelators of a metal over the whole list; whether each of its names, of
 * which there is one, has one. */
typedef struct listed_chelators {
    unsigned any;
    bool named, bare;
    bool negated; /* "not chelated" */
    char untabled[12];
} listed_chelators;

/* "DTPA", "HBED", or either behind the rest of `head`, which is kept. */
static void take_chelator(listed_name *name, char *head)
{
    char key[SW_KEY_SIZE];
    sw_text_key(head, key);
    size_t length = strlen(key) == strlen(head) ? strlen(key) : 0;
    for (size_t k = 0; k < CHELATOR_NAMES; k++) {
        size_t tail = strlen(chelator_names[k].key);
        if (length < tail ||
            strcmp(key + length - tail, chelator_names[k].key) != 0)
            continue;
        if (!name->negated)
            name->chelators |= 1U << chelator_names[k].chelator;
        head[length - tail] = '\0';
        return;
    }
    size_t at = strspn(head, "NaFeMnZCu"); /* "NaFeHBED" */
    for (size_t i = 0; i <= at && head[i]; i++) {
        if (!sw_label_meaning(head + i, SW_LABEL_UNTABLED))
            continue;
        if (!name->negated)
            (void)snprintf(name->untabled, sizeof name->untabled, "%s",
                           head + i);
        head[i] = '\0';
        return;
    }
}

/* "iron", "DTPA", "NaFeEDDHA", "not". */
static void take_token(listed_name *name, const char *token)
{
    sw_parameter p;
    char head[SW_LABEL_ENTRY];
    size_t length = strlen(token);
    (void)snprintf(head, sizeof head, "%s", token);
    if (!strcasecmp(token, "free")) { /* "EDTA-free" */
        name->chelators = 0;
        name->untabled[0] = '\0';
    }
    name->negated =
        !isdigit((unsigned char)*token) &&
        (name->negated || sw_label_meaning(token, SW_LABEL_NOT) != NULL);
    take_chelator(name, head);
    bool known = sw_parameter_find(head, &p, NULL) == SW_OK;
    for (int i = 0; i < SW_N; i++) {
        sw_component metal = (sw_component)i;
        if (sw_chelated_part(metal) == SW_CARRIED_COUNT)
            continue;
        bool glued = head[0] && strlen(head) < length &&
                     strstr(head, sw_component_name(metal));
        bool said = glued || (known && p.component == metal) ||
                    (metal == SW_FE && sw_label_says(head, SW_LABEL_IRON));
        name->metal[i] = name->metal[i] || said;
        name->any_metal = name->any_metal || said;
    }
}

/* A chelator beside no metal is iron's. */
static void take_name(listed_chelators *l, listed_name *name, int metal)
{
    bool its = name->metal[metal] || (metal == SW_FE && !name->any_metal);
    if (its)
        l->any |= name->chelators;
    l->named = l->named || name->metal[metal];
    l->bare = l->bare ||
              (name->metal[metal] && !name->chelators && !name->untabled[0]);
    l->negated = l->negated || name->negated;
    if (its && name->untabled[0])
        memcpy(l->untabled, name->untabled, sizeof l->untabled);
    *name = (listed_name){.chelators = 0};
}

static listed_chelators chelators_of(const char *list, int metal)
{
    listed_chelators l = {.any = 0};
    listed_name name = {.chelators = 0};
    while (*list) {
        char token[SW_LABEL_ENTRY];
        size_t length = 0;
        while (isalnum((unsigned char)list[length]))
            length++;
        (void)snprintf(token, sizeof token, "%.*s", (int)length, list);
        bool negated = name.negated;
        bool join = sw_label_begins(list, SW_LABEL_JOIN) > 0;
        if (join || (!length && strchr(",;", *list))) {
            take_name(&l, &name, metal);
            name.negated = negated && join; /* "no EDTA and DTPA" */
        } else if (length) {
            take_token(&name, token);
        }
        list += length ? length : 1;
    }
    take_name(&l, &name, metal);
    return l;
}

/* By a chelator that is open. */
static void hold_all(sw_claims *c, sw_component metal, sw_label *label)
{
    if (c->part[SW_LABEL_CHELATED].made)
        return;
    c->part[SW_LABEL_CHELATED] = sw_claims_dissolved(c);
    sw_claims_settle(c, metal, label);
}

/* "Iron chelate DTPA"; of "iron chelate" it is open by what. */
static listed_chelators called_by(sw_claims *c, sw_component metal,
                                  const char *name, sw_label *label)
{
    listed_chelators l = chelators_of(name, (int)metal);
    l.named = l.named || l.any; /* "trace mix EDTA" */
    if (l.named && !l.any && !l.negated &&
        sw_label_says(name, SW_LABEL_CHELATED))
        hold_all(c, metal, label);
    return l;
}

/* A metal whose figure names no chelator has that of the list, else of the
 * product's name; of several the weakest, which is the first of its kinds. */
static void take_listed(sw_claims *c, sw_component metal, const char *name,
                        sw_label *label)
{
    sw_claim all = sw_claims_dissolved(c);
    bool worded = c->part[SW_LABEL_CHELATED].made;
    unsigned kind = SW_EDTA;
    if (c->held[0].made || !(worded || all.made))
        return;
    listed_chelators l = chelators_of(label->derived, (int)metal);
    if (!l.any && !l.named)
        l = called_by(c, metal, name, label);
    if (l.untabled[0] && !l.any && !l.bare) {
        memcpy(label->untabled, l.untabled, sizeof label->untabled);
        hold_all(c, metal, label);
    }
    if (!l.any || !(worded || (l.named && !l.bare)))
        return;
    while (!(l.any & 1U << kind))
        kind++;
    c->held[0] = worded ? held(c) : all;
    c->held[kind] = c->held[0];
    label->chelators_listed = label->chelators_listed ||
                              (metal == SW_FE && (l.any & ~(1U << kind)) != 0);
    sw_claims_settle(c, metal, label);
}

/* The chelator of so much metal, but for the oxygen of the metal's oxide. */
static double weigh_chelator(double metal_mg, sw_component metal,
                             const sw_chelator_name *by)
{
    const sw_group *g = sw_group_of(by->group);
    double g_per_mol = g->h * sw_element_weight("H") +
                       g->c * sw_element_weight("C") +
                       g->n * sw_element_weight("N") +
                       (g->o + 0.5 * g->charge) * sw_element_weight("O");
    return metal_mg * g_per_mol /
           sw_element_weight(sw_component_element(metal));
}

/* Which chelators hold the metals, and the charge of their anions. */
static double sum_chelates(const sw_claims *of, sw_label *label)
{
    double meq_per_g = 0;
    for (int i = 0; i < SW_N; i++)
        for (int k = 0; k < CHELATOR_NAMES; k++) {
            const sw_chelator_name *by = &chelator_names[k];
            const sw_claims *c = &of[i];
            bool assumed = c->part[SW_LABEL_CHELATED].made && !c->held[0].made;
            bool mine = by->chelator == chelator_assumed && assumed;
            double mg_per_g =
                mine ? held(c).mg_per_g : c->held[by->chelator].mg_per_g;
            sw_component metal = (sw_component)i;
            if (!mine && !c->held[by->chelator].made)
                continue;
            if (metal == SW_FE || label->chelator == SW_CHELATOR_NONE) {
                label->chelator = by->chelator;
                label->chelator_open = mine;
            }
            if (!mine)
                label->chelators_mg_per_g +=
                    weigh_chelator(mg_per_g, metal, by);
            meq_per_g -=
                mg_per_g / sw_element_weight(sw_component_element(metal)) *
                (sw_chelated_charge(metal) + sw_group_of(by->group)->charge);
        }
    return meq_per_g;
}

/* What rounding leaves open of the charges: of the free part of each. */
static void open_gap(sw_label *label, sw_component c)
{
    double amount = label->per_g.amount[c];
    double meq_per_mg = sw_charge_per_mg(c);
    if (amount > 0)
        meq_per_mg *= sw_unchelated_mg(&label->per_g, c) / amount;
    double below = label->below_mg_per_g[c] * meq_per_mg;
    double above = label->above_mg_per_g[c] * meq_per_mg;
    label->gap_below_meq_per_g += fmax(below, -above);
    label->gap_above_meq_per_g += fmax(-below, above);
}

/* The chelates' sodium is rarely declared; where it is, it is theirs first. */
static void sum_charges(const sw_claims *of, sw_label *label)
{
    sw_content *c = &label->per_g;
    double sodium = c->amount[SW_NA] / sw_element_weight("Na");
    c->amount[SW_N] = sw_sum_of(c, SW_IS_FORM);
    c->amount[SW_CHELATE_CHARGE] = fmin(sum_chelates(of, label), sodium);
    label->gap_meq_per_g = sw_content_charge_gap(c);
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        if (label->printed[i])
            open_gap(label, (sw_component)i);
    const sw_claim *total = &of[SW_N].part[SW_LABEL_WHOLE];
    label->printed[SW_N] = total->made;
    label->below_mg_per_g[SW_N] = 0.5 * total->digit;
    label->above_mg_per_g[SW_N] = total->digit;
}

sw_status sw_claims_conclude(sw_claims of[SW_COMPONENT_COUNT], const char *name,
                             sw_label *label, sw_error *error)
{
    for (int i = 0; i < SW_N; i++)
        if (sw_chelated_part((sw_component)i) != SW_CARRIED_COUNT)
            take_listed(&of[i], (sw_component)i, name ? name : "", label);
    sw_status status = check_wholes(of, label, error);
    if (status == SW_OK)
        sum_charges(of, label);
    label->chelator_open = label->chelator_open || label->chelators_listed;
    return status;
}
