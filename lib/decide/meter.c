/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What the meters say.  The likelihood of a mistake is the mean, over the
 * drawn mixes with it, of the normal density of meter and model around each;
 * Bayes' rule makes beliefs of it.  Mistakes that the meters cannot tell apart
 * are put into one entry.  Method: reference/methods.md, Decide.
 */
#include "decide/meter.h"

#include "quantity/notes.h"
#include "quantity/status.h"
#include "quantity/ties.h"
#include "records/feed_limits.h"
#include "table_words.h"
#include "table_refusals.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>

/* What EC and pH calculated from known amounts may be off. */
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
        return sw_fail(error, SW_BAD_NO_READING);
    if (ec && !(r->ec_ms_per_cm > 0.0 && r->ec_ms_per_cm <= 500.0))
        return sw_fail(error, SW_BAD_METER_EC, r->ec_ms_per_cm);
    if (ph && !(r->ph >= 0.0 && r->ph <= 14.0))
        return sw_fail(error, SW_BAD_METER_PH, r->ph);
    if (!(r->ec_error > 0.0 && r->ec_error <= 0.5) ||
        !(r->ph_error > 0.0 && r->ph_error <= 2.0))
        return sw_fail(error, SW_BAD_METER_ERRORS, r->ec_error, r->ph_error);
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

/* Its draws' weights, its distance, the log of its likelihood and, with its
 * belief before, that as its belief. */
static void weigh(const sw_outlook *o, const sw_readings *wide, sw_suspect *s)
{
    const double *ln_ec = o->ln_ec + s->index * SW_OUTLOOK_DRAWS;
    const double *ph = o->ph + s->index * SW_OUTLOOK_DRAWS;
    double least = INFINITY;
    double sum = 0.0;
    for (int k = 0; k < SW_OUTLOOK_DRAWS; k++) {
        s->weight[k] = distance2(wide, log(wide->ec_ms_per_cm) - ln_ec[k],
                                 wide->ph - ph[k]);
        least = fmin(least, s->weight[k]);
    }
    for (int k = 0; k < SW_OUTLOOK_DRAWS; k++) {
        s->weight[k] = exp(-0.5 * (s->weight[k] - least));
        sum += s->weight[k];
    }
    for (int k = 0; k < SW_OUTLOOK_DRAWS; k++)
        s->weight[k] /= sum;
    s->mistake.distance = sqrt(least);
    s->fit = log(sum) - 0.5 * least;
    s->mistake.belief = log(s->mistake.belief) + s->fit;
}

/* Beliefs of all; returns the least distance. */
static double believe(const sw_outlook *o, const sw_readings *wide,
                      sw_suspect *s, size_t count)
{
    double nearest = INFINITY;
    double most = -INFINITY;
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        weigh(o, wide, &s[i]);
        most = fmax(most, s[i].mistake.belief);
        nearest = fmin(nearest, s[i].mistake.distance);
    }
    for (size_t i = 0; i < count; i++) {
        s[i].mistake.belief = exp(s[i].mistake.belief - most);
        sum += s[i].mistake.belief;
    }
    for (size_t i = 0; i < count; i++)
        s[i].mistake.belief /= sum;
    return nearest;
}

/* ---- Entries ------------------------------------------------------------ */

/* Means over the draws of a mistake, each as well as it fits, or all alike. */
typedef struct average {
    double factor, ln_ec, ph;
} average;

static average average_of(const sw_outlook *o, const sw_suspect *s, bool fitted)
{
    average mean = {0.0, 0.0, 0.0};
    for (size_t k = 0; k < SW_OUTLOOK_DRAWS; k++) {
        size_t at = s->index * SW_OUTLOOK_DRAWS + k;
        double w = fitted ? s->weight[k] : 1.0 / SW_OUTLOOK_DRAWS;
        mean.factor += w * sw_outlook_factor(o, s->index, (int)k);
        mean.ln_ec += w * o->ln_ec[at];
        mean.ph += w * o->ph[at];
    }
    return mean;
}

