/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The acid or base that would bring a finished solution to its target pH, said
 * in notes: what is missing, and the usual products that would do it.
 */
#include "assess/ph_need.h"

#include "assess/agent.h"
#include "assess/figures.h"
#include "assess/open_ends.h"
#include "assess/ph_dose.h"
#include "quantity/notes.h"
#include "quantity/status.h"

#include <math.h>

/* Usual ones, each under its catalogue name; what it brings that counts. */
typedef struct ph_helper {
    const char *name;
    sw_component brings;
    bool carbonate;
} ph_helper;

static const ph_helper acids[] = {
    {"nitric acid 60 %", SW_N, false},
    {"phosphoric acid 75 %", SW_P, false},
    {"sulfuric acid 35 %", SW_S, false},
    {"citric acid monohydrate", SW_COMPONENT_COUNT, false}};
static const ph_helper bases[] = {
    {"potassium bicarbonate", SW_K, true},
    {"potassium hydroxide solution 45 %", SW_K, false}};

/* Whether so much more of it leaves the band of its target. */
static bool is_too_much(const sw_assessment *a, sw_component brings,
                        double more_mg_per_l)
{
    return a->rows[brings].finished_mg_per_l + more_mg_per_l >
           a->rows[brings].high_mg_per_l;
}

/* What is missing to a pH, as if what labels leave out were neutral. */
typedef struct ph_missing {
    const sw_measure_row *row;
    sw_ph_goal goal;
    double meq_per_l; /* of acid; below 0 of base */
    bool sized;       /* whatever labels leave out */
} ph_missing;

/* A product that would do it, what it brings that counts, and where it is. */
typedef struct ph_option {
    const sw_product *product;
    sw_component brings;
    bool on_shelf, sized;
} ph_option;

static sw_status say_dose(const ph_option *option, const sw_ph_amount *dose,
                          sw_assessment *a)
{
    const sw_product *product = option->product;
    sw_component brings = option->brings;
    char amount[SW_FIGURE_BYTES];
    char adds[SW_FIGURE_BYTES];
    bool liquid = !isnan(dose->ml_per_l);
    double per_m3 = 1000.0 * (liquid ? dose->ml_per_l : dose->g_per_l);
    char along[96] = "no nutrient; microbes use it up and the pH drifts back";
    double more = brings < SW_COMPONENT_COUNT
                      ? dose->g_per_l * product->per_g.amount[brings]
                      : 0.0;
    if (brings < SW_COMPONENT_COUNT)
        snprintf(along, sizeof along, "%s mg/L %s%s", sw_figure(more, adds),
                 sw_component_name(brings),
                 is_too_much(a, brings, more)
                     ? ", more than the target allows on top of this recipe"
                     : "");
    return sw_notes_add(
        &a->notes, SW_INFO, "ph-option",
        "%.60s%s: %s%s %s per 1000 L%s would do it, bringing %s.%s",
        product->name, option->on_shelf ? ", on the shelf" : "",
        option->sized ? "" : "no more than ", sw_figure(per_m3, amount),
        liquid ? "mL" : "g", option->on_shelf ? " more" : "", along,
        option->on_shelf
            ? ""
            : " Add it to the shelf file and run formulate again.");
}

static sw_status say_option(const ph_option *option, const ph_missing *missing,
                            sw_assessment *a)
{
    sw_ph_amount amount;
    sw_status status =
        sw_ph_dose(&missing->goal, option->product, &amount, NULL);
    if (status != SW_OK || isnan(amount.g_per_l))
        return status;
    return say_dose(option, &amount, a);
}

static sw_status say_catalogue_option(const ph_helper *helper,
                                      const ph_missing *missing,
                                      sw_assessment *a)
{
    sw_product *product;
    sw_status status = sw_catalogue_find(helper->name, &product, NULL);
    if (status != SW_OK)
        return status;
    const ph_option option = {product, helper->brings, false, missing->sized};
    status = say_option(&option, missing, a);
    sw_product_free(product);
    return status;
}

/* Whether the product is what the helper is, at whatever strength. */
static bool is_alike(const sw_product *product, const ph_helper *helper,
                     bool acid)
{
    const double *per_g = product->per_g.amount;
    bool same_side = acid ? sw_is_acid(product)
                          : sw_is_agent(product) && !sw_is_acid(product);
    if (!same_side || sw_is_trace_source(product) ||
        sw_is_carbonate(product) != helper->carbonate)
        return false;
    return helper->brings < SW_COMPONENT_COUNT
               ? per_g[helper->brings] >= SW_SOURCE_MG_PER_G
               : per_g[SW_CITRATE] > 0.0;
}

static sw_status find_missing(const sw_measure_row *row, const sw_mix *mix,
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

static sw_status say_need(const ph_missing *missing, sw_assessment *a)
{
    char meq[SW_FIGURE_BYTES];
    bool acid = missing->meq_per_l > 0;
    return sw_notes_add(
        &a->notes, SW_WARNING, acid ? "acid-needed" : "base-needed",
        "From %s %.1f to %.1f about %s meq/L of %s is missing (estimated)%s. "
        "%s, with goggles and gloves; the product's own label and local "
        "rules come first.",
        missing->row->aired ? "pH aired" : "pH", missing->row->finished,
        missing->goal.ph, sw_figure(fabs(missing->meq_per_l), meq),
        acid ? "acid" : "base",
        missing->sized ? ""
                       : " if what labels leave out is neutral; else it may be "
                         "much less: add it in portions, measuring after each",
        acid ? "Acid into water, never water into acid"
             : "A little at a time into plenty of water");
}

/* Those of the shelf that are what the helper is; *found: there is one. */
static sw_status say_shelf_options(const ph_helper *helper,
                                   const ph_missing *missing, const sw_mix *mix,
                                   sw_assessment *a, bool *found)
{
    sw_status status = SW_OK;
    *found = false;
    for (size_t j = 0; status == SW_OK && j < mix->shelf->count; j++) {
        const ph_option option = {&mix->shelf->products[j], helper->brings,
                                  true, missing->sized};
        if (!is_alike(option.product, helper, missing->meq_per_l > 0))
            continue;
        *found = true;
        status = say_option(&option, missing, a);
    }
    return status;
}

static sw_status say_options(const ph_missing *missing, const sw_mix *mix,
                             sw_assessment *a)
{
    bool acid = missing->meq_per_l > 0;
    const ph_helper *helpers = acid ? acids : bases;
    size_t count =
        acid ? sizeof acids / sizeof *acids : sizeof bases / sizeof *bases;
    sw_status status = SW_OK;
    for (size_t i = 0; status == SW_OK && i < count; i++) {
        bool found;
        status = say_shelf_options(&helpers[i], missing, mix, a, &found);
        if (status == SW_OK && !found)
            status = say_catalogue_option(&helpers[i], missing, a);
    }
    return status;
}

sw_status sw_advise_ph_need(const sw_mix *mix, sw_assessment *assessment,
                            sw_error *error)
{
    for (size_t i = 0; i < assessment->measure_count; i++) {
        const sw_measure_row *row = &assessment->measures[i];
        ph_missing missing;
        if (row->kind != SW_TARGET_PH ||
            (row->verdict != SW_SHORT && row->verdict != SW_OVER))
            continue;
        sw_status status = find_missing(row, mix, assessment, &missing);
        if (status == SW_OK)
            status = say_need(&missing, assessment);
        if (status == SW_OK)
            status = say_options(&missing, mix, assessment);
        if (status == SW_ERR_MEMORY)
            return sw_fail_memory(error);
    }
    return SW_OK;
}
