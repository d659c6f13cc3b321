/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Draws finished solutions around a mix: water as the lab might have read it,
 * products as their labels allow, weighed to a step, filled to a mark, drawn
 * by heads that drift.  Sobol points (Bratley & Fox 1988, by GSL) for the
 * first 40 unknowns, the Mersenne Twister for any further ones.  How far each
 * is off by default: reference/methods.md, Decide.
 */
#include "decide/draw.h"

#include "assess/verdict.h"
#include "quantity/components.h"
#include "quantity/status.h"
#include "stock/step_size.h"
#include "table_refusals.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_qrng.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdlib.h>

enum { SOBOL_MOST = 40 };

/* No tank is filled to less of its mark, whatever is drawn. */
static const double least_fill = 0.1;

struct sw_draw {
    const sw_mix *mix;
    const sw_tolerances *tolerances;
    unsigned doubts;
    unsigned heads; /* in use: bit 1 << head */
    gsl_qrng *sobol;
    gsl_rng *twister;
    double point[SOBOL_MOST];
    int used; /* coordinates of the point handed out */
    double unseen_mg_per_l[SW_COMPONENT_COUNT];
    double *step_g;   /* in which each product is weighed or measured */
    double *solution; /* relative step of the weight of what it is dosed of */
    double g_per_l[];
};

/* ---- Tolerances --------------------------------------------------------- */

/* Common practice where reference/methods.md names no source. */
sw_tolerances sw_tolerances_default(double batch_l)
{
    return (sw_tolerances){.lab = 0.05,
                           .lab_ph = 0.1,
                           .label = 0.02,
                           .scale_step_g = 1.0,
                           .micro_step_g = 0.01,
                           .trace_solution_l = 1.0,
                           .batch_l = batch_l,
                           .fill = 0.02,
                           .injector = 0.0,
                           .head = NULL};
}

static bool is_fraction(double value)
{
    return value >= 0.0 && value <= 0.5;
}

static sw_status check_heads(const sw_mix *mix, const sw_tolerances *t,
                             sw_error *error)
{
    for (size_t j = 0; t->head && j < mix->shelf->count; j++)
        if (t->head[j] < 0 || t->head[j] >= SW_HEADS)
            return sw_fail(error, SW_BAD_INJECTOR_NUMBER,
                           mix->shelf->products[j].name, t->head[j],
                           SW_HEADS - 1);
    return SW_OK;
}

sw_status sw_tolerances_check(const sw_mix *mix, const sw_tolerances *t,
                              sw_error *error)
{
    if (!is_fraction(t->lab) || !is_fraction(t->label) ||
        !is_fraction(t->fill) || !is_fraction(t->injector))
        return sw_fail(error, SW_BAD_RELATIVE_TOLERANCE);
    if (!(t->lab_ph >= 0.0 && t->lab_ph <= 2.0))
        return sw_fail(error, SW_BAD_PH_TOLERANCE, t->lab_ph);
    if (!(t->scale_step_g >= 0.0 && t->micro_step_g >= 0.0 &&
          isfinite(t->scale_step_g) && isfinite(t->micro_step_g) &&
          t->trace_solution_l >= 0.0 && t->batch_l > 0.0 &&
          isfinite(t->batch_l)))
        return sw_fail(error, SW_BAD_SCALE_STEPS, t->scale_step_g,
                       t->micro_step_g, t->batch_l);
    return check_heads(mix, t, error);
}

/* ---- The stream --------------------------------------------------------- */

/* Which heads a product of the recipe is on. */
static unsigned heads_in_use(const sw_mix *mix, const int *head)
{
    unsigned used = 0;
    for (size_t j = 0; j < mix->recipe->count; j++)
        if (mix->recipe->g_per_l[j] > 0.0)
            used |= 1U << (head ? head[j] : 0);
    return used;
}

/* How each product is measured out of the batch, as the steps of mixing have
 * it. */
