/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How sure a result is. */
#ifndef SALTWRIGHT_DECIDE_H
#define SALTWRIGHT_DECIDE_H

#include "saltwright_assess.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- How sure -----------------------------------------------------------*/

enum { SW_HEADS = 8 }; /* of injectors, at most */

/*
 * What may be off between the paper and the tank.  Relative ones are standard
 * deviations as a fraction of the value; each >= 0, 0 switches it off.
 */
typedef struct sw_tolerances {
    double lab;          /* relative, of each component a water reports; of its
                            alkalinity 0.02 meq/L at least */
    double lab_ph;       /* standard deviation of the water's pH */
    double label;        /* relative, of all that a product carries */
    double scale_step_g; /* weighed to the nearest step: +- half, uniform; a
                            liquid is measured to three figures, if it is > 0 */
    double micro_step_g; /* the same of the scale for trace elements */
    double trace_solution_l; /* what is too little for that is dosed from so
                                much of a solution of it, as the steps of mixing
                                have it; 0: weighed all the same */
    double batch_l;          /* volume the products are weighed for */
    double fill;             /* relative, of the volume filled, of each head */
    double injector;         /* relative, of each head; 0 mixed without one */
    const int *head;         /* the head of each product of the shelf, from 0,
                                below SW_HEADS; NULL: all on head 0 */
} sw_tolerances;

/* Stated with their sources in reference/methods.md, Decide. */
SW_API sw_tolerances sw_tolerances_default(double batch_l);

typedef enum sw_doubt {
    SW_DOUBT_LAB, /* the lab's analysis */
    SW_DOUBT_LABEL,
    SW_DOUBT_SCALE, /* its step */
    SW_DOUBT_FILL,  /* the volume */
    SW_DOUBT_INJECTOR,
    SW_DOUBT_COUNT
} sw_doubt;

/* One quantity over all samples. */
typedef struct sw_spread {
    double p5;
    double median;
    double p95;
    double deviation; /* standard */
    /* Share of the variance each source alone makes, of what they make
     * together; sums to 1, or all 0 where nothing varies. */
    double share[SW_DOUBT_COUNT];
} sw_spread;

typedef struct sw_uncertainty {
    sw_spread component[SW_COMPONENT_COUNT]; /* mg/L */
    sw_spread ec_ms_per_cm; /* of the amounts; the EC model's own interval
                               comes on top */
    sw_spread ph;           /* as mixed, CO2 kept */
    sw_spread ph_aired;     /* at rest with the air */
    size_t samples;
} sw_uncertainty;

/*
 * Sobol points through the mix; the same digits at every run.
 * SW_ERR_VALUE (a tolerance below 0, or above 0.5, of the pH above 2; a scale
 * step or a batch that is not finite, a batch of no volume, a head that is
 * none; contents or conditions out of their domain), SW_ERR_NUMERIC,
 * SW_ERR_MEMORY.
 */
SW_API sw_status sw_uncertainty_find(const sw_mix *mix,
                                     const sw_tolerances *tolerances,
                                     sw_uncertainty *uncertainty,
                                     sw_error *error);

#ifdef __cplusplus
}
#endif

#endif
