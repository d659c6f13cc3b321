/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What the meters say.  The likelihood of a mistake is the mean, over the
 * drawn mixes with it, of the normal density of meter and model around each;
 * Bayes' rule makes beliefs of it.  Mistakes that the meters cannot tell apart
 * are put into one entry.  Method: reference/methods.md, Decide.
 */
#include "decide/meter.h"

#include "quantity/status.h"
#include "quantity/ties.h"

#include <gsl/gsl_sort.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What EC and pH reckoned from known amounts may be off. */
static const double model_ec = 0.03, model_ph = 0.1;
/* Two predictions closer than this, in the meters' errors, are one. */
static const double apart = 1.0;
/* Readings further off than this are explained by nothing. */
static const double far_off = 3.0;

sw_readings sw_readings_default(void)
{
    return (sw_readings){.ec_ms_per_cm = (double)NAN,
                         .ph = (double)NAN,
                         .ec_error = 0.02,
                         .ph_error = 0.05};
}

static sw_status check(const sw_readings *r, sw_error *error)
{
    bool ec = !isnan(r->ec_ms_per_cm);
    bool ph = !isnan(r->ph);
    if (!ec && !ph)
        return sw_fail(error, SW_ERR_VALUE,
                       "no reading; expected an EC, a pH or both");
    if (ec && !(r->ec_ms_per_cm > 0.0 && r->ec_ms_per_cm <= 500.0))
        return sw_fail(error, SW_ERR_VALUE,
                       "an EC of %g mS/cm; expected above 0, at most 500",
                       r->ec_ms_per_cm);
    if (ph && !(r->ph >= 0.0 && r->ph <= 14.0))
        return sw_fail(error, SW_ERR_VALUE, "a pH of %g; expected 0 to 14",
                       r->ph);
    if (!(r->ec_error > 0.0 && r->ec_error <= 0.5) ||
        !(r->ph_error > 0.0 && r->ph_error <= 2.0))
        return sw_fail(error, SW_ERR_VALUE,
                       "meter errors of %g of the EC and %g of the pH; "
                       "expected above 0, at most 0.5 and 2",
                       r->ec_error, r->ph_error);
    return SW_OK;
}

/* ---- Likelihood --------------------------------------------------------- */

/* Squared distance, in standard deviations, of readings from a point. */
static double distance2(const sw_readings *r, double ec_off, double ph_off)
{
    double ec = isnan(r->ec_ms_per_cm) ? 0.0 : ec_off / r->ec_error;
    double ph = isnan(r->ph) ? 0.0 : ph_off / r->ph_error;
    return ec * ec + ph * ph;
}

/* Meter and model together. */
static sw_readings widened(const sw_readings *r)
{
    sw_readings out = *r;
    out.ec_error = hypot(r->ec_error, model_ec);
    out.ph_error = hypot(r->ph_error, model_ph);
    return out;
}

/* Log of the likelihood of mistake `i`; weights of its draws, and its
 * distance. */
static double weigh(const sw_outlook *o, const sw_readings *wide, size_t i,
                    sw_fit_of *fit)
{
    double *weight = fit->weight + i * SW_OUTLOOK_DRAWS;
    const double *ln_ec = o->ln_ec + i * SW_OUTLOOK_DRAWS;
    const double *ph = o->ph + i * SW_OUTLOOK_DRAWS;
    double least = INFINITY;
    double sum = 0.0;
    for (int k = 0; k < SW_OUTLOOK_DRAWS; k++) {
        weight[k] = distance2(wide, log(wide->ec_ms_per_cm) - ln_ec[k],
                              wide->ph - ph[k]);
        least = fmin(least, weight[k]);
    }
    for (int k = 0; k < SW_OUTLOOK_DRAWS; k++) {
        weight[k] = exp(-0.5 * (weight[k] - least));
        sum += weight[k];
    }
    for (int k = 0; k < SW_OUTLOOK_DRAWS; k++)
        weight[k] /= sum;
    fit->distance[i] = sqrt(least);
    return log(sum) - 0.5 * least;
}

