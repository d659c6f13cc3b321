/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A scale's step is the least it tells apart.  Trace elements of which a batch
 * takes but a few steps are dissolved first, enough of them to be weighed
 * well, and so much of that solution is measured out.
 */
#include "stock/step_size.h"

#include "quantity/notes.h"
#include "stock/product_classes.h"
#include "table_words.h"

#include <math.h>

/* An amount of fewer steps than this is off by more than 2.5 %. */
static const double fewest_steps = 20;
/* A batch takes about this much of a concentrate, measured to 1 mL, or to
 * 0.1 mL where that would be coarser than 1 in 20. */
static const double usual_dose_ml = 100, dose_ml = 1, fine_dose_ml = 0.1;
/* A dose of fewer fine steps would be off by more than 2.5 %; then the solution
 * is made in so many times the water, of which most is a bucket (common
 * practice, no source). */
static const double least_dose_ml = 2;
static const double times[] = {1, 2, 5, 10, 20};
/* No concentrate is stronger than this (common practice, no source), nor than
 * this share of what saturation allows. */
static const double most_g_per_l = 100, share_of_saturation = 0.5;

void sw_measure_start(const sw_scale *scale, sw_measure *measure)
{
    measure->scale = scale;
    sw_pitzer_load(&measure->pitzer);
}

/* Three figures of its volume. */
static double step_of_liquid(double amount_g, double density_g_per_ml)
{
    double ml = amount_g / density_g_per_ml;
    double step_ml = ml > 0 ? pow(10, floor(log10(ml)) - 2) : 1;
    return step_ml * density_g_per_ml;
}

/* At 20 degC. */
static double dissolves_g_per_l(const sw_measure *m, const sw_product *product)
{
    sw_solubility of;
    sw_tank_content content = {.salts = product->per_g};
    size_t solid;
    sw_solubility_of(&m->pitzer, 20, &product->per_g, &of);
    double most = sw_tank_strength(&of, &content, &solid);
    return fmin(most_g_per_l, share_of_saturation * most);
}

/* Enough for usual doses and for the scale, if it dissolves, in as much more
 * water as it takes to measure its dose as well as it is weighed. */
static void make_concentrate(const sw_measure *m, const sw_product *product,
                             double amount_g, sw_weighing *w)
{
    double step_g = w->step_g, ml = 0, steps = 0;
    double dissolves = dissolves_g_per_l(m, product);
    size_t most_times = sizeof times / sizeof *times;
    for (size_t i = 0;
         i < most_times && (ml < least_dose_ml || steps < fewest_steps); i++) {
        double volume_l = times[i] * m->scale->concentrate_l;
        double most = floor(dissolves * volume_l / step_g);
        double wanted =
            ceil(amount_g / usual_dose_ml * 1000 * volume_l / step_g);
        steps = fmin(fmax(wanted, fewest_steps), most);
        if (steps < 1 || steps <= amount_g / step_g)
            continue;
        w->concentrate_g = steps * step_g;
        w->concentrate_l = volume_l;
        ml = amount_g / w->concentrate_g * volume_l * 1000;
    }
    if (isnan(w->concentrate_g))
        return;
    w->dose_ml = ml < fewest_steps * dose_ml ? fine_dose_ml : dose_ml;
    w->step_g = w->dose_ml * w->concentrate_g / w->concentrate_l / 1000;
}

bool sw_measure_is_coarse(const sw_weighing *w)
{
    return w->amount_g > 0 && w->dose_ml < least_dose_ml / 2;
}

void sw_measure_note(const sw_measure *m, const char *name,
                     const sw_weighing *w, sw_notes *notes)
{
    double step_g = m->scale->micro_step_g;
    if (w->amount_g > 0 && !isnan(w->dose_ml))
        sw_notes_add(notes, SW_SAY_MICRO_CONCENTRATE, name, w->concentrate_g,
                     w->concentrate_l, w->dose_ml);
    if (sw_measure_is_coarse(w))
        sw_notes_add(notes, SW_SAY_MICRO_COARSE, name, w->dose_ml);
    if (w->amount_g > 0 && w->concentrate_g < (fewest_steps - 0.5) * step_g)
        sw_notes_add(notes, SW_SAY_MICRO_FEW, name, w->concentrate_g, step_g,
                     50 * step_g / w->concentrate_g);
}

void sw_measure_dissolve(const sw_measure *m, const sw_product *product,
                         double amount_g, sw_weighing *w)
{
    w->step_g = m->scale->micro_step_g;
    w->concentrate_g = w->concentrate_l = w->dose_ml = NAN;
    if (m->scale->concentrate_l > 0 && amount_g > 0 &&
        amount_g < fewest_steps * w->step_g)
        make_concentrate(m, product, amount_g, w);
}

/* In grams, of what product j is weighed for. */
static double amount_of(const sw_measure *m, const sw_recipe *recipe, size_t j)
{
    const sw_scale *scale = m->scale;
    return recipe->g_per_l[j] *
           (scale->batch_l ? scale->batch_l[j] : scale->volume_l);
}

/* Traces are weighed all the same, whole packs and the rest: a crop is fed
 * neither with none of one, nor with a pack too few. */
static bool is_packed(const sw_measure *m, const sw_product *product)
{
    return m->scale->whole_packs && product->pack_g > 0 &&
           !sw_is_micro(product);
}

bool sw_measure_is_of_packs(const sw_measure *m, const sw_shelf *shelf,
                            const sw_recipe *recipe)
{
    for (size_t j = 0; j < recipe->count; j++)
        if (recipe->g_per_l[j] > 0 && is_packed(m, &shelf->products[j]))
            return true;
    return false;
}

void sw_measure_choose(const sw_measure *m, const sw_product *product,
                       double amount_g, sw_weighing *w)
{
    const sw_scale *scale = m->scale;
    w->step_g = scale->step_g;
    w->concentrate_g = w->concentrate_l = w->dose_ml = NAN;
    if (is_packed(m, product))
        w->step_g = product->pack_g;
    else if (product->density_g_per_ml > 0)
        w->step_g = step_of_liquid(amount_g, product->density_g_per_ml);
    else if (sw_is_micro(product))
        sw_measure_dissolve(m, product, amount_g, w);
}

void sw_measure_traces(const sw_measure *m, const sw_shelf *shelf,
                       const sw_recipe *recipe, sw_weighed *weighed)
{
    for (size_t j = 0; j < shelf->count; j++) {
        sw_weighing *w = &weighed->items[j];
        double g = amount_of(m, recipe, j);
        *w = (sw_weighing){.concentrate_g = NAN, .dose_ml = NAN};
        sw_measure_choose(m, &shelf->products[j], g, w);
        if (isnan(w->concentrate_g))
            continue;
        double steps = round(g / w->step_g);
        w->amount_g = steps * w->step_g;
        w->dose_ml *= steps;
        sw_measure_note(m, shelf->products[j].name, w, &weighed->notes);
    }
}
