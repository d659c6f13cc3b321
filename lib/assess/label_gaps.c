/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What labels leave out: both ends of the pH where it may be acid or base,
 * verdicts that are another at an end, acid or base that is therefore poured by
 * measuring, and chloride or sodium against limits.  Method:
 * reference/methods.md, Composition.
 */
#include "assess/label_gaps.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "assess/agent.h"
#include "assess/ph_dose.h"
#include "assess/verdict.h"
#include "chemistry/equilibrate.h"
#include "quantity/components.h"
#include "quantity/notes.h"
#include "quantity/text.h"
#include "table_words.h"

/* Known to this share of it, or to what no measure shows, meq/L (common
 * practice, no source). */
static const double same_share = 0.05, same_meq_per_l = 0.02;
/* A pH open by less is known. */
static const double ph_worth_saying = 0.2;
/* mS/cm between the ends of what is not sized that a meter shows. */
static const double ec_worth_saying = 0.02;
/* meq/L that move no pH, and meq/g of ions that are not worth a note. */
static const double no_charge = 1e-7, ions_worth_saying = 0.05;
/* Into so many a stock's is parted (common practice, no source). */
static const double tank_portions = 4;

bool sw_is_sized(double meq_per_l, double open_acid_meq_per_l,
                 double open_base_meq_per_l)
{
    return fmax(open_acid_meq_per_l, open_base_meq_per_l) <=
           fmax(same_share * fabs(meq_per_l), same_meq_per_l);
}

static bool has_unsized(const sw_recipe *recipe)
{
    for (size_t j = 0; recipe->most_g_per_l && j < recipe->count; j++)
        if (recipe->most_g_per_l[j] > 0)
            return true;
    return false;
}

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

/* ---- Acid or base that is not sized ------------------------------------- */

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

/* "5.4 to 6.2 after standing open to the air" */
static void say_until(const sw_mix *mix, char *text, size_t size)
{
    const sw_target_row *row = sw_target_ph(mix->target);
    sw_band ph = until_of(mix);
    snprintf(text, size, ph.low < ph.high ? "%.1f to %.1f" : "%.1f", ph.low,
             ph.high);
    if (row && row->aired)
        sw_text_add(text, size, " after standing open to the air");
}

/* "8.64 mL", or where no vessel is known "432 mL per 1000 L". */
static const char *say_amount(const sw_product *product, double g_per_l,
                              double feed_l, char text[SW_AMOUNT_BYTES])
{
    if (feed_l > 0)
        return sw_amount_of(product, g_per_l * feed_l, text);
    sw_amount_per_m3(product, g_per_l, text);
    sw_text_add(text, SW_AMOUNT_BYTES, " per 1000 L");
    return text;
}

/* Into the solution itself. */
static void say_straight(const sw_pouring *into, const char *until,
                         const char *surely, const char *most, char *text,
                         size_t size)
{
    snprintf(text, size, SW_SAY_UNSIZED_IN_PORTIONS, until, most);
    if (into->feed_l > 0 && !into->step)
        sw_text_add(text, size, " " SW_SAY_UNSIZED_FOR_VOLUME, into->feed_l);
    if (*surely && into->step)
        sw_text_add(text, size, SW_SAY_UNSIZED_OF_STEP, surely, into->step);
    else if (*surely)
        sw_text_add(text, size, SW_SAY_UNSIZED_OF_IT, surely);
}

