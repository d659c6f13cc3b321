/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The readings a laboratory really confuses are tried one at a time, each over
 * all the reports at hand, which are one or a whole archive: a column is
 * misread in all of them or in none.  One is believed by Bayes' rule: its prior
 * (a penalty in reference/rereadings.csv) and how well the reports agree with
 * themselves under it.  Methods: reference/methods.md, Assess.
 */
#include "assess/rereadings.h"

#include "assess/charge.h"
#include "quantity/components.h"
#include "quantity/status.h"
#include "table_rereadings.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_KEPT = 5 };

/* Posterior odds against the reports as given: e^(4/2), 7 to 1. */
static const double margin = 4.0;
/* So much worse than the best that belief in it is nothing: e^(-30). */
static const double ruled_out = 60.0;
/* A figure mistyped just so that the report agrees: 1 in 400 (common practice,
 * no source); one that is hardly another explains nothing, nor is one put
 * further off than by two digits. */
static const double slip_penalty = 12.0;
static const double least_slip = 1.05, most_slip = 100.0;
/* Twice what dissolves stands in no water that was sampled clear. */
static const double most_index = 0.3;
/* Of many reports one may be wrong in ways of its own: it must not outvote the
 * others.  The one report at hand has no others. */
static const double most_of_many = 25.0;
/* Of many reports, the share that a re-reading has to mend at the least, and
 * how many where there are as many: fewer are no habit of the laboratory. */
static const double least_mended = 0.05;
static const double least_of_many = 3.0;

/* Sameness of re-readings: two mistakes may have one effect.  Sums over the
 * reports, each by a weight of its own. */
typedef struct effect {
    sw_content per_l;
    double ec, hardness, ca_hardness;
} effect;

typedef struct search {
    const sw_reports *reports;
    const sw_conditions *conditions;
    sw_lookup *lookups; /* one per report */
    size_t opened;
    const char **columns; /* parameters in any of them; static texts */
    size_t column_count;
    double given_score;
    size_t given_sound; /* reports in which nothing disagrees */
    sw_water **rereads; /* with the candidate; NULL: nothing changes */
    sw_rereading *kept;
    effect *effects; /* of all tried, for telling the same from the new */
    size_t kept_count;
    size_t tried_count;
    double *scores; /* of all tried that could be weighed */
    size_t score_count;
} search;

/* ---- What fits a row of the table -----------------------------------------
 */

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

/* The reading of the column that a row fits, in one report; NULL: none. */
static const sw_reading *fitting(const sw_lookup *reader, const char *column,
                                 const sw_rereadings_row *row,
                                 const sw_measure *meant)
{
    for (size_t i = 0; i < reader->water->reading_count; i++) {
        const sw_reading *r = &reader->water->readings[i];
        const sw_measure *m = &reader->measures[i];
        if (strcmp(m->parameter.name, column) != 0 || r->below_detection ||
            !(r->value > 0.0))
            continue;
        if (is_any_ion(row) ? sw_lookup_is_in(reader, i, row->unit)
                            : same_meaning(m, meant))
            return r;
    }
    return NULL;
}

/* One ion in the unit is no habit of a whole report. */
static bool fits_every_ion(const sw_lookup *reader,
                           const sw_rereadings_row *row)
{
    int ions = 0;
    for (size_t i = 0; i < reader->water->reading_count; i++)
        ions += sw_lookup_is_in(reader, i, row->unit);
    return ions > 1;
}

/* ---- Whether it is new -----------------------------------------------------
 */

static double number(double value)
{
    return isnan(value) ? 0.0 : value;
}

static void add_effect(effect *sum, const sw_water *w, double weight)
{
    sw_content_add(&sum->per_l, weight, &w->per_l);
    sum->ec += weight * number(w->ec_ms_per_cm);
    sum->hardness += weight * number(w->hardness_meq_per_l);
    sum->ca_hardness += weight * number(w->ca_hardness_meq_per_l);
}

/* Of the candidate, or of the reports as given. */
static effect effect_of(const search *s, bool as_given)
{
    static const double golden = 0.6180339887498949;
    effect sum = {.ec = 0.0};
    double weight = 1.0;
    for (size_t i = 0; i < s->reports->count; i++) {
        const sw_water *reread = as_given ? NULL : s->rereads[i];
        add_effect(&sum, reread ? reread : s->reports->waters[i], weight);
        weight = fmod(weight + golden, 1.0) + 0.5; /* no two alike */
    }
    return sum;
}

