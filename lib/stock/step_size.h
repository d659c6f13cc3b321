/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What one step of a product is: of a scale, a jug, a pack, a concentrate. */
#ifndef SW_STOCK_STEP_SIZE_H
#define SW_STOCK_STEP_SIZE_H

#include "stock/mixture.h"

typedef struct sw_measure {
    const sw_scale *scale;
    sw_pitzer pitzer;
} sw_measure;

void sw_measure_start(const sw_scale *scale, sw_measure *measure);

/*
 * The concentrate that `amount_g` of a solid is dosed from where it is too
 * little for the scale of trace elements; NaN where it is not, or does not
 * dissolve well enough.
 */
void sw_measure_dissolve(const sw_measure *measure, const sw_product *product,
                         double amount_g, sw_weighing *weighing);

/* Whether what is measured out of a concentrate is off by more than 5 %: too
 * little even of the weakest that is made. */
bool sw_measure_is_coarse(const sw_weighing *weighing);

/* Tells the concentrate, and where it is coarse: that, or itself weighed in too
 * few steps of the scale, as no bucket dissolves more. */
void sw_measure_note(const sw_measure *measure, const char *name,
                     const sw_weighing *weighing, sw_notes *notes);

/* Whether packs are what is counted of some product of a recipe: far coarser
 * than the steps of any scale. */
bool sw_measure_is_of_packs(const sw_measure *measure, const sw_shelf *shelf,
                            const sw_recipe *recipe);

/*
 * How to measure out about `amount_g` of a product: step_g, and where it is
 * too little for the scale the concentrate, with dose_ml of one step.
 */
void sw_measure_choose(const sw_measure *measure, const sw_product *product,
                       double amount_g, sw_weighing *weighing);

/* Where no whole steps are, so that the recipe before is told: what of it is
 * dosed from a concentrate, which is noted. */
void sw_measure_traces(const sw_measure *measure, const sw_shelf *shelf,
                       const sw_recipe *recipe, sw_weighed *weighed);

#endif
