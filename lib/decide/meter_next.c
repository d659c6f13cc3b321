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
/* Mistakes less believed than this are left out. */
static const double believable = 1e-3;
static const double least_bits = 0.05;

enum { NODES = 16 };

/* Whatever is drawn: components, EC, pH. */
enum { AT_EC = SW_COMPONENT_COUNT, AT_PH, DRAWN };

/* The looks being weighed. */
typedef struct search {
    const sw_outlook *o;
    const sw_readings *readings;
    const sw_suspect *suspects;
    size_t count; /* of them */
    sw_diagnosis *d;
    double *expected; /* of each look, suspect by suspect */
    gsl_integration_fixed_workspace *nodes;
    double (*drawn)[2][DRAWN]; /* of each suspect: mean and mean square */
    double *deviation;         /* of the look in hand, suspect by suspect */
} search;

/* ---- What a look would show --------------------------------------------- */

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
static void average_drawn(search *s)
{
    for (size_t i = 0; i < s->count; i++)
        for (int k = 0; k < SW_OUTLOOK_DRAWS; k++) {
            double seen[DRAWN];
            double weight = s->suspects[i].weight[k];
            see(s->o, s->suspects[i].index, k, seen);
            for (int q = 0; q < DRAWN; q++) {
                s->drawn[i][0][q] += weight * seen[q];
                s->drawn[i][1][q] += weight * seen[q] * seen[q];
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

/* What is gone from a bag, filled, or delivered, times what was meant. */
static double times_meant(const sw_look *look, const sw_mistake *m)
{
    bool same = m->product == look->product;
    if (m->kind == SW_NOTHING_IN && look->kind != SW_LOOK_FILL)
        return 0.0;
    switch (look->kind) {
    case SW_LOOK_PRODUCT:
        if (m->kind == SW_LEFT_OUT)
            return same ? m->factor : 1.0;
        if (m->kind == SW_OTHER_FORM)
            return same ? 0.0 : 1.0;
        return m->kind == SW_DOUBLED && same ? 2.0 : 1.0;
    case SW_LOOK_FILL:
        return m->kind == SW_FILL_OFF ? m->factor : 1.0;
    default:
        return m->kind == SW_HEAD_OFF && m->head == look->head ? m->factor
                                                               : 1.0;
    }
}

/* What it is expected to show, and how far off that may be. */
static void predict(search *s, const sw_look *look)
{
    for (size_t i = 0; i < s->count; i++) {
        if (look->kind > SW_LOOK_PH) {
            look->expected[i] = times_meant(look, &s->suspects[i].mistake);
            s->deviation[i] = look->error;
            continue;
        }
        double mean = s->drawn[i][0][drawn_at(look)];
        double square = s->drawn[i][1][drawn_at(look)];
        double error = look->error * (look->kind == SW_LOOK_PH ? 1.0 : mean);
        look->expected[i] = mean;
        s->deviation[i] = sqrt(fmax(0.0, square - mean * mean) + error * error +
                               trace * trace);
    }
}

/* ---- What it would tell ------------------------------------------------- */

static double belief_in(const search *s, size_t i)
{
    double belief = s->suspects[i].mistake.belief;
    return belief >= believable ? belief : 0.0;
}

static double density(const search *s, const sw_look *look, size_t i, double at)
{
    double z = (at - look->expected[i]) / s->deviation[i];
    return exp(-0.5 * z * z) / s->deviation[i];
}

/* Density of the outcome over all mistakes that count. */
static double mixture(const search *s, const sw_look *look, double at)
{
    double sum = 0.0;
    for (size_t i = 0; i < s->count; i++)
        if (belief_in(s, i) > 0.0)
            sum += belief_in(s, i) * density(s, look, i, at);
    return sum;
}

/* Bits that the outcome is expected to tell about the mistake. */
static double information(const search *s, const sw_look *look)
{
    const double *x = gsl_integration_fixed_nodes(s->nodes);
    const double *w = gsl_integration_fixed_weights(s->nodes);
    double all = 0.0;
    double bits = 0.0;
    for (size_t i = 0; i < s->count; i++) {
        double belief = belief_in(s, i);
        all += belief;
        for (size_t k = 0; k < NODES && belief > 0.0; k++) {
            double at = look->expected[i] + M_SQRT2 * s->deviation[i] * x[k];
            bits += belief * w[k] / sqrt(M_PI) *
                    log2(density(s, look, i, at) / mixture(s, look, at));
        }
    }
    return bits / all + log2(all);
}

/* ---- The list ----------------------------------------------------------- */

static void add(search *s, sw_look look)
{
    look.expected = s->expected + s->d->look_count * s->count;
    predict(s, &look);
    look.bits = information(s, &look);
    s->d->looks[s->d->look_count++] = look;
}

static bool is_head_listed(const search *s, int head)
{
    for (size_t i = 0; i < s->count; i++)
        if (s->suspects[i].mistake.kind == SW_HEAD_OFF &&
            s->suspects[i].mistake.head == head)
            return true;
    return false;
}

static void add_all(search *s)
{
    const sw_recipe *recipe = s->o->mix->recipe;
    for (int c = 0; c < SW_N; c++)
        add(s, (sw_look){.kind = SW_LOOK_COMPONENT,
                         .component = (sw_component)c,
                         .error = analysis_error});
    if (isnan(s->readings->ec_ms_per_cm))
        add(s, (sw_look){.kind = SW_LOOK_EC, .error = s->readings->ec_error});
    if (isnan(s->readings->ph))
        add(s, (sw_look){.kind = SW_LOOK_PH, .error = s->readings->ph_error});
    for (size_t j = 0; j < recipe->count; j++)
        if (recipe->g_per_l[j] > 0.0)
            add(s, (sw_look){.kind = SW_LOOK_PRODUCT,
                             .product = j,
                             .error = bag_error});
    for (int h = 0; s->o->head && h < SW_HEADS; h++)
        if (is_head_listed(s, h))
            add(s, (sw_look){
                       .kind = SW_LOOK_HEAD, .head = h, .error = head_error});
    if (!s->o->head)
        add(s, (sw_look){.kind = SW_LOOK_FILL, .error = fill_error});
}

static double bits_key(const void *look)
{
    return -((const sw_look *)look)->bits;
}

/* Those worth it, the most telling first. */
static void find(search *s)
{
    sw_diagnosis *d = s->d;
    average_drawn(s);
    add_all(s);
    sw_sort_close(d->looks, d->look_count, sizeof *d->looks, bits_key);
    while (d->look_count && d->looks[d->look_count - 1].bits < least_bits)
        d->look_count--;
}

/* Looks, and behind them what they expect: components, bags, heads; EC, pH and
 * the fill. */
static bool make_room(search *s)
{
    size_t most = SW_N + s->o->mix->recipe->count + SW_HEADS + 3;
    sw_look *looks =
        calloc(1, most * (sizeof *looks + s->count * sizeof *s->expected));
    s->d->looks = looks;
    s->expected = looks ? (double *)(void *)(looks + most) : NULL;
    s->nodes = gsl_integration_fixed_alloc(gsl_integration_fixed_hermite, NODES,
                                           0.0, 1.0, 0.0, 0.0);
    s->drawn = calloc(s->count, sizeof *s->drawn);
    s->deviation = malloc(s->count * sizeof *s->deviation);
    return looks && s->nodes && s->drawn && s->deviation;
}

sw_status sw_looks_find(const sw_outlook *outlook, const sw_readings *readings,
                        const sw_suspect *suspects, sw_diagnosis *diagnosis,
                        sw_error *error)
{
    search s = {.o = outlook,
                .readings = readings,
                .suspects = suspects,
                .count = diagnosis->mistake_count,
                .d = diagnosis};
    bool has_room = make_room(&s);
    if (has_room)
        find(&s);
    if (s.nodes)
        gsl_integration_fixed_free(s.nodes);
    SW_FREE(s.drawn, s.deviation);
    return has_room ? SW_OK : sw_fail_memory(error);
}
