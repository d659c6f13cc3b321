/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Acid or base for a pH alone.  The linear row of the pH gives the amount at
 * the activities of a guess; the guess takes it in, until nothing moves.  What
 * is told is what the full speciation confirms.  Method: reference/methods.md,
 * Assess.
 */
#include "assess/ph_dose.h"

#include "assess/agent.h"
#include "assess/label_gaps.h"
#include "chemistry/equilibrate.h"
#include "chemistry/ph_row.h"
#include "quantity/status.h"
#include "records/feed_limits.h"
#include "table_refusals.h"

#include <math.h>
#include <stdlib.h>

enum { MOST_REFRESHES = 60, UNDAMPED = 20 };

/* Of an amount, from one refresh to the next. */
static const double settled_share = 1e-9;
/* Of the pH by the full speciation; and less of a difference needs nothing. */
static const double confirmed_ph = 0.02, nothing_ph = 0.005;

double sw_ph_wanted(double target, double min, double max, double ph)
{
    if (!isnan(target))
        return target;
    return ph < min ? min : ph > max ? max : NAN;
}

static sw_status row_of(const sw_ph_goal *goal, const sw_content *guess,
                        sw_ph_row *row, sw_error *error)
{
    sw_constants room;
    sw_ph_memory memory = {.ph = goal->ph,
                           .guess = guess,
                           .aired = goal->carbonate == SW_CARBONATE_AIRED,
                           .room = &room};
    sw_status status = sw_ph_rows_near((sw_ph_memory *[]){&memory}, 1,
                                       &goal->conditions, error);
    *row = memory.row;
    return status;
}

sw_status sw_ph_missing(const sw_ph_goal *goal, double *acid_meq_per_l,
                        sw_error *error)
{
    sw_ph_row row;
    sw_status status = row_of(goal, goal->solution, &row, error);
    *acid_meq_per_l = status ? NAN : sw_ph_row_excess(&row, goal->solution);
    return status;
}

/* One refresh of the amount; half the way where full steps go round. */
static sw_status refresh(const sw_ph_goal *goal, const sw_product *product,
                         int round, double *g_per_l)
{
    sw_ph_row row;
    sw_content guess = *goal->solution;
    sw_content_add(&guess, *g_per_l, &product->per_g);
    sw_status status = row_of(goal, &guess, &row, NULL);
    if (status != SW_OK)
        return status;
    double rest = sw_ph_row_excess(&row, goal->solution);
    double next = fmax(-rest / sw_ph_row_sum(&row, &product->per_g), 0);
    *g_per_l += (round < UNDAMPED ? 1 : 0.5) * (next - *g_per_l);
    return SW_OK;
}

/* NaN: it does not settle, or not above 0. */
static sw_status settle(const sw_ph_goal *goal, const sw_product *product,
                        double *g_per_l)
{
    *g_per_l = 0;
    for (int round = 0; round < MOST_REFRESHES; round++) {
        double before = *g_per_l;
        sw_status status = refresh(goal, product, round, g_per_l);
        if (status != SW_OK)
            return status;
        if (!(*g_per_l > 0) || !isfinite(*g_per_l))
            break;
        if (fabs(*g_per_l - before) <= settled_share * *g_per_l)
            return SW_OK;
    }
    *g_per_l = NAN;
    return SW_OK;
}

static sw_status confirm(const sw_ph_goal *goal, const sw_product *product,
                         sw_ph_amount *amount)
{
    sw_chemistry mixed, aired;
    sw_content with = *goal->solution;
    sw_content_add(&with, amount->g_per_l, &product->per_g);
    sw_status status = sw_equilibrate_briefly(&with, &goal->conditions,
                                              SW_CARBONATE_KEPT, &mixed, NULL);
    if (status == SW_OK)
        status = sw_equilibrate_briefly(&with, &goal->conditions,
                                        SW_CARBONATE_AIRED, &aired, NULL);
    if (status != SW_OK)
        return status;
    amount->ph_mixed = mixed.ph;
    amount->ph_aired = aired.ph;
    double is = goal->carbonate == SW_CARBONATE_KEPT ? mixed.ph : aired.ph;
    if (fabs(is - goal->ph) > confirmed_ph)
        amount->g_per_l = NAN;
    return SW_OK;
}

