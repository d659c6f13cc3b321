/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Amounts as a page prints them.  Each is rounded to the nearest of its few
 * figures; where that would lose a verdict, a neighbouring rounding is taken,
 * and where none keeps it, more figures for what moves it most.
 */
#include "assess/verdict.h"
#include "chemistry/equilibrate.h"
#include "quantity/status.h"
#include "quantity/ties.h"
#include "records/targets.h"

#include <math.h>
#include <stdlib.h>

/* Figures of an amount, one more after a 1: off by 0.5 % at most. */
enum { FIGURES = 3, MOST_FIGURES = 12 };
/* That much of an amount, three figures of it leave open. */
static const double rounding = 0.005;
/* Of a rate somebody gave, printed as it was typed. */
enum { FIGURES_GIVEN = 6 };
/* A pH is kept to what a good meter tells apart; in the straight line that
 * stands for it while roundings are tried, a little less. */
static const double kept_ph = 0.02, straight_ph = 0.018;
/* sw_band_judge takes a value within 1e-6 of a bound as at it: so much of that
 * is used, and beyond so much a value is surely outside. */
static const double used_slack = 5e-7, sure_slack = 2e-6;

/* What a verdict in one of the mixes leaves free:
 * low <= at + sum effect * change <= high. */
typedef struct row {
    double at, low, high;
    double *effect; /* of 1 g/L of each item */
    double value;   /* with the roundings in hand */
    double unit;    /* a step of what moves it most: rows compare by it */
} row;

enum { PH, AIRED, EC, MEASURES };

typedef struct work {
    const sw_mix *mixes; /* of one target and shelf */
    const sw_assessment *const *exact;
    size_t mix_count;
    sw_printed *items;
    size_t count;
    row *rows; /* the first are pH and EC of each mix */
    size_t row_count;
    double *effects;       /* of all rows */
    double *low, *high;    /* of each item, g/L */
    double *step, *change; /* of each item, g/L, with the rounding in hand */
    double *most;          /* that each may be moved by, g/L */
    sw_band *kept;    /* of those first rows: in full, not in a straight line */
    bool wants_aired; /* the target names a pH aired */
    sw_error *error;
} work;

static double change_of(const sw_printed *item)
{
    return item->value * item->unit_g_per_l - item->g_per_l;
}

static bool is_in(const sw_printed *item, size_t mix)
{
    return item->mix == SW_EACH_MIX || item->mix == (int)mix;
}

static const sw_product *product_of(const work *w, const sw_printed *item)
{
    return &w->mixes[0].shelf->products[item->product];
}

/* How many of the rows are of pH and EC. */
static size_t measures_of(const work *w)
{
    return MEASURES * w->mix_count;
}

/* ---- What must be kept ---- */

/* Of an infinite bound: 0. */
static double share_of(double share, double bound)
{
    return isfinite(bound) ? share * fmax(fabs(bound), 1e-3) : 0;
}

/* The values that earn the verdict that `at` has. */
static sw_band kept_band(const sw_band *band, sw_verdict verdict, double at)
{
    sw_band kept = {-INFINITY, INFINITY};
    if (verdict == SW_MET)
        kept =
            (sw_band){fmin(band->low - share_of(used_slack, band->low), at),
                      fmax(band->high + share_of(used_slack, band->high), at)};
    else if (verdict == SW_SHORT)
        kept.high = fmax(at, band->low - share_of(sure_slack, band->low));
    else if (verdict == SW_OVER)
        kept.low = fmin(at, band->high + share_of(sure_slack, band->high));
    return kept;
}

/* c[component] - factor * c[other] within the band. */
static void add_row(work *w, size_t mix, const sw_target_row *target,
                    double factor, sw_band band)
{
    row *made = &w->rows[w->row_count];
    const double *c = w->exact[mix]->finished.amount;
    made->effect = w->effects + w->row_count++ * w->count;
    made->at = c[target->component];
    made->low = band.low;
    made->high = band.high;
    if (factor != 0)
        made->at -= factor * c[target->other];
    for (size_t i = 0; i < w->count; i++) {
        const sw_product *p = product_of(w, &w->items[i]);
        if (!is_in(&w->items[i], mix))
            continue;
        made->effect[i] = p->per_g.amount[target->component];
        if (factor != 0)
            made->effect[i] -= factor * p->per_g.amount[target->other];
    }
}

