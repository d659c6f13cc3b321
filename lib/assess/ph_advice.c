/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A pH out of range, in notes: the acid or base that is missing, the usual
 * products that would do it, and the products that took it there, each by the
 * pH as it were with the same nutrients from a neutral one: its alkalinity,
 * carbon and citrate taken out.  Method: reference/methods.md, Assess.
 */

#include "assess/advice.h"
#include "assess/agent.h"
#include "assess/label_gaps.h"
#include "assess/ph_dose.h"
#include "chemistry/equilibrate.h"
#include "quantity/notes.h"
#include "table_words.h"

#include <math.h>

/* A product that moves the pH by less is not worth naming. */
static const double move_worth_saying = 0.3;

/* ---- What would do it ---------------------------------------------------- */

/* Usual ones, each under its catalogue name; what it brings that counts. */
typedef struct ph_helper {
    const char *name;
    sw_component brings;
    bool acid, carbonate;
} ph_helper;

static const ph_helper helpers[] = {
    {"nitric acid 60 %", SW_N, true, false},
    {"phosphoric acid 75 %", SW_P, true, false},
    {"sulfuric acid 35 %", SW_S, true, false},
    {"citric acid monohydrate", SW_COMPONENT_COUNT, true, false},
    {"potassium bicarbonate", SW_K, false, true},
    {"potassium hydroxide solution 45 %", SW_K, false, false}};

/* What is missing to a pH, as if what labels leave out were neutral. */
typedef struct ph_missing {
    const sw_row *row;
    sw_ph_goal goal;
    double meq_per_l; /* of acid; below 0 of base */
    bool sized;       /* whatever labels leave out */
} ph_missing;

/* Whether so much more leaves the range of its target. */
static bool is_too_much(const sw_product *product, sw_component brings,
                        double g_per_l, const sw_assessment *a)
{
    double more = g_per_l * product->per_g.amount[brings];
    const sw_component_row *row = &a->rows[brings];
    return more > 0 && row->finished_mg_per_l + more > row->high_mg_per_l;
}

/* What it brings; of N the form whose own range it leaves, if any. */
static sw_component most_bound(const sw_product *product, sw_component brings,
                               double g_per_l, const sw_assessment *a)
{
    static const sw_component forms[] = {SW_NO3_N, SW_NH4_N, SW_UREA_N};
    for (size_t i = 0; brings == SW_N && i < sizeof forms / sizeof *forms; i++)
        if (!is_too_much(product, SW_N, g_per_l, a) &&
            is_too_much(product, forms[i], g_per_l, a))
            return forms[i];
    return brings;
}

/* "20.1 mg/L N"; whether that is too much. */
static void say_along(const sw_product *product, sw_component brings,
                      double g_per_l, const sw_assessment *a, char text[96])
{
    char adds[SW_FIGURE_BYTES];
    if (brings == SW_COMPONENT_COUNT) {
        snprintf(text, 96, "%s", SW_SAY_NO_NUTRIENT);
        return;
    }
    sw_component said = most_bound(product, brings, g_per_l, a);
    snprintf(text, 96, "%s mg/L %s%s",
             sw_figure(g_per_l * product->per_g.amount[said], adds),
             sw_component_name(said),
             is_too_much(product, said, g_per_l, a) ? SW_SAY_TOO_MUCH_ALONG
                                                    : "");
}

static void say_option(const ph_helper *helper, const sw_product *product,
                       bool on_shelf, const ph_missing *missing,
                       sw_assessment *a)
{
    sw_ph_amount dose;
    char amount[SW_FIGURE_BYTES], along[96];
    if (!sw_notes_found(&a->notes,
                        sw_ph_dose(&missing->goal, product, &dose, NULL)) ||
        isnan(dose.g_per_l))
        return;
    bool liquid = !isnan(dose.ml_per_l);
    double per_m3 = 1000.0 * (liquid ? dose.ml_per_l : dose.g_per_l);
    say_along(product, helper->brings, dose.g_per_l, a, along);
    sw_notes_add(
        &a->notes, SW_SAY_PH_OPTION, product->name,
        on_shelf ? ", on the shelf" : "", missing->sized ? "" : "no more than ",
        sw_figure(per_m3, amount), liquid ? "mL" : "g", on_shelf ? " more" : "",
        along, on_shelf ? "" : " " SW_SAY_ADD_TO_SHELF);
}

