/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Many reports of one origin: each audited in short, and their columns weighed
 * together, as a laboratory that writes calcium carbonate under bicarbonate
 * does so in all of them.  Methods: reference/methods.md, Assess.
 */
#include "assess/audit.h"

#include "assess/believe.h"
#include "assess/charge.h"
#include "assess/rereadings.h"
#include "chemistry/equilibrate.h"
#include "quantity/status.h"
#include "table_refusals.h"

#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>
#include <math.h>
#include <stdlib.h>

/* A column is known from that many reports, and more take only time. */
static const size_t most_weighed = 200;

/* Said of archives as a whole (common practice, no source). */
static const double ec_within = 0.10;

typedef struct work {
    const sw_water *const *waters;
    size_t count;
    const sw_conditions *conditions;
    sw_archive *archive;
    size_t stride; /* every so many reports one is weighed for re-readings */
    const sw_water **weighed;
    sw_evidence *given; /* of those */
    size_t weighed_count;
    double *percents; /* room for one per report */
} work;

/* ---- One report in short ----------------------------------------------------
 */

static void note_worst_check(const sw_evidence *evidence, sw_sample_audit *out)
{
    const sw_check_row *rows = evidence->rows;
    int worst = 0;
    for (int i = 1; i < SW_CHECK_COUNT; i++)
        if (rows[i].finding > rows[worst].finding ||
            (rows[i].finding == rows[worst].finding &&
             fabs(evidence->z[i]) > fabs(evidence->z[worst])))
            worst = i;
    out->finding = rows[worst].finding;
    out->check = sw_check_text((sw_check)worst);
    out->balance_percent = rows[SW_CHECK_CHARGE].value;
    out->ec_ratio = rows[SW_CHECK_EC].value;
}

/* What a report is doubtful for without, or, believed, is incomplete for. */
static void note_lack(const sw_water *water, sw_sample_audit *out)
{
    sw_charge charge;
    bool follows = water->is_solution &&
                   !(sw_solution_open_alkalinity(water, SW_CHARGE_FALSE_PERCENT,
                                                 &charge) > 0.0);
    out->no_alkalinity =
        out->doubtful && !water->alkalinity_reported && !follows;
    if (!out->doubtful && !isnan(sw_lacking_by_charge(water, &charge)))
        snprintf(out->lacking, sizeof out->lacking, "%s", charge.missing);
}

/* Of which an audit says that it is doubtful, by no check alone. */
static sw_status note_doubt(const work *w, const sw_water *water,
                            sw_sample_audit *out, sw_error *error)
{
    sw_notes found = {0};
    sw_status status = sw_audit_doubts(water, w->conditions, &found, error);
    out->doubtful =
        sw_notes_are_about(&found, 0, SW_ABOUT_REPORT | SW_ABOUT_DOUBT);
    sw_notes_free(&found);
    note_lack(water, out);
    if (out->doubtful && out->finding < SW_DOUBTFUL) {
        out->finding = SW_DOUBTFUL;
        out->check = sw_gap_of(water).meq_per_l != 0.0
                         ? sw_check_text(SW_CHECK_CHARGE)
                         : "alkalinity";
    }
    return status;
}

static bool is_worse(const sw_guideline_row *row, const sw_sample_audit *than)
{
    return !row->soil && row->fitness <= SW_UNFIT &&
           row->fitness > than->fitness;
}

static sw_status note_worst_limit(const sw_water *water,
                                  const sw_evidence *evidence,
                                  sw_sample_audit *out, sw_error *error)
{
    sw_facts facts =
        sw_facts_of(water, &evidence->per_l, evidence->chemistry.ec_ms_per_cm);
    sw_guideline_rows rows;
    sw_status status =
        sw_guidelines_hold(&facts, water->is_solution, &rows, error);
    if (status != SW_OK)
        return status;
    for (size_t i = 0; i < rows.count; i++) {
        const sw_guideline_row *row = &rows.items[i];
        bool danger =
            row->below ? row->value < row->danger : row->value > row->danger;
        out->gas |= row->gas && row->fitness != SW_FIT && !isnan(row->value);
        if (!(danger && !out->danger) && !(is_worse(row, out) && !out->danger))
            continue;
        out->danger = danger;
        out->fitness = row->fitness;
        snprintf(out->limit, sizeof out->limit, "%s", row->name);
        snprintf(out->use, sizeof out->use, "%s", row->use);
    }
    free(rows.items);
    return SW_OK;
}

/* Keeps the evidence of a report that is weighed. */
static sw_status audit_one(work *w, size_t index, sw_error *error)
{
    const sw_water *water = w->waters[index];
    sw_sample_audit *out = &w->archive->samples[index];
    sw_evidence evidence;
    sw_status status =
        sw_evidence_weigh(water, w->conditions, &evidence, error);
    if (status != SW_OK)
        return status;
    note_worst_check(&evidence, out);
    status = note_doubt(w, water, out, error);
    if (status == SW_OK)
        status = note_worst_limit(water, &evidence, out, error);
    sw_evidence_free(&evidence);
    if (index % w->stride == 0) {
        w->weighed[w->weighed_count] = water;
        w->given[w->weighed_count++] = evidence;
    }
    return status;
}

