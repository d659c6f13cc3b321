/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A sample of feed, drain or tank, row by row: what it holds, what it was fed
 * with, what it should hold.  In a steady state what is fed is taken up or
 * drains; so what the drain holds more of than the feed is taken up slower than
 * water, and the other way round.  Methods: reference/methods.md, Assess.
 */
#include "assess/audit.h"

#include "assess/verdict.h"
#include "quantity/status.h"
#include "quantity/units.h"
#include "table_words.h"
#include "table_refusals.h"

#include <math.h>
#include <stdlib.h>

/* Two analyses of one thing differ by as much (common practice, no source). */
static const double analysis_error = 0.10;

/* Common practice, no source. */
static const double ph_worth_saying = 0.5;
static const double ph_of_precipitates = 6.5;

SW_TEXTS(sw_uptake_text, sw_uptake, "", "", "slower", "as fast", "faster")

/* What one thing comes to in a solution, and at most, unseen. */
typedef struct amount {
    double seen, most;
} amount;

static const amount unknown = {NAN, NAN};

static amount amount_in(const sw_water *water, sw_component component)
{
    if (!water || !water->reported[component])
        return unknown;
    sw_content most = sw_water_most(water);
    double unseen = most.amount[component];
    if (component == SW_N) /* whose forms may each hide something */
        unseen = most.amount[SW_NO3_N] + most.amount[SW_NH4_N] +
                 most.amount[SW_UREA_N];
    double seen = water->per_l.amount[component];
    return (amount){seen, fmax(seen, unseen)};
}

static amount read_by_meter(double value)
{
    return (amount){value, value};
}

static amount found_in(const sw_water *water, const sw_sample_row *row)
{
    if (!water)
        return unknown;
    switch (row->kind) {
    case SW_TARGET_COMPONENT:
        return amount_in(water, row->component);
    case SW_TARGET_PH:
        return read_by_meter(water->ph);
    case SW_TARGET_EC:
        return read_by_meter(water->ec_ms_per_cm);
    case SW_TARGET_RATIO:
        break;
    }
    amount part = amount_in(water, row->component);
    amount whole = amount_in(water, row->other);
    return (amount){part.seen / whole.most, part.most / whole.seen};
}

static const sw_target_row *wanted_of(const sw_target *target,
                                      const sw_sample_row *row)
{
    for (size_t i = 0; target && i < target->count; i++) {
        const sw_target_row *t = &target->rows[i];
        bool amounts =
            row->kind == SW_TARGET_COMPONENT || row->kind == SW_TARGET_RATIO;
        if (t->kind == row->kind && !t->aired && !t->assumed &&
            (!amounts || t->component == row->component) &&
            (row->kind != SW_TARGET_RATIO || t->other == row->other))
            return t;
    }
    return NULL;
}

static double finite_or_nan(double bound)
{
    return isinf(bound) ? NAN : bound;
}

static void judge(const sw_target_row *wanted, sw_sample_row *row)
{
    row->target = row->low = row->high = NAN;
    if (!wanted)
        return;
    sw_band band = sw_band_of(wanted);
    row->target = wanted->target;
    row->low = finite_or_nan(band.low);
    row->high = finite_or_nan(band.high);
    if (isnan(row->found) || isnan(row->found_most))
        return;
    row->verdict = sw_band_judge(&band, row->found);
    if (row->verdict != sw_band_judge(&band, row->found_most))
        row->verdict = SW_OPEN;
}

static sw_uptake uptake_of(const sw_sample_row *row)
{
    if (row->kind != SW_TARGET_COMPONENT && row->kind != SW_TARGET_EC)
        return SW_UPTAKE_OPEN;
    if (row->ratio_low > 1.0 + analysis_error)
        return SW_SLOWER_THAN_WATER;
    if (row->ratio_high < 1.0 - analysis_error)
        return SW_FASTER_THAN_WATER;
    return row->ratio_low >= 1.0 - analysis_error &&
                   row->ratio_high <= 1.0 + analysis_error
               ? SW_AS_FAST_AS_WATER
               : SW_UPTAKE_OPEN;
}

/* Of the feed as it was analysed, else as it was meant. */
static double ec_of_feed(const sw_sampling *s)
{
    sw_sample_row row = {.kind = SW_TARGET_EC};
    const sw_target_row *wanted = wanted_of(s->target, &row);
    if (s->feed)
        return s->feed->ec_ms_per_cm;
    return wanted ? wanted->target : (double)NAN;
}

