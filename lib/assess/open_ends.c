/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Each verdict at both ends of what is not known: the charge that labels leave
 * open, and acid or base that is therefore poured by measuring.  Method:
 * reference/methods.md, Composition.
 */
#include "assess/open_ends.h"

#include <math.h>

#include "assess/agent.h"
#include "assess/figures.h"
#include "assess/verdict.h"
#include "chemistry/equilibrate.h"

/* Known to this share of it, or to what no measure shows, meq/L (common
 * practice, no source). */
static const double same_share = 0.05, same_meq_per_l = 0.02;

bool sw_is_sized(double meq_per_l, double open_acid_meq_per_l,
                 double open_base_meq_per_l)
{
    return fmax(open_acid_meq_per_l, open_base_meq_per_l) <=
           fmax(same_share * fabs(meq_per_l), same_meq_per_l);
}

bool sw_has_unsized(const sw_recipe *recipe)
{
    for (size_t j = 0; recipe->most_g_per_l && j < recipe->count; j++)
        if (recipe->most_g_per_l[j] > 0)
            return true;
    return false;
}

/* ---- Words --------------------------------------------------------------- */

/* The target, else the range accepted, else the usual one. */
static sw_band until_of(const sw_mix *mix)
{
    sw_band until = {SW_USUAL_PH_LOW, SW_USUAL_PH_HIGH};
    const sw_target_row *row = sw_target_ph(mix->target);
    sw_band band = row ? sw_band_of(row) : until;
    if (row && !isnan(row->target))
        return (sw_band){row->target, row->target};
    return (sw_band){isinf(band.low) ? until.low : band.low,
                     isinf(band.high) ? until.high : band.high};
}

/* "11.2 mL", "20.5 g", per 1000 L. */
static const char *amount_of(const sw_product *product, double g_per_l,
                             char text[48])
{
    char figure[SW_FIGURE_BYTES];
    bool liquid = !isnan(product->density_g_per_ml);
    double per_m3 = 1000 * g_per_l / (liquid ? product->density_g_per_ml : 1);
    snprintf(text, 48, "%s %s", sw_figure(per_m3, figure), liquid ? "mL" : "g");
    return text;
}

bool sw_unsized_text(const sw_mix *mix, size_t product, char *text, size_t size)
{
    char until[64], least[48], most[48];
    const sw_product *p = &mix->shelf->products[product];
    const sw_recipe *recipe = mix->recipe;
    double surely = recipe->g_per_l[product];
    text[0] = '\0';
    if (!recipe->most_g_per_l || !(recipe->most_g_per_l[product] > 0))
        return false;
    const sw_target_row *row = sw_target_ph(mix->target);
    sw_band ph = until_of(mix);
    int used =
        snprintf(until, sizeof until,
                 ph.low < ph.high ? "%.1f to %.1f" : "%.1f", ph.low, ph.high);
    if (row && row->aired)
        snprintf(until + used, sizeof until - (size_t)used,
                 " after standing open to the air");
    amount_of(p, surely, least);
    amount_of(p, recipe->most_g_per_l[product], most);
    if (recipe->most_g_per_l[product] <= surely)
        snprintf(text, size,
                 "beyond the %s per 1000 L surely needed more may be, to a pH "
                 "of %s: ask the maker of the label first",
                 least, until);
    else
        snprintf(text, size,
                 "%s%s%sin portions to a pH of %s, measuring after each: no "
                 "more than %s per 1000 L in all",
                 surely > 0 ? "beyond the " : "", surely > 0 ? least : "",
                 surely > 0 ? " per 1000 L surely needed, " : "", until, most);
    return true;
}

/* ---- The other end ------------------------------------------------------- */

/* The solution with all of what is not sized. */
typedef struct other_end {
    sw_content finished;
    double ec_ms_per_cm;
    bool unsized;
} other_end;

