/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A recipe in a water against a target: what the finished solution holds, the
 * verdict on each target, chemistry, cost.  Nothing here knows how the recipe
 * came about.  Methods: reference/methods.md, Assess.
 */
#include "assess/advice.h"
#include "assess/guidelines.h"
#include "assess/label_gaps.h"
#include "assess/ph_dose.h"
#include "assess/verdict.h"
#include "chemistry/conductivity.h"
#include "chemistry/equilibrate.h"
#include "quantity/notes.h"
#include "quantity/status.h"
#include "records/targets.h"
#include "table_refusals.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Iron of the water that is more than this share of what counts is told. */
static const double worth_saying = 0.05;

/* Below this a component counts as absent; mg/L. */
static const double nothing_mg_per_l = 1e-9;

static void mix_contents(const sw_mix *mix, sw_assessment *a)
{
    a->water = *mix->water;
    a->finished = *mix->water;
    sw_content_add_recipe(&a->finished, 1, mix->shelf, mix->recipe);
}

/* By every water that is in it; what is worked out of others counts too. */
static bool is_reported(const sw_mix *mix, sw_component component)
{
    for (size_t k = 0; k < mix->report_count; k++)
        if (mix->shares[k] > 0.0 && !mix->reports[k]->reported[component])
            return false;
    return true;
}

void sw_mix_unseen(const sw_mix *mix,
                   double unseen_mg_per_l[SW_COMPONENT_COUNT])
{
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        unseen_mg_per_l[i] = 0.0;
    for (size_t k = 0; k < mix->report_count; k++) {
        const sw_water *water = mix->reports[k];
        double most[SW_COMPONENT_COUNT] = {0};
        for (size_t i = 0; i < water->reading_count; i++) {
            const sw_reading *r = &water->readings[i];
            if (r->kind == SW_READS_COMPONENT && r->below_detection &&
                water->below_detection[r->component])
                most[r->component] = fmax(most[r->component], r->amount);
        }
        for (int i = 0; i < SW_COMPONENT_COUNT; i++)
            unseen_mg_per_l[i] += mix->shares[k] * most[i];
    }
}

static void fill_component_rows(const sw_mix *mix, sw_assessment *a)
{
    double unseen_mg_per_l[SW_COMPONENT_COUNT];
    sw_mix_unseen(mix, unseen_mg_per_l);
    for (int i = 0; i < SW_COMPONENT_COUNT; i++) {
        double water = sw_against_max((sw_component)i, &a->water);
        double finished = sw_against_max((sw_component)i, &a->finished);
        a->rows[i] = (sw_component_row){
            .component = (sw_component)i,
            .water_mg_per_l = water,
            .added_mg_per_l = finished - water,
            .finished_mg_per_l = finished,
            .water_reported = is_reported(mix, (sw_component)i),
            .water_unseen_mg_per_l = unseen_mg_per_l[i],
            .target_mg_per_l = NAN,
            .min_mg_per_l = NAN,
            .max_mg_per_l = NAN,
            .low_mg_per_l = NAN,
            .high_mg_per_l = NAN,
            .residual_mg_per_l = NAN};
    }
}

static double finite_or_nan(double bound)
{
    return isinf(bound) ? NAN : bound;
}

static bool keeps_solution(const sw_mix *mix)
{
    for (size_t k = 0; k < mix->report_count; k++)
        if (mix->shares[k] > 0.0 && mix->reports[k]->is_solution)
            return true;
    return false;
}

/* Says why where the water alone, or a lack of any source, decides it. */
static void give_reason(const sw_mix *mix, const sw_band *band,
                        const sw_content *finished, sw_component_row *row)
{
    char water[SW_FIGURE_BYTES];
    double counted = finished->amount[row->component];
    if (row->verdict == SW_OVER &&
        sw_band_judge(band, row->water_mg_per_l) == SW_OVER)
        snprintf(row->reason, sizeof row->reason, "%s %s mg/L",
                 keeps_solution(mix) ? "what is kept and the water bring"
                                     : "water alone brings",
                 sw_figure(row->water_mg_per_l, water));
    else if (row->verdict == SW_SHORT && row->added_mg_per_l < nothing_mg_per_l)
        snprintf(row->reason, sizeof row->reason,
                 "no product in the recipe brings %s",
                 sw_component_name(row->component));
    else if (row->verdict == SW_MET && !row->water_reported &&
             isnan(row->target_mg_per_l))
        snprintf(row->reason, sizeof row->reason,
                 "not reported of %s, and taken as 0 there",
                 row->water_mg_per_l > 0.0 ? "part of the water" : "the water");
    else if (row->verdict == SW_MET &&
             sw_band_judge(band, counted + row->water_unseen_mg_per_l) ==
                 SW_OVER)
        snprintf(row->reason, sizeof row->reason,
                 "the water may bring up to %s mg/L more, below detection",
                 sw_figure(row->water_unseen_mg_per_l, water));
    else if (row->finished_mg_per_l - counted > worth_saying * counted)
        snprintf(row->reason, sizeof row->reason,
                 "%s mg/L of it is the water's own and does not count",
                 sw_figure(row->finished_mg_per_l - counted, water));
}

