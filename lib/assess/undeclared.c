/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Ions that labels leave out: both ends of the pH where they may be acid or
 * base, and chloride or sodium against limits.  Method: reference/methods.md,
 * Composition.
 */
#include "assess/undeclared.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "assess/figures.h"
#include "assess/open_ends.h"
#include "assess/verdict.h"
#include "chemistry/equilibrate.h"
#include "quantity/elements.h"
#include "quantity/notes.h"
#include "quantity/status.h"
#include "quantity/text.h"

/* A pH open by less is known. */
static const double ph_worth_saying = 0.2;
/* mS/cm between the ends of what is not sized that a meter shows. */
static const double ec_worth_saying = 0.02;
/* meq/L that move no pH, and meq/g of ions that are not worth a note. */
static const double no_charge = 1e-7, ions_worth_saying = 0.05;

/* The sum over a recipe, and the product with most of it. */
typedef struct sum {
    double acid_meq_per_l, base_meq_per_l;
    double anions_meq_per_l, cations_meq_per_l;
    double most;
    const char *name;
    size_t count;
} sum;

static sum add_up(const sw_mix *mix)
{
    sum s = {.name = ""};
    for (size_t j = 0; j < mix->recipe->count; j++) {
        const sw_product *product = &mix->shelf->products[j];
        double g_per_l = mix->recipe->g_per_l[j];
        double anions = g_per_l * product->per_g.amount[SW_UNDECLARED];
        double acid = g_per_l * product->open_acid_meq_per_g;
        double base = g_per_l * product->open_base_meq_per_g;
        double weight = fmax(fabs(anions), fmax(acid, base));
        s.acid_meq_per_l += acid;
        s.base_meq_per_l += base;
        s.anions_meq_per_l += fmax(anions, 0);
        s.cations_meq_per_l += fmax(-anions, 0);
        s.count += weight > no_charge;
        if (weight > s.most) {
            s.most = weight;
            s.name = product->name;
        }
    }
    return s;
}

/* ---- Both ends of the pH ------------------------------------------------ */

static sw_status ph_with(const sw_mix *mix, const sw_assessment *a,
                         double alkalinity_meq_per_l, double *ph,
                         sw_error *error)
{
    sw_chemistry chemistry;
    sw_content content = a->finished;
    content.amount[SW_ALKALINITY] += alkalinity_meq_per_l;
    sw_status status = sw_equilibrate_briefly(
        &content, &mix->conditions, SW_CARBONATE_KEPT, &chemistry, error);
    *ph = chemistry.ph;
    return status;
}

static sw_status find_ends(const sw_mix *mix, const sum *s, sw_assessment *a,
                           sw_error *error)
{
    double low = a->mixed.ph;
    double high = a->mixed.ph;
    sw_status status = SW_OK;
    if (s->acid_meq_per_l > no_charge)
        status = ph_with(mix, a, -s->acid_meq_per_l, &low, error);
    if (status == SW_OK && s->base_meq_per_l > no_charge)
        status = ph_with(mix, a, s->base_meq_per_l, &high, error);
    if (status != SW_OK ||
        fmax(a->mixed.ph - low, high - a->mixed.ph) <= ph_worth_saying)
        return status;
    a->undeclared.ph_low = low;
    a->undeclared.ph_high = high;
    return SW_OK;
}

/* ---- Chloride or sodium against limits ---------------------------------- */

/* An ion that what is missing may be. */
typedef struct suspect {
    sw_component component;
    double most_mg_per_l; /* finished, if it is all of this ion */
    double limit;         /* the lowest that this would pass; infinite */
} suspect;

static void hold(suspect *ion, double counted, double most, double limit)
{
    if (counted <= limit && most > limit)
        ion->limit = fmin(ion->limit, limit);
}

static suspect find_limit(const sw_mix *mix, const sw_assessment *a,
                          sw_component component, double meq_per_l)
{
    const char *name = sw_component_name(component);
    double counted = a->finished.amount[component];
    suspect ion = {component, counted + meq_per_l * sw_element_weight(name),
                   INFINITY};
    for (size_t i = 0; i < mix->target->count; i++) {
        const sw_target_row *row = &mix->target->rows[i];
        double before = row->assumed ? a->water.amount[component] : 0;
        if (row->kind == SW_TARGET_COMPONENT && row->component == component)
            hold(&ion, counted - before, ion.most_mg_per_l - before,
                 row->assumed ? row->max : sw_band_of(row).high);
    }
    for (size_t i = 0; i < a->guideline_count; i++)
        if (!strcmp(a->guidelines[i].name, name))
            hold(&ion, counted, ion.most_mg_per_l, a->guidelines[i].caution);
    return ion;
}

/* ---- Words -------------------------------------------------------------- */

__attribute__((format(printf, 2, 3))) static void say(sw_undeclared *u,
                                                      const char *format, ...)
{
    size_t used = strlen(u->text);
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(u->text + used, sizeof u->text - used, format, arguments);
    va_end(arguments);
    sw_text_mend(u->text);
}

