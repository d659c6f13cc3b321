/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * One answer to what is an acid, a base, a carbonate or a source of a trace
 * element, for advice, plans and choices alike.  Thresholds are conventions of
 * this program: reference/methods.md, Formulate.
 */
#include "assess/agent.h"

#include "assess/verdict.h"
#include "quantity/components.h"
#include "quantity/label.h"
#include "quantity/label_claims.h"
#include "quantity/notes.h"
#include "quantity/text.h"
#include "records/targets.h"

#include <math.h>
#include <string.h>

static const double carbonate_mmol_per_g = 1.0;

/* Of the charges of an acid or a base by its label at least this share is out
 * of balance; a premix whose label leaves ions out stays below (precaution, no
 * source). */
static const double agent_imbalance = 0.5;

/* Hydrogen ions that a mmol of citric acid gives up at least: two of three are
 * gone at a pH of 5.5. */
static const double citric_meq_per_mmol = 2;

static double alkalinity_of(const sw_product *product)
{
    return product->per_g.amount[SW_ALKALINITY];
}

bool sw_is_acid(const sw_product *product)
{
    double alkalinity = alkalinity_of(product);
    bool citric = product->per_g.amount[SW_CITRATE] >= SW_AGENT_MEQ_PER_G;
    return alkalinity <= -SW_AGENT_MEQ_PER_G ||
           (citric && alkalinity < SW_AGENT_MEQ_PER_G);
}

bool sw_is_agent(const sw_product *product)
{
    return sw_is_acid(product) || alkalinity_of(product) >= SW_AGENT_MEQ_PER_G;
}

const char *sw_amount_of(const sw_product *product, double g,
                         char text[SW_AMOUNT_BYTES])
{
    bool liquid = !isnan(product->density_g_per_ml);
    double amount = g / (liquid ? product->density_g_per_ml : 1);
    snprintf(text, SW_AMOUNT_BYTES, amount < 1e4 ? "%.5g %s" : "%.0f %s",
             amount, liquid ? "mL" : "g");
    return text;
}

const char *sw_amount_per_m3(const sw_product *product, double g_per_l,
                             char text[SW_AMOUNT_BYTES])
{
    char figure[SW_FIGURE_BYTES];
    bool liquid = !isnan(product->density_g_per_ml);
    double per_m3 = 1000 * g_per_l / (liquid ? product->density_g_per_ml : 1);
    snprintf(text, SW_AMOUNT_BYTES, "%s %s", sw_figure(per_m3, figure),
             liquid ? "mL" : "g");
    return text;
}

bool sw_is_carbonate(const sw_product *product)
{
    return product->per_g.amount[SW_CARBON] >= carbonate_mmol_per_g;
}

bool sw_is_trace_source(const sw_product *product)
{
    for (int c = 0; c < SW_COMPONENT_COUNT; c++)
        if (sw_component_is((sw_component)c, SW_IS_TRACE) &&
            sw_is_source(product, (sw_component)c))
            return true;
    return false;
}

/* ---- Its part in a recipe ------------------------------------------------ */

static bool brings_p_or_si(const sw_product *product)
{
    return sw_sum_of(&product->per_g, SW_IS_BUFFER) > 0;
}

/* Charge that a label leaves out is more often an anion than a base's. */
static bool is_declared(const sw_product *product)
{
    return !product->label || strstr(product->label, "lkalinity");
}

/* By its formula a bisulfate is an acid, with a third of its charges out of
 * balance; a phosphate that a pH splits is none.  Citric acid has no charges of
 * its own. */
static bool is_charged(const sw_product *product)
{
    return product->per_g.amount[SW_CITRATE] > 0 ||
           (is_declared(product) && sw_is_agent(product)) ||
           fabs(sw_content_imbalance(&product->per_g)) >= agent_imbalance;
}

/* A bicarbonate does little to a pH near 7, but is there for nothing else. */
sw_ph_role sw_ph_role_of(const sw_product *product, double effect)
{
    if (sw_is_carbonate(product))
        effect = fmax(effect, product->per_g.amount[SW_ALKALINITY]);
    if (fabs(effect) < SW_AGENT_MEQ_PER_G || sw_is_trace_source(product) ||
        (effect > 0 && !is_declared(product)))
        return SW_PH_NEITHER;
    if (effect > 0 && brings_p_or_si(product))
        return SW_PH_BASIC_NUTRIENT;
    if (!is_charged(product))
        return SW_PH_NEITHER;
    return effect < 0 ? SW_PH_ACID : SW_PH_BASE;
}