/* Whether the product is what the helper is, at whatever strength. */
static bool is_alike(const sw_product *product, const ph_helper *helper)
{
    if (!sw_is_agent(product) || sw_is_acid(product) != helper->acid ||
        sw_is_trace_source(product) ||
        sw_is_carbonate(product) != helper->carbonate)
        return false;
    return helper->brings < SW_COMPONENT_COUNT
               ? sw_is_source(product, helper->brings)
               : product->per_g.amount[SW_CITRATE] > 0.0;
}

/* Those of the shelf that are what the helper is, else that of the catalogue.
 */
static void say_options(const ph_helper *helper, const ph_missing *missing,
                        const sw_mix *mix, sw_assessment *a)
{
    bool found = false;
    sw_product *product = NULL;
    for (size_t j = 0; j < mix->shelf->count; j++)
        if (is_alike(&mix->shelf->products[j], helper)) {
            found = true;
            say_option(helper, &mix->shelf->products[j], true, missing, a);
        }
    if (found)
        return;
    if (sw_notes_found(&a->notes,
                       sw_catalogue_find(helper->name, &product, NULL)))
        say_option(helper, product, false, missing, a);
    sw_product_free(product);
}

static sw_status find_missing(const sw_row *row, const sw_mix *mix,
                              const sw_assessment *a, ph_missing *missing)
{
    const sw_undeclared *u = &a->undeclared;
    *missing = (ph_missing){
        .row = row,
        .goal = {&a->finished, mix->conditions,
                 row->aired ? SW_CARBONATE_AIRED : SW_CARBONATE_KEPT,
                 sw_ph_wanted(row->target, row->min, row->max, row->finished)}};
    sw_status status = sw_ph_missing(&missing->goal, &missing->meq_per_l, NULL);
    missing->sized = sw_is_sized(missing->meq_per_l, u->open_acid_meq_per_l,
                                 u->open_base_meq_per_l);
    return status;
}

static void say_missing(const ph_missing *missing, sw_assessment *a)
{
    char meq[SW_FIGURE_BYTES];
    bool acid = missing->meq_per_l > 0;
    sw_notes_add(
        &a->notes, SW_WARNING | SW_ABOUT_CURE,
        acid ? "acid-needed" : "base-needed", SW_SAY_PH_MISSING,
        missing->row->aired ? "pH aired" : "pH", missing->row->finished,
        missing->goal.ph, sw_figure(fabs(missing->meq_per_l), meq),
        acid ? "acid" : "base", missing->sized ? "" : " " SW_SAY_IF_NEUTRAL,
        acid ? SW_SAY_ACID_INTO_WATER : SW_SAY_BASE_INTO_WATER);
}

static void advise_need(const sw_row *row, const sw_mix *mix, sw_assessment *a)
{
    ph_missing missing;
    if (!sw_notes_found(&a->notes, find_missing(row, mix, a, &missing)))
        return;
    say_missing(&missing, a);
    for (size_t i = 0; i < sizeof helpers / sizeof *helpers; i++)
        if (helpers[i].acid == (missing.meq_per_l > 0))
            say_options(&helpers[i], &missing, mix, a);
}

/* ---- What took it there -------------------------------------------------- */

typedef enum side { SIDE_FINE, SIDE_LOW, SIDE_HIGH } side;

static side side_of(const sw_assessment *a)
{
    bool asked = false;
    for (size_t i = 0; i < a->measure_count; i++) {
        const sw_row *row = &a->measures[i];
        asked = asked || row->kind == SW_TARGET_PH;
        if (row->kind == SW_TARGET_PH && sw_is_missed(row->verdict))
            return row->verdict == SW_SHORT ? SIDE_LOW : SIDE_HIGH;
    }
    if (asked)
        return SIDE_FINE;
    return a->mixed.ph < SW_USUAL_PH_LOW    ? SIDE_LOW
           : a->mixed.ph > SW_USUAL_PH_HIGH ? SIDE_HIGH
                                            : SIDE_FINE;
}

