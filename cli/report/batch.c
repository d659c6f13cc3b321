/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A line for each water, then how far each product's amount ranges over them:
 * what stays the same can be weighed once and for all.
 */
#include "report/batch.h"

#include <math.h>
#include <stdlib.h>

#include "io/memory.h"
#include "run/cautions.h"
#include "report/words.h"
#include "sentences_text.h"

/* All products and components, so that every line has the same columns. */
static void put_amounts(doc_record *row, const sw_shelf *shelf,
                        const double *g_per_l, const sw_assessment *assessment)
{
    doc_block *amounts = doc_add(row, "g_per_l");
    doc_block *contents = doc_add(row, "finished_mg_per_l");
    for (size_t i = 0; i < shelf->count; i++)
        doc_entry(amounts, shelf->products[i].name, g_per_l ? g_per_l[i] : 0.0);
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        doc_entry(contents, sw_component_name((sw_component)i),
                  assessment ? assessment->rows[i].finished_mg_per_l : 0.0);
}

static bool has_labels(const sw_shelf *shelf)
{
    for (size_t i = 0; i < shelf->count; i++)
        if (shelf->products[i].label)
            return true;
    return false;
}

void report_batch_begin(report_batch *batch, const cli_inputs *shared,
                        const cli_settings *settings)
{
    size_t count = shared->shelf->count;
    *batch =
        (report_batch){.shelf = shared->shelf, .report = report_begin("batch")};
    batch->least_g_per_l = memory_array(count, sizeof(double));
    batch->most_g_per_l = memory_array(count, sizeof(double));
    doc_text(batch->report, "objective",
             sw_objective_text(settings->objective));
    batch->rows = doc_add(batch->report, "runs");
    doc_record *model = doc_model(batch->rows);
    put_amounts(model, shared->shelf, NULL, NULL);
    if (has_labels(shared->shelf))
        doc_part(model, "undeclared");
}

static void widen(report_batch *all, const double *least, const double *most,
                  size_t count)
{
    for (size_t i = 0; i < all->shelf->count; i++) {
        all->least_g_per_l[i] =
            all->mixed ? fmin(all->least_g_per_l[i], least[i]) : least[i];
        all->most_g_per_l[i] = fmax(all->most_g_per_l[i], most[i]);
    }
    all->mixed += count;
}

/* What came of the search, as a grower would say it. */
static const char *result_words(const cli_report *report)
{
    if (report_is_dangerous(report))
        return "do not use";
    switch (report->solution->outcome) {
    case SW_OPTIMAL:
        return sw_objective_text(report->solution->objective);
    case SW_LIMIT:
        return "cut short";
    case SW_UNDETERMINED:
        return "not known";
    default:
        return "none";
    }
}

static void put_notes(doc_block *block, const cli_report *report,
                      sw_severity severity)
{
    const sw_note *note;
    cli_note_walk walk = {0};
    while ((note = report_next_severe(report, severity, &walk)))
        doc_say(block, DOC_BAD, "%s", note->text);
}

/* Of reading the water, then of the mix. */
static void put_warnings(doc_block *block, const cli_report *report)
{
    const sw_notes *read = &report->inputs->waters.items[0].notes;
    for (size_t i = 0; i < read->count; i++)
        if (read->items[i].severity >= SW_WARNING)
            doc_say(block, DOC_BAD, "%s", read->items[i].text);
    put_notes(block, report, SW_WARNING);
}

/* "Ca over: water alone brings 212 mg/L": one more of what is missed. */
static void add_missed(char *text, size_t size, const char *name,
                       sw_verdict verdict, const char *reason)
{
    if (sw_is_missed(verdict))
        text_join(text, size, "; ", "%s %s%s%s", name, sw_verdict_text(verdict),
                  *reason ? ": " : "", reason);
}

static void put_missed(doc_record *row, const sw_assessment *assessment)
{
    char text[2048] = "";
    for (int i = 0; i < SW_COMPONENT_COUNT; i++) {
        const sw_component_row *r = &assessment->rows[i];
        add_missed(text, sizeof text, sw_component_name((sw_component)i),
                   r->verdict, r->reason);
    }
    for (size_t i = 0; i < assessment->measure_count; i++) {
        const sw_row *r = &assessment->measures[i];
        add_missed(text, sizeof text, r->name, r->verdict, "");
    }
    doc_text(row, "reason", text);
}

/* Why nothing is told, where a row that is told has its remark too. */
static void put_reason(doc_record *row, const char *reason)
{
    doc_text(row, "reason", reason);
    doc_text(row, "remark", reason);
}

/* The limits that no recipe keeps together, and what may be done. */
static void put_conflict(doc_record *row, const sw_solution *solution,
                         double purified)
{
    char limits[2048] = "", text[2400] = "";
    report_limits_words(solution, limits, sizeof limits);
    if (!*limits)
        return;
    text_join(text, sizeof text, "; ", "no recipe keeps: %s", limits);
    if (!isnan(purified))
        text_join(text, sizeof text, "; ", SAY_BATCH_PURIFIED,
                  100.0 * purified);
    text_join(text, sizeof text, "; ", SAY_BATCH_NEAREST);
    put_reason(row, text);
}