static bool is_fitted(sw_mistake_kind kind)
{
    return kind == SW_HEAD_OFF || kind == SW_FILL_OFF || kind == SW_CO2_LEFT;
}

/* What is to be expected with a mistake (of heads and fill, as they fit), and
 * the readings less what its draws give where they fit. */
static void expect(const sw_outlook *o, const sw_readings *readings,
                   const sw_readings *wide, sw_suspect *s)
{
    sw_mistake *m = &s->mistake;
    average fit = average_of(o, s, true);
    average mean = is_fitted(m->kind) ? fit : average_of(o, s, false);
    m->factor = mean.factor;
    m->ec_ms_per_cm = exp(mean.ln_ec);
    m->ph = mean.ph;
    m->ec_off_ms_per_cm = readings->ec_ms_per_cm - exp(fit.ln_ec);
    m->ph_off = readings->ph - fit.ph;
    m->misfit =
        sqrt(distance2(wide, log(wide->ec_ms_per_cm) - fit.ln_ec, m->ph_off));
}

static double merit_key(const void *suspect)
{
    return -((const sw_suspect *)suspect)->merit;
}

static double entry_key(const void *suspect)
{
    return (double)((const sw_suspect *)suspect)->mistake.entry;
}

/* The most merit first; of equals by entry, then as they stand. */
static void sort(sw_suspect *s, size_t count)
{
    sw_sort_close(s, count, sizeof *s, entry_key);
    sw_sort_close(s, count, sizeof *s, merit_key);
}

static bool is_no_mistake(const sw_mistake *m)
{
    return m->kind == SW_NOTHING_WRONG || m->kind == SW_CO2_LEFT;
}

static bool is_apart(const sw_readings *r, const sw_mistake *a,
                     const sw_mistake *b)
{
    return distance2(r, log(b->ec_ms_per_cm / a->ec_ms_per_cm), b->ph - a->ph) >
           apart * apart;
}

/* A mix without a mistake is one thing, however much of its CO2 is left: it
 * stands for the fresh one, which is of no entry as long as it is of none. */
static const sw_mistake *fresh_of(const sw_suspect *s, size_t count,
                                  const sw_mistake *m)
{
    for (size_t i = 0; is_no_mistake(m) && i < count; i++)
        if (s[i].mistake.kind == SW_NOTHING_WRONG)
            return &s[i].mistake;
    return m;
}

/* The lead takes along all of no entry yet that the meters cannot tell from
 * it; the merit of each becomes theirs together, or that of the nearest. */
static void make_entry(const sw_readings *r, bool explained, size_t entry,
                       sw_suspect *lead, size_t count)
{
    const sw_mistake *leads = fresh_of(lead, count, &lead->mistake);
    double belief = 0.0;
    for (size_t i = 0; i < count; i++) {
        sw_mistake *m = &lead[i].mistake;
        if (m->entry != SIZE_MAX ||
            is_apart(r, leads, fresh_of(lead, count, m)))
            continue;
        m->entry = entry;
        belief += m->belief;
    }
    double merit = explained ? belief : lead->merit;
    for (size_t i = 0; i < count; i++)
        if (lead[i].mistake.entry == entry)
            lead[i].merit = merit;
}

/* Sorts them by entry, in each by merit; returns how many entries there are. */
static size_t put_in_order(const sw_readings *r, bool explained, sw_suspect *s,
                           size_t count)
{
    size_t entries = 0;
    sort(s, count);
    for (size_t i = 0; i < count; i++)
        if (s[i].mistake.entry == SIZE_MAX)
            make_entry(r, explained, entries++, &s[i], count - i);
    sort(s, count);
    entries = 0;
    for (size_t i = 0, was = SIZE_MAX; i < count; i++) {
        entries += s[i].mistake.entry != was;
        was = s[i].mistake.entry;
        s[i].mistake.entry = entries - 1;
    }
    return entries;
}

/* Whether it is no mistake, and goes with the readings. */
static bool is_as_meant(const sw_diagnosis *d, const sw_mistake *m)
{
    return is_no_mistake(m) && d->explained && m->entry == 0 &&
           m->misfit <= SW_MISFIT_AS_MEANT;
}