double sw_agent_meq_per_g(const sw_product *product, sw_ph_role role)
{
    const double *a = product->per_g.amount;
    return role == SW_PH_BASE
               ? a[SW_ALKALINITY]
               : citric_meq_per_mmol * a[SW_CITRATE] - a[SW_ALKALINITY];
}

/* By a row of its own, or as a part of a ratio. */
static bool is_wanted(const sw_target *target, sw_component component)
{
    for (size_t i = 0; i < target->count; i++)
        if (target->rows[i].kind == SW_TARGET_RATIO &&
            (target->rows[i].component == component ||
             target->rows[i].other == component))
            return true;
    return sw_target_asks(target, component);
}

bool sw_is_idle_trace(const sw_target *target, const sw_product *product)
{
    if (!sw_is_trace_source(product) || !sw_is_for_traces(&product->per_g))
        return false;
    for (int c = 0; c < SW_COMPONENT_COUNT; c++)
        if (sw_component_is((sw_component)c, SW_IS_TRACE) &&
            sw_is_source(product, (sw_component)c) &&
            is_wanted(target, (sw_component)c))
            return false;
    return true;
}

bool sw_ph_can_vary(const sw_product *product)
{
    return !(product->max_g_per_l <= 0) && isnan(product->fixed_g_per_l);
}

/* What 1 meq/L of alkalinity is worth in choosing the unit of an acid. */
static const double alkalinity_scale_meq_per_l = 2.0;

static double share_of_target(const sw_target_row *row, const sw_content *per_g)
{
    double size = row->kind == SW_TARGET_COMPONENT ? sw_size_of(row) : 0;
    if (row->kind == SW_TARGET_PH)
        return fabs(per_g->amount[SW_ALKALINITY]) / alkalinity_scale_meq_per_l;
    return size > 0 ? fabs(per_g->amount[row->component]) / size : 0;
}

double sw_fill_of(const sw_target *target, const sw_content *per_g)
{
    double most = 0;
    for (size_t i = 0; i < target->count; i++)
        most = fmax(most, share_of_target(&target->rows[i], per_g));
    return 1 / most;
}

bool sw_is_meant_for(const sw_content *per_g, sw_component component)
{
    double own = per_g->amount[component];
    bool trace = sw_component_is(component, SW_IS_TRACE);
    double others = sw_sum_of(per_g, SW_IS_TRACE) - (trace ? own : 0);
    return own > 0 && (!sw_is_for_traces(per_g) || !(others > 0.1 * own));
}

const sw_target_row *sw_short_row_of(const sw_target *target,
                                     const sw_product *product,
                                     const sw_content *finished)
{
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        sw_band range = sw_band_of(row);
        if (row->kind == SW_TARGET_COMPONENT && !row->assumed &&
            sw_is_source(product, row->component) &&
            sw_band_judge(&range, finished->amount[row->component]) == SW_SHORT)
            return row;
    }
    return NULL;
}

static bool has_neutral_source(const sw_shelf *shelf, const sw_ph_role *role,
                               sw_component component)
{
    for (size_t j = 0; j < shelf->count; j++)
        if (role[j] == SW_PH_NEITHER && isnan(shelf->products[j].max_g_per_l) &&
            sw_is_source(&shelf->products[j], component))
            return true;
    return false;
}

/* Basic where a neutral product brings all it is there for. */
static bool is_replaceable(const sw_shelf *shelf, const sw_target *target,
                           const sw_ph_role *role, const sw_product *product)
{
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        if (sw_row_asks(row) && sw_is_source(product, row->component) &&
            !has_neutral_source(shelf, role, row->component))
            return false;
    }
    return true;
}

void sw_ph_replace_nutrients(const sw_shelf *shelf, const sw_target *target,
                             sw_ph_role *role)
{
    for (size_t j = 0; j < shelf->count; j++)
        if (role[j] == SW_PH_BASIC_NUTRIENT &&
            is_replaceable(shelf, target, role, &shelf->products[j]))
            role[j] = SW_PH_BASE;
}