/* Beliefs of all mistakes; returns the least distance. */
static double believe(const sw_outlook *o, const sw_readings *readings,
                      sw_fit_of *fit)
{
    sw_readings wide = widened(readings);
    size_t count = o->mistakes.count;
    double nearest = INFINITY;
    double most = -INFINITY;
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        fit->belief[i] =
            log(o->mistakes.items[i].belief) + weigh(o, &wide, i, fit);
        most = fmax(most, fit->belief[i]);
        nearest = fmin(nearest, fit->distance[i]);
    }
    for (size_t i = 0; i < count; i++) {
        fit->belief[i] = exp(fit->belief[i] - most);
        sum += fit->belief[i];
    }
    for (size_t i = 0; i < count; i++)
        fit->belief[i] /= sum;
    return nearest;
}

/* ---- Entries ------------------------------------------------------------ */

/* The readings less what its draws give where they fit. */
static void measure_misfit(const sw_outlook *o, const sw_readings *readings,
                           size_t i, const sw_fit_of *fit, sw_mistake *m)
{
    sw_readings wide = widened(readings);
    double ln_ec = 0.0;
    double ph = 0.0;
    for (size_t k = 0; k < SW_OUTLOOK_DRAWS; k++) {
        size_t at = i * SW_OUTLOOK_DRAWS + k;
        ln_ec += fit->weight[at] * o->ln_ec[at];
        ph += fit->weight[at] * o->ph[at];
    }
    m->ec_off_ms_per_cm = readings->ec_ms_per_cm - exp(ln_ec);
    m->ph_off = readings->ph - ph;
    m->misfit =
        sqrt(distance2(&wide, log(wide.ec_ms_per_cm) - ln_ec, m->ph_off));
}

/* What is to be expected with a mistake; of heads and fill, as they fit. */
static void expect(const sw_outlook *o, size_t i, const sw_fit_of *fit,
                   sw_mistake *m)
{
    bool fitted = m->kind == SW_HEAD_OFF || m->kind == SW_FILL_OFF;
    double factor = 0.0;
    double ln_ec = 0.0;
    double ph = 0.0;
    for (size_t k = 0; k < SW_OUTLOOK_DRAWS; k++) {
        size_t at = i * SW_OUTLOOK_DRAWS + k;
        double w = fitted ? fit->weight[at] : 1.0 / SW_OUTLOOK_DRAWS;
        factor += w * sw_outlook_factor(o, i, (int)k);
        ln_ec += w * o->ln_ec[at];
        ph += w * o->ph[at];
    }
    m->factor = factor;
    m->ec_ms_per_cm = exp(ln_ec);
    m->ph = ph;
    m->belief = fit->belief[i];
    m->distance = fit->distance[i];
}

/* Room for ranking; arrays of one item a mistake. */
typedef struct ranking {
    sw_mistake *mistakes; /* in the outlook's order */
    size_t *entry;        /* by place in the order of belief */
    size_t *turn;         /* places in the order of the diagnosis */
    double *key;          /* to sort by */
    double *merit;        /* in the outlook's order: its belief or, where
                             nothing explains the readings, its nearness */
    double *of_entry;     /* its beliefs together, or its nearest */
} ranking;

/*
 * The best of those left leads an entry and takes along all that the meters
 * cannot tell from it.  Returns how many entries there are.
 */
static size_t make_entries(const sw_readings *r, const size_t *order,
                           const sw_diagnosis *d, ranking *k)
{
    size_t count = d->mistake_count;
    size_t entries = 0;
    for (size_t i = 0; i < count; i++)
        k->entry[i] = count;
    for (size_t i = 0; i < count; i++) {
        const sw_mistake *lead = &k->mistakes[order[i]];
        if (k->entry[i] < count)
            continue;
        k->of_entry[entries] = d->explained ? 0.0 : k->merit[order[i]];
        for (size_t j = i; j < count; j++) {
            const sw_mistake *other = &k->mistakes[order[j]];
            if (k->entry[j] < count ||
                distance2(r, log(other->ec_ms_per_cm / lead->ec_ms_per_cm),
                          other->ph - lead->ph) > apart * apart)
                continue;
            k->entry[j] = entries;
            if (d->explained)
                k->of_entry[entries] += other->belief;
        }
        entries++;
    }
    return entries;
}

/* Into the diagnosis: by entry, in each by merit. */
static void put_in_order(ranking *k, size_t *order, sw_diagnosis *d)
{
    size_t count = d->mistake_count;
    sw_rank_most(k->of_entry, d->entry_count, k->turn);
    for (size_t i = 0; i < count; i++) {
        size_t rank = 0;
        while (k->turn[rank] != k->entry[i])
            rank++;
        k->mistakes[order[i]].entry = rank;
        k->key[i] = (double)(rank * count + i);
    }
    gsl_sort_index(k->turn, k->key, 1, count);
    for (size_t i = 0; i < count; i++) {
        k->turn[i] = order[k->turn[i]];
        d->mistakes[i] = k->mistakes[k->turn[i]];
        if (!d->explained)
            d->mistakes[i].belief = NAN;
    }
    memcpy(order, k->turn, count * sizeof *order);
}

