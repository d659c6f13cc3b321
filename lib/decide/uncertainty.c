/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * How sure: the spread of the finished solution when lab, labels, scale, fill
 * and injectors are off as far as stated, and which of them makes it.  Method
 * and defaults: reference/methods.md, Decide.
 */
#include "chemistry/equilibrate.h"
#include "decide/draw.h"
#include "quantity/status.h"

#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>
#include <math.h>
#include <stdlib.h>

/* Points; how many of them, from the first on, get their chemistry, with all
 * sources at work and with one alone. */
enum { SAMPLES = 8192, MEASURED = 1024, ALONE = 256, BLOCK = 64 };
enum { QUANTITIES = SW_COMPONENT_COUNT + 3 };
enum { AT_EC = SW_COMPONENT_COUNT, AT_PH, AT_PH_AIRED };

/* EC and pH of BLOCK points, into their places from the first one on. */
static sw_status read_block(const sw_content *finished,
                            const sw_conditions *conditions, double *values,
                            sw_error *error)
{
    double aired_ec[BLOCK]; /* not asked for */
    sw_status status =
        sw_read_meters(finished, BLOCK, conditions, SW_CARBONATE_AIRED,
                       aired_ec, &values[AT_PH_AIRED * SAMPLES], error);
    return status == SW_OK
               ? sw_read_meters(finished, BLOCK, conditions, SW_CARBONATE_KEPT,
                                &values[AT_EC * SAMPLES],
                                &values[AT_PH * SAMPLES], error)
               : status;
}

/*
 * `values` holds SAMPLES numbers a quantity, quantity by quantity; EC and pH
 * of the first `measured` points only, a multiple of BLOCK.
 */
static sw_status sample(const sw_mix *mix, sw_draw *draw, int measured,
                        double *values, sw_error *error)
{
    sw_content finished[BLOCK];
    sw_status status = SW_OK;
    for (int i = 0; status == SW_OK && i < SAMPLES; i++) {
        sw_content *here = &finished[i % BLOCK];
        const double *g_per_l = sw_draw_next(draw, here);
        for (size_t j = 0; j < mix->recipe->count; j++)
            if (g_per_l[j] > 0)
                sw_content_add(here, g_per_l[j],
                               &mix->shelf->products[j].per_g);
        for (int c = 0; c < SW_COMPONENT_COUNT; c++)
            values[c * SAMPLES + i] = here->amount[c];
        if (i < measured && i % BLOCK == BLOCK - 1)
            status = read_block(finished, &mix->conditions,
                                &values[i + 1 - BLOCK], error);
    }
    return status;
}

static sw_status sample_doubts(const sw_mix *mix, const sw_tolerances *t,
                               unsigned doubts, double *values, sw_error *error)
{
    sw_draw *draw;
    sw_status status = sw_draw_new(mix, t, doubts, &draw, error);
    if (status == SW_OK)
        status = sample(mix, draw, doubts == SW_DOUBT_ALL ? MEASURED : ALONE,
                        values, error);
    sw_draw_free(draw);
    return status;
}

static sw_spread *spread_at(sw_uncertainty *u, int quantity)
{
    if (quantity == AT_EC)
        return &u->ec_ms_per_cm;
    if (quantity == AT_PH_AIRED)
        return &u->ph_aired;
    return quantity == AT_PH ? &u->ph : &u->component[quantity];
}

/* How many points of a quantity there are. */
static size_t count_of(int quantity, size_t measured)
{
    return quantity < SW_COMPONENT_COUNT ? SAMPLES : measured;
}

/* In doubles: GSL's own is in long ones, which some machines have to emulate,
 * and that took half of a run there.  From the first value on, so that equal
 * ones differ by nothing. */
static double variance(const double *v, size_t n)
{
    double shift = 0.0, squares = 0.0;
    for (size_t i = 0; i < n; i++)
        shift += v[i] - v[0];
    double mean = v[0] + shift / (double)n;
    for (size_t i = 0; i < n; i++)
        squares += (v[i] - mean) * (v[i] - mean);
    return squares / (double)(n - 1);
}

static void take_quantiles(sw_uncertainty *u, double *values)
{
    for (int q = 0; q < QUANTITIES; q++) {
        double *v = values + q * SAMPLES;
        size_t n = count_of(q, MEASURED);
        sw_spread *spread = spread_at(u, q);
        spread->deviation = sqrt(variance(v, n));
        gsl_sort(v, 1, n);
        spread->p5 = gsl_stats_quantile_from_sorted_data(v, 1, n, 0.05);
        spread->median = gsl_stats_median_from_sorted_data(v, 1, n);
        spread->p95 = gsl_stats_quantile_from_sorted_data(v, 1, n, 0.95);
    }
}

/* Variances of one source alone, into share[] for now. */
static void take_variances(sw_uncertainty *u, int doubt, const double *values)
{
    for (int q = 0; q < QUANTITIES; q++)
        spread_at(u, q)->share[doubt] =
            variance(values + q * SAMPLES, count_of(q, ALONE));
}

/* A variance this far below the value's square is rounding, not spread. */
static const double negligible = 1e-24;

static void shares_from_variances(sw_spread *spread)
{
    double sum = 0.0;
    for (int d = 0; d < SW_DOUBT_COUNT; d++)
        sum += spread->share[d];
    bool still = !(sum > negligible * spread->median * spread->median);
    for (int d = 0; d < SW_DOUBT_COUNT; d++)
        spread->share[d] = still ? 0.0 : spread->share[d] / sum;
}

static sw_status find(const sw_mix *mix, const sw_tolerances *tolerances,
                      double *values, sw_uncertainty *u, sw_error *error)
{
    sw_status status =
        sample_doubts(mix, tolerances, SW_DOUBT_ALL, values, error);
    if (status == SW_OK)
        take_quantiles(u, values);
    for (int d = 0; status == SW_OK && d < SW_DOUBT_COUNT; d++) {
        status = sample_doubts(mix, tolerances, 1U << d, values, error);
        if (status == SW_OK)
            take_variances(u, d, values);
    }
    for (int q = 0; status == SW_OK && q < QUANTITIES; q++)
        shares_from_variances(spread_at(u, q));
    u->samples = SAMPLES;
    if (!sw_co2_is_known(mix->water))
        u->ph = (sw_spread){NAN, NAN, NAN, NAN, {0.0}};
    return status;
}

sw_status sw_uncertainty_find(const sw_mix *mix,
                              const sw_tolerances *tolerances,
                              sw_uncertainty *uncertainty, sw_error *error)
{
    SW_REQUIRE(error, sw_aimed_mix(mix), tolerances, uncertainty);
    sw_status status = sw_tolerances_check(mix, tolerances, error);
    *uncertainty = (sw_uncertainty){.samples = 0};
    if (status != SW_OK)
        return status;
    double *values = malloc(sizeof *values * QUANTITIES * SAMPLES);
    if (!values)
        return sw_fail_memory(error);
    status = find(mix, tolerances, values, uncertainty, error);
    free(values);
    return status;
}