void sw_agents_list_fixed(const sw_shelf *shelf, const sw_ph_role *roles,
                          char *list, size_t size)
{
    list[0] = '\0';
    for (size_t j = 0; j < shelf->count; j++) {
        const sw_product *p = &shelf->products[j];
        sw_ph_role role = roles[j];
        if ((role == SW_PH_ACID || role == SW_PH_BASE) &&
            (p->fixed_g_per_l > 0 || p->min_g_per_l > 0))
            sw_text_join(list, size, " and ", "%.60s (%.60s line %lu)", p->name,
                         shelf->name ? shelf->name : "shelf", p->line);
    }
}

/* ---- Chelates ------------------------------------------------------------ */

/* More of a metal than this outside of its chelate, and it is none: common
 * practice, no source. */
static const double most_bare = 0.5;

const sw_chelates_row *sw_chelate_of(sw_chelator chelator, const char *metal)
{
    for (size_t i = 0; i < sw_chelates_count; i++)
        if (!strcmp(sw_chelates_table[i].chelator,
                    sw_chelator_word(chelator)) &&
            !strcmp(sw_chelates_table[i].metal, metal))
            return &sw_chelates_table[i];
    return NULL;
}

sw_chelate_range sw_chelate_range_of(const sw_product *p)
{
    sw_chelate_range range = {-INFINITY, INFINITY, INFINITY};
    for (int c = 0; c < SW_COMPONENT_COUNT; c++) {
        sw_component held = sw_chelated_part((sw_component)c);
        if (held >= SW_CARRIED_COUNT || !(p->per_g.amount[held] > 0))
            continue;
        const sw_chelates_row *row =
            sw_chelate_of(p->chelator, sw_component_name((sw_component)c));
        if (!row)
            continue;
        range.low = fmax(range.low, row->ph_low); /* NaN: no lowest */
        range.doubtful = fmin(range.doubtful, row->ph_doubtful);
        range.high = fmin(range.high, row->ph_high);
    }
    return range;
}

double sw_feed_ph_of(const sw_target *target)
{
    const double usual = (SW_USUAL_PH_LOW + SW_USUAL_PH_HIGH) / 2;
    double ph = NAN;
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        double open = isnan(row->max) ? fmax(row->min, usual) : row->max;
        if (row->kind == SW_TARGET_PH)
            ph = fmax(ph, isnan(row->target) ? open : row->target);
    }
    return isnan(ph) ? usual : ph;
}

/* The pH up to which each metal that it is a source of, chelated or not, stays
 * dissolved. */
static double lasts_to(const sw_product *product)
{
    double ph = sw_chelate_range_of(product).high;
    for (int c = 0; c < SW_COMPONENT_COUNT; c++) {
        sw_component metal = (sw_component)c;
        double bare = sw_unchelated_mg(&product->per_g, metal);
        const sw_chelates_row *row =
            sw_is_source(product, metal) &&
                    bare > most_bare * product->per_g.amount[metal]
                ? sw_chelate_of(SW_CHELATOR_NONE, sw_component_name(metal))
                : NULL;
        if (row)
            ph = fmin(ph, row->ph_high);
    }
    return ph;
}

bool sw_stays_dissolved(const sw_product *product, double ph)
{
    return !(ph > lasts_to(product));
}

/* Whether its max lets in all that is asked for of a component. */
static bool may_bring_all(const sw_product *product, const sw_target *target,
                          sw_component component)
{
    double most = product->max_g_per_l * product->per_g.amount[component];
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        if (row->kind == SW_TARGET_COMPONENT && row->component == component &&
            row->target > most)
            return false;
    }
    return sw_ph_can_vary(product) && sw_is_source(product, component);
}

static bool has_lasting_source(const sw_shelf *shelf, const sw_target *target,
                               sw_component component, double beyond_ph)
{
    for (size_t j = 0; j < shelf->count; j++)
        if (may_bring_all(&shelf->products[j], target, component) &&
            lasts_to(&shelf->products[j]) > beyond_ph)
            return true;
    return false;
}

bool sw_is_outlasted(const sw_shelf *shelf, const sw_target *target,
                     const sw_product *product)
{
    if (!sw_is_trace_source(product) || !sw_is_for_traces(&product->per_g))
        return false;
    double ph = lasts_to(product);
    if (!(sw_feed_ph_of(target) > ph))
        return false;
    for (int c = 0; c < SW_COMPONENT_COUNT; c++)
        if (sw_component_is((sw_component)c, SW_IS_TRACE) &&
            sw_is_source(product, (sw_component)c) &&
            is_wanted(target, (sw_component)c) &&
            !has_lasting_source(shelf, target, (sw_component)c, ph))
            return false;
    return true;
}