static void find_steps(sw_draw *d)
{
    const sw_tolerances *t = d->tolerances;
    const sw_scale scale = {.step_g = t->scale_step_g,
                            .micro_step_g = t->micro_step_g,
                            .concentrate_l = t->trace_solution_l};
    sw_measure measure;
    sw_measure_start(&scale, &measure);
    for (size_t j = 0; j < d->mix->recipe->count; j++) {
        const sw_product *product = &d->mix->shelf->products[j];
        sw_weighing how;
        sw_measure_choose(&measure, product,
                          d->mix->recipe->g_per_l[j] * t->batch_l, &how);
        bool exact = product->density_g_per_ml > 0.0 && t->scale_step_g <= 0.0;
        d->step_g[j] = exact ? 0.0 : how.step_g;
        d->solution[j] = how.concentrate_g > 0.0 /* false for NaN */
                             ? t->micro_step_g / how.concentrate_g
                             : 0.0;
    }
}

sw_status sw_draw_new(const sw_mix *mix, const sw_tolerances *tolerances,
                      unsigned doubts, sw_draw **draw, sw_error *error)
{
    size_t count = mix->recipe->count;
    sw_draw *d = calloc(1, sizeof *d + 3 * count * sizeof *d->g_per_l);
    *draw = d;
    if (!d)
        return sw_fail_memory(error);
    d->mix = mix;
    d->tolerances = tolerances;
    d->doubts = doubts;
    d->heads = heads_in_use(mix, tolerances->head);
    d->step_g = d->g_per_l + count;
    d->solution = d->step_g + count;
    find_steps(d);
    sw_mix_unseen(mix, d->unseen_mg_per_l);
    d->sobol = gsl_qrng_alloc(gsl_qrng_sobol, SOBOL_MOST);
    d->twister = gsl_rng_alloc(gsl_rng_mt19937);
    if (!d->sobol || !d->twister) {
        sw_draw_free(d);
        *draw = NULL;
        return sw_fail_memory(error);
    }
    gsl_rng_set(d->twister, 1);
    return SW_OK;
}

void sw_draw_free(sw_draw *draw)
{
    if (!draw)
        return;
    if (draw->sobol)
        gsl_qrng_free(draw->sobol);
    if (draw->twister)
        gsl_rng_free(draw->twister);
    free(draw);
}

/* The next coordinate, in (0, 1). */
static double coordinate(sw_draw *draw)
{
    return draw->used < SOBOL_MOST ? draw->point[draw->used++]
                                   : gsl_rng_uniform_pos(draw->twister);
}

static bool varies(const sw_draw *draw, sw_doubt doubt, double spread)
{
    return (draw->doubts >> doubt & 1U) && spread > 0.0;
}

/*
 * A deviate of that standard deviation.  What does not vary takes no
 * coordinate, so that the best ones go to what does.
 */
static double normal(sw_draw *draw, sw_doubt doubt, double spread)
{
    return varies(draw, doubt, spread)
               ? spread * gsl_cdf_ugaussian_Pinv(coordinate(draw))
               : 0.0;
}

static double uniform(sw_draw *draw, sw_doubt doubt, double width)
{
    return varies(draw, doubt, width) ? width * (coordinate(draw) - 0.5) : 0.0;
}

/* A factor around 1 that cannot turn negative. */
static double factor(sw_draw *draw, sw_doubt doubt, double relative)
{
    return fmax(0.0, 1.0 + normal(draw, doubt, relative));
}

static void sum_nitrogen(sw_content *per_l)
{
    double *c = per_l->amount;
    c[SW_N] = c[SW_NO3_N] + c[SW_NH4_N] + c[SW_UREA_N];
}

/* What a titration is off by at the least, 1 mg/L CaCO3 (Standard Methods
 * 2320 B, value from memory): all there is to doubt where a water has none. */
static const double titration_meq_per_l = 0.02;

/*
 * Carbon beyond the alkalinity is dissolved CO2, which a pH read off by d
 * changes by 10^-d (first dissociation of carbonic acid).
 */