static bool same(double a, double b)
{
    return fabs(a - b) <= 1e-9 * fabs(a);
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
static bool is_new(search *s)
{
    effect e = effect_of(s, false);
    for (size_t i = 0; i < s->tried_count; i++)
        if (same_effect(&s->effects[i], &e))
            return false;
    s->effects[s->tried_count++] = e;
    return true;
}

/* ---- How well it does -------------------------------------------------------
 */

static double bounded(const search *s, double score)
{
    return s->reports->count > 1 ? fmin(score, most_of_many) : score;
}

/* No less than this, by what needs no chemistry. */
static double least_score(const search *s)
{
    double sum = 0.0;
    for (size_t i = 0; i < s->reports->count; i++)
        sum += s->rereads[i]
                   ? bounded(s, sw_evidence_least_score(s->rereads[i]))
                   : bounded(s, s->reports->given[i].score);
    return sum;
}

/* How many reports a re-reading has to mend. */
static size_t least_gain(const search *s)
{
    double count = (double)s->reports->count;
    return (size_t)fmax(ceil(least_mended * count), fmin(least_of_many, count));
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

/* More gypsum or silica than dissolves, and than as given: they leave no pH. */
static bool is_beyond_dissolving(const sw_evidence *e, const sw_evidence *given)
{
    static const sw_solid solids[] = {SW_GYPSUM, SW_SILICA};
    for (size_t i = 0; e->calculated && i < 2; i++) {
        const sw_saturation *is = &e->chemistry.saturation[solids[i]];
        const sw_saturation *was = &given->chemistry.saturation[solids[i]];
        bool before =
            given->calculated && was->defined && was->index >= is->index;
        if (is->defined && is->index > most_index && !before)
            return true;
    }
    return false;
}

/* Adds one report's score, and counts it where nothing disagrees in it. */
static sw_status weigh_report(const search *s, size_t index, double *sum,
                              size_t *sound)
{
    sw_evidence evidence;
    const sw_evidence *given = &s->reports->given[index];
    if (!s->rereads[index]) {
        *sum += bounded(s, given->score);
        *sound += !sw_evidence_disagrees(given);
        return SW_OK;
    }
    sw_status status =
        sw_evidence_weigh(s->rereads[index], s->conditions, &evidence, NULL);
    if (status != SW_OK)
        return status;
    bool beyond = is_beyond_dissolving(&evidence, given);
    *sum += bounded(s, evidence.score + (beyond ? ruled_out : 0.0));
    *sound +=
        evidence.calculated && !beyond && sw_evidence_agrees(&evidence, given);
    sw_evidence_free(&evidence);
    return SW_OK;
}

static sw_status weigh(search *s, double penalty, sw_rereading *candidate)
{
    double most = s->given_score - margin;
    size_t sound = 0;
    if (least_score(s) + penalty >= most)
        return SW_OK;
    candidate->score = penalty;
    for (size_t i = 0; i < s->reports->count; i++) {
        sw_status status = weigh_report(s, i, &candidate->score, &sound);
        if (status != SW_OK)
            return status;
        if (candidate->score > most + ruled_out)
            return SW_OK;
    }
    s->scores[s->score_count++] = candidate->score;
    if (candidate->score < most && 2 * sound >= s->reports->count &&
        sound >= s->given_sound + least_gain(s))
        keep(s, candidate);
    return SW_OK;
}

/* ---- One after the other ----------------------------------------------------
 */

/* "SO4=S", "Ca=[meq/L]", "HCO3=alkalinity [mg/L CaCO3]", "[mg/L]=[meq/L]". */
static void name_candidate(const sw_rereadings_row *row, const sw_reading *r,
                           size_t reports, sw_rereading *c)
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
    if (!r || reports > 1)
        snprintf(c->text, sizeof c->text, "%s", row->why);
    else
        snprintf(c->text, sizeof c->text, "%s %g %s: %s", r->parameter,
                 r->value, r->unit, row->why);
}

static void forget(search *s)
{
    for (size_t i = 0; i < s->reports->count; i++) {
        sw_water_free(s->rereads[i]);
        s->rereads[i] = NULL;
    }
}

/* Reads every report anew in which `column` (NULL: every ion) fits; false where
 * in most of them it cannot be so.  */
static bool take_all(search *s, const sw_rereadings_row *row,
                     const char *column, const sw_measure *meant,
                     const char *read_as, sw_status *status)
{
    size_t fits = 0, fails = 0;
    for (size_t i = 0; i < s->reports->count; i++) {
        const sw_lookup *reader = &s->lookups[i];
        if (column ? !fitting(reader, column, row, meant)
                   : !fits_every_ion(reader, row))
            continue;
        fits++;
        *status = sw_lookup_take(reader, read_as, &s->rereads[i], NULL);
        fails += *status != SW_OK;
        if (*status == SW_ERR_MEMORY)
            return false;
    }
    *status = SW_OK;
    return 2 * fails < fits;
}

static sw_status try_one(search *s, const sw_rereadings_row *row,
                         const char *column, const sw_measure *meant,
                         const sw_reading *example)
{
    sw_rereading candidate = {.score = 0};
    sw_status status;
    name_candidate(row, example, s->reports->count, &candidate);
    if (take_all(s, row, column, meant, candidate.read_as, &status) &&
        is_new(s))
        status = weigh(s, row->penalty, &candidate);
    forget(s);
    return status;
}

static sw_status try_column(search *s, const sw_rereadings_row *row,
                            const char *column)
{
    sw_measure meant = {.scale = NAN};
    const sw_reading *example = NULL;
    if (!is_any_ion(row) &&
        sw_measure_find(row->parameter, row->unit, &meant, NULL) != SW_OK)
        return SW_OK;
    for (size_t i = 0; !example && i < s->reports->count; i++)
        example = fitting(&s->lookups[i], column, row, &meant);
    return example ? try_one(s, row, column, &meant, example) : SW_OK;
}

static sw_status try_row(search *s, const sw_rereadings_row *row)
{
    sw_status status = SW_OK;
    if (is_every_ion(row))
        return try_one(s, row, NULL, NULL, NULL);
    for (size_t i = 0; status == SW_OK && i < s->column_count; i++)
        status = try_column(s, row, s->columns[i]);
    return status;
}

/* ---- A mistyped figure instead ------------------------------------------ */

/* How many times itself a figure has to be for what it is held against, an ion
 * for the gap of the charges; NAN where it is held against nothing. */
static double slip_of(const search *s, size_t index, double gap)
{
    const sw_measure *m = &s->lookups[0].measures[index];
    const sw_check_row *rows = s->reports->given[0].rows;
    double amount = s->lookups[0].water->readings[index].value * m->scale;
    sw_component ion = m->parameter.component;
    switch (m->parameter.kind) {
    case SW_READS_EC:
        return 1.0 / rows[SW_CHECK_EC].value;
    case SW_READS_TDS:
        return 1.0 / rows[SW_CHECK_TDS_IONS].value;
    case SW_READS_HARDNESS:
        return 1.0 / rows[SW_CHECK_HARDNESS].value;
    case SW_READS_CA_HARDNESS:
        return 1.0 / rows[SW_CHECK_CA_HARDNESS].value;
    case SW_READS_ALKALINITY:
        return 1.0 + gap / amount;
    case SW_READS_COMPONENT:
        return 1.0 - gap / (amount * sw_meq_per_mg(ion) *
                            (sw_charge_in_water(ion) < 0 ? -1.0 : 1.0));
    default:
        return NAN;
    }
}

static sw_status try_slip(search *s, size_t index, double gap)
{
    size_t sound = 0;
    double times = slip_of(s, index, gap), score = slip_penalty;
    if (!(times > 1.0 / most_slip && times < most_slip) ||
        fmax(times, 1.0 / times) < least_slip)
        return SW_OK;
    sw_status status =
        sw_lookup_slip(&s->lookups[0], index, times, &s->rereads[0], NULL);
    if (status == SW_OK)
        status = weigh_report(s, 0, &score, &sound);
    if (status == SW_OK)
        s->scores[s->score_count++] = score;
    forget(s);
    return sw_of_trial(status);
}

/* Each figure of the one report; many are not mistyped alike. */
static sw_status try_slips(search *s)
{
    sw_charge charge;
    sw_status status = SW_OK;
    const sw_water *water = s->reports->waters[0];
    sw_charge_add_up(water, &charge);
    double gap = charge.cations_meq_per_l - charge.anions_meq_per_l;
    for (size_t i = 0; i < water->reading_count && status == SW_OK; i++)
        if (!water->readings[i].below_detection)
            status = try_slip(s, i, gap);
    return status;
}

/* Belief in each, exp(-score / 2), as a share of belief in all tried. */
static void share_out(search *s)
{
    double sum = exp((s->kept[0].score - s->given_score) / 2.0);
    for (size_t i = 0; i < s->score_count; i++)
        sum += exp((s->kept[0].score - s->scores[i]) / 2.0);
    for (size_t i = 0; i < s->kept_count; i++)
        s->kept[i].share =
            exp((s->kept[0].score - s->kept[i].score) / 2.0) / sum;
}

/* ---- The search ------------------------------------------------------------
 */

static sw_status add_column(search *s, const char *name)
{
    for (size_t i = 0; i < s->column_count; i++)
        if (!strcmp(s->columns[i], name))
            return SW_OK;
    const char **grown =
        sw_grow(s->columns, s->column_count, sizeof *s->columns);
    if (!grown)
        return SW_ERR_MEMORY;
    s->columns = grown;
    s->columns[s->column_count++] = name;
    return SW_OK;
}

static sw_status open_reports(search *s)
{
    sw_status status = SW_OK;
    for (size_t i = 0; status == SW_OK && i < s->reports->count; i++) {
        const sw_water *water = s->reports->waters[i];
        status = sw_lookup_open(&s->lookups[i], water, NULL);
        s->opened += status == SW_OK;
        for (size_t k = 0; status == SW_OK && k < water->reading_count; k++)
            status = add_column(s, s->lookups[i].measures[k].parameter.name);
    }
    return status;
}

static sw_status make_room(search *s)
{
    size_t most = sw_rereadings_count * (s->column_count + 1) + 1;
    s->rereads = calloc(s->reports->count + 1, sizeof(sw_water *));
    s->kept = calloc(MOST_KEPT + 1, sizeof *s->kept);
    s->effects = calloc(most, sizeof *s->effects);
    s->scores =
        calloc(most + s->reports->waters[0]->reading_count, sizeof *s->scores);
    return s->rereads && s->kept && s->effects && s->scores ? SW_OK
                                                            : SW_ERR_MEMORY;
}

static sw_status run(search *s)
{
    s->lookups = calloc(s->reports->count + 1, sizeof *s->lookups);
    if (!s->lookups)
        return SW_ERR_MEMORY;
    sw_status status = open_reports(s);
    if (status == SW_OK)
        status = make_room(s);
    if (status != SW_OK)
        return status;
    s->effects[s->tried_count++] = effect_of(s, true);
    for (size_t i = 0; status == SW_OK && i < sw_rereadings_count; i++)
        status = try_row(s, &sw_rereadings_table[i]);
    if (s->kept_count > 0 && s->reports->count == 1 && status == SW_OK)
        status = try_slips(s);
    if (s->kept_count > 0)
        share_out(s);
    return status;
}

static void close_search(search *s)
{
    for (size_t i = 0; i < s->opened; i++)
        sw_lookup_close(&s->lookups[i]);
    SW_FREE(s->lookups, s->columns, s->rereads, s->effects, s->scores);
}

bool sw_suspects_may_be(const sw_water *water, const sw_evidence *glance)
{
    double ec = glance->z[SW_CHECK_EC];
    return sw_evidence_least_score(water) + ec * ec > margin;
}

sw_status sw_suspects_find(const sw_reports *reports,
                           const sw_conditions *conditions,
                           sw_rereading **found, size_t *count, sw_error *error)
{
    search s = {.reports = reports, .conditions = conditions};
    for (size_t i = 0; i < reports->count; i++) {
        s.given_score += bounded(&s, reports->given[i].score);
        s.given_sound += !sw_evidence_disagrees(&reports->given[i]);
    }
    if (s.given_sound + least_gain(&s) > reports->count)
        return SW_OK;
    sw_status status = run(&s);
    close_search(&s);
    *found = s.kept;
    *count = s.kept_count;
    return status == SW_OK ? SW_OK : sw_fail_memory(error);
}