/* The likelier of no mistakes, with all its CO2 or not: one is always among
 * what sw_outlook lists. */
static const sw_suspect *no_mistake(const sw_suspect *s)
{
    while (!is_no_mistake(&s->mistake))
        s++;
    return s;
}

/* Place of the mistake that explains the readings as well as CO2 gone; the
 * count where there is none. */
static size_t rival(const sw_suspect *s, size_t count)
{
    const sw_suspect *meant = no_mistake(s);
    size_t best = count;
    for (size_t i = 0; meant->mistake.kind == SW_CO2_LEFT && i < count; i++) {
        const sw_mistake *m = &s[i].mistake;
        if (m->entry != meant->mistake.entry && s[i].fit >= meant->fit &&
            m->misfit <= SW_MISFIT_MARGIN &&
            (best == count || m->belief > s[best].mistake.belief))
            best = i;
    }
    return best;
}

/* Whether anything else explains the readings. */
static void doubt(const sw_readings *readings, const sw_suspect *s,
                  sw_diagnosis *d)
{
    size_t count = d->mistake_count;
    size_t other = isnan(readings->ph) ? count : rival(s, count);
    d->in_order = 0.0;
    for (size_t i = 0; i < count; i++)
        if (s[i].mistake.entry == no_mistake(s)->mistake.entry)
            d->in_order += s[i].mistake.belief;
    if (other < count)
        d->or_else = &d->mistakes[other];
}

static void rank(const sw_outlook *o, const sw_readings *readings,
                 sw_suspect *s, sw_diagnosis *d)
{
    size_t count = d->mistake_count;
    sw_readings wide = widened(readings);
    d->distance = believe(o, &wide, s, count);
    d->explained = d->distance <= far_off;
    for (size_t i = 0; i < count; i++) {
        sw_mistake *m = &s[i].mistake;
        expect(o, readings, &wide, &s[i]);
        m->entry = SIZE_MAX;
        s[i].merit = d->explained ? m->belief : -m->distance;
    }
    d->entry_count = put_in_order(readings, d->explained, s, count);
    for (size_t i = 0; i < count; i++) {
        d->mistakes[i] = s[i].mistake;
        if (!d->explained)
            d->mistakes[i].belief = NAN;
        d->as_meant = d->as_meant || is_as_meant(d, &s[i].mistake);
    }
    if (d->explained)
        doubt(readings, s, d);
}

static sw_status judge(const sw_outlook *o, const sw_readings *readings,
                       sw_diagnosis *d, sw_error *error)
{
    size_t n = d->mistake_count = o->mistakes.count;
    d->mistakes = calloc(n, sizeof *d->mistakes);
    sw_suspect *s = calloc(n, sizeof *s);
    double *weight = calloc(n * SW_OUTLOOK_DRAWS, sizeof *weight);
    bool room = d->mistakes && s && weight;
    sw_status status = room ? SW_OK : sw_fail_memory(error);
    if (room) {
        for (size_t i = 0; i < n; i++)
            s[i] = (sw_suspect){.mistake = o->mistakes.items[i],
                                .index = i,
                                .weight = weight + i * SW_OUTLOOK_DRAWS};
        rank(o, readings, s, d);
        if (d->explained)
            status = sw_looks_find(o, readings, s, d, error);
    }
    SW_FREE(s, weight);
    return status;
}

/* ---- Readings that harm, whatever made them ----------------------------- */

/* Limits and steps are common practice, no source.  Hardly any crop is burnt by
 * less. */
static const double ec_harmless = 2.5;
/* Times what the recipe makes: a crop is used to that. */
static const double times_high = 1.5, times_harmful = 2.0;

/* Where roots take up well; `below` its low end (reference/harm.csv). */
static double usual_ph(bool below)
{
    sw_feed_limit limit = {.usual = NAN};
    sw_feed_limit_of(SW_TARGET_PH, SW_COMPONENT_COUNT, below, &limit);
    return limit.usual;
}