static sw_status find_other_end(const sw_mix *mix, const sw_assessment *a,
                                other_end *end, sw_error *error)
{
    sw_chemistry chemistry;
    const sw_recipe *recipe = mix->recipe;
    *end =
        (other_end){a->finished, a->mixed.ec_ms_per_cm, sw_has_unsized(recipe)};
    if (!end->unsized)
        return SW_OK;
    for (size_t j = 0; j < recipe->count; j++)
        if (recipe->most_g_per_l[j] > 0)
            sw_content_add(&end->finished,
                           recipe->most_g_per_l[j] - recipe->g_per_l[j],
                           &mix->shelf->products[j].per_g);
    sw_status status = sw_equilibrate_briefly(
        &end->finished, &mix->conditions, SW_CARBONATE_KEPT, &chemistry, error);
    end->ec_ms_per_cm = chemistry.ec_ms_per_cm;
    return status;
}

static void open_component(const sw_target_row *target, const other_end *end,
                           sw_assessment *a)
{
    sw_component_row *row = &a->rows[target->component];
    double most = sw_against_max(target->component, &end->finished);
    char more[SW_FIGURE_BYTES];
    if (target->assumed ||
        sw_judge_content(target, &end->finished) == row->verdict)
        return;
    row->verdict = SW_OPEN;
    snprintf(row->reason, sizeof row->reason,
             "up to %s mg/L more with acid or base that is not sized",
             sw_figure(most - row->finished_mg_per_l, more));
}

static sw_verdict ph_verdict(const sw_mix *mix, const sw_assessment *a,
                             const sw_target_row *target,
                             double alkalinity_meq_per_l)
{
    sw_chemistry chemistry;
    sw_band band = sw_band_of(target);
    sw_content content = a->finished;
    content.amount[SW_ALKALINITY] += alkalinity_meq_per_l;
    if (sw_equilibrate_briefly(&content, &mix->conditions,
                               target->aired ? SW_CARBONATE_AIRED
                                             : SW_CARBONATE_KEPT,
                               &chemistry, NULL) != SW_OK)
        return SW_OPEN;
    return sw_band_judge(&band, chemistry.ph);
}

static bool is_open(const sw_mix *mix, const sw_target_row *target,
                    const other_end *end, const sw_assessment *a,
                    const sw_measure_row *row)
{
    const double *c = end->finished.amount;
    const sw_undeclared *u = &a->undeclared;
    sw_band band = sw_band_of(target);
    if (target->kind == SW_TARGET_RATIO)
        return sw_band_judge_ratio(&band, c[target->component],
                                   c[target->other]) != row->verdict;
    if (target->kind == SW_TARGET_EC)
        return sw_band_judge(&band, end->ec_ms_per_cm) != row->verdict;
    return end->unsized ||
           (!isnan(u->ph_low) &&
            ph_verdict(mix, a, target, -u->open_acid_meq_per_l) !=
                ph_verdict(mix, a, target, u->open_base_meq_per_l));
}

sw_status sw_judge_open_ends(const sw_mix *mix, sw_assessment *a,
                             sw_error *error)
{
    other_end end;
    sw_undeclared *u = &a->undeclared;
    sw_status status = find_other_end(mix, a, &end, error);
    size_t measure = 0;
    for (size_t i = 0; status == SW_OK && i < mix->target->count; i++) {
        const sw_target_row *target = &mix->target->rows[i];
        if (target->kind == SW_TARGET_COMPONENT)
            open_component(target, &end, a);
        else if (is_open(mix, target, &end, a, &a->measures[measure++]))
            a->measures[measure - 1].verdict = SW_OPEN;
    }
    size_t met, all;
    sw_count_met(a, &met, &all);
    a->all_met = a->all_met && met == all;
    if (status != SW_OK || !end.unsized)
        return status;
    u->ec_low_ms_per_cm = fmin(a->mixed.ec_ms_per_cm, end.ec_ms_per_cm);
    u->ec_high_ms_per_cm = fmax(a->mixed.ec_ms_per_cm, end.ec_ms_per_cm);
    sw_band until = until_of(mix);
    u->until_ph_low = until.low;
    u->until_ph_high = until.high;
    return SW_OK;
}