/* The pH with the nutrients of the product and without the rest of it. */
static sw_status ph_without(const sw_mix *mix, size_t j, const sw_assessment *a,
                            double *ph)
{
    static const sw_component taken[] = {SW_ALKALINITY, SW_CARBON, SW_CITRATE};
    sw_chemistry chemistry;
    sw_content rest = a->finished;
    for (size_t k = 0; k < sizeof taken / sizeof *taken; k++)
        rest.amount[taken[k]] -= mix->recipe->g_per_l[j] *
                                 mix->shelf->products[j].per_g.amount[taken[k]];
    rest.amount[SW_CARBON] = fmax(rest.amount[SW_CARBON], 0);
    rest.amount[SW_CITRATE] = fmax(rest.amount[SW_CITRATE], 0);
    sw_status status = sw_equilibrate_briefly(
        &rest, &mix->conditions, SW_CARBONATE_KEPT, &chemistry, NULL);
    *ph = chemistry.ph;
    return status;
}

/* What brings the same and leaves the pH alone. */
static const char *instead_of(const sw_product *product, bool basic)
{
    const double *a = product->per_g.amount;
    return !basic         ? SW_SAY_INSTEAD_OF_ACID
           : a[SW_P] > 0  ? SW_SAY_INSTEAD_OF_PHOSPHATE
           : a[SW_SI] > 0 ? SW_SAY_INSTEAD_OF_SILICATE
           : a[SW_K] > 0  ? SW_SAY_INSTEAD_OF_POTASSIUM
                          : "Use less of it.";
}

/* A mixture without it that has no pH gives no advice. */
static void advise_cause(const sw_mix *mix, size_t j, sw_assessment *a)
{
    const sw_product *product = &mix->shelf->products[j];
    double without;
    if (!sw_notes_found(&a->notes, ph_without(mix, j, a, &without)))
        return;
    double moved = a->mixed.ph - without;
    bool basic = moved > 0;
    if (!(fabs(moved) < move_worth_saying) &&
        basic == (side_of(a) == SIDE_HIGH))
        sw_notes_add(&a->notes, SW_WARNING,
                     basic ? "basic-product" : "acid-product", SW_SAY_MOVES_PH,
                     product->name, basic ? "raises" : "lowers", without,
                     a->mixed.ph, instead_of(product, basic));
}

/* Both in use. */
static void advise_foam(const sw_mix *mix, sw_assessment *a)
{
    const sw_product *carbonate = NULL;
    bool acid = false;
    for (size_t j = 0; j < mix->recipe->count; j++) {
        const sw_product *product = &mix->shelf->products[j];
        if (!(mix->recipe->g_per_l[j] > 0))
            continue;
        if (sw_is_carbonate(product))
            carbonate = product;
        acid = acid || sw_is_acid(product);
    }
    if (carbonate && acid)
        sw_notes_add(&a->notes, SW_SAY_CARBONATE_AND_ACID, carbonate->name);
}

void sw_advise_ph(const sw_mix *mix, sw_assessment *a)
{
    /* What to add to a sample is for sw_renew to say. */
    for (size_t i = 0; i < a->measure_count && !sw_is_sample(mix); i++) {
        const sw_row *row = &a->measures[i];
        if (row->kind == SW_TARGET_PH && sw_is_missed(row->verdict))
            advise_need(row, mix, a);
    }
    bool outside = !isnan(a->mixed.ph) && side_of(a) != SIDE_FINE;
    for (size_t j = 0; outside && j < mix->recipe->count; j++)
        if (mix->recipe->g_per_l[j] > 0 &&
            sw_is_agent(&mix->shelf->products[j]))
            advise_cause(mix, j, a);
    advise_foam(mix, a);
}