bool sw_unsized_say(const sw_mix *mix, size_t product, const sw_pouring *into,
                    char *text, size_t size)
{
    char until[64], least[SW_AMOUNT_BYTES], most[SW_AMOUNT_BYTES];
    char more[SW_AMOUNT_BYTES], portion[SW_AMOUNT_BYTES];
    const sw_product *p = &mix->shelf->products[product];
    const sw_recipe *recipe = mix->recipe;
    double surely = recipe->g_per_l[product];
    text[0] = '\0';
    if (!recipe->most_g_per_l || !(recipe->most_g_per_l[product] > 0))
        return false;
    double beyond = recipe->most_g_per_l[product] - surely;
    double held = into->held_g > 0 ? into->held_g / into->feed_l : surely;
    say_until(mix, until, sizeof until);
    say_amount(p, held, into->feed_l, least);
    say_amount(p, held + beyond, into->feed_l, most);
    say_amount(p, beyond, into->feed_l, more);
    say_amount(p, beyond / tank_portions, into->feed_l, portion);
    if (beyond <= 0)
        snprintf(text, size, SW_SAY_UNSIZED_ASK_MAKER, least, until);
    else if (!into->tank)
        say_straight(into, until, surely > 0 ? least : "", most, text, size);
    else if (!*into->tank)
        snprintf(text, size, SW_SAY_UNSIZED_IN_NO_TANK, until, most);
    else
        snprintf(text, size, SW_SAY_UNSIZED_INTO_TANK,
                 p->per_g.amount[SW_ALKALINITY] > 0 ? "below" : "above", until,
                 into->tank, portion, more, least, most);
    return true;
}

bool sw_unsized_text(const sw_mix *mix, size_t product, char *text, size_t size)
{
    const sw_pouring straight = {.feed_l = mix->volume_l};
    const sw_pouring *into =
        mix->pourings ? &mix->pourings[product] : &straight;
    return sw_unsized_say(mix, product, into, text, size);
}

/* ---- Both ends ---------------------------------------------------------- */

/* The pH of a solution with more alkalinity. */
static sw_status ph_with(const sw_mix *mix, const sw_content *finished,
                         sw_carbonate carbonate, double alkalinity_meq_per_l,
                         double *ph, sw_error *error)
{
    sw_chemistry chemistry;
    sw_content content = *finished;
    content.amount[SW_ALKALINITY] += alkalinity_meq_per_l;
    sw_status status = sw_equilibrate_briefly(&content, &mix->conditions,
                                              carbonate, &chemistry, error);
    *ph = chemistry.ph;
    return status;
}

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
    *end = (other_end){a->finished, a->mixed.ec_ms_per_cm, has_unsized(recipe)};
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

static bool is_judged_aired(const sw_mix *mix)
{
    const sw_target_row *row = sw_target_ph(mix->target);
    return row && row->aired;
}

/* What is poured stops at its pH: acid ends below it only where what is surely
 * needed does already, and above it only where all of it is too little. */
static void stop_at(sw_band until, double *low, double *high)
{
    *low = fmin(*low, until.low);
    *high = fmax(*high, until.high);
}

/* The pH as mixed of what is poured until it is at *ph in the air. */
static sw_status as_mixed(const sw_mix *mix, const sw_content *solution,
                          double *ph, sw_error *error)
{
    double acid_meq_per_l;
    sw_ph_goal goal = {solution, mix->conditions, SW_CARBONATE_AIRED, *ph};
    sw_status status = sw_ph_missing(&goal, &acid_meq_per_l, error);
    return status == SW_OK ? ph_with(mix, solution, SW_CARBONATE_KEPT,
                                     -acid_meq_per_l, ph, error)
                           : status;
}

/* Base in place of acid takes its ends from the other solution each. */
static sw_status find_ends(const sw_mix *mix, const sum *s,
                           const other_end *end, sw_assessment *a,
                           sw_error *error)
{
    double low, high;
    sw_band until = until_of(mix);
    bool base =
        end->finished.amount[SW_ALKALINITY] > a->finished.amount[SW_ALKALINITY];
    const sw_content *first = base ? &end->finished : &a->finished;
    const sw_content *last = base ? &a->finished : &end->finished;
    bool moved = s->acid_meq_per_l > no_charge || s->base_meq_per_l > no_charge;
    if (isnan(a->mixed.ph) || (!moved && !end->unsized))
        return SW_OK;
    sw_status status =
        ph_with(mix, first, SW_CARBONATE_KEPT, -s->acid_meq_per_l, &low, error);
    if (status == SW_OK)
        status = ph_with(mix, last, SW_CARBONATE_KEPT, s->base_meq_per_l, &high,
                         error);
    if (status == SW_OK && end->unsized && is_judged_aired(mix))
        status = as_mixed(mix, first, &until.low, error);
    if (status == SW_OK && end->unsized && is_judged_aired(mix))
        status = as_mixed(mix, last, &until.high, error);
    if (status != SW_OK ||
        (!end->unsized &&
         fmax(a->mixed.ph - low, high - a->mixed.ph) <= ph_worth_saying))
        return status;
    if (end->unsized)
        stop_at(until, &low, &high);
    a->undeclared.ph_low = low;
    a->undeclared.ph_high = high;
    return SW_OK;
}