static void judge_component(const sw_mix *mix, const sw_target_row *target,
                            sw_assessment *a)
{
    sw_component_row *row = &a->rows[target->component];
    if (target->assumed)
        return;
    sw_band band = sw_band_of(target);
    row->target_mg_per_l = target->target;
    row->min_mg_per_l = target->min;
    row->max_mg_per_l = target->max;
    row->low_mg_per_l = finite_or_nan(band.low);
    row->high_mg_per_l = finite_or_nan(band.high);
    row->residual_mg_per_l =
        a->finished.amount[target->component] - target->target;
    row->verdict = sw_judge_content(target, &a->finished);
    give_reason(mix, &band, &a->finished, row);
    a->all_met = a->all_met && row->verdict == SW_MET;
}

static void judge_measure(const sw_target_row *target, sw_assessment *a)
{
    const double *c = a->finished.amount;
    sw_row *row = &a->measures[a->measure_count++];
    sw_band band = sw_band_of(target);
    *row = (sw_row){.kind = target->kind,
                    .aired = target->aired,
                    .unit = target->kind == SW_TARGET_EC ? "mS/cm" : "",
                    .finished = sw_finished_of(target, a),
                    .target = target->target,
                    .min = target->min,
                    .max = target->max,
                    .low = finite_or_nan(band.low),
                    .high = finite_or_nan(band.high)};
    snprintf(row->name, sizeof row->name, "%s", target->name);
    row->verdict =
        target->kind == SW_TARGET_RATIO
            ? sw_band_judge_ratio(&band, c[target->component], c[target->other])
            : sw_band_judge(&band, row->finished);
    /* a ratio of nothing is none that is asked for */
    if (row->verdict == SW_VERDICT_NONE && band.low > 0)
        row->verdict = SW_OPEN;
    if (sw_is_missed(row->verdict) ||
        (row->kind == SW_TARGET_RATIO && row->verdict == SW_OPEN))
        a->all_met = false;
}

static sw_status judge(const sw_mix *mix, sw_assessment *a, sw_error *error)
{
    const sw_target *target = mix->target;
    a->measures = calloc(target->count + 1, sizeof *a->measures);
    if (!a->measures)
        return sw_fail_memory(error);
    a->all_met = true;
    for (size_t i = 0; i < target->count; i++)
        if (target->rows[i].kind == SW_TARGET_COMPONENT)
            judge_component(mix, &target->rows[i], a);
        else
            judge_measure(&target->rows[i], a);
    return SW_OK;
}

static double cost_per_m3(const sw_mix *mix)
{
    double cost = 0.0;
    for (size_t j = 0; j < mix->recipe->count; j++)
        if (mix->recipe->g_per_l[j] > 0.0)
            /* g/L is kg/m3; a price not given is NaN and makes the sum NaN */
            cost +=
                mix->recipe->g_per_l[j] * mix->shelf->products[j].price_per_kg;
    return cost;
}

static sw_status hold_against_guidelines(sw_assessment *a, sw_error *error)
{
    bool reported[SW_COMPONENT_COUNT];
    double unseen_mg_per_l[SW_COMPONENT_COUNT];
    for (int i = 0; i < SW_COMPONENT_COUNT; i++) {
        reported[i] = a->rows[i].water_reported;
        unseen_mg_per_l[i] = a->rows[i].water_unseen_mg_per_l;
    }
    sw_facts facts = {.per_l = &a->finished,
                      .ph = a->mixed.ph,
                      .ec_ms_per_cm = a->mixed.ec_ms_per_cm,
                      .tds_mg_per_l = NAN,
                      .reported = reported,
                      .unseen_mg_per_l = unseen_mg_per_l};
    sw_guideline_rows rows;
    sw_status status = sw_guidelines_hold(&facts, true, &rows, error);
    a->guidelines = rows.items;
    a->guideline_count = rows.count;
    return status;
}

static double ions_meq_per_l(const sw_content *per_l)
{
    double cations, anions;
    sw_charges_of(per_l, &cations, &anions);
    return cations + fabs(anions);
}

/* What a scale and the grade of fertilisers leave open of what is added (common
 * practice, no source). */
static const double weighing = 0.02;

/* The doubt about EC is that of the analysis for the water's ions, and of
 * weighing for the rest. */
void sw_ec_bound(const sw_content *water, const sw_content *finished,
                 sw_chemistry *chemistry)
{
    double analysed = ions_meq_per_l(water) / ions_meq_per_l(finished);
    sw_conductivity_interval(chemistry->ec_ms_per_cm, fmin(analysed, 1.0),
                             weighing, &chemistry->ec_low_ms_per_cm,
                             &chemistry->ec_high_ms_per_cm);
}

static sw_status find_chemistry(const sw_mix *mix, sw_carbonate carbonate,
                                const sw_content *finished, sw_chemistry *out,
                                sw_error *error)
{
    sw_status status =
        sw_equilibrate(finished, &mix->conditions, carbonate, out, error);
    return status == SW_OK && !mix->brief
               ? sw_onsets(finished, &mix->conditions, carbonate,
                           out->saturation, error)
               : status;
}

