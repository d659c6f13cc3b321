/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Is a lab report believable, and is the water fit for use?  Checks, the
 * mistakes that would explain what disagrees, published limits and the share
 * of purified water each asks for.  Methods: reference/methods.md, Assess.
 */
#include "assess/audit.h"
#include "assess/believe.h"
#include "assess/charge.h"
#include "assess/evidence.h"
#include "assess/guidelines.h"
#include "assess/rereadings.h"
#include "chemistry/equilibrate.h"
#include "quantity/components.h"
#include "quantity/notes.h"
#include "quantity/status.h"
#include "table_wanted.h"
#include "table_words.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What a report cannot be trusted without: wanted.csv. */
static void note_missing(const sw_water *water, sw_notes *notes)
{
    bool pure = water->ec_ms_per_cm < SW_PURE_MS_PER_CM;
    for (size_t i = 0; i < sw_wanted_count; i++) {
        const sw_wanted_row *w = &sw_wanted_table[i];
        bool is_alkalinity = w->component == SW_ALKALINITY;
        bool reported = is_alkalinity ? water->alkalinity_reported
                                      : water->reported[w->component];
        if (!reported && w->solution == water->is_solution)
            sw_notes_add(notes, pure ? SW_INFO : (unsigned)w->severity,
                         "not-reported", SW_SAY_WANTED,
                         is_alkalinity
                             ? "Alkalinity"
                             : sw_component_name((sw_component)w->component),
                         w->why);
    }
    if (isnan(water->ph))
        sw_notes_add(notes, SW_SAY_NOT_REPORTED_PH);
    if (isnan(water->ec_ms_per_cm))
        sw_notes_add(notes, SW_SAY_NOT_REPORTED_EC);
}

static sw_status copy_checks(const sw_evidence *evidence,
                             sw_audit_report *report, sw_error *error)
{
    report->checks = calloc(SW_CHECK_COUNT, sizeof *report->checks);
    if (!report->checks)
        return sw_fail_memory(error);
    for (int i = 0; i < SW_CHECK_COUNT; i++)
        if (*evidence->rows[i].name) /* it is made of such a report */
            report->checks[report->check_count++] = evidence->rows[i];
    report->score = evidence->score;
    report->per_l = evidence->per_l;
    report->chemistry = evidence->chemistry;
    sw_notes_append(&report->notes, &evidence->notes);
    return SW_OK;
}

/* Whether an EC worked out of the ions found says what the water's is: no
 * major one is unknown, and a tenth at most below detection. */
static bool knows_ions(const sw_charge *ions)
{
    return ions->missing_count == 0 &&
           ions->hidden_cations_meq_per_l <= 0.1 * ions->cations_meq_per_l &&
           ions->hidden_anions_meq_per_l <= 0.1 * ions->anions_meq_per_l;
}

sw_facts sw_facts_of(const sw_water *water, const sw_content *per_l,
                     double calculated_ec_ms_per_cm)
{
    sw_charge ions;
    bool measured = !isnan(water->ec_ms_per_cm);
    sw_charge_add_up(water, &ions);
    return (sw_facts){.per_l = per_l,
                      .ph = water->ph,
                      .ec_ms_per_cm = measured || !knows_ions(&ions)
                                          ? water->ec_ms_per_cm
                                          : calculated_ec_ms_per_cm,
                      .tds_mg_per_l = water->tds_mg_per_l,
                      .water = water};
}

static sw_status hold_and_dilute(const sw_water *water,
                                 const sw_content *purified,
                                 const sw_conditions *conditions,
                                 sw_audit_report *report, sw_error *error)
{
    static const sw_content nothing = {{0}};
    sw_facts facts =
        sw_facts_of(water, &report->per_l, report->chemistry.ec_ms_per_cm);
    sw_dilution dilution = {&facts, purified ? purified : &nothing, conditions};
    sw_guideline_rows rows;
    sw_status status = sw_guidelines_hold(&facts, false, &rows, error);
    report->fitness = rows.items;
    report->fitness_count = rows.count;
    for (size_t i = 0; status == SW_OK && i < rows.count; i++)
        status = sw_dilution_share(&dilution, &rows.items[i], error);
    sw_guidelines_warn(&rows, NULL, &report->notes);
    return status;
}

/* The row of this use that asks for most purified water, or NULL. */
static const sw_guideline_row *hardest(const sw_audit_report *report,
                                       const char *use)
{
    const sw_guideline_row *most = NULL;
    for (size_t i = 0; i < report->fitness_count; i++) {
        const sw_guideline_row *row = &report->fitness[i];
        if (!strcmp(row->use, use) && !isnan(row->purified_share) &&
            (!most || row->purified_share > most->purified_share))
            most = row;
    }
    return most;
}

/* What the row's limit is reached by too: acid, but not into what it drives
 * out as a gas. */