static void rank(const sw_outlook *o, const sw_readings *readings,
                 sw_fit_of *fit, ranking *k, sw_diagnosis *d)
{
    d->distance = believe(o, readings, fit);
    d->explained = d->distance <= far_off;
    for (size_t i = 0; i < d->mistake_count; i++) {
        k->mistakes[i] = o->mistakes.items[i];
        expect(o, i, fit, &k->mistakes[i]);
        measure_misfit(o, readings, i, fit, &k->mistakes[i]);
        k->merit[i] = d->explained ? fit->belief[i] : -fit->distance[i];
    }
    sw_rank_most(k->merit, d->mistake_count, fit->order);
    d->entry_count = make_entries(readings, fit->order, d, k);
    put_in_order(k, fit->order, d);
}

/* Everything that a judgement needs room for, or false. */
static bool make_room(size_t n, sw_fit_of *fit, ranking *k, sw_diagnosis *d)
{
    d->mistake_count = n;
    d->mistakes = calloc(n, sizeof *d->mistakes);
    fit->weight = calloc(n * SW_OUTLOOK_DRAWS, sizeof *fit->weight);
    fit->belief = calloc(2 * n, sizeof *fit->belief);
    fit->order = calloc(3 * n, sizeof *fit->order);
    k->mistakes = calloc(n, sizeof *k->mistakes);
    k->key = calloc(3 * n, sizeof *k->key);
    if (!d->mistakes || !fit->weight || !fit->belief || !fit->order ||
        !k->mistakes || !k->key)
        return false;
    fit->distance = fit->belief + n;
    k->merit = k->key + n;
    k->of_entry = k->key + 2 * n;
    k->entry = fit->order + n;
    k->turn = fit->order + 2 * n;
    return true;
}

static sw_status judge(const sw_outlook *o, const sw_readings *readings,
                       sw_diagnosis *d, sw_error *error)
{
    sw_fit_of fit;
    ranking k;
    sw_status status = SW_OK;
    if (make_room(o->mistakes.count, &fit, &k, d)) {
        rank(o, readings, &fit, &k, d);
        if (d->explained)
            status = sw_looks_find(o, readings, &fit, d, error);
    } else {
        status = sw_fail_memory(error);
    }
    free(fit.weight);
    free(fit.belief);
    free(fit.order);
    free(k.mistakes);
    free(k.key);
    return status;
}

sw_status sw_meter_judge(const sw_outlook *outlook, const sw_readings *readings,
                         sw_diagnosis **diagnosis, sw_error *error)
{
    sw_status status = check(readings, error);
    *diagnosis = NULL;
    if (status != SW_OK)
        return status;
    sw_diagnosis *d = calloc(1, sizeof *d);
    if (!d)
        return sw_fail_memory(error);
    d->ec_ms_per_cm = outlook->paper_ec;
    d->ph = outlook->paper_ph;
    status = judge(outlook, readings, d, error);
    if (status == SW_OK)
        status = sw_readings_warn(outlook, readings, &d->notes, error);
    if (status == SW_OK)
        *diagnosis = d;
    else
        sw_diagnosis_free(d);
    return status;
}

sw_status sw_diagnose(const sw_mix *mix, const sw_tolerances *tolerances,
                      const sw_readings *readings, sw_diagnosis **diagnosis,
                      sw_error *error)
{
    sw_outlook *outlook;
    sw_status status = check(readings, error);
    *diagnosis = NULL;
    if (status != SW_OK)
        return status;
    status = sw_outlook_find(mix, tolerances, &outlook, error);
    if (status == SW_OK)
        status = sw_meter_judge(outlook, readings, diagnosis, error);
    sw_outlook_free(outlook);
    return status;
}

void sw_diagnosis_free(sw_diagnosis *diagnosis)
{
    if (!diagnosis)
        return;
    if (diagnosis->looks)
        free(diagnosis->looks[0].expected);
    free(diagnosis->looks);
    free(diagnosis->mistakes);
    sw_notes_free(&diagnosis->notes);
    free(diagnosis);
}