/* What nobody can tell of it. */
static void leave_open(sw_chemistry *chemistry)
{
    chemistry->ph = chemistry->ammonia_n_mg_per_l = NAN;
    for (int i = 0; i < SW_SOLID_COUNT; i++)
        chemistry->saturation[i].defined = false;
}

/* For the EC: acid that an alkalinity may take is not free. */
static sw_content without_free_acid(const sw_content *finished)
{
    sw_content out = *finished;
    if (!sw_alkalinity_is_known(finished))
        out.amount[SW_ALKALINITY] = fmax(0, out.amount[SW_ALKALINITY]);
    return out;
}

static void leave_unknown(sw_assessment *a)
{
    if (!sw_co2_is_known(&a->finished))
        leave_open(&a->mixed);
    if (sw_alkalinity_is_known(&a->finished))
        return;
    leave_open(&a->aired);
    a->mixed.alkalinity_meq_per_l = a->aired.alkalinity_meq_per_l = NAN;
}

/* What meters and charges told of the least that may be poured stays. */
static void take_poured(sw_chemistry *mixed, const sw_chemistry *poured)
{
    mixed->ph = poured->ph;
    mixed->ammonia_n_mg_per_l = poured->ammonia_n_mg_per_l;
    memcpy(mixed->saturation, poured->saturation, sizeof mixed->saturation);
    mixed->alkalinity_meq_per_l = NAN; /* what labels leave out is in it */
}

static void retell_ph(sw_assessment *a)
{
    for (size_t i = 0; i < a->measure_count; i++)
        if (a->measures[i].kind == SW_TARGET_PH)
            a->measures[i].finished =
                a->measures[i].aired ? a->aired.ph : a->mixed.ph;
}

/* Acid or base by measuring: no solution is ever at the pH without it. */
static sw_status tell_poured(const sw_mix *mix, sw_assessment *a,
                             sw_error *error)
{
    sw_content poured;
    sw_chemistry mixed, aired;
    const sw_target_row *row = sw_target_ph(mix->target);
    const sw_undeclared *u = &a->undeclared;
    if (isnan(u->ph_high) || isnan(u->until_ph_high))
        return SW_OK;
    sw_status status = sw_label_gaps_pour(mix, a, &poured, error);
    if (status == SW_OK)
        status = find_chemistry(mix, SW_CARBONATE_KEPT, &poured, &mixed, error);
    if (status == SW_OK)
        status =
            find_chemistry(mix, SW_CARBONATE_AIRED, &poured, &aired, error);
    if (status != SW_OK)
        return status;
    take_poured(&a->mixed, &mixed);
    take_poured(&a->aired, &aired);
    if (!row || !row->aired)
        leave_open(&a->aired);
    retell_ph(a);
    return SW_OK;
}

static sw_status fill(const sw_mix *mix, sw_assessment *a, sw_error *error)
{
    mix_contents(mix, a);
    fill_component_rows(mix, a);
    a->cost_per_m3 = cost_per_m3(mix);
    sw_content counted = without_free_acid(&a->finished);
    sw_status status =
        find_chemistry(mix, SW_CARBONATE_KEPT, &counted, &a->mixed, error);
    a->aired = a->mixed;
    if (status == SW_OK && (!mix->fresh || sw_target_asks_aired(mix->target)))
        status =
            find_chemistry(mix, SW_CARBONATE_AIRED, &counted, &a->aired, error);
    if (status != SW_OK)
        return status;
    sw_ec_bound(&a->water, &a->finished, &a->mixed);
    sw_ec_bound(&a->water, &a->finished, &a->aired);
    leave_unknown(a);
    status = judge(mix, a, error);
    if (status == SW_OK)
        status = hold_against_guidelines(a, error);
    if (status == SW_OK)
        status = sw_label_gaps_judge(mix, a, error);
    if (status == SW_OK)
        status = tell_poured(mix, a, error);
    if (status != SW_OK)
        return status;
    sw_advise_ph(mix, a);
    sw_advise(mix, a);
    return sw_notes_status(&a->notes, error);
}

sw_status sw_assess(const sw_mix *mix, sw_assessment **assessment,
                    sw_error *error)
{
    SW_REQUIRE_FOR(assessment, error, sw_aimed_mix(mix));
    if (mix->recipe->count != mix->shelf->count)
        return sw_fail(error, SW_BAD_RECIPE_OF_OTHER_SHELF, mix->recipe->count,
                       mix->shelf->count);
    sw_assessment *a = calloc(1, sizeof *a);
    if (!a)
        return sw_fail_memory(error);
    sw_status status = fill(mix, a, error);
    SW_GIVE(status, assessment, a, sw_assessment_free);
}

void sw_assessment_free(sw_assessment *assessment)
{
    if (!assessment)
        return;
    sw_notes_free(&assessment->notes);
    SW_FREE(assessment->measures, assessment->guidelines, assessment);
}