static const char *say_acid(const sw_audit_report *report,
                            const sw_guideline_row *row)
{
    if (strcmp(row->name, "alkalinity") != 0)
        return "";
    for (size_t i = 0; i < report->fitness_count; i++)
        if (report->fitness[i].gas && report->fitness[i].fitness != SW_FIT)
            return SW_SAY_ACID_AFTER_GAS;
    return SW_SAY_ACID_TOO;
}

/* One note for each use that purified water would open. */
static void note_shares(const sw_audit_report *report, bool pure,
                        sw_notes *notes)
{
    for (size_t i = 0; i < report->fitness_count; i++) {
        const sw_guideline_row *row = &report->fitness[i];
        char limit[SW_FIGURE_BYTES];
        if (row != hardest(report, row->use))
            continue;
        /* rounded up: the share said must bring the water to the limit */
        sw_notes_add(notes, SW_SAY_PURIFIED_SHARE, row->use,
                     ceil(100.0 * row->purified_share),
                     pure ? " (taken to carry nothing)" : "", row->name,
                     sw_figure(row->caution, limit), *row->unit ? " " : "",
                     row->unit, say_acid(report, row));
    }
}

/* Iron and manganese can be had out of a water for less than its salts can. */
static void note_metals(const sw_audit_report *report, sw_notes *notes)
{
    for (size_t i = 0; i < report->fitness_count; i++) {
        const sw_guideline_row *row = &report->fitness[i];
        char value[SW_FIGURE_BYTES];
        bool iron = !strcmp(row->name, sw_component_name(SW_FE));
        bool manganese = !strcmp(row->name, sw_component_name(SW_MN));
        if (row->fitness == SW_FIT || !(iron || manganese))
            continue;
        manganese = manganese || report->per_l.amount[SW_MN] > 0;
        sw_notes_add(notes, SW_SAY_AERATE_AND_FILTER, row->name,
                     sw_figure(row->value, value),
                     manganese ? SW_SAY_MANGANESE_TOO : "");
        return;
    }
}

sw_status sw_audit_doubts(const sw_water *water,
                          const sw_conditions *conditions, sw_notes *notes,
                          sw_error *error)
{
    sw_notes found = {0};
    sw_content per_l;
    char acid[64];
    sw_gap open = sw_gap_of(water);
    sw_status status =
        sw_water_complete(water, conditions, &per_l, &found, NULL);
    sw_say_acid(open.meq_per_l, acid, sizeof acid);
    if (status == SW_OK && sw_alkalinity_is_known(&per_l) &&
        open.meq_per_l != 0.0)
        sw_say_gap(water, &open, acid, notes);
    for (size_t i = 0; i < found.count; i++)
        if (!sw_notes_find(notes, found.items[i].code))
            sw_notes_append(notes, &(sw_notes){&found.items[i], 1});
    sw_notes_free(&found);
    return sw_of_trial(status) == SW_OK ? SW_OK : sw_fail_memory(error);
}

/* Whether nitrate that it lacks explains as well what disagrees in a report:
 * then that is to be asked for, and no misreading is likelier. */
static sw_status lacks_nitrate(const sw_water *water, const sw_evidence *given,
                               const sw_conditions *conditions, bool *lacks,
                               sw_error *error)
{
    sw_charge charge;
    sw_evidence evidence;
    sw_water whole = *water; /* its readings borrowed */
    double nitrate =
        sw_charge_nitrate(water, sw_charge_alkalinity_gap(water, 0.0, &charge));
    whole.per_l.amount[SW_NO3_N] += nitrate;
    whole.per_l.amount[SW_N] += nitrate;
    *lacks = false;
    if (nitrate == 0.0)
        return SW_OK;
    sw_status status = sw_evidence_weigh(&whole, conditions, &evidence, error);
    if (status != SW_OK)
        return sw_of_trial(status);
    *lacks = sw_evidence_agrees(&evidence, given);
    sw_evidence_free(&evidence);
    return SW_OK;
}

static sw_status find_misread(const sw_water *water, const sw_evidence *given,
                              const sw_conditions *conditions,
                              sw_rereading **found, size_t *count,
                              sw_error *error)
{
    bool lacks;
    sw_status status = lacks_nitrate(water, given, conditions, &lacks, error);
    return status != SW_OK || lacks
               ? status
               : sw_suspects_find(&(sw_reports){&water, given, 1}, conditions,
                                  found, count, error);
}

sw_status sw_rereadings_find(const sw_water *water, const sw_content *per_l,
                             const sw_conditions *conditions,
                             sw_rereading **found, size_t *count,
                             sw_error *error)
{
    sw_evidence evidence = {0};
    sw_status status = SW_OK;
    SW_REQUIRE(error, water, per_l, conditions, found, count);
    *found = NULL;
    *count = 0;
    if (!isnan(water->ec_ms_per_cm)) /* of a glance nothing else counts here */
        status = sw_evidence_glance(water, per_l, conditions, &evidence, error);
    if (status != SW_OK)
        return status;
    bool may_be = sw_suspects_may_be(water, &evidence);
    sw_evidence_free(&evidence);
    if (!may_be)
        return SW_OK;
    status = sw_evidence_weigh(water, conditions, &evidence, error);
    if (status != SW_OK)
        return status;
    status = find_misread(water, &evidence, conditions, found, count, error);
    sw_evidence_free(&evidence);
    return status;
}