static void keep_component(work *w, size_t mix, const sw_target_row *target)
{
    const sw_assessment *exact = w->exact[mix];
    double at = exact->finished.amount[target->component];
    sw_band band = sw_band_of(target);
    band.high = fmin(band.high,
                     target->max + at -
                         sw_against_max(target->component, &exact->finished));
    if (target->assumed) /* of what products add */
        band = (sw_band){-INFINITY,
                         exact->water.amount[target->component] + target->max};
    add_row(w, mix, target, 0, kept_band(&band, sw_band_judge(&band, at), at));
}

/* As sw_band_judge_ratio: the part against each bound times the whole. */
static void keep_ratio(work *w, size_t mix, const sw_target_row *target)
{
    const double *c = w->exact[mix]->finished.amount;
    double part = c[target->component], whole = c[target->other];
    sw_band band = sw_band_of(target);
    sw_verdict verdict = sw_band_judge_ratio(&band, part, whole);
    double used = used_slack * part, sure = sure_slack * part;
    double over_low = part - band.low * whole;
    double over_high = part - band.high * whole;
    if (isfinite(band.low) && verdict == SW_MET)
        add_row(w, mix, target, band.low,
                (sw_band){fmin(-used, over_low), INFINITY});
    if (isfinite(band.high) && verdict == SW_MET)
        add_row(w, mix, target, band.high,
                (sw_band){-INFINITY, fmax(used, over_high)});
    if (verdict == SW_SHORT)
        add_row(w, mix, target, band.low,
                (sw_band){-INFINITY, fmax(over_low, -sure)});
    if (verdict == SW_OVER)
        add_row(w, mix, target, band.high,
                (sw_band){fmin(over_high, sure), INFINITY});
}

static void keep_measure(row *kept, const sw_target_row *target)
{
    sw_band band = sw_band_of(target);
    band = kept_band(&band, sw_band_judge(&band, kept->at), kept->at);
    kept->low = fmax(kept->low, band.low);
    kept->high = fmin(kept->high, band.high);
}

static void hold(row *r, double within)
{
    r->low = fmax(r->low, r->at - within);
    r->high = fmin(r->high, r->at + within);
}

/* pH and EC of a mix with so much more of each item. */
static sw_status measure(const work *w, size_t mix, const double *g_per_l,
                         double at[MEASURES])
{
    sw_chemistry mixed = {0}, aired = {0};
    const sw_conditions *conditions = &w->mixes[mix].conditions;
    sw_content finished = w->exact[mix]->finished;
    for (size_t i = 0; i < w->count; i++)
        if (is_in(&w->items[i], mix))
            sw_content_add(&finished, g_per_l[i],
                           &product_of(w, &w->items[i])->per_g);
    sw_status status = sw_equilibrate_briefly(
        &finished, conditions, SW_CARBONATE_KEPT, &mixed, w->error);
    if (status == SW_OK && w->wants_aired)
        status = sw_equilibrate_briefly(&finished, conditions,
                                        SW_CARBONATE_AIRED, &aired, w->error);
    at[PH] = mixed.ph;
    at[AIRED] = aired.ph;
    at[EC] = mixed.ec_ms_per_cm;
    return status;
}

/* The exact ones; with acid or base by measuring, those before it is poured,
 * which is what amounts are held to. */
static sw_status measure_exact(const work *w, size_t mix, double at[MEASURES])
{
    const sw_assessment *exact = w->exact[mix];
    at[PH] = exact->mixed.ph;
    at[AIRED] = exact->aired.ph;
    at[EC] = exact->mixed.ec_ms_per_cm;
    return isnan(exact->undeclared.until_ph_high)
               ? SW_OK
               : measure(w, mix, w->change, at);
}

/* pH and EC of a mix, and what is left free beside verdicts. */
static sw_status gather_measures(work *w, size_t mix)
{
    double at[MEASURES];
    sw_status status = measure_exact(w, mix, at);
    const double free[] = {[PH] = kept_ph, [AIRED] = INFINITY, [EC] = INFINITY};
    for (size_t i = 0; i < MEASURES; i++) {
        size_t r = mix * MEASURES + i;
        w->rows[r] = (row){.at = at[i],
                           .low = at[i] - free[i],
                           .high = at[i] + free[i],
                           .effect = w->effects + r * w->count};
    }
    return status;
}

