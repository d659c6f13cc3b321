/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What to look at next: that whose outcome is expected to tell most about the
 * cause, which is their mutual information (Shannon 1948; Lindley 1956).  Under
 * each mistake the outcome is taken as normal.
 */
#include "decide/meter.h"

#include "quantity/status.h"
#include "quantity/ties.h"

#include <gsl/gsl_integration.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Standard deviations of looks: analyses and meters relative (pH: in pH); what
 * is gone from a bag, a fill and a head's delivery of what was meant. */
static const double analysis_error = 0.05, bag_error = 0.1, fill_error = 0.02,
                    head_error = 0.05;
/* An analysis tells nothing of less than this, mg/L. */
static const double trace = 0.02;
/* Mistakes less believed than this are left out of the reckoning. */
static const double believable = 1e-3;
static const double least_bits = 0.05;

enum { NODES = 16 };

/* The looks being weighed. */
typedef struct search {
    const sw_outlook *o;
    const sw_readings *readings;
    const sw_fit_of *fit;
    const sw_mistake *mistakes; /* of the diagnosis */
    size_t count;
    gsl_integration_fixed_workspace *nodes;
    double *drawn; /* mean and mean square of all that is drawn, by place */
    double *mean, *deviation; /* of a look's outcome, by place */
} search;

/* ---- What a look would show --------------------------------------------- */

/* Whatever is drawn: components, EC, pH. */
enum { AT_EC = SW_COMPONENT_COUNT, AT_PH, DRAWN };

static void see(const sw_outlook *o, size_t mistake, int draw,
                double seen[DRAWN])
{
    size_t at = mistake * SW_OUTLOOK_DRAWS + (size_t)draw;
    sw_content finished;
    sw_outlook_finished(o, mistake, draw, &finished);
    memcpy(seen, finished.amount, SW_COMPONENT_COUNT * sizeof *seen);
    seen[AT_EC] = exp(o->ln_ec[at]);
    seen[AT_PH] = o->ph[at];
}

/* Mean and square over the draws, each as well as it fits the readings. */
static void reckon_drawn(search *s)
{
    for (size_t i = 0; i < s->count; i++) {
        size_t mistake = s->fit->order[i];
        double *mean = s->drawn + i * 2 * DRAWN;
        for (int k = 0; k < SW_OUTLOOK_DRAWS; k++) {
            double seen[DRAWN];
            double weight =
                s->fit->weight[mistake * SW_OUTLOOK_DRAWS + (size_t)k];
            see(s->o, mistake, k, seen);
            for (int q = 0; q < DRAWN; q++) {
                mean[q] += weight * seen[q];
                mean[DRAWN + q] += weight * seen[q] * seen[q];
            }
        }
    }
}

/* The drawn quantity that a look is about. */
static int drawn_at(const sw_look *look)
{
    if (look->kind == SW_LOOK_COMPONENT)
        return (int)look->component;
    return look->kind == SW_LOOK_EC ? AT_EC : AT_PH;
}

static void take_drawn(search *s, const sw_look *look, size_t place)
{
    const double *mean = s->drawn + place * 2 * DRAWN + drawn_at(look);
    double error = look->error * (look->kind == SW_LOOK_PH ? 1.0 : mean[0]);
    double variance = fmax(0.0, mean[DRAWN] - mean[0] * mean[0]);
    s->mean[place] = mean[0];
    s->deviation[place] = sqrt(variance + error * error + trace * trace);
}

/* What is gone from a bag, filled, or delivered, times what was meant. */
static double times_meant(const sw_look *look, const sw_mistake *m)
{
    bool same = m->product == look->product;
    switch (look->kind) {
    case SW_LOOK_PRODUCT:
        if (m->kind == SW_LEFT_OUT || m->kind == SW_OTHER_FORM)
            return same ? 0.0 : 1.0;
        return m->kind == SW_DOUBLED && same ? 2.0 : 1.0;
    case SW_LOOK_FILL:
        return m->kind == SW_FILL_OFF ? m->factor : 1.0;
    default:
        return m->kind == SW_HEAD_OFF && m->head == look->head ? m->factor
                                                               : 1.0;
    }
}

static void reckon(search *s, const sw_look *look)
{
    for (size_t i = 0; i < s->count; i++) {
        if (look->kind <= SW_LOOK_PH) {
            take_drawn(s, look, i);
            continue;
        }
        s->mean[i] = times_meant(look, &s->mistakes[i]);
        s->deviation[i] = look->error;
    }
}

/* ---- What it would tell ------------------------------------------------- */

static double density(const search *s, size_t i, double at)
{
    double z = (at - s->mean[i]) / s->deviation[i];
    return exp(-0.5 * z * z) / s->deviation[i];
}

/* Density of the outcome over all mistakes that count. */
static double mixture(const search *s, double at)
{
    double sum = 0.0;
    for (size_t i = 0; i < s->count; i++)
        if (s->mistakes[i].belief >= believable)
            sum += s->mistakes[i].belief * density(s, i, at);
    return sum;
}