/* Is it consistent, and what may have been misread? */
static sw_status check(const sw_water *water, const sw_conditions *conditions,
                       sw_audit_report *report, sw_error *error)
{
    sw_evidence evidence;
    sw_status status = sw_conditions_check(conditions, error);
    if (status == SW_OK)
        status = sw_evidence_weigh(water, conditions, &evidence, error);
    if (status != SW_OK)
        return status;
    status = copy_checks(&evidence, report, error);
    if (status == SW_OK)
        status = find_misread(water, &evidence, conditions, &report->rereadings,
                              &report->rereading_count, error);
    sw_evidence_free(&evidence);
    return status;
}

static sw_status fill(const sw_water *water, const sw_content *purified,
                      const sw_conditions *conditions, sw_audit_report *report,
                      sw_error *error)
{
    sw_status status = check(water, conditions, report, error);
    if (status == SW_OK)
        status = hold_and_dilute(water, purified, conditions, report, error);
    if (status == SW_OK)
        status = sw_audit_doubts(water, conditions, &report->notes, error);
    if (status != SW_OK)
        return status;
    note_missing(water, &report->notes);
    note_shares(report, !purified, &report->notes);
    note_metals(report, &report->notes);
    return sw_notes_status(&report->notes, error);
}

/* ---- Of a nutrient solution ---------------------------------------------- */

/* As a finished solution to which nothing is added. */
static sw_status assess(const sw_sampling *sampling,
                        const sw_conditions *conditions,
                        sw_audit_report *report, sw_error *error)
{
    static const sw_target none = {.name = ""};
    static const sw_shelf empty = {.name = ""};
    static const sw_recipe nothing = {.g_per_l = NULL};
    static const double whole = 1.0;
    sw_mix mix = {.water = &report->per_l,
                  .target = sampling->target ? sampling->target : &none,
                  .shelf = &empty,
                  .recipe = &nothing,
                  .conditions = *conditions,
                  .reports = &sampling->sample,
                  .shares = &whole,
                  .report_count = 1};
    sw_assessment *found;
    sw_status status = sw_assess(&mix, &found, error);
    if (status != SW_OK)
        return status;
    report->fitness = found->guidelines;
    report->fitness_count = found->guideline_count;
    found->guidelines = NULL;
    (void)sw_notes_append(&report->notes, &found->notes);
    sw_assessment_free(found);
    return SW_OK;
}

static sw_status fill_solution(const sw_sampling *given,
                               const sw_conditions *conditions,
                               sw_audit_report *report, sw_error *error)
{
    sw_sampling sampling = *given;
    sw_water sample = *given->sample; /* its readings borrowed */
    sample.is_solution = true;
    sampling.sample = &sample;
    sw_status status = check(&sample, conditions, report, error);
    if (status == SW_OK)
        status = sw_sample_compare(&sampling, report, error);
    if (status == SW_OK)
        status = sw_audit_doubts(&sample, conditions, &report->notes, error);
    /* what no equilibrium has is said already */
    if (status == SW_OK && !isnan(report->chemistry.ph))
        status = assess(&sampling, conditions, report, error);
    if (status != SW_OK)
        return status;
    note_missing(&sample, &report->notes);
    return sw_notes_status(&report->notes, error);
}

sw_status sw_audit(const sw_water *water, const sw_content *purified,
                   const sw_conditions *conditions, sw_audit_report **report,
                   sw_error *error)
{
    SW_REQUIRE_FOR(report, error, water, conditions);
    if (water->is_solution)
        return sw_audit_solution(
            &(sw_sampling){.sample = water, .drained = NAN}, conditions, report,
            error);
    sw_audit_report *made = calloc(1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    made->most_drained = NAN;
    SW_GIVE(fill(water, purified, conditions, made, error), report, made,
            sw_audit_report_free);
}

sw_status sw_audit_solution(const sw_sampling *sampling,
                            const sw_conditions *conditions,
                            sw_audit_report **report, sw_error *error)
{
    SW_REQUIRE_FOR(report, error, sampling, sampling ? sampling->sample : NULL,
                   conditions);
    sw_audit_report *made = calloc(1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    SW_GIVE(fill_solution(sampling, conditions, made, error), report, made,
            sw_audit_report_free);
}

void sw_audit_report_free(sw_audit_report *report)
{
    if (!report)
        return;
    sw_notes_free(&report->notes);
    SW_FREE(report->checks, report->rereadings, report->fitness, report->rows,
            report);
}
