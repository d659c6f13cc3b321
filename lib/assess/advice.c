/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Notes on a finished solution: chelates out of their pH, solids that may
 * cloud it, urea, ammonium, sodium and chloride, charge, prices.  Each adviser
 * looks at one thing.  Limits: reference/methods.md, Assess.
 */
#include "assess/advice.h"
#include "assess/verdict.h"

#include "assess/agent.h"
#include "assess/believe.h"
#include "assess/charge.h"
#include "assess/evidence.h"
#include "chemistry/equilibrate.h"
#include "quantity/components.h"
#include "quantity/notes.h"
#include "quantity/text.h"
#include "quantity/units.h"
#include "records/targets.h"
#include "records/water.h"
#include "records/feed_limits.h"
/* What facts of the trade are of use for, beside what notes are about. */
enum {
    SW_USES_ALWAYS = 1 << 28,
    SW_USES_RANGE = 1 << 29,
    SW_USES_SATURATION = 1 << 30
};
#include "table_trade_facts.h"
#include "table_words.h"

#include <math.h>
#include <string.h>

typedef void adviser(const sw_mix *mix, sw_assessment *a);

/* Common practice, no source. */
static const double ammonium_share_of_n = 0.15;
static const double urea_worth_saying_mg_per_l = 0.5;
static const double ph_drift_worth_saying = 0.3;

/* 0.17 mmol/L of NH3, where roots begin to suffer: Bennett & Adams 1970, Soil
 * Sci. Soc. Am. Proc. 34:259 (value from memory). */
static const double harmful_ammonia_n_mg_per_l = 2.4;
/* From here on much of any ammonium is ammonia. */
static const double ammonia_ph = 9.0;

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

/* The weakest chelate of a metal that is beyond doubt at this pH. */
static void name_lasting(const char *metal, double ph, char *words, size_t size)
{
    const sw_chelates_row *found = NULL;
    for (size_t i = 0; i < sw_chelates_count; i++) {
        const sw_chelates_row *row = &sw_chelates_table[i];
        if (!strcmp(row->metal, metal) && row->ph_doubtful >= ph &&
            (!found || row->ph_doubtful < found->ph_doubtful))
            found = row;
    }
    words[0] = '\0';
    if (found)
        sw_text_join(words, size, "", SW_SAY_CHELATE_LASTS, found->chelator,
                     found->ph_doubtful);
}

static void advise_metal(const sw_product *product, const sw_chelates_row *row,
                         sw_assessment *a)
{
    double ph = a->mixed.ph;
    bool bare = product->chelator == SW_CHELATOR_NONE;
    char form[32];
    snprintf(form, sizeof form, "%s%s", bare ? "unchelated" : row->chelator,
             !bare && product->chelator_open ? ", as assumed" : "");
    const char *code = bare ? "iron-unchelated" : "chelate-weak";
    unsigned about = bare ? 0 : SW_ABOUT_CHELATE;
    char at_most[24] = "", better[80] = "";
    if (row->ph_high > row->ph_doubtful)
        snprintf(at_most, sizeof at_most, ", %.1f at most", row->ph_high);
    if (ph > row->ph_doubtful) {
        name_lasting(row->metal, ph, better, sizeof better);
        sw_notes_add(&a->notes, SW_WARNING | about, code,
                     SW_SAY_CHELATE_AT_EDGE, row->metal, product->name, form,
                     ph > row->ph_high ? "does not stay dissolved"
                                       : "is at the edge of staying dissolved",
                     ph, row->ph_doubtful, at_most, better);
    } else if (ph < row->ph_low) {
        sw_notes_add(&a->notes, SW_SAY_CHELATE_ACID, row->metal, product->name,
                     form, ph, row->ph_low);
    } else if (a->aired.ph > row->ph_doubtful) {
        sw_notes_add(&a->notes, SW_INFO | about, code, SW_SAY_CHELATE_AIRED,
                     row->metal, product->name, form, row->ph_doubtful,
                     a->aired.ph);
    }
}