/* Another verdict opens it; the same keeps it, and how much more there may be
 * is told where it is worth it. */
static void open_component(const sw_target_row *target, const other_end *end,
                           sw_assessment *a)
{
    sw_component_row *row = &a->rows[target->component];
    double more = sw_against_max(target->component, &end->finished) -
                  row->finished_mg_per_l;
    char figure[SW_FIGURE_BYTES];
    bool same = sw_judge_content(target, &end->finished) == row->verdict;
    bool worth_saying = sw_is_missed(row->verdict) &&
                        more > same_share * row->finished_mg_per_l;
    if (target->assumed || (same && !worth_saying))
        return;
    if (!same)
        *row->reason = '\0';
    row->verdict = same ? row->verdict : SW_OPEN;
    sw_text_add(row->reason, sizeof row->reason, SW_SAY_UNSIZED_BRINGS,
                *row->reason ? "; " : "", sw_figure(more, figure));
}

static sw_verdict ph_verdict(const sw_mix *mix, const sw_assessment *a,
                             const sw_target_row *target,
                             double alkalinity_meq_per_l)
{
    double ph;
    sw_band band = sw_band_of(target);
    sw_carbonate carbonate =
        target->aired ? SW_CARBONATE_AIRED : SW_CARBONATE_KEPT;
    return ph_with(mix, &a->finished, carbonate, alkalinity_meq_per_l, &ph,
                   NULL) == SW_OK
               ? sw_band_judge(&band, ph)
               : SW_OPEN;
}

static bool is_open(const sw_mix *mix, const sw_target_row *target,
                    const other_end *end, const sw_assessment *a,
                    const sw_row *row)
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

/* Verdicts that are another at the other end, the EC's ends and the pH it is
 * poured to. */
static void judge_open_ends(const sw_mix *mix, const other_end *end,
                            sw_assessment *a)
{
    sw_undeclared *u = &a->undeclared;
    size_t measure = 0;
    for (size_t i = 0; i < mix->target->count; i++) {
        const sw_target_row *target = &mix->target->rows[i];
        if (target->kind == SW_TARGET_COMPONENT)
            open_component(target, end, a);
        else if (is_open(mix, target, end, a, &a->measures[measure++]))
            a->measures[measure - 1].verdict = SW_OPEN;
    }
    size_t met, all;
    sw_count_met(a, &met, &all);
    a->all_met = a->all_met && met == all;
    if (!end->unsized)
        return;
    u->ec_low_ms_per_cm = fmin(a->mixed.ec_ms_per_cm, end->ec_ms_per_cm);
    u->ec_high_ms_per_cm = fmax(a->mixed.ec_ms_per_cm, end->ec_ms_per_cm);
    sw_band until = until_of(mix);
    u->until_ph_low = until.low;
    u->until_ph_high = until.high;
}

sw_status sw_label_gaps_pour(const sw_mix *mix, const sw_assessment *a,
                             sw_content *poured, sw_error *error)
{
    other_end end;
    double acid_meq_per_l;
    sw_carbonate carbonate =
        is_judged_aired(mix) ? SW_CARBONATE_AIRED : SW_CARBONATE_KEPT;
    sw_ph_goal goal = {poured, mix->conditions, carbonate,
                       a->undeclared.until_ph_high};
    sw_status status = find_other_end(mix, a, &end, error);
    *poured = end.finished;
    if (status == SW_OK)
        status = sw_ph_missing(&goal, &acid_meq_per_l, error);
    if (status == SW_OK)
        poured->amount[SW_ALKALINITY] -= acid_meq_per_l;
    return status;
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
    say(u, "%.80s", s->name);
    if (s->count > 1)
        say(u, " and %zu more", s->count - 1);
}