static void compare(const sw_sampling *s, sw_sample_row *row)
{
    bool amount_of_it = row->kind == SW_TARGET_COMPONENT;
    const sw_target_row *wanted = wanted_of(s->target, row);
    amount found = found_in(s->sample, row);
    amount fed = found_in(s->feed, row);
    if (!s->feed && wanted && !isnan(s->drained))
        fed = read_by_meter(wanted->target);
    row->found = found.seen;
    row->found_most = found.most;
    row->fed = fed.seen;
    row->fed_most = fed.most;
    row->ratio_low = row->ratio_high = row->at_feed_ec = row->taken_up = NAN;
    judge(wanted, row);
    if (!amount_of_it && row->kind != SW_TARGET_EC)
        return;
    row->ratio_low = fed.most > 0.0 ? found.seen / fed.most : (double)NAN;
    row->ratio_high = found.most / fed.seen; /* of nothing fed: infinite */
    row->uptake = uptake_of(row);
    if (!amount_of_it)
        return;
    row->at_feed_ec = found.seen * ec_of_feed(s) / s->sample->ec_ms_per_cm;
    row->taken_up = (fed.seen - s->drained * found.seen) / (1.0 - s->drained);
}

/* ---- What else may be behind it ------------------------------------------ */

static const char *remark_on_ph(const sw_sample_row *row)
{
    double rise = row->found - row->fed;
    if (rise >= ph_worth_saying)
        return SW_SAY_UPTAKE_PH_RISES;
    return rise <= -ph_worth_saying ? SW_SAY_UPTAKE_PH_FALLS : "";
}

static const char *remark_on(const sw_sampling *s, const sw_sample_row *row)
{
    bool faster = row->uptake == SW_FASTER_THAN_WATER;
    bool slower = row->uptake == SW_SLOWER_THAN_WATER;
    bool alkaline = s->sample->ph >= ph_of_precipitates;
    sw_component c = row->component;
    if (row->kind == SW_TARGET_PH)
        return remark_on_ph(row);
    if (row->kind == SW_TARGET_EC)
        return slower ? SW_SAY_UPTAKE_EC_RISES : "";
    if (row->taken_up < 0.0)
        return SW_SAY_UPTAKE_BELOW_ZERO;
    if (faster && c == SW_NH4_N)
        return SW_SAY_UPTAKE_NITRIFIED;
    if (faster && alkaline && (c == SW_P || c == SW_FE || c == SW_MN))
        return SW_SAY_UPTAKE_PRECIPITATED;
    if (slower && sw_component_is(c, SW_IS_SALT))
        return SW_SAY_UPTAKE_BUILDS_UP;
    return "";
}

static void find_most_drained(sw_audit_report *report)
{
    report->most_drained = NAN;
    for (size_t i = 0; i < report->row_count; i++) {
        const sw_sample_row *row = &report->rows[i];
        double share = row->fed / row->found;
        if (row->kind != SW_TARGET_COMPONENT ||
            !sw_component_is(row->component, SW_IS_SALT) ||
            !(row->ratio_low > 1.0 + analysis_error) || !(row->fed > 0.0) ||
            report->most_drained <= share)
            continue;
        report->most_drained = share;
        report->most_drained_by = row->component;
    }
}

/* ---- Which rows -----------------------------------------------------------
 */

static bool is_known(const sw_sample_row *row)
{
    return !isnan(row->found) || !isnan(row->fed) || !isnan(row->low) ||
           !isnan(row->high);
}

static void put(const sw_sampling *s, const sw_sample_row *what,
                const char *name, sw_audit_report *report)
{
    sw_sample_row *row = &report->rows[report->row_count];
    *row = *what;
    snprintf(row->name, sizeof row->name, "%s", name);
    compare(s, row);
    row->remark = s->feed || !isnan(s->drained) ? remark_on(s, row) : "";
    if (is_known(row))
        report->row_count++;
}

static void put_component(const sw_sampling *s, sw_component component,
                          sw_audit_report *report)
{
    put(s,
        &(sw_sample_row){.kind = SW_TARGET_COMPONENT, .component = component},
        sw_component_name(component), report);
}

static void put_ratios(const sw_sampling *s, sw_audit_report *report)
{
    for (size_t i = 0; s->target && i < s->target->count; i++) {
        const sw_target_row *t = &s->target->rows[i];
        if (t->kind == SW_TARGET_RATIO)
            put(s,
                &(sw_sample_row){.kind = t->kind,
                                 .component = t->component,
                                 .other = t->other},
                t->name, report);
    }
}

sw_status sw_sample_compare(const sw_sampling *s, sw_audit_report *report,
                            sw_error *error)
{
    size_t most = SW_COMPONENT_COUNT + 2 + (s->target ? s->target->count : 0);
    if (s->drained < 0.0 || s->drained >= 1.0)
        return sw_fail(error, SW_BAD_DRAIN_SHARE, s->drained);
    report->rows = calloc(most, sizeof *report->rows);
    if (!report->rows)
        return sw_fail_memory(error);
    put(s, &(sw_sample_row){.kind = SW_TARGET_EC}, "EC", report);
    put(s, &(sw_sample_row){.kind = SW_TARGET_PH}, "pH", report);
    put_component(s, SW_N, report);
    for (int i = 0; i < SW_N; i++)
        put_component(s, (sw_component)i, report);
    put_ratios(s, report);
    find_most_drained(report);
    return SW_OK;
}
