/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Bands and verdicts.  Limits a target gives are its own; a target without
 * limits gets the trade's usual band.  Methods: reference/methods.md, Assess.
 */
#include "assess/verdict.h"

#include "quantity/notes.h"
#include "quantity/status.h"
#include "records/targets.h"

#include <math.h>
#include <string.h>

/* Common practice, no source. */
static const double band_share = 0.10;
static const double band_ph = 0.5;

/* What a solver's own feasibility tolerance may leave. */
static const double slack_share = 1e-6;

sw_band sw_band_of(const sw_target_row *row)
{
    bool is_ph = row->kind == SW_TARGET_PH;
    double half = is_ph ? band_ph : band_share * fabs(row->target);
    sw_band band = {-INFINITY, INFINITY};
    if (!isnan(row->target)) {
        band.low = row->target - half;
        band.high = row->target + half;
    }
    if (!isnan(row->min)) {
        band.low = row->min;
        band.high = fmax(band.high, row->min);
    }
    if (!isnan(row->max)) {
        band.high = row->max;
        band.low = fmin(band.low, row->max);
    }
    return band;
}

double sw_finished_of(const sw_target_row *row, const sw_assessment *assessment)
{
    const double *c = assessment->finished.amount;
    switch (row->kind) {
    case SW_TARGET_PH:
        return row->aired ? assessment->aired.ph : assessment->mixed.ph;
    case SW_TARGET_EC:
        return assessment->mixed.ec_ms_per_cm;
    case SW_TARGET_RATIO:
        return c[row->other] > 0.0 ? c[row->component] / c[row->other] : NAN;
    case SW_TARGET_COMPONENT:
        break;
    }
    return c[row->component];
}

static double slack(double bound)
{
    return isinf(bound) ? 0.0 : slack_share * fmax(fabs(bound), 1e-3);
}

sw_verdict sw_band_judge(const sw_band *band, double value)
{
    if (isnan(value))
        return SW_OPEN;
    if (value < band->low - slack(band->low))
        return SW_SHORT;
    if (value > band->high + slack(band->high))
        return SW_OVER;
    return SW_MET;
}

double sw_against_max(sw_component component, const sw_content *per_l)
{
    double amount = per_l->amount[component];
    return component == SW_FE ? amount + per_l->amount[SW_WATER_FE] : amount;
}

sw_verdict sw_judge_content(const sw_target_row *row, const sw_content *per_l)
{
    sw_band band = sw_band_of(row);
    if (row->max + slack(row->max) < sw_against_max(row->component, per_l))
        return SW_OVER;
    return sw_band_judge(&band, per_l->amount[row->component]);
}

sw_verdict sw_band_judge_ratio(const sw_band *band, double part, double whole)
{
    if (part <= 0.0 && whole <= 0.0)
        return SW_VERDICT_NONE;
    sw_band scaled = {isinf(band->low) ? band->low : band->low * whole,
                      isinf(band->high) ? band->high : band->high * whole};
    return sw_band_judge(&scaled, part);
}

/* Infinite where the target names none. */
static double most_accepted(const sw_target *target, sw_component component,
                            const sw_content *water)
{
    const sw_target_row *row = sw_target_row_of(target, component);
    return row && !row->assumed
               ? fmax(sw_band_of(row).high, water->amount[component])
               : INFINITY;
}

sw_verdict sw_judge_ratio_of_water(const sw_target *target,
                                   const sw_target_row *row,
                                   const sw_band *limits,
                                   const sw_content *water)
{
    double part = water->amount[row->component];
    double whole = water->amount[row->other];
    double most_part = most_accepted(target, row->component, water);
    double most_whole = most_accepted(target, row->other, water);
    if (isfinite(limits->high) && isfinite(most_whole) &&
        part > limits->high * most_whole * (1 + slack_share))
        return SW_OVER;
    if (isfinite(limits->low) && isfinite(most_part) &&
        whole * limits->low > most_part * (1 + slack_share))
        return SW_SHORT;
    return SW_MET;
}

SW_TEXTS(sw_verdict_text, sw_verdict, "", "", "met", "short", "over", "open")

bool sw_is_missed(sw_verdict verdict)
{
    return verdict == SW_SHORT || verdict == SW_OVER;
}

size_t sw_row_count(const sw_assessment *assessment)
{
    return SW_COMPONENT_COUNT + assessment->measure_count;
}

sw_row sw_row_at(const sw_assessment *assessment, size_t index)
{
    if (index >= SW_COMPONENT_COUNT)
        return assessment->measures[index - SW_COMPONENT_COUNT];
    const sw_component_row *of = &assessment->rows[index];
    sw_row row = {.kind = SW_TARGET_COMPONENT,
                  .component = of->component,
                  .unit = "mg/L",
                  .finished = of->finished_mg_per_l,
                  .target = of->target_mg_per_l,
                  .min = of->min_mg_per_l,
                  .max = of->max_mg_per_l,
                  .low = of->low_mg_per_l,
                  .high = of->high_mg_per_l,
                  .verdict = of->verdict};
    strncpy(row.name, sw_component_name(of->component), sizeof row.name - 1);
    return row;
}

void sw_count_met(const sw_assessment *assessment, size_t *met, size_t *all)
{
    *met = *all = 0;
    for (size_t i = 0; i < sw_row_count(assessment); i++) {
        sw_verdict verdict =
            i < SW_COMPONENT_COUNT
                ? assessment->rows[i].verdict
                : assessment->measures[i - SW_COMPONENT_COUNT].verdict;
        *all += verdict != SW_VERDICT_NONE;
        *met += verdict == SW_MET;
    }
}

/* A share of a target that decides nothing (common practice, no source). */
static const double no_matter = 0.02;

static bool is_as_near(const sw_row *before, const sw_row *after)
{
    return before->verdict == SW_MET || before->kind != SW_TARGET_COMPONENT ||
           isnan(before->target) ||
           fabs(after->finished - after->target) <=
               fabs(before->finished - before->target) +
                   no_matter * before->target;
}

bool sw_keeps_verdicts(const sw_assessment *before, const sw_assessment *after)
{
    bool kept =
        sw_notes_dangers(&after->notes) <= sw_notes_dangers(&before->notes);
    for (size_t i = 0; i < sw_row_count(before); i++)
        kept = kept && (sw_row_at(before, i).verdict != SW_MET ||
                        sw_row_at(after, i).verdict == SW_MET);
    return kept;
}

bool sw_is_as_good(const sw_assessment *before, const sw_assessment *after)
{
    bool good = sw_keeps_verdicts(before, after);
    for (size_t i = 0; i < sw_row_count(before); i++) {
        sw_row was = sw_row_at(before, i), is = sw_row_at(after, i);
        good = good && is_as_near(&was, &is);
    }
    return good;
}