/* ---- All of them ------------------------------------------------------------
 */

/* NaN for none; sorts them. */
static double median(double *values, size_t count)
{
    if (count == 0)
        return NAN;
    gsl_sort(values, 1, count);
    return gsl_stats_median_from_sorted_data(values, 1, count);
}

static void sum_up(work *w)
{
    sw_archive *a = w->archive;
    for (size_t i = 0; i < a->count; i++) {
        const sw_sample_audit *s = &a->samples[i];
        double off = fabs(s->balance_percent);
        if (isnan(off))
            continue;
        w->percents[a->checked++] = off;
        if (off > SW_CHARGE_DOUBTFUL_PERCENT)
            continue;
        a->balanced++;
        a->ec_checked += isnan(s->ec_ratio) ? 0 : 1;
        a->ec_within += fabs(s->ec_ratio - 1.0) <= ec_within;
    }
    a->median_percent = median(w->percents, a->checked);
}

/* The imbalance of a report read otherwise, as the check of charge has it; NaN
 * where it cannot be read so or be checked. */
static double percent_so_read(const work *w, size_t index, const char *read_as)
{
    const sw_water *water = w->waters[index];
    sw_water *reread = NULL;
    sw_evidence evidence;
    double percent = w->archive->samples[index].balance_percent;
    if (sw_water_reread(water, read_as, &reread, NULL) != SW_OK)
        return percent; /* it has no such reading */
    percent = NAN;
    sw_charge charge;
    sw_charge_add_up(reread, &charge);
    if (reread->is_solution && !reread->alkalinity_reported) {
        if (sw_evidence_weigh(reread, w->conditions, &evidence, NULL) ==
            SW_OK) {
            percent = evidence.rows[SW_CHECK_CHARGE].value;
            sw_evidence_free(&evidence);
        }
    } else if (charge.missing_count == 0) {
        percent = sw_charge_percent(&charge);
    }
    sw_water_free(reread);
    return fabs(percent);
}

/* What the balances of all say of one re-reading. */
static void count_balances(work *w, sw_rereading *row)
{
    row->checked = w->archive->checked;
    row->balanced_given = w->archive->balanced;
    row->median_given_percent = w->archive->median_percent;
    size_t checked = 0;
    for (size_t i = 0; i < w->count; i++) {
        double off = fabs(percent_so_read(w, i, row->read_as));
        if (isnan(off))
            continue;
        w->percents[checked++] = off;
        row->balanced_read += off <= SW_CHARGE_DOUBTFUL_PERCENT;
    }
    row->median_read_percent = median(w->percents, checked);
}

static sw_status weigh_columns(work *w, sw_error *error)
{
    sw_archive *a = w->archive;
    sw_status status = sw_suspects_find(
        &(sw_reports){w->weighed, w->given, w->weighed_count}, w->conditions,
        &a->rereadings, &a->rereading_count, error);
    for (size_t i = 0; status == SW_OK && i < a->rereading_count; i++)
        count_balances(w, &a->rereadings[i]);
    return status;
}

static sw_status fill(work *w, sw_error *error)
{
    sw_status status = sw_conditions_check(w->conditions, error);
    for (size_t i = 0; status == SW_OK && i < w->count; i++)
        status = audit_one(w, i, error);
    if (status != SW_OK)
        return status;
    sum_up(w);
    return weigh_columns(w, error);
}

static sw_status make_room(work *w)
{
    size_t weighed = w->count / w->stride + 1;
    w->archive = calloc(1, sizeof *w->archive);
    if (!w->archive)
        return SW_ERR_MEMORY;
    w->archive->count = w->count;
    w->archive->samples = calloc(w->count, sizeof *w->archive->samples);
    w->weighed = calloc(weighed, sizeof(const sw_water *));
    w->given = calloc(weighed, sizeof *w->given);
    w->percents = calloc(w->count, sizeof *w->percents);
    return w->archive->samples && w->weighed && w->given && w->percents
               ? SW_OK
               : SW_ERR_MEMORY;
}

sw_status sw_audit_many(const sw_water *const *waters, size_t count,
                        const sw_conditions *conditions, sw_archive **archive,
                        sw_error *error)
{
    SW_REQUIRE_FOR(archive, error, waters, conditions);
    if (count == 0)
        return sw_fail(error, SW_BAD_NO_REPORT);
    work w = {.waters = waters,
              .count = count,
              .conditions = conditions,
              .stride = (count + most_weighed - 1) / most_weighed};
    sw_status status =
        make_room(&w) == SW_OK ? fill(&w, error) : sw_fail_memory(error);
    SW_FREE(w.weighed, w.given, w.percents);
    SW_GIVE(status, archive, w.archive, sw_archive_free);
}

void sw_archive_free(sw_archive *archive)
{
    if (archive)
        SW_FREE(archive->samples, archive->rereadings, archive);
}
