/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The order of mixing being written: mixing_steps.c, and what is done with each
 * addition, mixing_addition.c. */
#ifndef SW_STOCK_MIXING_WRITER_H
#define SW_STOCK_MIXING_WRITER_H

#include "stock/dosing.h"
#include "stock/mixing_sequence.h"
#include "stock/step_size.h"

#include <math.h>

/* The list being written; the first failure stops it. */
typedef struct sw_writer {
    const sw_mix *mix;
    const sw_stock *stock;
    const sw_mixing *mixing;
    double *g; /* scratch: of each product in the vessel in hand */
    sw_pitzer pitzer;
    sw_solubility solubility;
    sw_measure measure; /* without a scale: not started */
    double room;        /* times sw_bucket_l; 0: a bucket for each solid */
    sw_steps *steps;
    sw_step lost; /* what there was no memory for */
    sw_status status;
} sw_writer;

static inline const sw_product *product_at(const sw_writer *w, size_t j)
{
    return &w->mix->shelf->products[j];
}

static inline double grams_of(const sw_writer *w, size_t j, sw_tank tank)
{
    return tank == SW_TANKS ? w->mix->recipe->g_per_l[j] * w->mixing->volume_l
                            : w->stock->placements[j].g[tank];
}

static inline bool is_liquid(const sw_product *p)
{
    return !isnan(p->density_g_per_ml);
}

/* Whether anything in the tank heats the water. */
bool sw_is_heated(const sw_writer *w, sw_tank tank);
/* Of so little that no scale weighs it well: from a solution, which whoever
 * names a scale has among the amounts already. */
bool sw_write_little(sw_writer *w, size_t j, sw_step *step);
/* What is done with it, and where heat or cold comes into it. */
void sw_write_how(const sw_writer *w, size_t j, sw_tank tank, sw_step *step);
/* What the water leaves of a reservoir: for liquids, and to dissolve solids. */
void sw_share_room(sw_writer *w, double filled_l);

#endif