/* Bits that the outcome is expected to tell about the mistake. */
static double information(const search *s)
{
    const double *x = gsl_integration_fixed_nodes(s->nodes);
    const double *w = gsl_integration_fixed_weights(s->nodes);
    double all = 0.0;
    double bits = 0.0;
    for (size_t i = 0; i < s->count; i++) {
        if (s->mistakes[i].belief < believable)
            continue;
        all += s->mistakes[i].belief;
        for (size_t k = 0; k < NODES; k++) {
            double at = s->mean[i] + M_SQRT2 * s->deviation[i] * x[k];
            bits += s->mistakes[i].belief * w[k] / sqrt(M_PI) *
                    log2(density(s, i, at) / mixture(s, at));
        }
    }
    return bits / all + log2(all);
}

/* ---- The list ----------------------------------------------------------- */

static size_t add_heads(const search *s, sw_look *looks)
{
    size_t n = 0;
    for (int h = 0; h < SW_HEADS; h++) {
        bool there = false;
        for (size_t i = 0; i < s->count; i++)
            there = there || (s->mistakes[i].kind == SW_HEAD_OFF &&
                              s->mistakes[i].head == h);
        if (there)
            looks[n++] =
                (sw_look){.kind = SW_LOOK_HEAD, .head = h, .error = head_error};
    }
    return n;
}

/* Components, bags, heads; EC, pH and the fill. */
static size_t most_looks(const search *s)
{
    return SW_N + s->o->mix->recipe->count + SW_HEADS + 3;
}

static size_t list_looks(const search *s, sw_look *looks)
{
    const sw_recipe *recipe = s->o->mix->recipe;
    size_t n = 0;
    for (int c = 0; c < SW_N; c++)
        looks[n++] = (sw_look){.kind = SW_LOOK_COMPONENT,
                               .component = (sw_component)c,
                               .error = analysis_error};
    if (isnan(s->readings->ec_ms_per_cm))
        looks[n++] =
            (sw_look){.kind = SW_LOOK_EC, .error = s->readings->ec_error};
    if (isnan(s->readings->ph))
        looks[n++] =
            (sw_look){.kind = SW_LOOK_PH, .error = s->readings->ph_error};
    for (size_t j = 0; j < recipe->count; j++)
        if (recipe->g_per_l[j] > 0.0)
            looks[n++] = (sw_look){
                .kind = SW_LOOK_PRODUCT, .product = j, .error = bag_error};
    if (s->o->head)
        return n + add_heads(s, looks + n);
    looks[n++] = (sw_look){.kind = SW_LOOK_FILL, .error = fill_error};
    return n;
}

/* Keeps the looks worth it, the most telling first, with what they expect. */
static sw_status keep(search *s, const sw_look *looks, const size_t *order,
                      size_t count, sw_diagnosis *d, sw_error *error)
{
    d->looks = calloc(count + 1, sizeof *d->looks);
    double *expected = calloc((count + 1) * s->count, sizeof *expected);
    if (!d->looks || !expected) {
        free(expected);
        return sw_fail_memory(error);
    }
    d->looks[0].expected = expected; /* of all looks; freed with the first */
    for (size_t i = 0; i < count && looks[order[i]].bits >= least_bits; i++) {
        sw_look *look = &d->looks[d->look_count++];
        *look = looks[order[i]];
        look->expected = expected + i * s->count;
        reckon(s, look);
        memcpy(look->expected, s->mean, s->count * sizeof *s->mean);
    }
    return SW_OK;
}

static sw_status find(search *s, sw_diagnosis *d, sw_error *error)
{
    sw_status status;
    sw_look *looks = calloc(most_looks(s), sizeof *looks);
    double *bits = calloc(most_looks(s), sizeof *bits);
    size_t *order = calloc(most_looks(s), sizeof *order);
    if (looks && bits && order) {
        reckon_drawn(s);
        size_t count = list_looks(s, looks);
        for (size_t i = 0; i < count; i++) {
            reckon(s, &looks[i]);
            looks[i].bits = bits[i] = information(s);
        }
        sw_rank_most(bits, count, order);
        status = keep(s, looks, order, count, d, error);
    } else {
        status = sw_fail_memory(error);
    }
    free(looks);
    free(bits);
    free(order);
    return status;
}

sw_status sw_looks_find(const sw_outlook *outlook, const sw_readings *readings,
                        const sw_fit_of *fit, sw_diagnosis *diagnosis,
                        sw_error *error)
{
    size_t n = diagnosis->mistake_count;
    search s = {.o = outlook,
                .readings = readings,
                .fit = fit,
                .mistakes = diagnosis->mistakes,
                .count = n,
                .nodes = gsl_integration_fixed_alloc(
                    gsl_integration_fixed_hermite, NODES, 0.0, 1.0, 0.0, 0.0),
                .drawn = calloc(n * 2 * DRAWN, sizeof(double)),
                .mean = malloc(n * sizeof(double)),
                .deviation = malloc(n * sizeof(double))};
    sw_status status = s.nodes && s.drawn && s.mean && s.deviation
                           ? find(&s, diagnosis, error)
                           : sw_fail_memory(error);
    if (s.nodes)
        gsl_integration_fixed_free(s.nodes);
    free(s.drawn);
    free(s.mean);
    free(s.deviation);
    return status;
}
