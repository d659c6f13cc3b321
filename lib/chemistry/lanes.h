/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The equilibria of several solutions at once, one a lane: same constants, same
 * question.  Each lane comes out the same to the last digit whatever the others
 * hold, and however many the processor takes at a time.
 */
#ifndef SW_CHEMISTRY_LANES_H
#define SW_CHEMISTRY_LANES_H

#include "chemistry/speciate.h"

enum { SW_LANES = 8 };

/* What closes the balances of the masters. */
typedef enum sw_closing {
    SW_PROTONS_BALANCE, /* the pH follows from the alkalinity */
    SW_PH_GIVEN,
    SW_INDEX_ZERO,     /* acid or base brings a solid to saturation */
    SW_CARBON_FOLLOWS, /* pH and alkalinity given: CO2 follows; carbon_open */
} sw_closing;

/* By unknown or species, and lane: by the plan of the constants as they are
 * put, by `plan` once they are solved, which has what is there in any lane. */
typedef struct sw_lanes {
    const sw_constants *constants;
    sw_plan plan;
    sw_closing closing;
    bool carbon_open; /* its activity is given, or follows */
    bool warm;        /* ln_activity and ionic_strength are a start; else what
                         is given of ln_activity and no more */
    bool wants_slope; /* with SW_PH_GIVEN */
    int count;        /* lanes in use */
    double total[SW_UNKNOWN_MAX][SW_LANES]; /* of the proton: - alkalinity */
    double alone[SW_LANES]; /* ionic strength of what has no complex */
    double water[SW_LANES]; /* a(H2O) */
    double goal[SW_UNKNOWN_MAX]
               [SW_LANES];          /* SW_INDEX_ZERO: the solid's counts */
    double goal_constant[SW_LANES]; /* and ln of its constant */
    /* Found. */
    double ln_activity[SW_UNKNOWN_MAX][SW_LANES];
    double ionic_strength[SW_LANES];
    double molality[SW_SPECIES_MAX][SW_LANES]; /* by plan.term */
    double residual[SW_LANES]; /* worst balance, over the sizes of its terms */
    bool found[SW_LANES];
    double slope[SW_MASTER_COUNT][SW_LANES];
} sw_lanes;

/* Makes `plan` of what is there and moves the lanes to it, for `width` at a
 * time: what is in no lane takes no part. */
void sw_lanes_prepare(sw_lanes *lanes, int width);
/* As many lanes at a time as the processor takes.  They are put anew before
 * they are solved again. */
void sw_lanes_solve(sw_lanes *lanes);
/* The same, `width` at a time: 1, 2, 4 or 8; false where the processor or the
 * build has not got so many. */
bool sw_lanes_solve_by(sw_lanes *lanes, int width);

/* The kernel's builds: each solves so many lanes from `first` on. */
typedef void sw_kernel(sw_lanes *lanes, int first);
sw_kernel sw_kernel_1, sw_kernel_2, sw_kernel_4, sw_kernel_8;
sw_kernel sw_kernel_1_avx2, sw_kernel_2_avx2; /* in a tenth fewer steps */

/* Asks for what the speciation asks; its lanes are not filled. */
void sw_lanes_ask(sw_lanes *lanes, const sw_speciation *s);
/* A speciation as a lane: what is given of it, and where it is warm its start.
 */
void sw_lanes_put(sw_lanes *lanes, int lane, const sw_speciation *s);
/* With SW_INDEX_ZERO: the solid.  Put the speciation first. */
void sw_lanes_aim(sw_lanes *lanes, int lane, const sw_species *solid);
double sw_lanes_ph(const sw_lanes *lanes, int lane);
/* What was found. */
void sw_lanes_take(const sw_lanes *lanes, int lane, sw_speciation *s);

#endif
