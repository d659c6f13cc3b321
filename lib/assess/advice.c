/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Notes on a finished solution: chelates out of their pH, solids that may
 * cloud it, urea, ammonium, sodium and chloride, charge, prices.  Each adviser
 * looks at one thing.  Limits: reference/methods.md, Assess.
 */
#include "assess/advice.h"
#include "assess/verdict.h"

#include "assess/chelates.h"
#include "assess/basis.h"
#include "assess/figures.h"
#include "quantity/components.h"
#include "quantity/notes.h"
#include "quantity/status.h"
#include "records/harm.h"

#include <math.h>
#include <string.h>

typedef sw_status adviser(const sw_mix *mix, sw_assessment *a);

/* Common practice, no source. */
static const double ammonium_share_of_n = 0.15;
static const double urea_worth_saying_mg_per_l = 0.5;
static const double ph_drift_worth_saying = 0.3;

/* 0.17 mmol/L of NH3, where roots begin to suffer: Bennett & Adams 1970, Soil
 * Sci. Soc. Am. Proc. 34:259 (value from memory). */
static const double harmful_ammonia_n_mg_per_l = 2.4;
/* From here on much of any ammonium is ammonia. */
static const double ammonia_ph = 9.0;

/* Standard Methods 1030 E, for sums above 10 meq/L. */
static const double balance_percent = 5.0;

/* Iron from one product below this share of all is not worth a note. */
static const double iron_share_worth_saying = 0.05;

/* Does the product bring enough of the metal, in the form its row is for? */
static bool brings(const sw_product *product, double g_per_l,
                   sw_component metal, const sw_assessment *a)
{
    double mg = product->chelator == SW_CHELATOR_NONE
                    ? sw_unchelated_mg(&product->per_g, metal)
                    : product->per_g.amount[metal];
    return g_per_l * mg > iron_share_worth_saying * a->finished.amount[metal];
}

static sw_status advise_metal(const sw_product *product,
                              const sw_chelates_row *row, sw_assessment *a)
{
    double ph = a->mixed.ph;
    bool bare = product->chelator == SW_CHELATOR_NONE;
    const char *form = bare ? "unchelated" : row->chelator;
    char at_most[24] = "";
    if (row->ph_high > row->ph_doubtful)
        snprintf(at_most, sizeof at_most, ", %.1f at most", row->ph_high);
    if (ph > row->ph_doubtful)
        return sw_notes_add(
            &a->notes, SW_WARNING, bare ? "iron-unchelated" : "chelate-weak",
            "%s from %s (%s) %s at pH %.1f: it lasts up to pH %.1f%s.",
            row->metal, product->name, form,
            ph > row->ph_high ? "does not stay dissolved"
                              : "is at the edge of staying dissolved",
            ph, row->ph_doubtful, at_most);
    if (ph < row->ph_low)
        return sw_notes_add(
            &a->notes, SW_WARNING, "chelate-weak",
            "%s from %s (%s) comes loose at pH %.1f: below pH %.1f acid takes "
            "the chelator apart from its metal.",
            row->metal, product->name, form, ph, row->ph_low);
    if (a->aired.ph > row->ph_doubtful)
        return sw_notes_add(
            &a->notes, SW_INFO, bare ? "iron-unchelated" : "chelate-weak",
            "%s from %s (%s) lasts up to pH %.1f; standing in air this "
            "solution rises to pH %.1f.",
            row->metal, product->name, form, row->ph_doubtful, a->aired.ph);
    return SW_OK;
}

static sw_status advise_product(const sw_product *product, double g_per_l,
                                sw_assessment *a)
{
    sw_status status = SW_OK;
    for (int c = 0; c < SW_COMPONENT_COUNT; c++) {
        sw_component metal = (sw_component)c;
        const sw_chelates_row *row =
            sw_chelate_of(product->chelator, sw_component_name(metal));
        if (status == SW_OK && row && brings(product, g_per_l, metal, a))
            status = advise_metal(product, row, a);
    }
    return status;
}

static sw_status advise_chelates(const sw_mix *mix, sw_assessment *a)
{
    sw_status status = SW_OK;
    for (size_t j = 0; status == SW_OK && j < mix->recipe->count; j++)
        if (mix->recipe->g_per_l[j] > 0.0)
            status = advise_product(&mix->shelf->products[j],
                                    mix->recipe->g_per_l[j], a);
    return status;
}

static bool asks_for(const sw_target *target, sw_component component)
{
    for (size_t i = 0; i < target->count; i++)
        if (target->rows[i].kind == SW_TARGET_COMPONENT &&
            target->rows[i].component == component &&
            (target->rows[i].target > 0 || target->rows[i].min > 0))
            return true;
    return false;
}

/* Common practice, no source. */
static const double water_iron_share = 0.1;

