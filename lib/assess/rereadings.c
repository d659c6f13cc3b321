/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A lab report with one reading taken as another: "SO4=SO4-S" (the number under
 * SO4 is sulfur), "Ca=[mmol/L]" (it is in another unit), or "[mg/L]=[meq/L]"
 * (every ion given in mg/L is in meq/L).  The readings a lab report really
 * confuses are tried one at a time; one is believed by Bayes' rule: its prior
 * (a penalty in reference/rereadings.csv) and how well the report agrees with
 * itself under it.  Methods: reference/methods.md, Assess.
 */
#include "assess/rereadings.h"

#include "quantity/notes.h"
#include "quantity/status.h"
#include "records/water.h"
#include "records/water_build.h"
#include "table_rereadings.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_BYTES = 96, MOST_KEPT = 5 };

/* Posterior odds against the report as given: e^(4/2), 7 to 1. */
static const double margin = 4.0;

/* Many re-readings of one report, its names and units looked up once. */
typedef struct lookup {
    const sw_water *water; /* outlives it */
    sw_measure *measures;  /* one per reading */
} lookup;

/* The parts of "NAME=NAME [UNIT]" or "[UNIT]=[UNIT]"; those left out "". */
typedef struct order {
    char old_name[MOST_BYTES], old_unit[MOST_BYTES];
    char new_name[MOST_BYTES], new_unit[MOST_BYTES];
} order;

/* A report being changed: its readings and what they measure. */
typedef struct draft {
    sw_water water; /* all but the readings borrowed */
    sw_measure *measures;
    size_t changed;
} draft;

/* ---- What to change ----------------------------------------------------- */

static void copy_trimmed(char *to, const char *from, size_t length)
{
    while (length > 0 && *from == ' ') {
        from++;
        length--;
    }
    while (length > 0 && from[length - 1] == ' ')
        length--;
    memcpy(to, from, length);
    to[length] = '\0';
}

/* "NAME [UNIT]" in `length` bytes, either part optional. */
static bool split(const char *text, size_t length, char *name, char *unit)
{
    const char *open = memchr(text, '[', length);
    const char *end = text + length;
    while (end > text && end[-1] == ' ')
        end--;
    if (!open) {
        copy_trimmed(name, text, length);
        return true;
    }
    if (end[-1] != ']')
        return false;
    copy_trimmed(name, text, (size_t)(open - text));
    copy_trimmed(unit, open + 1, (size_t)(end - open - 2));
    return *unit != '\0';
}

static bool is_order(const char *text, order *o)
{
    const char *equals = strchr(text, '=');
    if (!equals || strlen(text) >= MOST_BYTES ||
        !split(text, (size_t)(equals - text), o->old_name, o->old_unit) ||
        !split(equals + 1, strlen(equals + 1), o->new_name, o->new_unit))
        return false;
    if (*o->old_unit) /* of every ion in a unit, only the unit can change */
        return !*o->old_name && !*o->new_name && *o->new_unit;
    return *o->old_name && (*o->new_name || *o->new_unit);
}

static sw_status parse(const char *text, order *o, sw_error *error)
{
    memset(o, 0, sizeof *o);
    if (is_order(text, o))
        return SW_OK;
    return sw_fail(error, SW_ERR_SYNTAX,
                   "'%.60s' is not a re-reading, expected such as SO4=SO4-S, "
                   "Ca=[mmol/L] or [mg/L]=[meq/L]",
                   text);
}

/* ---- Changing ----------------------------------------------------------- */

static bool is_in(const lookup *reader, size_t index, const char *unit)
{
    const sw_measure *m = &reader->measures[index];
    double one;
    bool is_ion = m->parameter.kind == SW_READS_COMPONENT ||
                  m->parameter.kind == SW_READS_ALKALINITY;
    return is_ion &&
           sw_reading_convert(&m->parameter, 1.0, unit, &one, NULL) == SW_OK &&
           fabs(one - m->scale) <= 1e-9 * fabs(one);
}

/* Of every ion: one that cannot be in the new unit stays as it is. */
static bool can_be_in(const sw_measure *m, const char *unit)
{
    double one;
    return sw_reading_convert(&m->parameter, 1.0, unit, &one, NULL) == SW_OK;
}

static bool is_meant(const lookup *r, size_t index, const order *o,
                     const char *canonical)
{
    if (*o->old_unit)
        return is_in(r, index, o->old_unit) &&
               can_be_in(&r->measures[index], o->new_unit);
    return !strcmp(r->measures[index].parameter.name, canonical);
}

static sw_status change(draft *d, size_t index, order *o, sw_error *error)
{
    sw_reading *reading = &d->water.readings[index];
    if (*o->new_name)
        reading->parameter = o->new_name;
    if (*o->new_unit)
        reading->unit = o->new_unit;
    d->changed++;
    return sw_measure_find(reading->parameter, reading->unit,
                           &d->measures[index], error);
}

