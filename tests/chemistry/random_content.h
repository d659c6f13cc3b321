/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Random waters and feeds, from nearly pure to seawater and strong feeds. */
#ifndef SW_TESTS_RANDOM_CONTENT_H
#define SW_TESTS_RANDOM_CONTENT_H

#include <gsl/gsl_rng.h>
#include <math.h>

#include "saltwright.h"

/* mg/L up to which each component is drawn: seawater, or a strong feed. */
static const double most_mg_per_l[SW_N] = {
    [SW_NO3_N] = 700, [SW_NH4_N] = 200, [SW_UREA_N] = 100, [SW_P] = 200,
    [SW_K] = 1500,    [SW_CA] = 1000,   [SW_MG] = 1300,    [SW_S] = 1000,
    [SW_CL] = 19500,  [SW_NA] = 11000,  [SW_FE] = 20,      [SW_MN] = 10,
    [SW_ZN] = 10,     [SW_CU] = 5,      [SW_B] = 10,       [SW_MO] = 1,
    [SW_SI] = 50,     [SW_F] = 10};

static inline double between(gsl_rng *rng, double low, double high)
{
    return low + (high - low) * gsl_rng_uniform(rng);
}

static inline sw_content random_content(gsl_rng *rng)
{
    sw_content c = {0};
    double *a = c.amount;
    double dilution = pow(10, -6 * gsl_rng_uniform(rng) * gsl_rng_uniform(rng));
    for (int i = 0; i < SW_N; i++)
        if (gsl_rng_uniform(rng) < 0.8)
            a[i] = dilution * most_mg_per_l[i] * pow(10, between(rng, -3, 0));
    if (gsl_rng_uniform(rng) < 0.8)
        a[SW_CARBON] = dilution * 20 * pow(10, between(rng, -3, 0));
    if (gsl_rng_uniform(rng) < 0.3)
        a[SW_CITRATE] = dilution * 2 * pow(10, between(rng, -3, 0));
    a[SW_CHELATED_FE] = a[SW_FE] * gsl_rng_uniform(rng);
    a[SW_CHELATE_CHARGE] = a[SW_CHELATED_FE] / 55.845;
    return c;
}

#endif