static void say_name(const sum *s, sw_undeclared *u)
{
    char others[32] = "";
    if (s->count > 1)
        snprintf(others, sizeof others, " and %zu more", s->count - 1);
    say(u, "%.80s%s", s->name, others);
}

static void say_ph(const sum *s, sw_assessment *a)
{
    sw_undeclared *u = &a->undeclared;
    if (isnan(u->ph_low))
        return;
    say(u, "The pH is not known: %.1f if what the label of ", a->mixed.ph);
    say_name(s, u);
    say(u, " leaves out is neutral, as is assumed here; if not, ");
    if (s->acid_meq_per_l > no_charge)
        say(u, "as low as %.1f", u->ph_low);
    if (s->base_meq_per_l > no_charge)
        say(u, "%sas high as %.1f", s->acid_meq_per_l > no_charge ? " or " : "",
            u->ph_high);
    say(u, ". %s the maker for its alkalinity.",
        isnan(u->until_ph_low)
            ? "Mix a small batch and measure before adding acid or base, or ask"
            : "Ask");
}

static void say_all_unsized(const sw_mix *mix, sw_undeclared *u)
{
    const sw_recipe *recipe = mix->recipe;
    for (size_t j = 0; j < recipe->count; j++) {
        char how[256];
        if (sw_unsized_text(mix, j, how, sizeof how))
            say(u, "%s%.60s is not sized: %s.", u->text[0] ? " " : "",
                mix->shelf->products[j].name, how);
    }
    if (u->ec_high_ms_per_cm > u->ec_low_ms_per_cm + ec_worth_saying)
        say(u, " The EC lies between %.2f and %.2f mS/cm.", u->ec_low_ms_per_cm,
            u->ec_high_ms_per_cm);
}

static void say_ion(const sum *s, const suspect *ion, double *most,
                    sw_undeclared *u)
{
    char figures[2][SW_FIGURE_BYTES];
    if (isinf(ion->limit))
        return;
    *most = ion->most_mg_per_l;
    say(u,
        "%s%s may reach %s mg/L, above the limit of %s, if that is what the "
        "label of ",
        u->text[0] ? " " : "", sw_component_name(ion->component),
        sw_figure(ion->most_mg_per_l, figures[0]),
        sw_figure(ion->limit, figures[1]));
    say_name(s, u);
    say(u, " leaves out.");
}

static sw_status note_product(const sw_product *product, sw_assessment *a)
{
    double anions = product->per_g.amount[SW_UNDECLARED];
    if (product->taken_as)
        return sw_notes_add(
            &a->notes, SW_INFO, "label-completed",
            "The label of %.80s fits %.80s: what it does not print of S, Cl, "
            "Na and its charge are taken from that.",
            product->name, product->taken_as);
    if (fabs(anions) < ions_worth_saying)
        return SW_OK;
    return sw_notes_add(
        &a->notes, SW_INFO, "label-undeclared-ions",
        "The label of %.80s leaves out %.2g meq/g of %s: %s, as a rule. They "
        "count in the EC and as neither acid nor base; what they bring is in "
        "no figure here.",
        product->name, fabs(anions), anions > 0 ? "anions" : "cations",
        anions > 0 ? "chloride or sulfate" : "sodium");
}

static sw_status note_all(const sw_mix *mix, sw_assessment *a)
{
    sw_status status = SW_OK;
    for (size_t j = 0; status == SW_OK && j < mix->recipe->count; j++)
        if (mix->recipe->g_per_l[j] > 0 && mix->shelf->products[j].label)
            status = note_product(&mix->shelf->products[j], a);
    return status;
}

sw_status sw_undeclared_find(const sw_mix *mix, sw_assessment *a,
                             sw_error *error)
{
    sum s = add_up(mix);
    a->undeclared = (sw_undeclared){.anions_meq_per_l = s.anions_meq_per_l,
                                    .cations_meq_per_l = s.cations_meq_per_l,
                                    .open_acid_meq_per_l = s.acid_meq_per_l,
                                    .open_base_meq_per_l = s.base_meq_per_l,
                                    .until_ph_low = NAN,
                                    .until_ph_high = NAN,
                                    .ec_low_ms_per_cm = NAN,
                                    .ec_high_ms_per_cm = NAN,
                                    .ph_low = NAN,
                                    .ph_high = NAN,
                                    .cl_mg_per_l = NAN,
                                    .na_mg_per_l = NAN};
    sw_status status = find_ends(mix, &s, a, error);
    if (status == SW_OK)
        status = sw_judge_open_ends(mix, a, error);
    if (status != SW_OK)
        return status;
    suspect cl = find_limit(mix, a, SW_CL, s.anions_meq_per_l);
    suspect na = find_limit(mix, a, SW_NA, s.cations_meq_per_l);
    say_ph(&s, a);
    say_all_unsized(mix, &a->undeclared);
    say_ion(&s, &cl, &a->undeclared.cl_mg_per_l, &a->undeclared);
    say_ion(&s, &na, &a->undeclared.na_mg_per_l, &a->undeclared);
    return note_all(mix, a) == SW_OK ? SW_OK : sw_fail_memory(error);
}