/* It is not counted toward the target; a solution renewed has none of it. */
static sw_status advise_water_iron(const sw_mix *mix, sw_assessment *a)
{
    char water[SW_FIGURE_BYTES], all[SW_FIGURE_BYTES], part[80];
    double finished = a->rows[SW_FE].finished_mg_per_l;
    double bare = a->water.amount[SW_WATER_FE];
    if (!(bare > water_iron_share * finished) || !asks_for(mix->target, SW_FE))
        return SW_OK;
    sw_figure(bare, water);
    sw_figure(finished, all);
    snprintf(part, sizeof part, strcmp(water, all) ? "%s of the %s" : "All %s",
             water, all);
    return sw_notes_add(
        &a->notes, SW_WARNING, "water-iron",
        "%s mg/L of Fe is the water's own. No chelator holds it: in air it "
        "turns to rust, clogs drippers and is not there for the crop. It "
        "counts against a max and not toward the target; aerate and filter "
        "the water.",
        part);
}

/* Iron outside of chelates below what clogs emitters is too little to see:
 * extension sheets' 0.2 mg/L, value from memory. */
static const double iron_worth_saying_mg_per_l = 0.2;

static bool is_enough_to_see(sw_solid solid, const sw_content *per_l)
{
    double bare = sw_against_max(SW_FE, per_l) - per_l->amount[SW_CHELATED_FE];
    bool of_iron = solid == SW_IRON_PHOSPHATE || solid == SW_IRON_HYDROXIDE;
    return !of_iron || bare >= iron_worth_saying_mg_per_l;
}

/* No feed is made more acid than this for the sake of a clear solution. */
static const double clear_ph_worth_saying = 5.0;

static const char *solid_code(sw_solid solid)
{
    bool calcium_phosphate = solid == SW_BRUSHITE || solid == SW_ACP;
    return calcium_phosphate ? "calcium-phosphate" : "may-precipitate";
}

static sw_status advise_solid(sw_solid solid, sw_assessment *a)
{
    const sw_saturation *now = &a->mixed.saturation[solid];
    const sw_saturation *later = &a->aired.saturation[solid];
    bool clouds_now = now->defined && now->index > 0.0;
    bool clouds_later = later->defined && later->index > 0.0;
    const sw_saturation *s = clouds_now ? now : later;
    char below[48] = "";
    if (!clouds_now && !clouds_later)
        return SW_OK;
    if (s->ph_onset >= clear_ph_worth_saying) /* false for NaN */
        snprintf(below, sizeof below, " It stays clear below pH %.1f.",
                 s->ph_onset);
    return sw_notes_add(
        &a->notes, clouds_now ? SW_WARNING : SW_INFO, solid_code(solid),
        "The solution may cloud with %s, %s: oversaturated (index %+.1f) at "
        "pH %.1f%s.%s",
        sw_solid_name(solid), sw_solid_formula(solid), s->index,
        clouds_now ? a->mixed.ph : a->aired.ph,
        clouds_now ? "" : ", which it reaches standing in air", below);
}

static sw_status advise_solids(const sw_mix *mix, sw_assessment *a)
{
    sw_status status = SW_OK;
    (void)mix;
    for (int i = 0; status == SW_OK && i < SW_SOLID_COUNT; i++)
        if (!sw_seldom_forms((sw_solid)i) &&
            is_enough_to_see((sw_solid)i, &a->finished))
            status = advise_solid((sw_solid)i, a);
    return status;
}

static sw_status advise_nitrogen(const sw_mix *mix, sw_assessment *a)
{
    const double *c = a->finished.amount;
    sw_status status = SW_OK;
    (void)mix;
    if (c[SW_UREA_N] > urea_worth_saying_mg_per_l)
        status = sw_notes_add(
            &a->notes, SW_INFO, "urea",
            "%.0f %% of the nitrogen is urea: it must be turned into ammonium "
            "before roots take it up, and it does not show in the EC.",
            100.0 * c[SW_UREA_N] / c[SW_N]);
    double reduced = c[SW_NH4_N] + c[SW_UREA_N];
    if (status == SW_OK && reduced > ammonium_share_of_n * c[SW_N])
        status = sw_notes_add(
            &a->notes, SW_WARNING, "ammonium-high",
            "%.0f %% of the nitrogen is ammonium or urea; in soilless culture "
            "more than %.0f %% is risky.",
            100.0 * reduced / c[SW_N], 100.0 * ammonium_share_of_n);
    return status;
}

static sw_status advise_ammonia(const sw_mix *mix, sw_assessment *a)
{
    double ammonium = a->finished.amount[SW_NH4_N];
    double free = a->mixed.ammonia_n_mg_per_l;
    bool much = free > harmful_ammonia_n_mg_per_l;
    (void)mix;
    if (!much && !(a->mixed.ph > ammonia_ph && ammonium > 1.0))
        return SW_OK;
    return sw_notes_add(
        &a->notes, SW_WARNING, "ammonia-free",
        "At pH %.1f %.0f %% of the ammonium is free ammonia (NH3), %.1f mg/L "
        "of N: it harms roots from %.1f mg/L on (Bennett & Adams 1970, value "
        "from memory) and leaves as a gas. Keep the pH lower, or take nitrate "
        "instead of ammonium.",
        a->mixed.ph, 100.0 * free / ammonium, free, harmful_ammonia_n_mg_per_l);
}

