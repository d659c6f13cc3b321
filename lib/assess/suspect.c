/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The readings a lab report really confuses, tried one at a time.  A
 * re-reading is believed by Bayes' rule: its prior (a penalty in
 * reference/rereadings.csv) and how well the report agrees with itself under
 * it.  Methods: reference/methods.md, Assess.
 */
#include "assess/suspect.h"

#include "assess/reread.h"
#include "quantity/status.h"
#include "table_rereadings.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Posterior odds against the report as given: e^(4/2), 7 to 1. */
static const double margin = 4.0;

enum { MOST_KEPT = 5 };

/* Sameness of two waters: two mistakes may have one effect. */
typedef struct effect {
    sw_content per_l;
    double ec, hardness, ca_hardness;
} effect;

typedef struct search {
    const sw_water *water;
    const sw_conditions *conditions;
    const sw_evidence *given;
    sw_rereader rereader;
    sw_rereading *kept;
    effect *effects; /* of all tried, for telling the same from the new */
    size_t kept_count;
    size_t tried_count;
    double *scores; /* of all tried that could be weighed */
    size_t score_count;
} search;

/* What a number stands for; two reports may name it differently. */
static bool same_meaning(const sw_measure *a, const sw_measure *b)
{
    return a->parameter.kind == b->parameter.kind &&
           a->parameter.component == b->parameter.component &&
           a->parameter.partial == b->parameter.partial &&
           fabs(a->scale - b->scale) <= 1e-9 * fabs(a->scale);
}

static bool is_any_ion(const sw_rereadings_row *row)
{
    return !strcmp(row->parameter, "any ion");
}

static bool is_every_ion(const sw_rereadings_row *row)
{
    return !strcmp(row->parameter, "every ion");
}

static bool fits_reading(const search *s, const sw_rereadings_row *row,
                         const sw_measure *meant, size_t index)
{
    const sw_reading *r = &s->water->readings[index];
    if (r->below_detection || !(r->value > 0.0))
        return false;
    return is_any_ion(row) ? sw_rereader_is_in(&s->rereader, index, row->unit)
                           : same_meaning(&s->rereader.measures[index], meant);
}

/* One ion in the unit is no habit of the whole report. */
static bool fits_every_ion(const search *s, const sw_rereadings_row *row)
{
    int ions = 0;
    for (size_t i = 0; i < s->water->reading_count; i++)
        ions += sw_rereader_is_in(&s->rereader, i, row->unit);
    return ions > 1;
}

static effect effect_of(const sw_water *w)
{
    return (effect){.per_l = w->per_l,
                    .ec = w->ec_ms_per_cm,
                    .hardness = w->hardness_meq_per_l,
                    .ca_hardness = w->ca_hardness_meq_per_l};
}

/* NaN is the same as NaN here. */
static bool same(double a, double b)
{
    return (isnan(a) && isnan(b)) || fabs(a - b) <= 1e-9 * fabs(a);
}

static bool same_effect(const effect *a, const effect *b)
{
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        if (!same(a->per_l.amount[i], b->per_l.amount[i]))
            return false;
    return same(a->ec, b->ec) && same(a->hardness, b->hardness) &&
           same(a->ca_hardness, b->ca_hardness);
}

/* Remembers the effect; false when it was met before. */
static bool is_new(search *s, const sw_water *water)
{
    effect e = effect_of(water);
    for (size_t i = 0; i < s->tried_count; i++)
        if (same_effect(&s->effects[i], &e))
            return false;
    s->effects[s->tried_count++] = e;
    return true;
}

static void keep(search *s, const sw_rereading *candidate)
{
    size_t place = s->kept_count;
    while (place > 0 && s->kept[place - 1].score > candidate->score)
        place--;
    if (place == MOST_KEPT)
        return;
    size_t last = s->kept_count < MOST_KEPT ? s->kept_count : MOST_KEPT - 1;
    memmove(&s->kept[place + 1], &s->kept[place],
            (last - place) * sizeof *s->kept);
    s->kept[place] = *candidate;
    s->kept_count = last + 1;
}

static sw_status weigh(search *s, const sw_water *reread, double penalty,
                       sw_rereading *candidate)
{
    sw_evidence evidence;
    double most = s->given->score - margin;
    if (sw_evidence_least_score(reread) + penalty >= most)
        return SW_OK;
    sw_status status =
        sw_evidence_weigh(reread, s->conditions, &evidence, NULL);
    if (status != SW_OK)
        return status;
    candidate->score = evidence.score + penalty;
    s->scores[s->score_count++] = candidate->score;
    if (candidate->score < most && evidence.reckoned &&
        sw_evidence_agrees(&evidence, s->given))
        keep(s, candidate);
    sw_evidence_free(&evidence);
    return SW_OK;
}

