/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The order of mixing in words, as mixing_sequence.h finds it for the recipe at
 * hand: straight into a reservoir or as stocks.  What the words say is common
 * practice of the trade, no source; reference/methods.md, Stock.
 */
#include "stock/mixing_writer.h"
#include "stock/product_classes.h"
#include "stock/safety.h"

#include "assess/agent.h"
#include "assess/label_gaps.h"
#include "assess/verdict.h"
#include "quantity/status.h"
#include "quantity/text.h"
#include "table_words.h"
#include "table_refusals.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

SW_TEXTS(sw_step_text, sw_step_kind, "unknown", "prepare", "drain", "fill",
         "add", "measure", "top up", "stir", "store")

/* One more; where there is no memory for it, one that is lost. */
static sw_step *say(sw_writer *w, sw_step_kind kind, sw_tank tank,
                    const char *text)
{
    sw_steps *s = w->steps;
    sw_step *grown =
        w->status ? NULL : sw_grow(s->items, s->count, sizeof *grown);
    sw_step *step = &w->lost;
    if (grown) {
        s->items = grown;
        step = &s->items[s->count++];
    } else {
        w->status = SW_ERR_MEMORY;
    }
    *step = (sw_step){.kind = kind, .tank = tank, .product = (size_t)-1};
    snprintf(step->text, sizeof step->text, "%s", text);
    return step;
}

static void warn(sw_step *step, const char *caution)
{
    snprintf(step->safety, sizeof step->safety, "%s", caution);
    snprintf(step->advice, sizeof step->advice, "%s", caution);
}

static bool has_turn(const sw_writer *w, sw_turn now, sw_tank tank)
{
    for (size_t j = 0; j < w->mix->shelf->count; j++)
        if (grams_of(w, j, tank) > 0 && sw_turn_of(product_at(w, j)) == now)
            return true;
    return false;
}

/* What it does to a worker, with what was added before it. */
static void warn_of(const sw_writer *w, sw_step *step, size_t j, sw_tank tank)
{
    const sw_product *held[SW_MAX_PRODUCTS];
    size_t count = 0;
    for (size_t i = 0; i < w->steps->count && count < SW_MAX_PRODUCTS; i++) {
        const sw_step *s = &w->steps->items[i];
        if (s != step && s->kind == SW_STEP_ADD && s->tank == tank)
            held[count++] = product_at(w, s->product);
    }
    sw_safety_of_adding(product_at(w, j), held, count, step->safety,
                        sizeof step->safety);
    sw_advice_of_adding(product_at(w, j), held, count, step->advice,
                        sizeof step->advice);
}

/* "calcite, gypsum and brushite", as `last` says. */
static void write_solids(const sw_vessel *v, sw_solids set, const char *last,
                         char *text, size_t size)
{
    text[0] = '\0';
    for (int i = 0; i < SW_STOCK_SOLIDS_MAX; i++) {
        if (!set.has[i])
            continue;
        set.has[i] = false;
        sw_text_join(text, size, sw_solids_any(&set) ? ", " : last, "%s",
                     sw_vessel_solid(v, i));
    }
}

/* `sought`: the target has a pH, so the acid for it is in the recipe. */
static const char *relief_words(sw_relief relief, bool reservoir, bool sought)
{
    switch (relief) {
    case SW_RELIEF_ACID:
        return !reservoir ? SW_SAY_RELIEF_ACID_TANK
               : sought   ? SW_SAY_RELIEF_ACID_SOUGHT
                          : SW_SAY_RELIEF_ACID_RESERVOIR;
    case SW_RELIEF_WATER:
        return reservoir ? SW_SAY_RELIEF_WATER_RESERVOIR
                         : SW_SAY_RELIEF_WATER_TANK;
    default:
        return reservoir ? SW_SAY_RELIEF_NONE_RESERVOIR
                         : SW_SAY_RELIEF_NONE_TANK;
    }
}