static sw_status advise_limit(const sw_guideline_row *row, sw_assessment *a)
{
    char value[SW_FIGURE_BYTES];
    char limit[SW_FIGURE_BYTES];
    bool unfit = row->fitness == SW_UNFIT;
    return sw_notes_add(
        &a->notes, unfit ? SW_WARNING : SW_INFO, "sodium-chloride",
        "%s is %s%s%s; the limit for %s is %s (%s).", row->name,
        sw_figure(row->value, value), *row->unit ? " " : "", row->unit,
        row->use, sw_figure(unfit ? row->severe : row->caution, limit),
        row->source);
}

static sw_status advise_salts(const sw_mix *mix, sw_assessment *a)
{
    sw_status status = SW_OK;
    (void)mix;
    for (size_t i = 0; status == SW_OK && i < a->guideline_count; i++)
        if (a->guidelines[i].fitness == SW_CARE ||
            a->guidelines[i].fitness == SW_UNFIT)
            status = advise_limit(&a->guidelines[i], a);
    return status;
}

static sw_status advise_charge(const sw_mix *mix, sw_assessment *a)
{
    double cations = a->mixed.cations_meq_per_l;
    double anions = a->mixed.anions_meq_per_l;
    double percent = 100.0 * (cations - anions) / (cations + anions);
    (void)mix;
    if (!(fabs(percent) > balance_percent))
        return SW_OK;
    return sw_notes_add(
        &a->notes, SW_WARNING, "charge-balance",
        "Cations (%.2f meq/L) and anions (%.2f meq/L) differ by %.1f %%: the "
        "water's report or a label is incomplete, so pH and EC are uncertain.",
        cations, anions, percent);
}

static sw_status advise_extreme_ph(const sw_mix *mix, sw_assessment *a)
{
    double ph = a->mixed.ph;
    if (!sw_feed_harms(SW_TARGET_PH, SW_COMPONENT_COUNT, ph))
        return SW_OK;
    char next[128] = "";
    const sw_target_row *row = sw_target_ph(mix->target);
    if (!row)
        snprintf(next, sizeof next,
                 " Ask for a pH in the target, such as 5.8 with 5.5 to 6.2.");
    else if (row->aired && a->aired.ph > ph)
        snprintf(next, sizeof next,
                 " It comes to %.1f as CO2 leaves: aerate it until a meter "
                 "shows that, before it is used.",
                 a->aired.ph);
    return sw_notes_add(&a->notes, SW_DANGER, "ph-extreme",
                        "A pH of %.1f harms roots: do not give this to a crop."
                        "%s",
                        ph, next);
}

static sw_status advise_drift(const sw_mix *mix, sw_assessment *a)
{
    double rise = a->aired.ph - a->mixed.ph;
    (void)mix;
    if (fabs(rise) < ph_drift_worth_saying)
        return SW_OK;
    return sw_notes_add(
        &a->notes, SW_INFO, "ph-drifts",
        "Freshly mixed the pH is %.1f; standing in air it %s to %.1f as CO2 "
        "%s.",
        a->mixed.ph, rise > 0.0 ? "rises" : "falls", a->aired.ph,
        rise > 0.0 ? "leaves" : "enters");
}

/* Only where the shelf has prices at all. */
static sw_status advise_prices(const sw_mix *mix, sw_assessment *a)
{
    const sw_product *missing = NULL;
    bool any = false;
    for (size_t j = 0; j < mix->recipe->count; j++) {
        const sw_product *product = &mix->shelf->products[j];
        any = any || !isnan(product->price_per_kg);
        if (mix->recipe->g_per_l[j] > 0.0 && isnan(product->price_per_kg))
            missing = product;
    }
    if (!any || !missing)
        return SW_OK;
    return sw_notes_add(&a->notes, SW_INFO, "no-price",
                        "The cost is not known: %s has no price.",
                        missing->name);
}

sw_status sw_advise(const sw_mix *mix, sw_assessment *assessment,
                    sw_error *error)
{
    static adviser *const advisers[] = {
        advise_chelates,   advise_water_iron, advise_solids,  advise_nitrogen,
        advise_ammonia,    advise_salts,      sw_advise_harm, advise_charge,
        advise_extreme_ph, advise_drift,      advise_prices,  sw_say_basis};
    sw_status status = SW_OK;
    for (size_t i = 0; i < sizeof advisers / sizeof *advisers; i++)
        if (status == SW_OK)
            status = advisers[i](mix, assessment);
    return status == SW_OK ? SW_OK : sw_fail_memory(error);
}