/* The target's own limits on pH, or the usual ones. */
static bool suits(const sw_target *target, double ph)
{
    const sw_target_row *row = sw_target_ph(target);
    row = row && row->aired ? NULL : row; /* the tank may hold CO2 yet */
    double low = row && !isnan(row->min) ? row->min : usual_ph(true);
    double high = row && !isnan(row->max) ? row->max : usual_ph(false);
    return ph >= low && ph <= high;
}

/* Whether airing comes before anything else: a pH aired is asked for, and on
 * paper airing raises it to one that does not harm. */
static bool is_to_air(const sw_outlook *o, double ph)
{
    const sw_target_row *row = sw_target_ph(o->mix->target);
    double aired = o->paper_ph_aired;
    return row && row->aired && ph < usual_ph(true) && aired > ph &&
           !sw_feed_harms(SW_TARGET_PH, SW_COMPONENT_COUNT, aired);
}

static void warn_of_ph(const sw_outlook *o, double ph, sw_notes *notes)
{
    const sw_target *target = o->mix->target;
    bool low = ph < usual_ph(true);
    bool high = ph > usual_ph(false);
    bool harms = sw_feed_harms(SW_TARGET_PH, SW_COMPONENT_COUNT, ph);
    if (is_to_air(o, ph) && harms)
        sw_notes_add(notes, SW_SAY_MEASURED_PH_AIR_HARMFUL, ph,
                     o->paper_ph_aired);
    else if (is_to_air(o, ph))
        sw_notes_add(notes, SW_SAY_MEASURED_PH_AIR, ph, o->paper_ph_aired);
    else if (harms)
        sw_notes_add(notes, SW_SAY_MEASURED_PH_HARMFUL, ph,
                     low ? "base" : "acid");
    else if (!suits(target, ph))
        sw_notes_add(notes, SW_SAY_MEASURED_PH_OFF, ph,
                     low || high ? "5.0 to 6.5" : "the target's limits");
}

static void warn_of_ec(double made, double ec, sw_notes *notes)
{
    if (sw_feed_harms(SW_TARGET_EC, SW_COMPONENT_COUNT, ec) ||
        (ec > ec_harmless && ec > times_harmful * made))
        sw_notes_add(notes, SW_SAY_MEASURED_EC_HARMFUL, ec, ec / made);
    else if (ec > ec_harmless && ec > times_high * made)
        sw_notes_add(notes, SW_SAY_MEASURED_EC_HIGH, ec, ec / made);
}

sw_status sw_readings_warn(const sw_outlook *outlook,
                           const sw_readings *readings, sw_notes *notes,
                           sw_error *error)
{
    warn_of_ec(outlook->paper_ec, readings->ec_ms_per_cm, notes);
    if (!isnan(readings->ph))
        warn_of_ph(outlook, readings->ph, notes);
    return sw_notes_status(notes, error);
}

/* ---- The diagnosis ------------------------------------------------------ */

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
    bool known = sw_co2_is_known(outlook->mix->water);
    d->aired = outlook->aired;
    d->ec_ms_per_cm = outlook->paper_ec;
    d->ph = known ? outlook->paper_ph : NAN;
    d->in_order = NAN;
    if (known)
        status = judge(outlook, readings, d, error);
    if (status == SW_OK)
        status = sw_readings_warn(outlook, readings, &d->notes, error);
    SW_GIVE(status, diagnosis, d, sw_diagnosis_free);
}

sw_status sw_diagnose(const sw_mix *mix, const sw_tolerances *tolerances,
                      const sw_readings *readings, sw_diagnosis **diagnosis,
                      sw_error *error)
{
    SW_REQUIRE_FOR(diagnosis, error, sw_aimed_mix(mix), tolerances, readings);
    sw_outlook *outlook;
    sw_status status = check(readings, error);
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
    sw_notes_free(&diagnosis->notes);
    SW_FREE(diagnosis->looks, diagnosis->mistakes, diagnosis);
}