/* What clouds from here on, and what helps. */
static void write_clouds(const sw_writer *w, const sw_vessel *v,
                         const sw_sequence *s, size_t at, sw_step *step)
{
    bool sought = sw_target_ph(w->mix->target) != NULL;
    const sw_poured *m = &s->items[at];
    sw_solids none = {{false}},
              fresh = sw_solids_beyond(
                  &m->clouds, at > 0 ? &s->items[at - 1].clouds : &none);
    sw_solids avoidable = sw_solids_beyond(&fresh, &s->at_last);
    char names[sizeof step->clouds], *text = step->text;
    size_t size = sizeof step->text;
    bool reservoir = v->solubility == NULL;
    write_solids(v, m->clouds, ", ", step->clouds, sizeof step->clouds);
    step->volume_l = m->volume_l;
    write_solids(v, fresh, " and ", names, sizeof names);
    if (!sw_solids_any(&fresh))
        return;
    if (at == 0)
        sw_text_add(text, size, " " SW_SAY_CLOUDS_WATER, names);
    else if (!sw_solids_any(&avoidable))
        sw_text_add(text, size, " " SW_SAY_CLOUDS_AT_LAST, names,
                    reservoir ? "reservoir" : "tank",
                    relief_words(m->relief, reservoir, sought));
    else if (!reservoir && m->relief == SW_RELIEF_WATER)
        sw_text_add(text, size, " " SW_SAY_CLOUDS_UNTIL_FULL, names);
    else
        sw_text_add(text, size, " " SW_SAY_CLOUDS_HERE, names,
                    relief_words(m->relief, reservoir, sought));
}

static void add(sw_writer *w, const sw_vessel *v, const sw_sequence *s,
                size_t at, sw_tank tank)
{
    size_t j = s->items[at].product;
    sw_step *step = say(w, SW_STEP_ADD, tank, "");
    step->product = j;
    step->g = grams_of(w, j, tank);
    if (!sw_write_little(w, j, step))
        sw_write_how(w, j, tank, step);
    write_clouds(w, v, s, at, step);
    warn_of(w, step, j, tank);
}

/* The water that stands in the vessel before anything goes in. */
static void write_fill(const sw_writer *w, sw_tank tank, double share,
                       sw_step *step)
{
    double kept_share = w->mixing->kept_l / w->mixing->volume_l;
    if (tank == SW_TANKS && kept_share >= share)
        snprintf(step->text, sizeof step->text, SW_SAY_FILL_KEPT);
    else if (tank == SW_TANKS)
        snprintf(step->text, sizeof step->text,
                 kept_share > 0 ? SW_SAY_FILL_RENEWED : SW_SAY_FILL_RESERVOIR,
                 100 * share);
    else
        snprintf(
            step->text, sizeof step->text, SW_SAY_FILL_TANK, sw_tank_text(tank),
            tank == SW_TANK_C && has_turn(w, SW_TURN_ACID, tank) ? ", the acid"
                                                                 : "",
            100 * share, sw_is_heated(w, tank) ? "cold " : "",
            w->stock->tanks[tank].makes_lime ? "purified "
            : w->mixing->setup->make_up      ? "make-up "
                                             : "",
            sw_is_heated(w, tank) ? ", as it will heat up"
                                  : " of 30 to 40 °C if you can");
    if (tank != SW_TANKS && w->stock->tanks[tank].makes_lime)
        sw_text_add(step->text, sizeof step->text, " " SW_SAY_FILL_LIME,
                    w->mixing->setup->make_up ? "make-up water"
                                              : "water of this recipe");
}

/* In place of a water that makes lime in a tank. */
static const sw_content purified = {{0}};