static void gather_targets(work *w, size_t mix)
{
    row *measures = w->rows + mix * MEASURES;
    const sw_target *all = w->mixes[0].target;
    for (size_t i = 0; i < all->count; i++) {
        const sw_target_row *target = &all->rows[i];
        switch (target->kind) {
        case SW_TARGET_COMPONENT:
            keep_component(w, mix, target);
            break;
        case SW_TARGET_RATIO:
            keep_ratio(w, mix, target);
            break;
        case SW_TARGET_PH:
            keep_measure(&measures[target->aired ? AIRED : PH], target);
            break;
        case SW_TARGET_EC:
            keep_measure(&measures[EC], target);
            break;
        }
    }
    if (w->wants_aired)
        hold(&measures[AIRED], kept_ph);
}

static sw_status gather_rows(work *w)
{
    sw_status status = SW_OK;
    w->row_count = measures_of(w);
    w->wants_aired = sw_target_asks_aired(w->mixes[0].target);
    for (size_t mix = 0; mix < w->mix_count && status == SW_OK; mix++) {
        status = gather_measures(w, mix);
        gather_targets(w, mix);
    }
    for (size_t r = 0; r < measures_of(w); r++)
        w->kept[r] = (sw_band){w->rows[r].low, w->rows[r].high};
    return status;
}

/* A product's own limits, shared among its parts; a rate that is fixed is
 * nobody's to move. */
static void gather_limits(work *w)
{
    for (size_t i = 0; i < w->count; i++) {
        const sw_printed *item = &w->items[i];
        const sw_product *p = product_of(w, item);
        int mix = item->mix == SW_EACH_MIX ? 0 : item->mix;
        double all = w->mixes[mix].recipe->g_per_l[item->product];
        double share = all > 0 ? item->g_per_l / all : 0;
        w->low[i] = fmin(fmax(0, p->min_g_per_l) * share, item->g_per_l);
        w->high[i] =
            fmax(fmin(INFINITY, p->max_g_per_l) * share, item->g_per_l);
    }
}

/* ---- Figures ---- */

static void round_to(sw_printed *item, int decimals)
{
    double scale = pow(10, decimals);
    item->decimals = decimals;
    item->value = round(item->g_per_l / item->unit_g_per_l * scale) / scale;
}

/* To the nearest; inwards where that would break the product's own limit. */
static void round_item(work *w, size_t i, int decimals)
{
    sw_printed *item = &w->items[i];
    round_to(item, decimals);
    double step = pow(10, -decimals), scale = pow(10, decimals);
    double g_per_l = item->value * item->unit_g_per_l;
    if (g_per_l > w->high[i] * (1 + 1e-12))
        item->value = round((item->value - step) * scale) / scale;
    else if (g_per_l < w->low[i] * (1 - 1e-12))
        item->value = round((item->value + step) * scale) / scale;
}

static bool is_as_given(const sw_printed *item)
{
    return fabs(change_of(item)) <= 1e-9 * item->g_per_l;
}

/* Decimals (below 0: of tens, hundreds) that show a value to so many figures,
 * one more where it begins with a 1; of 0 as of a value of one digit. */
static int decimals_for(double value, int figures)
{
    int power = value > 0 ? (int)floor(log10(value) + 1e-12) : 0;
    bool one = value > 0 && value < 2 * pow(10, power);
    return figures - 1 - power + one;
}

static void start_item(work *w, size_t i)
{
    sw_printed *item = &w->items[i];
    double exact = item->g_per_l / item->unit_g_per_l;
    int decimals = decimals_for(exact, FIGURES);
    const sw_product *p = product_of(w, item);
    round_item(w, i, decimals);
    w->most[i] =
        fmax(pow(10, -decimals) * item->unit_g_per_l, rounding * item->g_per_l);
    if (isnan(p->fixed_g_per_l))
        return;
    for (int d = decimals; d <= decimals_for(exact, FIGURES_GIVEN); d++) {
        round_to(item, d);
        if (is_as_given(item))
            return;
    }
    round_to(item, decimals);
}

/* ---- Trying roundings ---- */

static double broken_by(double low, double high, double value)
{
    return fmax(fmax(low - value, value - high), 0);
}