static void put_judged(doc_record *row, const cli_report *report)
{
    const sw_assessment *assessment = report->assessment;
    const sw_certificate *proof = &report->solution->certificate;
    char remark[2048];
    size_t met;
    size_t all;
    sw_count_met(assessment, &met, &all);
    words_unmet(report, remark, sizeof remark);
    report_add_doubts(report, remark, sizeof remark);
    doc_print(row, "met_words", "%zu/%zu", met, all);
    doc_flag(row, "all_met", assessment->all_met);
    DOC_NUMBERS(
        row, {"met", (double)met}, {"targets", (double)all},
        {"objective", report_sum(proof->objective)},
        {"lower_bound", report_sum(proof->lower_bound)},
        {"gap", report_sum(proof->gap)},
        {"ec_ms_per_cm", assessment->mixed.ec_ms_per_cm},
        {"alkalinity_meq_per_l", assessment->mixed.alkalinity_meq_per_l},
        {"cost_per_m3", assessment->cost_per_m3});
    report_put_phs(row, assessment);
    put_amounts(row, report->inputs->shelf, report->recipe->g_per_l,
                assessment);
    put_missed(row, assessment);
    put_notes(doc_add(row, "dangers"), report, SW_DANGER);
    put_warnings(doc_add(row, "warnings"), report);
    report_undeclared(row, &assessment->undeclared);
    report_put_alarms(row, "remark", report, remark);
}

void report_batch_row(report_batch *batch, const cli_report *report,
                      double purified)
{
    char doubts[2048] = "";
    doc_record *row = doc_row(batch->rows);
    doc_text(row, "sample", report->inputs->waters.items[0].water->sample);
    doc_text(row, "outcome", sw_outcome_text(report->solution->outcome));
    doc_text(row, "result", result_words(report));
    doc_colour(row, report->assessment && !report_is_dangerous(report)
                        ? DOC_PLAIN
                        : DOC_BAD);
    doc_number(row, "purified_share", purified);
    if (report_is_undetermined(report)) {
        report_add_doubts(report, doubts, sizeof doubts);
        put_reason(row, doubts);
        put_warnings(doc_add(row, "warnings"), report);
    }
    if (!report->assessment) {
        put_conflict(row, report->solution, purified);
        return;
    }
    put_judged(row, report);
    if (stop_is_asked(report))
        return;
    widen(batch, report->recipe->g_per_l, report->recipe->g_per_l, 1);
    cautions_add(&batch->handled, report);
}

void report_batch_failed(report_batch *batch, const char *sample,
                         const char *reason)
{
    doc_record *row = doc_row(batch->rows);
    doc_text(row, "sample", sample);
    doc_text(row, "outcome", "failed");
    doc_text(row, "result", "failed");
    put_reason(row, reason);
    doc_colour(row, DOC_BAD);
}

void report_batch_add(report_batch *all, const report_batch *lot)
{
    if (!lot->mixed)
        return;
    widen(all, lot->least_g_per_l, lot->most_g_per_l, lot->mixed);
    cautions_join(&all->handled, &lot->handled);
}

static void put_amount(doc_record *row, const char *key,
                       const sw_product *product, double g_per_l)
{
    bool liquid = !isnan(product->density_g_per_ml);
    doc_number(row, key, g_per_l);
    doc_words(row, key,
              liquid ? figure_liquid_metric(1000.0 * g_per_l /
                                            product->density_g_per_ml)
                           .text
                     : figure_mass_metric(1000.0 * g_per_l).text);
}

static void put_ranges(report_batch *batch)
{
    report_sentence gear;
    doc_block *block = doc_add(batch->report, "ranges");
    cautions_gear(&batch->handled, gear.text, sizeof gear.text);
    doc_before(block, "%s", gear.text);
    for (size_t i = 0; i < batch->shelf->count; i++) {
        const sw_product *product = &batch->shelf->products[i];
        double least = batch->least_g_per_l[i];
        double most = batch->most_g_per_l[i];
        if (most < report_least_g_per_l())
            continue;
        doc_record *row = doc_row(block);
        doc_text(row, "product", product->name);
        put_amount(row, "least", product, least);
        put_amount(row, "most", product, most);
        doc_number(row, "spread", (most - least) / most);
    }
    doc_after(block, SAY_SPREAD);
}

void report_batch_end(report_batch *batch)
{
    if (!batch->mixed)
        return;
    put_ranges(batch);
    report_handling(batch->report, &batch->handled);
}

void report_batch_free(report_batch *batch)
{
    free(batch->least_g_per_l);
    free(batch->most_g_per_l);
    doc_free(batch->report);
}