/* The water first, then the products in the order found. */
static void write_sequence(sw_writer *w, sw_tank tank)
{
    sw_sequence s;
    const sw_stock_setup *setup = w->mixing->setup;
    bool reservoir = tank == SW_TANKS;
    bool lime = !reservoir && w->stock->tanks[tank].makes_lime;
    sw_step *fill = say(w, SW_STEP_FILL, tank, "");
    for (size_t j = 0; j < w->mix->shelf->count; j++)
        w->g[j] = grams_of(w, j, tank);
    sw_vessel v = {.shelf = w->mix->shelf,
                   .g = w->g,
                   .full_l = reservoir ? w->mixing->volume_l
                                       : w->stock->tanks[tank].volume_l,
                   .held_l = reservoir ? w->mixing->kept_l : 0,
                   .water = lime                           ? &purified
                            : reservoir || !setup->make_up ? w->mix->water
                                                           : setup->make_up,
                   .conditions = w->mix->conditions,
                   .solubility = reservoir ? NULL : &w->solubility};
    if (!w->status)
        w->status = sw_sequence_find(&v, &s, NULL);
    if (w->status)
        return;
    if (reservoir)
        sw_share_room(w, s.items[0].volume_l);
    write_fill(w, tank, s.items[0].volume_l / v.full_l, fill);
    write_clouds(w, &v, &s, 0, fill);
    for (size_t i = 1; i < s.count && !w->status; i++)
        add(w, &v, &s, i, tank);
    sw_sequence_free(&s);
}

/* ---- The two ways ---- */

/* How far from the one limit given will do (common practice, no source). */
static const double beside_limit = 0.5;

/* The accepted range of the pH the crop is to get, open where only one limit is
 * given; the usual one where the target names none. */
static void ph_range(const sw_target_row *row, double *low, double *high)
{
    *low = SW_USUAL_PH_LOW;
    *high = SW_USUAL_PH_HIGH;
    if (!row)
        return;
    sw_band range = sw_band_of(row);
    *low =
        isfinite(range.low) ? range.low : fmin(*low, range.high - beside_limit);
    *high = isfinite(range.high) ? range.high
                                 : fmax(*high, range.low + beside_limit);
}

/* The step that pours what is surely needed of it, from 1; 0: none. */
static size_t step_of(const sw_writer *w, size_t product)
{
    for (size_t i = 0; i < w->steps->count; i++)
        if (w->steps->items[i].kind == SW_STEP_ADD &&
            w->steps->items[i].product == product)
            return i + 1;
    return 0;
}

/* The last word on acid and base that are not sized; the first step that has
 * it, from 1; 0: none. */
static size_t pour_unsized(sw_writer *w)
{
    size_t first = 0;
    char how[SW_UNSIZED_BYTES];
    for (size_t j = 0; j < w->mix->shelf->count; j++) {
        sw_pouring into = {.feed_l = w->mixing->volume_l,
                           .step = step_of(w, j)};
        if (w->stock)
            into = sw_stock_pouring(w->stock, j);
        if (!sw_unsized_say(w->mix, j, &into, how, sizeof how))
            continue;
        sw_step *step = say(w, SW_STEP_MEASURE, SW_TANKS, "");
        sw_text_add(step->text, sizeof step->text,
                    w->stock ? SW_SAY_UNSIZED_IS : "Pour %.60s %s.",
                    product_at(w, j)->name, how);
        step->product = j;
        warn_of(w, step, j, SW_TANKS);
        first = first ? first : w->steps->count;
    }
    return first;
}

static void measure_ph(sw_writer *w, const char *text)
{
    double low, high;
    const sw_target_row *row = sw_target_ph(w->mix->target);
    sw_step *step = say(w, SW_STEP_MEASURE, SW_TANKS, text);
    ph_range(row, &low, &high);
    sw_text_add(step->text, sizeof step->text,
                " The pH must be %.1f to %.1f%s.", low, high,
                row && row->aired ? SW_SAY_AFTER_AERATION : "");
}

/* With what the step `cap` leaves of acid or base that is not sized; 0: freely.
 */
static void adjust_ph(sw_writer *w, const char *freely, const char *within,
                      size_t cap)
{
    char text[160];
    snprintf(text, sizeof text, "%s %s %zu.", within, SW_SAY_MEASURE_CAP, cap);
    measure_ph(w, cap ? text : freely);
}