static sw_component excess_of(const sw_ph_goal *goal, const sw_product *product,
                              double g_per_l)
{
    sw_content with = *goal->solution;
    sw_content_add(&with, g_per_l, &product->per_g);
    for (int c = 0; c < SW_COMPONENT_COUNT; c++) {
        sw_feed_limit limit = {.usual = NAN};
        sw_feed_limit_of(SW_TARGET_COMPONENT, (sw_component)c, false, &limit);
        if (product->per_g.amount[c] > 0 && with.amount[c] > limit.usual)
            return (sw_component)c;
    }
    return SW_COMPONENT_COUNT;
}

sw_status sw_ph_dose(const sw_ph_goal *goal, const sw_product *product,
                     sw_ph_amount *amount, sw_error *error)
{
    *amount = (sw_ph_amount){.ph_mixed = NAN, .ph_aired = NAN};
    sw_status status = settle(goal, product, &amount->g_per_l);
    if (status == SW_OK && !isnan(amount->g_per_l))
        status = confirm(goal, product, amount);
    if (status == SW_ERR_MEMORY)
        return sw_fail_memory(error);
    if (status != SW_OK) /* no solution could hold so much */
        amount->g_per_l = NAN;
    amount->ml_per_l = amount->g_per_l / product->density_g_per_ml;
    amount->excess = excess_of(goal, product, amount->g_per_l);
    amount->over_max = amount->g_per_l > product->max_g_per_l;
    return SW_OK;
}

/* ---- All that would do it ----------------------------------------------- */

bool sw_target_is_ph_alone(const sw_target *target)
{
    for (size_t i = 0; target && i < target->count; i++)
        if (target->rows[i].kind != SW_TARGET_PH)
            return false;
    return target && target->count > 0;
}

/* Its own row, else the other. */
static const sw_target_row *row_for(const sw_target *target,
                                    sw_carbonate carbonate)
{
    const sw_target_row *row = sw_target_ph(target);
    for (size_t i = 0; i < target->count; i++)
        if (target->rows[i].kind == SW_TARGET_PH &&
            target->rows[i].aired == (carbonate == SW_CARBONATE_AIRED))
            row = &target->rows[i];
    return row;
}

typedef struct finding {
    const sw_mix *mix;
    sw_content solution;
    double open_acid, open_base; /* of labels, meq/L */
    sw_ph_goal goal[SW_PH_TANKS];
    sw_ph_options *out;
    sw_error *error;
} finding;

static sw_status find_need(finding *f, sw_carbonate carbonate)
{
    sw_chemistry chemistry;
    sw_ph_need *need = &f->out->need[carbonate];
    const sw_target_row *row = row_for(f->mix->target, carbonate);
    sw_status status = sw_equilibrate_briefly(&f->solution, &f->mix->conditions,
                                              carbonate, &chemistry, f->error);
    if (status != SW_OK)
        return status;
    need->ph = chemistry.ph;
    need->asked = carbonate == SW_CARBONATE_AIRED || !row->aired;
    need->wanted = need->asked
                       ? sw_ph_wanted(row->target, row->min, row->max, need->ph)
                       : (double)NAN;
    need->acid_meq_per_l = NAN;
    need->sized = true;
    need->needed = fabs(need->ph - need->wanted) > nothing_ph;
    f->goal[carbonate] =
        (sw_ph_goal){&f->solution, f->mix->conditions, carbonate, need->wanted};
    if (isnan(need->wanted))
        return SW_OK;
    status =
        sw_ph_missing(&f->goal[carbonate], &need->acid_meq_per_l, f->error);
    need->sized = sw_is_sized(need->acid_meq_per_l, f->open_acid, f->open_base);
    return status;
}

static bool needs(const finding *f, int carbonate, bool acid)
{
    const sw_ph_need *need = &f->out->need[carbonate];
    return need->needed && (need->ph > need->wanted) == acid;
}

static sw_status add_option(finding *f, const sw_product *product,
                            bool on_shelf, bool acid)
{
    sw_ph_option *option = &f->out->items[f->out->count++];
    *option = (sw_ph_option){
        .product = product, .on_shelf = on_shelf, .is_acid = acid};
    sw_status status = SW_OK;
    for (int t = 0; t < SW_PH_TANKS && status == SW_OK; t++) {
        option->amount[t] =
            (sw_ph_amount){NAN, NAN, NAN, NAN, false, SW_COMPONENT_COUNT};
        if (needs(f, t, acid))
            status =
                sw_ph_dose(&f->goal[t], product, &option->amount[t], f->error);
    }
    return status;
}