/* Steps, changes and rows of the roundings in hand. */
static void look(work *w)
{
    for (size_t i = 0; i < w->count; i++) {
        w->change[i] = change_of(&w->items[i]);
        w->step[i] = pow(10, -w->items[i].decimals) * w->items[i].unit_g_per_l;
    }
    for (size_t r = 0; r < w->row_count; r++) {
        row *at = &w->rows[r];
        at->value = at->at;
        at->unit = 1e-12;
        for (size_t i = 0; i < w->count; i++) {
            at->value += at->effect[i] * w->change[i];
            at->unit = fmax(at->unit, fabs(at->effect[i]) * w->step[i]);
        }
    }
}

/* All rows together, after items i and k moved by so many steps. */
static double broken_after(const work *w, size_t i, double by_i, size_t k,
                           double by_k)
{
    double sum = 0, one = by_i * w->step[i], other = by_k * w->step[k];
    for (size_t r = 0; r < w->row_count; r++) {
        const row *at = &w->rows[r];
        double value = at->value + at->effect[i] * one + at->effect[k] * other;
        sum += broken_by(at->low, at->high, value) / at->unit;
    }
    return sum;
}

/* Within the product's limits, and no further than to a neighbouring rounding
 * of its few figures. */
static bool may_move(const work *w, size_t i, double by)
{
    const sw_printed *item = &w->items[i];
    double change = w->change[i] + by * w->step[i];
    double g_per_l = item->g_per_l + change;
    return fabs(change) < w->most[i] && g_per_l > 0 &&
           g_per_l >= w->low[i] * (1 - 1e-12) &&
           g_per_l <= w->high[i] * (1 + 1e-12) &&
           isnan(product_of(w, item)->fixed_g_per_l);
}

static void move(sw_printed *item, double by)
{
    double scale = pow(10, item->decimals);
    item->value = round(item->value * scale + by) / scale;
}

typedef struct pair {
    size_t i, k;
    double by_i, by_k, broken;
} pair;

/* Moves of i alone, and with each later item. */
static void try_moves(const work *w, size_t i, double by, pair *best)
{
    pair at = {i, i, by, 0, broken_after(w, i, by, i, 0)};
    if (sw_is_less(at.broken, best->broken, SW_SUMMED))
        *best = at;
    for (at.k = i + 1; at.k < w->count; at.k++)
        for (int side = -1; side <= 1; side += 2) {
            at.by_k = side;
            if (!may_move(w, at.k, side))
                continue;
            at.broken = broken_after(w, i, by, at.k, side);
            if (sw_is_less(at.broken, best->broken, SW_SUMMED))
                *best = at;
        }
}

/* Moves one or two to their other neighbour until nothing gets better. */
static void mend(work *w)
{
    look(w);
    double broken = broken_after(w, 0, 0, 0, 0);
    for (size_t tries = 0; broken > 0 && tries < 40 * w->count; tries++) {
        pair best = {.broken = broken * (1 - 1e-9)};
        for (size_t i = 0; i < w->count; i++)
            for (int side = -1; side <= 1; side += 2)
                if (may_move(w, i, side))
                    try_moves(w, i, side, &best);
        if (best.by_i == 0)
            break;
        move(&w->items[best.i], best.by_i);
        if (best.by_k != 0)
            move(&w->items[best.k], best.by_k);
        look(w);
        broken = broken_after(w, 0, 0, 0, 0);
    }
}

/* ---- In straight lines ---- */

/* How the items move pH and EC of a mix, a rounding's step at a time. */
static sw_status straighten_mix(work *w, size_t mix)
{
    double moved[MEASURES];
    sw_status status = SW_OK;
    row *rows = w->rows + mix * MEASURES;
    double *change = w->change; /* till roundings are looked at again */
    for (size_t i = 0; i < w->count && status == SW_OK; i++) {
        double step = 0.005 * w->items[i].g_per_l;
        if (!is_in(&w->items[i], mix))
            continue;
        change[i] = step;
        status = measure(w, mix, change, moved);
        change[i] = 0;
        if (status != SW_OK || step <= 0)
            continue;
        for (size_t r = 0; r < MEASURES; r++)
            rows[r].effect[i] = (moved[r] - rows[r].at) / step;
    }
    hold(&rows[PH], straight_ph);
    return status;
}