/* Where the pH is open and no acid is poured to it, measuring. */
static void try_small(sw_writer *w)
{
    const sw_undeclared *open = w->mixing->undeclared;
    if (!open || isnan(open->ph_low) || !isnan(open->until_ph_low))
        return;
    sw_step *step = say(w, SW_STEP_PREPARE, SW_TANKS, "");
    sw_text_add(step->text, sizeof step->text, SW_SAY_SMALL_BATCH, open->ph_low,
                open->ph_high);
}

/* Trace elements too little for the scale are dosed from a solution, which is
 * made before anything else. */
static void write_solutions(sw_writer *w)
{
    const sw_weighed *weighed = w->mixing->weighed;
    for (size_t j = 0; weighed && j < w->mix->shelf->count; j++) {
        const sw_weighing *item = &weighed->items[j];
        if (!(item->concentrate_g > 0))
            continue;
        sw_step *step = say(w, SW_STEP_PREPARE, SW_TANKS, SW_SAY_MAKE_SOLUTION);
        step->product = j;
        step->g = item->concentrate_g;
        step->volume_l = item->concentrate_l;
        warn_of(w, step, j, SW_TANKS);
    }
}

/* A crop is fed from it: it gets nothing of what is half mixed. */
static bool is_renewed(const sw_mixing *m)
{
    return m->kept_l > 0 || m->drained_l > 0;
}

static void drain_old(sw_writer *w)
{
    say(w, SW_STEP_PREPARE, SW_TANKS, SW_SAY_SHUT_FLOW);
    if (w->mixing->drained_l > 0)
        say(w, SW_STEP_DRAIN, SW_TANKS, SW_SAY_DRAIN_OLD)->volume_l =
            w->mixing->kept_l;
}

/* At the end of the last step. */
static void open_flow(sw_writer *w)
{
    sw_step *last =
        w->status ? &w->lost : &w->steps->items[w->steps->count - 1];
    sw_text_add(last->text, sizeof last->text, " " SW_SAY_OPEN_FLOW);
}

static void write_direct(sw_writer *w)
{
    bool renewed = is_renewed(w->mixing);
    warn(say(w, SW_STEP_PREPARE, SW_TANKS, SW_SAY_CALIBRATE_RESERVOIR),
         SW_SAY_CAUTION_RESERVOIR);
    try_small(w);
    write_solutions(w);
    if (renewed)
        drain_old(w);
    write_sequence(w, SW_TANKS);
    say(w, SW_STEP_TOP_UP, SW_TANKS,
        renewed ? SW_SAY_TOP_UP_FRESH : "Top up to the mark.");
    size_t cap = pour_unsized(w);
    adjust_ph(w, SW_SAY_MEASURE_ADJUST, SW_SAY_MEASURE_WITHIN, cap);
    say(w, SW_STEP_STIR, SW_TANKS, "Circulate for about 10 minutes.");
    adjust_ph(w, SW_SAY_MEASURE_AGAIN, SW_SAY_MEASURE_AGAIN_WITHIN, cap);
    if (renewed)
        open_flow(w);
}

/* "between about pH 4.0 and 7.0" */
static void write_range(double low, double high, char *text, size_t size)
{
    if (isfinite(low))
        snprintf(text, size, "between about pH %.1f and %.1f", low, high);
    else
        snprintf(text, size, "below about pH %.1f", high);
}

/* A tank calculated out of the range is not told to stay in it. */
static void write_chelate(sw_writer *w, sw_tank tank)
{
    const sw_tank_report *report = &w->stock->tanks[tank];
    double low = report->chelate_ph_low, high = report->chelate_ph_high;
    const char *name = product_at(w, report->chelate)->name;
    char range[60];
    if (!isfinite(high))
        return;
    sw_step *step = say(w, SW_STEP_MEASURE, tank, "");
    write_range(low, high, range, sizeof range);
    double ph = isnan(report->ph) ? NAN : report->chelate_ph;
    if (ph < low || ph > high)
        snprintf(step->text, sizeof step->text, SW_SAY_CHELATE_BEYOND, name,
                 range, ph,
                 ph < low             ? SW_SAY_CHELATE_TOO_ACID
                 : report->makes_lime ? SW_SAY_CHELATE_AS_FILLED
                                      : SW_SAY_CHELATE_TOO_ALKALINE);
    else
        snprintf(step->text, sizeof step->text, SW_SAY_CHELATE_RANGE, name,
                 range);
}