static sw_status change_all(const lookup *r, order *o, draft *d,
                            sw_error *error)
{
    sw_parameter named = {.name = ""};
    sw_status status = SW_OK;
    if (*o->old_name)
        status = sw_parameter_find(o->old_name, &named, error);
    for (size_t i = 0; status == SW_OK && i < r->water->reading_count; i++)
        if (is_meant(r, i, o, named.name))
            status = change(d, i, o, error);
    if (status == SW_OK && d->changed == 0)
        status = sw_fail(error, SW_ERR_NAME,
                         "the report of '%s' has no reading %s%s%s to take as "
                         "another",
                         r->water->sample, *o->old_unit ? "in " : "",
                         o->old_name, o->old_unit);
    return status;
}

static sw_status open_draft(const lookup *r, draft *d, sw_error *error)
{
    size_t count = r->water->reading_count;
    d->water = *r->water;
    d->changed = 0;
    d->water.readings = calloc(count + 1, sizeof *d->water.readings);
    d->measures = calloc(count + 1, sizeof *d->measures);
    if (!d->water.readings || !d->measures)
        return sw_fail_memory(error);
    for (size_t i = 0; i < count; i++) {
        d->water.readings[i] = r->water->readings[i];
        d->measures[i] = r->measures[i];
    }
    return SW_OK;
}

static void close_draft(draft *d)
{
    free(d->water.readings);
    free(d->measures);
}

/* A water of its own from the draft, reckoned anew. */
static sw_status build(const draft *d, sw_water **reread, sw_error *error)
{
    sw_notes notes = {0};
    sw_water *copy = calloc(1, sizeof *copy);
    sw_status status =
        copy ? sw_water_copy(&d->water, copy, error) : sw_fail_memory(error);
    if (status == SW_OK)
        status = sw_water_build(copy, d->measures, &notes, NULL, error);
    sw_notes_free(&notes);
    if (status == SW_OK)
        *reread = copy;
    else
        sw_water_free(copy);
    return status;
}

static sw_status take(const lookup *reader, const char *read_as,
                      sw_water **reread, sw_error *error)
{
    order o;
    draft d;
    *reread = NULL;
    sw_status status = parse(read_as, &o, error);
    if (status != SW_OK)
        return status;
    status = open_draft(reader, &d, error);
    if (status == SW_OK)
        status = change_all(reader, &o, &d, error);
    if (status == SW_OK)
        status = build(&d, reread, error);
    close_draft(&d);
    return status;
}

/* ---- The reader of a report -------------------------------------------- */

static void close_report(lookup *reader)
{
    free(reader->measures);
    reader->measures = NULL;
}

static sw_status open_report(lookup *reader, const sw_water *water,
                             sw_error *error)
{
    sw_status status = SW_OK;
    reader->water = water;
    reader->measures =
        calloc(water->reading_count + 1, sizeof *reader->measures);
    if (!reader->measures)
        return sw_fail_memory(error);
    for (size_t i = 0; status == SW_OK && i < water->reading_count; i++)
        status = sw_measure_find(water->readings[i].parameter,
                                 water->readings[i].unit, &reader->measures[i],
                                 error);
    if (status != SW_OK)
        close_report(reader);
    return status;
}

sw_status sw_water_reread(const sw_water *water, const char *read_as,
                          sw_water **reread, sw_error *error)
{
    SW_REQUIRE_FOR(reread, error, water, read_as);
    lookup reader;
    sw_status status = open_report(&reader, water, error);
    if (status != SW_OK)
        return status;
    status = take(&reader, read_as, reread, error);
    close_report(&reader);
    return status;
}

void sw_water_free(sw_water *water)
{
    if (!water)
        return;
    sw_water_clear(water);
    free(water);
}

/* ---- Which one would explain it ------------------------------------------ */

/* Sameness of two waters: two mistakes may have one effect. */
typedef struct effect {
    sw_content per_l;
    double ec, hardness, ca_hardness;
} effect;

typedef struct search {
    const sw_water *water;
    const sw_conditions *conditions;
    const sw_evidence *given;
    lookup reader;
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
    return is_any_ion(row) ? is_in(&s->reader, index, row->unit)
                           : same_meaning(&s->reader.measures[index], meant);
}

/* One ion in the unit is no habit of the whole report. */
static bool fits_every_ion(const search *s, const sw_rereadings_row *row)
{
    int ions = 0;
    for (size_t i = 0; i < s->water->reading_count; i++)
        ions += is_in(&s->reader, i, row->unit);
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
    sw_status status = take(&s->reader, candidate.read_as, &reread, NULL);
    if (status != SW_OK)
        return sw_of_trial(status); /* does not fit */
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
    sw_status status = open_report(&s->reader, s->water, NULL);
    for (size_t i = 0; status == SW_OK && i < sw_rereadings_count; i++)
        status = try_row(s, &sw_rereadings_table[i]);
    close_report(&s->reader);
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
