/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How much of a product brings a solution to a pH. */
#ifndef SW_ASSESS_PH_DOSE_H
#define SW_ASSESS_PH_DOSE_H

#include "saltwright.h"

/* A pH to be reached by a solution. */
typedef struct sw_ph_goal {
    const sw_content *solution; /* per litre */
    sw_conditions conditions;
    sw_carbonate carbonate;
    double ph;
} sw_ph_goal;

/* What the limits and the target of a pH ask of one that is at `ph`: the
 * target, else the limit that is broken, else NaN. */
double sw_ph_wanted(double target, double min, double max, double ph);

/* Strong acid in meq/L that the solution is from its goal, at its activities;
 * below 0: base.  Errors as sw_ph_row_at. */
sw_status sw_ph_missing(const sw_ph_goal *goal, double *acid_meq_per_l,
                        sw_error *error);

/*
 * The amount of `product`, both pH with it by the full speciation.  NaN, with
 * SW_OK, where no amount gets there; so too where that is less than none.
 * SW_ERR_MEMORY.
 */
sw_status sw_ph_dose(const sw_ph_goal *goal, const sw_product *product,
                     sw_ph_amount *amount, sw_error *error);

/*
 * Where a pH misses its target, what is missing in meq/L, and what each usual
 * acid (or base) of the shelf or the catalogue would take and bring along.
 * Where it is outside of what the target wants, or of the usual range where it
 * names none, each product that alone took it there, with what brings the same
 * without; and where carbonate meets acid.
 */
void sw_advise_ph(const sw_mix *mix, sw_assessment *assessment);

#endif