static sw_status straighten(work *w)
{
    sw_status status = SW_OK;
    for (size_t i = 0; i < w->count; i++)
        w->change[i] = 0;
    for (size_t mix = 0; mix < w->mix_count && status == SW_OK; mix++)
        status = straighten_mix(w, mix);
    return status;
}

static bool is_broken(const row *r)
{
    return broken_by(r->low, r->high, r->value) > 0;
}

/* The printed amounts in full: *kept is whether everything is. */
static sw_status judge(work *w, bool *kept)
{
    double at[MEASURES];
    look(w);
    *kept = true;
    for (size_t mix = 0; mix < w->mix_count; mix++) {
        const sw_band *bands = w->kept + mix * MEASURES;
        sw_status status = measure(w, mix, w->change, at);
        if (status != SW_OK)
            return status;
        for (size_t r = 0; r < MEASURES; r++)
            *kept = *kept && broken_by(bands[r].low, bands[r].high, at[r]) == 0;
    }
    for (size_t r = measures_of(w); r < w->row_count; r++)
        *kept = *kept && !is_broken(&w->rows[r]);
    return SW_OK;
}

static bool may_refine(const sw_printed *item)
{
    double figures = log10(item->g_per_l / item->unit_g_per_l) + item->decimals;
    return item->g_per_l > 0 && figures < MOST_FIGURES;
}

/* A figure more for what moves a broken row most; for all where no row says
 * which. */
static void refine(work *w)
{
    bool any = false;
    for (size_t r = 0; r < w->row_count; r++) {
        const row *at = &w->rows[r];
        double most = 0;
        size_t chief = w->count;
        for (size_t i = 0; i < w->count; i++) {
            const sw_printed *item = &w->items[i];
            double moves = fabs(at->effect[i]) * w->step[i];
            if (sw_is_less(most, moves, SW_SUMMED) && may_refine(item)) {
                most = moves;
                chief = i;
            }
        }
        if (chief == w->count || !is_broken(at))
            continue;
        w->items[chief].decimals++;
        any = true;
    }
    for (size_t i = 0; i < w->count; i++) {
        w->items[i].decimals += !any && may_refine(&w->items[i]);
        round_item(w, i, w->items[i].decimals);
    }
}

static sw_status search(work *w)
{
    bool kept;
    for (size_t i = 0; i < w->count; i++)
        start_item(w, i);
    sw_status status = judge(w, &kept);
    if (status == SW_OK && !kept)
        status = straighten(w);
    size_t most = MOST_FIGURES * (w->count + 1);
    for (size_t i = 0; i < most && status == SW_OK && !kept; i++) {
        mend(w);
        status = judge(w, &kept);
        if (!kept)
            refine(w);
    }
    return status;
}

sw_status sw_print_amounts(const sw_mix *mixes,
                           const sw_assessment *const *exact, size_t mix_count,
                           sw_printed *items, size_t count, sw_error *error)
{
    SW_REQUIRE(error, mixes, exact, items);
    for (size_t i = 0; i < mix_count; i++) {
        SW_REQUIRE(error, sw_aimed_mix(&mixes[i]), exact[i]);
    }
    size_t rows = mix_count * (2 * mixes->target->count + MEASURES);
    work w = {.mixes = mixes,
              .exact = exact,
              .mix_count = mix_count,
              .items = items,
              .count = count,
              .rows = calloc(rows + 1, sizeof(row)),
              .kept = calloc(mix_count * MEASURES + 1, sizeof(sw_band)),
              .effects = calloc(rows * (count + 1) + 1, sizeof(double)),
              .low = calloc(count + 1, sizeof(double)),
              .high = calloc(count + 1, sizeof(double)),
              .step = calloc(count + 1, sizeof(double)),
              .change = calloc(count + 1, sizeof(double)),
              .most = calloc(count + 1, sizeof(double)),
              .error = error};
    bool ready = w.rows && w.kept && w.effects && w.low && w.high && w.step &&
                 w.change && w.most;
    sw_status status = ready ? SW_OK : sw_fail_memory(error);
    if (ready && count > 0) {
        status = gather_rows(&w);
        gather_limits(&w);
        if (status == SW_OK)
            status = search(&w);
    }
    SW_FREE(w.rows, w.kept, w.effects, w.low, w.high, w.step, w.change, w.most);
    return status;
}