/* "SO4=S", "Ca=[meq/L]", "HCO3=alkalinity [mg/L CaCO3]", "[mg/L]=[meq/L]". */
static void name_candidate(const sw_rereadings_row *row, const sw_reading *r,
                           sw_rereading *c)
{
    const char *unit = row->as_unit;
    bool renamed =
        r && *row->as_parameter && strcmp(row->as_parameter, r->parameter) != 0;
    if (!r)
        snprintf(c->read_as, sizeof c->read_as, "[%s]=[%s]", row->unit, unit);
    else
        snprintf(c->read_as, sizeof c->read_as, "%s=%s%s%s%s%s", r->parameter,
                 renamed ? row->as_parameter : "", renamed && *unit ? " " : "",
                 *unit ? "[" : "", unit, *unit ? "]" : "");
    if (!r)
        snprintf(c->text, sizeof c->text, "%s", row->why);
    else
        snprintf(c->text, sizeof c->text, "%s %g %s: %s", r->parameter,
                 r->value, r->unit, row->why);
}

static sw_status try_one(search *s, const sw_rereadings_row *row,
                         const sw_reading *r)
{
    sw_rereading candidate = {{0}, {0}, 0, 0};
    sw_water *reread;
    name_candidate(row, r, &candidate);
    sw_status status =
        sw_rereader_take(&s->rereader, candidate.read_as, &reread, NULL);
    if (status != SW_OK)
        return status == SW_ERR_MEMORY ? status : SW_OK; /* does not fit */
    if (is_new(s, reread))
        status = weigh(s, reread, row->penalty, &candidate);
    sw_water_free(reread);
    return status;
}

static sw_status try_row(search *s, const sw_rereadings_row *row)
{
    sw_status status = SW_OK;
    sw_measure meant = {.scale = NAN};
    if (is_every_ion(row))
        return fits_every_ion(s, row) ? try_one(s, row, NULL) : SW_OK;
    if (!is_any_ion(row) &&
        sw_measure_find(row->parameter, row->unit, &meant, NULL) != SW_OK)
        return SW_OK;
    for (size_t i = 0; status == SW_OK && i < s->water->reading_count; i++)
        if (fits_reading(s, row, &meant, i))
            status = try_one(s, row, &s->water->readings[i]);
    return status;
}

/* Belief in each, exp(-score / 2), as a share of belief in all tried. */
static void share_out(search *s)
{
    double sum = exp((s->kept[0].score - s->given->score) / 2.0);
    for (size_t i = 0; i < s->score_count; i++)
        sum += exp((s->kept[0].score - s->scores[i]) / 2.0);
    for (size_t i = 0; i < s->kept_count; i++)
        s->kept[i].share =
            exp((s->kept[0].score - s->kept[i].score) / 2.0) / sum;
}

static sw_status run(search *s)
{
    size_t most = sw_rereadings_count * (s->water->reading_count + 1) + 1;
    s->kept = calloc(MOST_KEPT + 1, sizeof *s->kept);
    s->effects = calloc(most, sizeof *s->effects);
    s->scores = calloc(most, sizeof *s->scores);
    if (!s->kept || !s->effects || !s->scores)
        return SW_ERR_MEMORY;
    s->effects[s->tried_count++] = effect_of(s->water);
    sw_status status = sw_rereader_open(&s->rereader, s->water, NULL);
    for (size_t i = 0; status == SW_OK && i < sw_rereadings_count; i++)
        status = try_row(s, &sw_rereadings_table[i]);
    sw_rereader_close(&s->rereader);
    if (s->kept_count > 0)
        share_out(s);
    return status;
}

sw_status sw_suspects_find(const sw_water *water,
                           const sw_conditions *conditions,
                           const sw_evidence *given, sw_audit_report *report,
                           sw_error *error)
{
    search s = {.water = water, .conditions = conditions, .given = given};
    if (!sw_evidence_disagrees(given))
        return SW_OK;
    sw_status status = run(&s);
    free(s.effects);
    free(s.scores);
    report->rereadings = s.kept;
    report->rereading_count = s.kept_count;
    return status == SW_OK ? SW_OK : sw_fail_memory(error);
}
