/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What is done with one addition: what it is dissolved in, how fast, and where
 * heat or cold comes into it.  Common practice of the trade, no source.
 */
#include "stock/mixing_writer.h"
#include "stock/product_classes.h"

#include "quantity/notes.h"
#include "quantity/text.h"
#include "table_words.h"

#include <stdio.h>

bool sw_is_heated(const sw_writer *w, sw_tank tank)
{
    for (size_t j = 0; j < w->mix->shelf->count; j++)
        if (grams_of(w, j, tank) > 0 && sw_heats(product_at(w, j)))
            return true;
    return false;
}

static const char *calcium_pace(const sw_product *p, sw_tank tank)
{
    return sw_turn_of(p) == SW_TURN_CALCIUM && tank == SW_TANKS
               ? " Slowly, with the pump running."
               : "";
}

static bool has_poured_acid(const sw_writer *w)
{
    for (size_t i = 0; i < w->steps->count; i++)
        if (w->steps->items[i].kind == SW_STEP_ADD &&
            sw_turn_of(product_at(w, w->steps->items[i].product)) ==
                SW_TURN_ACID)
            return true;
    return false;
}

/* Alkaline silicate gels where it meets acid (reference/hazard_pairs.csv). */
static const char *silicate_pace(const sw_writer *w, const sw_product *p,
                                 sw_tank tank)
{
    return tank != SW_TANKS                          ? " " SW_SAY_SILICATE_TANK
           : !(sw_classes_of(p) & SW_CLASS_SILICATE) ? " " SW_SAY_SILICATE_MILD
           : has_poured_acid(w)                      ? " " SW_SAY_SILICATE_LATE
                                : " " SW_SAY_SILICATE_FIRST;
}

/* What serves where nobody has said what the scale can do: common practice, no
 * source. */
static const sw_scale usual_scale = {.micro_step_g = 0.01, .concentrate_l = 1};

static bool has_solution(const sw_writer *w, size_t j)
{
    const sw_weighed *weighed = w->mixing->weighed;
    return weighed && weighed->items[j].concentrate_g > 0;
}

bool sw_write_little(sw_writer *w, size_t j, sw_step *step)
{
    sw_weighing item;
    char g[SW_FIGURE_BYTES], ml[SW_FIGURE_BYTES];
    const sw_weighed *weighed = w->mixing->weighed;
    /* Where no steps keep the limits what is told is not weighed either. */
    if (is_liquid(product_at(w, j)) || has_solution(w, j) ||
        (weighed && weighed->recipe.count))
        return false;
    if (!w->measure.scale)
        sw_measure_start(&usual_scale, &w->measure);
    sw_measure_dissolve(&w->measure, product_at(w, j), step->g, &item);
    if (isnan(item.concentrate_g))
        return false;
    step->concentrate_g = item.concentrate_g;
    step->concentrate_l = item.concentrate_l;
    step->dose_ml = 1000 * step->g / item.concentrate_g * item.concentrate_l;
    snprintf(step->text, sizeof step->text, SW_SAY_HOW_LITTLE,
             usual_scale.micro_step_g, sw_figure(step->concentrate_g, g),
             step->concentrate_l, sw_figure(step->dose_ml, ml));
    return true;
}

/* A bucket as the trade has it: common practice, no source. */
static const double bucket_l = 10;

static double dissolved_in_l(const sw_writer *w, size_t j)
{
    return sw_bucket_l(product_at(w, j), grams_of(w, j, SW_TANKS),
                       w->mixing->volume_l);
}

void sw_share_room(sw_writer *w, double filled_l)
{
    double left_l = w->mixing->volume_l - filled_l, least_l = 0, buckets_l = 0;
    for (size_t j = 0; j < w->mix->shelf->count; j++) {
        double l = grams_of(w, j, SW_TANKS) > 0 ? dissolved_in_l(w, j) : 0;
        bool liquid = is_liquid(product_at(w, j));
        left_l -= liquid ? l : 0;
        least_l += liquid ? 0 : l;
        buckets_l += liquid || !(l > 0) ? 0 : fmax(l, bucket_l);
    }
    w->room = buckets_l > left_l ? fmax(left_l / least_l, 1) : 0;
}

/* "a bucket of", "200 mL of": down to 1, 2 or 5 tens, so that all have room. */
static void write_water(const sw_writer *w, size_t j, char text[32])
{
    double ml = 1000 * w->room * dissolved_in_l(w, j);
    double ten = pow(10, floor(log10(ml)));
    ml = ten * (ml >= 5 * ten ? 5 : ml >= 2 * ten ? 2 : 1);
    snprintf(text, 32, w->room > 0 ? "%g %s of" : "a bucket of",
             ml < 1000 ? ml : ml / 1000, ml < 1000 ? "mL" : "L");
}

void sw_write_how(const sw_writer *w, size_t j, sw_tank tank, sw_step *step)
{
    const sw_product *p = product_at(w, j);
    bool nitrate = p->per_g.amount[SW_NO3_N] > 50 && !is_liquid(p);
    bool hot = sw_heats(p) && !is_liquid(p);
    char water[32];
    const char *how = is_liquid(p)         ? SW_SAY_HOW_LIQUID
                      : has_solution(w, j) ? SW_SAY_HOW_SOLUTION
                      : tank != SW_TANKS   ? SW_SAY_HOW_STOCK
                      : hot                ? SW_SAY_HOW_HOT
                                           : SW_SAY_HOW_RESERVOIR;
    const char *warmth = hot && tank != SW_TANKS
                             ? " It heats the water: a little at a time."
                         : !nitrate || hot ? ""
                         : tank != SW_TANKS && sw_is_heated(w, tank)
                             ? " Nitrates cool the water: give them time."
                             : " Nitrates cool the water: warm water helps.";
    const char *pace = sw_turn_of(p) == SW_TURN_SILICATE
                           ? silicate_pace(w, p, tank)
                           : calcium_pace(p, tank);
    write_water(w, j, water);
    snprintf(step->text, sizeof step->text, how, water);
    sw_text_add(step->text, sizeof step->text, "%s%s", warmth, pace);
}