static void shift_carbon(sw_content *water, double deviation, double lab,
                         double ph_off)
{
    double *c = water->amount;
    double co2 = fmax(0.0, c[SW_CARBON] - c[SW_ALKALINITY]);
    double bound = c[SW_CARBON] - co2;
    double factor = fmax(0.0, 1.0 + deviation);
    c[SW_CARBON] = bound + co2 * pow(10.0, -ph_off);
    if (fabs(c[SW_ALKALINITY]) * lab >= titration_meq_per_l) {
        c[SW_CARBON] *= factor;
        c[SW_ALKALINITY] *= factor;
    } else if (lab > 0.0) {
        double off = deviation / lab * titration_meq_per_l;
        c[SW_CARBON] = fmax(0.0, c[SW_CARBON] + off);
        c[SW_ALKALINITY] += off;
    }
}

/* What a chelator holds of a metal was found with it. */
static void scale(sw_content *water, sw_component component, double by)
{
    sw_component held = sw_chelated_part(component);
    water->amount[component] *= by;
    if (held < SW_CARRIED_COUNT)
        water->amount[held] *= by;
}

static void draw_water(sw_draw *draw, double deviation, double ph_off,
                       sw_content *water)
{
    *water = *draw->mix->water;
    shift_carbon(water, deviation, draw->tolerances->lab, ph_off);
    for (int i = 0; i < SW_N; i++)
        if (water->amount[i] > 0.0)
            scale(water, (sw_component)i,
                  factor(draw, SW_DOUBT_LAB, draw->tolerances->lab));
    sum_nitrogen(water);
}

/* Grams per litre of one product, as weighed and dosed. */
static double dosed(sw_draw *draw, size_t product, const double *head)
{
    const sw_tolerances *t = draw->tolerances;
    double g_per_l = draw->mix->recipe->g_per_l[product];
    if (!(g_per_l > 0.0))
        return 0.0;
    double label = factor(draw, SW_DOUBT_LABEL, t->label);
    double step =
        uniform(draw, SW_DOUBT_SCALE, draw->step_g[product] / t->batch_l);
    double strength =
        1.0 + uniform(draw, SW_DOUBT_SCALE, draw->solution[product]);
    return fmax(0.0, g_per_l + step) * strength * label *
           head[t->head ? t->head[product] : 0];
}

/* What a head, with the tank or the tank's fill behind it, makes of a dose. */
static double draw_head(sw_draw *draw)
{
    double drift = factor(draw, SW_DOUBT_INJECTOR, draw->tolerances->injector);
    return drift / fmax(factor(draw, SW_DOUBT_FILL, draw->tolerances->fill),
                        least_fill);
}

/* What is below a limit of detection may be anything up to it.  The last to be
 * drawn, so that nothing else depends on how much there is of it. */
static void add_unseen(sw_draw *draw, sw_content *water)
{
    for (int i = 0; i < SW_N; i++)
        if (draw->unseen_mg_per_l[i] > 0.0 &&
            varies(draw, SW_DOUBT_LAB, draw->tolerances->lab))
            water->amount[i] += draw->unseen_mg_per_l[i] * coordinate(draw);
    sum_nitrogen(water);
}

const double *sw_draw_next(sw_draw *draw, sw_content *water)
{
    double head[SW_HEADS];
    gsl_qrng_get(draw->sobol, draw->point);
    draw->used = 0;
    double alkalinity = normal(draw, SW_DOUBT_LAB, draw->tolerances->lab);
    double ph_off = normal(draw, SW_DOUBT_LAB, draw->tolerances->lab_ph);
    for (int h = 0; h < SW_HEADS; h++)
        head[h] = draw->heads >> h & 1U ? draw_head(draw) : 0.0;
    draw_water(draw, alkalinity, ph_off, water);
    for (size_t j = 0; j < draw->mix->recipe->count; j++)
        draw->g_per_l[j] = dosed(draw, j, head);
    add_unseen(draw, water);
    return draw->g_per_l;
}