/* Up to which a tank with phosphate keeps (common practice, no source). */
static const double phosphate_ph = 5.5;

static void write_tank(sw_writer *w, sw_tank tank)
{
    write_sequence(w, tank);
    say(w, SW_STEP_TOP_UP, tank,
        w->stock->tanks[tank].makes_lime ? SW_SAY_TOP_UP_PURIFIED
                                         : SW_SAY_TOP_UP_CLEAR);
    if (has_turn(w, SW_TURN_PHOSPHATE, tank) &&
        !(w->stock->tanks[tank].ph <= phosphate_ph))
        say(w, SW_STEP_MEASURE, tank, SW_SAY_PHOSPHATE_PH);
    if (has_turn(w, SW_TURN_CHELATE, tank))
        write_chelate(w, tank);
    say(w, SW_STEP_STORE, tank, SW_SAY_MARK_TANK);
}

static void write_stocks(sw_writer *w)
{
    warn(say(w, SW_STEP_PREPARE, SW_TANKS, SW_SAY_CALIBRATE_TANKS),
         SW_SAY_CAUTION_TANKS);
    try_small(w);
    write_solutions(w);
    for (int t = 0; t < SW_TANKS; t++)
        if (w->stock->tanks[t].volume_l > 0)
            write_tank(w, (sw_tank)t);
    warn(say(w, SW_STEP_STORE, SW_TANKS, SW_SAY_SEPARATE_BUCKETS),
         SW_SAY_CAUTION_STOCKS);
    pour_unsized(w);
    measure_ph(w, SW_SAY_MEASURE_FIRST_FEED);
}

void sw_steps_free(sw_steps *steps)
{
    if (steps)
        SW_FREE(steps->items, steps);
}

static sw_status check(const sw_mixing *m, sw_error *error)
{
    size_t count = m->mix->shelf->count;
    if (m->stock ? m->stock->count != count : m->mix->recipe->count != count)
        return sw_fail(error, SW_BAD_STEPS_OF_OTHER_SHELF);
    if (m->stock && !m->setup)
        return sw_fail(error, SW_BAD_STOCK_WITHOUT_SETUP);
    if (!m->stock && !(m->volume_l > 0 && isfinite(m->volume_l)))
        return sw_fail(error, SW_BAD_RESERVOIR_VOLUME);
    if (!(m->kept_l >= 0 && m->drained_l >= 0) ||
        (!m->stock && m->kept_l > m->volume_l))
        return sw_fail(error, SW_BAD_RESERVOIR_KEPT);
    return SW_OK;
}

static void write_steps(sw_writer *w)
{
    w->steps = calloc(1, sizeof *w->steps);
    w->g = calloc(w->mix->shelf->count + 1, sizeof *w->g);
    if (!w->steps || !w->g) {
        w->status = SW_ERR_MEMORY;
    } else if (w->stock) {
        sw_pitzer_load(&w->pitzer);
        sw_solubility_at(&w->pitzer, w->mixing->setup->temperature_c,
                         &w->solubility);
        write_stocks(w);
    } else {
        write_direct(w);
    }
    free(w->g);
}

sw_status sw_mixing_order(const sw_mixing *mixing, sw_steps **steps,
                          sw_error *error)
{
    SW_REQUIRE_FOR(steps, error, mixing);
    SW_REQUIRE(error, sw_whole_mix(mixing->mix));
    sw_status status = check(mixing, error);
    if (status)
        return status;
    sw_writer *w = calloc(1, sizeof *w);
    if (!w)
        return sw_fail_memory(error);
    w->mixing = mixing;
    w->mix = mixing->mix;
    w->stock = mixing->stock;
    write_steps(w);
    status = w->status;
    if (status)
        sw_steps_free(w->steps);
    else
        *steps = w->steps;
    free(w);
    return status ? sw_fail_memory(error) : SW_OK;
}