static void advise_chelates(const sw_mix *mix, sw_assessment *a)
{
    for (size_t j = 0; j < mix->recipe->count; j++) {
        const sw_product *product = &mix->shelf->products[j];
        double g_per_l = mix->recipe->g_per_l[j];
        for (int c = 0; c < SW_COMPONENT_COUNT && g_per_l > 0.0; c++) {
            sw_component metal = (sw_component)c;
            const sw_chelates_row *row =
                brings(product, g_per_l, metal, a)
                    ? sw_chelate_of(product->chelator, sw_component_name(metal))
                    : NULL;
            if (row)
                advise_metal(product, row, a);
        }
    }
}

/* Common practice, no source. */
static const double water_iron_share = 0.1;

/* It is not counted toward the target; a solution renewed has none of it. */
static void advise_water_iron(const sw_mix *mix, sw_assessment *a)
{
    char water[SW_FIGURE_BYTES], all[SW_FIGURE_BYTES], part[80];
    double finished = a->rows[SW_FE].finished_mg_per_l;
    double bare = a->water.amount[SW_WATER_FE];
    if (!(bare > water_iron_share * finished) ||
        !sw_target_asks(mix->target, SW_FE))
        return;
    sw_figure(bare, water);
    sw_figure(finished, all);
    snprintf(part, sizeof part, strcmp(water, all) ? "%s of the %s" : "All %s",
             water, all);
    sw_notes_add(&a->notes, SW_SAY_WATER_IRON, part);
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

static void advise_solid(sw_solid solid, sw_assessment *a)
{
    bool calcium_phosphate = solid == SW_BRUSHITE || solid == SW_ACP;
    const sw_saturation *now = &a->mixed.saturation[solid];
    const sw_saturation *later = &a->aired.saturation[solid];
    bool clouds_now = now->defined && now->index > 0.0;
    bool clouds_later = later->defined && later->index > 0.0;
    const sw_saturation *s = clouds_now ? now : later;
    char below[48] = "";
    if (!clouds_now && !clouds_later)
        return;
    if (s->ph_onset >= clear_ph_worth_saying) /* false for NaN */
        snprintf(below, sizeof below, " It stays clear below pH %.1f.",
                 s->ph_onset);
    sw_notes_add(&a->notes, clouds_now ? SW_WARNING : SW_INFO,
                 calcium_phosphate ? "calcium-phosphate" : "may-precipitate",
                 SW_SAY_MAY_CLOUD, sw_solid_name(solid),
                 sw_solid_formula(solid), s->index,
                 clouds_now ? a->mixed.ph : a->aired.ph,
                 clouds_now ? "" : ", which it reaches standing in air", below);
}

static void advise_solids(const sw_mix *mix, sw_assessment *a)
{
    (void)mix;
    for (int i = 0; i < SW_SOLID_COUNT; i++)
        if (!sw_seldom_forms((sw_solid)i) &&
            is_enough_to_see((sw_solid)i, &a->finished))
            advise_solid((sw_solid)i, a);
}

static void advise_nitrogen(const sw_mix *mix, sw_assessment *a)
{
    const double *c = a->finished.amount;
    double reduced = c[SW_NH4_N] + c[SW_UREA_N];
    (void)mix;
    if (c[SW_UREA_N] > urea_worth_saying_mg_per_l)
        sw_notes_add(&a->notes, SW_SAY_UREA, 100.0 * c[SW_UREA_N] / c[SW_N]);
    if (reduced > ammonium_share_of_n * c[SW_N])
        sw_notes_add(&a->notes, SW_SAY_AMMONIUM_HIGH, 100.0 * reduced / c[SW_N],
                     100.0 * ammonium_share_of_n);
}

static void advise_ammonia(const sw_mix *mix, sw_assessment *a)
{
    double ammonium = a->finished.amount[SW_NH4_N];
    double free = a->mixed.ammonia_n_mg_per_l;
    (void)mix;
    if (free > harmful_ammonia_n_mg_per_l ||
        (a->mixed.ph > ammonia_ph && ammonium > 1.0))
        sw_notes_add(&a->notes, SW_SAY_AMMONIA_FREE, a->mixed.ph,
                     100.0 * free / ammonium, free, harmful_ammonia_n_mg_per_l);
}

static void advise_salts(const sw_mix *mix, sw_assessment *a)
{
    (void)mix;
    for (size_t i = 0; i < a->guideline_count; i++) {
        const sw_guideline_row *row = &a->guidelines[i];
        char value[SW_FIGURE_BYTES], limit[SW_FIGURE_BYTES];
        bool unfit = row->fitness == SW_UNFIT;
        if (unfit || row->fitness == SW_CARE)
            sw_notes_add(&a->notes, unfit ? SW_WARNING : SW_INFO,
                         "sodium-chloride", SW_SAY_SODIUM_CHLORIDE, row->name,
                         sw_figure(row->value, value), *row->unit ? " " : "",
                         row->unit, row->use,
                         sw_figure(unfit ? row->severe : row->caution, limit),
                         row->source);
    }
}

static bool are_far_apart(double cations, double anions)
{
    double percent = 100.0 * (cations - anions) / (cations + anions);
    return fabs(percent) > SW_CHARGE_DOUBTFUL_PERCENT &&
           fabs(cations - anions) > SW_CHARGE_LEAST_MEQ_PER_L;
}

static void advise_balance(sw_assessment *a)
{
    double cations = a->mixed.cations_meq_per_l;
    double anions = a->mixed.anions_meq_per_l;
    if (are_far_apart(cations, anions))
        sw_notes_add(&a->notes, SW_SAY_CHARGE_BALANCE, cations, anions,
                     fabs(cations - anions),
                     cations < anions ? "cations" : "anions",
                     cations < anions ? "anions" : "cations");
}

/* The acid that takes most of the alkalinity, of those poured; else NULL. */
static const sw_product *main_acid(const sw_mix *mix, double *meq_per_l)
{
    const sw_product *acid = NULL;
    *meq_per_l = 0.0;
    for (size_t j = 0; j < mix->recipe->count; j++) {
        const sw_product *product = &mix->shelf->products[j];
        double takes =
            -mix->recipe->g_per_l[j] * product->per_g.amount[SW_ALKALINITY];
        if (!sw_is_acid(product) || !(takes > *meq_per_l))
            continue;
        *meq_per_l = takes;
        acid = product;
    }
    return acid;
}

/* What neutralises so much: "83.1 mL of nitric acid 38 % per 1000 L more";
 * below 0, of what is poured. */
static void say_acid(const sw_mix *mix, double meq_per_l, char *text,
                     size_t size)
{
    double poured, takes = fabs(meq_per_l);
    char amount[SW_AMOUNT_BYTES];
    const sw_product *acid = main_acid(mix, &poured);
    if (!acid || (meq_per_l < 0.0 && takes > poured))
        sw_say_acid(meq_per_l, text, size);
    else
        snprintf(text, size, "%s of %.60s per 1000 L %s",
                 sw_amount_per_m3(
                     acid, takes / -acid->per_g.amount[SW_ALKALINITY], amount),
                 acid->name, meq_per_l < 0.0 ? "less" : "more");
}

/* meq per litre of feed that moves its pH too little for a word. */
static const double least_told_meq_per_l = 0.1;

/* meq/L of base (common practice, no source). */
static const double base_worth_saying = 0.1;

/* meq/L of a base capacity that is reported; else 0. */
static double acidity_of(const sw_water *water)
{
    for (size_t i = 0; i < water->reading_count; i++) {
        double meq_per_l = sw_reading_acidity(&water->readings[i]);
        if (!isnan(meq_per_l))
            return meq_per_l;
    }
    return 0.0;
}

static void open_ph(sw_assessment *a)
{
    for (size_t i = 0; i < a->measure_count; i++) {
        sw_row *row = &a->measures[i];
        if (row->kind != SW_TARGET_PH || row->verdict == SW_VERDICT_NONE)
            continue;
        row->verdict = SW_OPEN;
        a->all_met = false;
    }
}

/* Acid that the pH of an acid water does not tell leaves that of the solution
 * open. */
static void advise_acidity(const sw_mix *mix, size_t k, sw_assessment *a)
{
    const sw_water *water = mix->reports[k];
    char told[SW_FIGURE_BYTES], more[SW_FIGURE_BYTES];
    double free_meq_per_l = 1000.0 * pow(10.0, -water->ph);
    double acidity = acidity_of(water) - free_meq_per_l;
    double aluminium = sw_charge_aluminium(water);
    double most = fmax(acidity, aluminium);
    if (water->is_solution || !(water->ph < SW_TITRATION_END_PH) ||
        !(most > base_worth_saying))
        return;
    sw_notes_add(&a->notes, SW_SAY_ACIDITY_MORE, water->sample, water->ph,
                 sw_figure(free_meq_per_l, told),
                 acidity < aluminium ? "aluminium" : "acidity",
                 sw_figure(most, more));
    open_ph(a);
}

/* A water whose charges ask for another alkalinity than its report tells, where
 * so much of it is poured that the acid hangs on it. */
static bool advise_alkalinity(const sw_mix *mix, size_t k, sw_assessment *a)
{
    sw_gap open = sw_gap_of(mix->reports[k]);
    double takes = mix->shares[k] * open.meq_per_l;
    char acid[128];
    if (!(fabs(takes) > least_told_meq_per_l))
        return false;
    say_acid(mix, takes, acid, sizeof acid);
    sw_say_gap(mix->reports[k], &open, acid, &a->notes);
    return true;
}

static void add_up_solution(const sw_mix *mix, const sw_water *solution,
                            sw_notes *told, sw_charge *charge)
{
    sw_content per_l;
    sw_notes notes = {0};
    sw_status status =
        sw_water_carbon(solution, &mix->conditions, &per_l, &notes, NULL);
    if (!sw_notes_found(told, status))
        per_l = solution->per_l;
    sw_notes_free(&notes);
    sw_charge_add_up_completed(solution, &per_l, charge);
}

/* A solution that is kept, or fed: by how much, and what its report lacks. */
static bool advise_solution(const sw_mix *mix, size_t k, sw_assessment *a)
{
    const sw_water *solution = mix->reports[k];
    sw_charge charge;
    char cations[SW_FIGURE_BYTES], anions[SW_FIGURE_BYTES];
    char gap[SW_FIGURE_BYTES];
    if (!solution->is_solution)
        return false;
    if (sw_solution_open_alkalinity(solution, SW_CHARGE_FALSE_PERCENT,
                                    &charge) > 0.0)
        return true; /* said with the report */
    bool open = sw_solution_open_alkalinity(solution, 0.0, &charge) > 0.0;
    add_up_solution(mix, solution, &a->notes, &charge);
    double more = charge.cations_meq_per_l, less = charge.anions_meq_per_l;
    if (!are_far_apart(more, less))
        return false;
    const char *missing =
        more < less ? charge.missing_cations : charge.missing_anions;
    if (open) /* no other anion lacks */
        missing = "alkalinity";
    sw_notes_add(&a->notes, SW_SAY_SOLUTION_CHARGES, sw_water_name(solution),
                 sw_figure(more, cations), sw_figure(less, anions),
                 sw_figure(fabs(more - less), gap),
                 more < less ? "cations" : "anions",
                 more < less ? "anions" : "cations",
                 *missing ? "; not reported: " : "", missing);
    return true;
}

static void advise_hidden(const sw_mix *mix, size_t k, sw_assessment *a)
{
    const sw_water *water = mix->reports[k];
    double hidden = sw_hidden_alkalinity(water);
    char acid[128];
    if (water->is_solution || !(mix->shares[k] * hidden > least_told_meq_per_l))
        return;
    say_acid(mix, mix->shares[k] * hidden, acid, sizeof acid);
    sw_notes_add(&a->notes, SW_SAY_ALKALINITY_BELOW, sw_water_name(water),
                 SW_MG_CACO3_PER_MEQ * hidden, acid);
}

static void advise_charge(const sw_mix *mix, sw_assessment *a)
{
    bool told = false;
    for (size_t k = 0; k < mix->report_count; k++) {
        if (!(mix->shares[k] > 0.0) || !sw_alkalinity_is_known(&a->finished))
            continue;
        told |= advise_alkalinity(mix, k, a) || advise_solution(mix, k, a);
        advise_hidden(mix, k, a);
        advise_acidity(mix, k, a);
    }
    if (!told)
        advise_balance(a);
}

static void advise_extreme_ph(const sw_mix *mix, sw_assessment *a)
{
    double ph = a->mixed.ph;
    const sw_target_row *row = sw_target_ph(mix->target);
    char next[128] = "";
    if (!sw_alkalinity_is_known(&a->finished) ||
        !sw_feed_harms(SW_TARGET_PH, SW_COMPONENT_COUNT, ph))
        return;
    if (!row)
        snprintf(next, sizeof next, " %s", SW_SAY_ASK_FOR_PH);
    else if (row->aired && a->aired.ph > ph &&
             !sw_feed_harms(SW_TARGET_PH, SW_COMPONENT_COUNT, a->aired.ph))
        snprintf(next, sizeof next, " " SW_SAY_AERATE_FIRST, a->aired.ph);
    sw_notes_add(&a->notes, SW_SAY_PH_EXTREME, ph, next);
}

/* By every report in it: what is not to be mixed then is so for what it tells.
 */
static bool tells_alkalinity(const sw_mix *mix)
{
    size_t k = 0;
    for (; k < mix->report_count; k++) {
        const sw_water *water = mix->reports[k];
        sw_content most = sw_water_most(water);
        bool told =
            water->alkalinity_reported &&
            most.amount[SW_ALKALINITY] <= water->per_l.amount[SW_ALKALINITY];
        bool follows = water->is_solution && !isnan(water->ph);
        if (mix->shares[k] > 0.0 && !told && !follows)
            return false;
    }
    return k > 0;
}

/* A pH that rests on what nobody knows; a target of a pH aired alone lacks no
 * CO2. */
static void advise_unknown_ph(const sw_mix *mix, sw_assessment *a)
{
    bool asked = false, aired = false;
    for (size_t i = 0; i < mix->target->count; i++) {
        const sw_target_row *row = &mix->target->rows[i];
        asked = asked || (row->kind == SW_TARGET_PH && !row->aired);
        aired = aired || (row->kind == SW_TARGET_PH && row->aired);
    }
    if (!sw_alkalinity_is_known(&a->finished))
        tells_alkalinity(mix)
            ? sw_notes_add(&a->notes, SW_SAY_PH_OF_FALSE_REPORT)
            : sw_notes_add(&a->notes, SW_SAY_PH_WITHOUT_ALKALINITY);
    else if (!sw_co2_is_known(&a->finished) && (asked || !aired))
        sw_notes_add(&a->notes, SW_SAY_PH_WITHOUT_CO2);
}

static void advise_drift(const sw_mix *mix, sw_assessment *a)
{
    double rise = a->aired.ph - a->mixed.ph;
    if (!mix->brief && fabs(rise) >= ph_drift_worth_saying &&
        isnan(a->undeclared.ph_low))
        sw_notes_add(&a->notes, SW_SAY_PH_DRIFTS, a->mixed.ph,
                     rise > 0.0 ? "rises" : "falls", a->aired.ph,
                     rise > 0.0 ? "leaves" : "enters");
}

/* Only where the shelf has prices at all. */
static void advise_prices(const sw_mix *mix, sw_assessment *a)
{
    const sw_product *missing = NULL;
    bool any = false;
    for (size_t j = 0; j < mix->recipe->count; j++) {
        const sw_product *product = &mix->shelf->products[j];
        any = any || !isnan(product->price_per_kg);
        if (mix->recipe->g_per_l[j] > 0.0 && isnan(product->price_per_kg))
            missing = product;
    }
    if (any && missing)
        sw_notes_add(&a->notes, SW_SAY_NO_PRICE, missing->name);
}

/* ---- What rests on no source that was read ------------------------------- */

/* A target judged by an accepted range of ours. */
static bool uses_range(const sw_target *target)
{
    for (size_t i = 0; target && i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        if (!isnan(row->target) && isnan(row->min) && isnan(row->max))
            return true;
    }
    return false;
}

static bool uses_saturation(const sw_assessment *a)
{
    for (int i = 0; i < SW_SOLID_COUNT; i++)
        if (a->mixed.saturation[i].defined)
            return true;
    return false;
}

/* All that the facts may be of use for here. */
static unsigned uses_of(const sw_mix *mix, const sw_assessment *a)
{
    unsigned uses = SW_USES_ALWAYS;
    if (uses_range(mix->target))
        uses |= SW_USES_RANGE;
    if (uses_saturation(a))
        uses |= SW_USES_SATURATION;
    for (size_t i = 0; i < a->notes.count; i++)
        uses |= a->notes.items[i].about;
    return uses;
}

/* Those whose source begins so, in one sentence. */
static void say_facts(const sw_mix *mix, sw_assessment *a, const char *known,
                      const char *code, const char *lead)
{
    char list[400] = "";
    unsigned uses = uses_of(mix, a);
    for (size_t i = 0; i < sw_trade_facts_count; i++) {
        const sw_trade_facts_row *fact = &sw_trade_facts_table[i];
        if (!strncmp(fact->source, known, strlen(known)) &&
            (unsigned)fact->where & uses)
            sw_text_join(list, sizeof list, "; ", "%s", fact->text);
    }
    if (*list)
        sw_notes_add(&a->notes, SW_INFO, code, "%s: %s.", lead, list);
}

void sw_say_basis(const sw_mix *mix, sw_assessment *a)
{
    if (mix->brief)
        return;
    say_facts(mix, a, "common practice", "common-practice",
              "Common practice, no source");
    say_facts(mix, a, "value from memory", "from-memory", "Values from memory");
}

static void advise_ratios(const sw_mix *mix, sw_assessment *a)
{
    (void)mix;
    for (size_t i = 0; i < a->measure_count; i++) {
        const sw_row *row = &a->measures[i];
        if (row->kind == SW_TARGET_RATIO && row->verdict == SW_OPEN)
            sw_notes_add(&a->notes, SW_SAY_RATIO_OF_NOTHING, row->name);
    }
}

void sw_advise(const sw_mix *mix, sw_assessment *assessment)
{
    static const struct {
        adviser *advise;
        bool of_mix; /* else of a sample too */
    } advisers[] = {{advise_chelates, false},   {advise_water_iron, false},
                    {advise_ratios, true},      {advise_solids, false},
                    {advise_nitrogen, false},   {advise_ammonia, false},
                    {advise_salts, true},       {sw_advise_harm, false},
                    {advise_charge, true},      {advise_extreme_ph, false},
                    {advise_unknown_ph, false}, {advise_drift, true},
                    {advise_prices, true},      {sw_say_basis, true}};
    bool is_sample = sw_is_sample(mix);
    for (size_t i = 0; i < sizeof advisers / sizeof *advisers; i++)
        if (!is_sample || !advisers[i].of_mix)
            advisers[i].advise(mix, assessment);
}