/* "5.8 if what the label of bag leaves out is neutral", and what if not. */
static void say_ends(const sum *s, const sw_assessment *a, sw_undeclared *u)
{
    say(u, "%.1f if what the label of ", a->mixed.ph);
    say_name(s, u);
    say(u, " leaves out is neutral, as is assumed here; if not, ");
    if (s->acid_meq_per_l > no_charge)
        say(u, "as low as %.1f", u->ph_low);
    if (s->base_meq_per_l > no_charge)
        say(u, "%sas high as %.1f", s->acid_meq_per_l > no_charge ? " or " : "",
            u->ph_high);
}

static void say_ph(const sum *s, sw_assessment *a, bool unsized)
{
    sw_undeclared *u = &a->undeclared;
    if (isnan(u->ph_low))
        return;
    say(u, "The pH is not known: ");
    if (unsized) {
        say(u, SW_SAY_UNSIZED_PH " ", u->ph_low, u->ph_high);
        say_name(s, u);
        say(u, " leaves out");
    } else
        say_ends(s, a, u);
    say(u, ". %s the maker for its alkalinity.",
        unsized ? "Ask" : SW_SAY_ASK_MAKER_FIRST);
}

static void say_all_unsized(const sw_mix *mix, sw_undeclared *u)
{
    const sw_recipe *recipe = mix->recipe;
    for (size_t j = 0; j < recipe->count; j++) {
        char how[SW_UNSIZED_BYTES];
        if (!sw_unsized_text(mix, j, how, sizeof how))
            continue;
        say(u, "%s", u->text[0] ? " " : "");
        say(u, SW_SAY_UNSIZED_IS, mix->shelf->products[j].name, how);
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

static void note_product(const sw_product *product, sw_assessment *a)
{
    double anions = product->per_g.amount[SW_UNDECLARED];
    bool bare_iron = product->chelator == SW_CHELATOR_NONE &&
                     product->per_g.amount[SW_FE] > 0;
    const char *likely = anions < 0  ? "sodium"
                         : bare_iron ? "chloride or sulfate, or a chelator"
                                     : "chloride or sulfate";
    sw_notes_append(&a->notes, &product->remarks);
    if (product->taken_as)
        sw_notes_add(&a->notes, SW_SAY_LABEL_COMPLETED, product->name,
                     product->taken_as);
    else if (!(fabs(anions) < ions_worth_saying))
        sw_notes_add(&a->notes, SW_SAY_LABEL_UNDECLARED_IONS, product->name,
                     fabs(anions), anions > 0 ? "anions" : "cations", likely);
}

sw_status sw_label_gaps_judge(const sw_mix *mix, sw_assessment *a,
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
    other_end end;
    sw_status status = find_other_end(mix, a, &end, error);
    if (status == SW_OK)
        status = find_ends(mix, &s, &end, a, error);
    if (status != SW_OK)
        return status;
    judge_open_ends(mix, &end, a);
    suspect cl = find_limit(mix, a, SW_CL, s.anions_meq_per_l);
    suspect na = find_limit(mix, a, SW_NA, s.cations_meq_per_l);
    say_ph(&s, a, end.unsized);
    say_all_unsized(mix, &a->undeclared);
    say_ion(&s, &cl, &a->undeclared.cl_mg_per_l, &a->undeclared);
    say_ion(&s, &na, &a->undeclared.na_mg_per_l, &a->undeclared);
    for (size_t j = 0; j < mix->recipe->count; j++)
        if (mix->recipe->g_per_l[j] > 0 && mix->shelf->products[j].label)
            note_product(&mix->shelf->products[j], a);
    return SW_OK;
}