/* An acid or base that stands on the shelf for the pH. */
static bool serves(const sw_product *product, bool acid)
{
    return sw_is_agent(product) && sw_is_acid(product) == acid &&
           !sw_is_trace_source(product) && isnan(product->fixed_g_per_l) &&
           !(product->max_g_per_l <= 0);
}

/* Of the catalogue no base that is a nutrient or clouds: phosphate, silicate,
 * ammonia, lime and magnesia, citrate (common practice, no source). */
static bool is_plain(const sw_product *product)
{
    static const sw_component more[] = {SW_N,  SW_P,  SW_SI,
                                        SW_CA, SW_MG, SW_CITRATE};
    for (size_t i = 0; i < sizeof more / sizeof *more; i++)
        if (product->per_g.amount[more[i]] > 0)
            return false;
    return true;
}

static sw_status add_all(finding *f, const sw_shelf *shelf, bool on_shelf,
                         bool acid)
{
    sw_status status = SW_OK;
    for (size_t j = 0; j < shelf->count && status == SW_OK; j++) {
        const sw_product *product = &shelf->products[j];
        if (serves(product, acid) && (on_shelf || acid || is_plain(product)))
            status = add_option(f, product, on_shelf, acid);
    }
    return status;
}

static sw_status add_kind(finding *f, bool acid)
{
    sw_ph_options *out = f->out;
    size_t before = out->count;
    if (!needs(f, SW_CARBONATE_KEPT, acid) &&
        !needs(f, SW_CARBONATE_AIRED, acid))
        return SW_OK;
    sw_status status = add_all(f, f->mix->shelf, true, acid);
    if (status != SW_OK || out->count > before)
        return status;
    if (!out->catalogue)
        status = sw_shelf_catalogue(&out->catalogue, f->error);
    return status ? status : add_all(f, out->catalogue, false, acid);
}

static sw_status find_all(finding *f)
{
    size_t room = 2 * (f->mix->shelf->count + sw_catalogue_count());
    f->out->items = calloc(room, sizeof *f->out->items);
    if (!f->out->items)
        return sw_fail_memory(f->error);
    f->solution = *f->mix->water;
    sw_content_add_recipe(&f->solution, 1, f->mix->shelf, f->mix->recipe);
    for (size_t j = 0; j < f->mix->recipe->count; j++) {
        double g_per_l = f->mix->recipe->g_per_l[j];
        const sw_product *product = &f->mix->shelf->products[j];
        f->open_acid += g_per_l * product->open_acid_meq_per_g;
        f->open_base += g_per_l * product->open_base_meq_per_g;
    }
    sw_status status = find_need(f, SW_CARBONATE_KEPT);
    if (status == SW_OK)
        status = find_need(f, SW_CARBONATE_AIRED);
    if (status == SW_OK)
        status = add_kind(f, true);
    if (status == SW_OK)
        status = add_kind(f, false);
    return status;
}

sw_status sw_ph_options_find(const sw_mix *mix, sw_ph_options **options,
                             sw_error *error)
{
    SW_REQUIRE_FOR(options, error, sw_aimed_mix(mix));
    if (!sw_target_ph(mix->target))
        return sw_fail(error, SW_BAD_TARGET_WITHOUT_PH);
    bool kept = false;
    for (size_t i = 0; i < mix->target->count; i++)
        kept = kept || (mix->target->rows[i].kind == SW_TARGET_PH &&
                        !mix->target->rows[i].aired);
    if (kept ? !sw_co2_is_known(mix->water)
             : !sw_alkalinity_is_known(mix->water))
        return SW_OK;
    finding f = {.mix = mix, .error = error};
    f.out = calloc(1, sizeof *f.out);
    if (!f.out)
        return sw_fail_memory(error);
    sw_status status = find_all(&f);
    SW_GIVE(status, options, f.out, sw_ph_options_free);
}

void sw_ph_options_free(sw_ph_options *options)
{
    if (!options)
        return;
    sw_shelf_free(options->catalogue);
    SW_FREE(options->items, options);
}
