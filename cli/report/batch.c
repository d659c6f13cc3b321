/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A line for each water, then how far each product's amount ranges over them:
 * what stays the same can be weighed once and for all.
 */
#include "report/batch.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "io/memory.h"
#include "run/stop.h"
#include "report/words.h"

void report_batch_begin(report_batch *batch, const cli_inputs *shared,
                        const cli_settings *settings)
{
    *batch =
        (report_batch){.shelf = shared->shelf, .report = report_begin("batch")};
    batch->least_g_per_l = memory_array(shared->shelf->count, sizeof(double));
    batch->most_g_per_l = memory_array(shared->shelf->count, sizeof(double));
    doc_text(batch->report, "objective",
             sw_objective_text(settings->objective));
    batch->rows = doc_add(batch->report, "runs");
}

static void widen(report_batch *batch, const sw_recipe *recipe)
{
    for (size_t i = 0; i < recipe->count; i++) {
        double g_per_l = recipe->g_per_l[i];
        batch->least_g_per_l[i] =
            batch->mixed ? fmin(batch->least_g_per_l[i], g_per_l) : g_per_l;
        batch->most_g_per_l[i] = fmax(batch->most_g_per_l[i], g_per_l);
    }
    batch->mixed++;
}

/* What came of the search, as a grower would say it. */
static const char *result_words(const cli_report *report)
{
    if (!report)
        return "failed";
    if (report_is_dangerous(report))
        return "do not use";
    switch (report->solution->outcome) {
    case SW_OPTIMAL:
        return sw_objective_text(report->solution->objective);
    case SW_LIMIT:
        return "cut short";
    default:
        return "none";
    }
}

static void add_danger(void *context, const sw_note *note)
{
    doc_say(context, DOC_BAD, "%s", note->text);
}

/* All products and components, so that every line has the same columns. */
static void put_amounts(doc_record *row, const cli_report *report)
{
    const sw_assessment *assessment = report->assessment;
    doc_block *amounts = doc_add(row, "g_per_l");
    doc_block *contents = doc_add(row, "finished_mg_per_l");
    for (size_t i = 0; i < report->recipe->count; i++)
        doc_entry(amounts, report->inputs->shelf->products[i].name,
                  report->recipe->g_per_l[i]);
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        doc_entry(contents, sw_component_name((sw_component)i),
                  assessment->rows[i].finished_mg_per_l);
}

static void put_judged(doc_record *row, const cli_report *report)
{
    const sw_assessment *assessment = report->assessment;
    const sw_certificate *proof = &report->solution->certificate;
    char unmet[1024];
    size_t met;
    size_t all;
    sw_count_met(assessment, &met, &all);
    words_unmet(report, unmet, sizeof unmet);
    doc_print(row, "met_words", "%zu/%zu", met, all);
    doc_flag(row, "all_met", assessment->all_met);
    DOC_NUMBERS(
        row, {"met", (double)met}, {"targets", (double)all},
        {"objective", report_sum(proof->objective)},
        {"lower_bound", report_sum(proof->lower_bound)},
        {"gap", report_sum(proof->gap)},
        {"ec_ms_per_cm", assessment->mixed.ec_ms_per_cm},
        {"ph_mixed", assessment->mixed.ph}, {"ph_aired", assessment->aired.ph},
        {"alkalinity_meq_per_l", assessment->mixed.alkalinity_meq_per_l},
        {"cost_per_m3", assessment->cost_per_m3});
    put_amounts(row, report);
    report_visit_severity(report, SW_DANGER, add_danger,
                          doc_add(row, "dangers"));
    report_undeclared(row, &assessment->undeclared);
    report_put_alarms(row, "remark", report, unmet);
}

void report_batch_row(report_batch *batch, const sw_water *water,
                      const cli_report *report)
{
    doc_record *row = doc_row(batch->rows);
    bool judged = report && report->assessment;
    doc_text(row, "sample", water->sample);
    doc_text(row, "outcome",
             report ? sw_outcome_text(report->solution->outcome) : "failed");
    doc_text(row, "result", result_words(report));
    doc_colour(row,
               judged && !report_is_dangerous(report) ? DOC_PLAIN : DOC_BAD);
    if (!judged)
        return;
    put_judged(row, report);
    if (!stop_is_asked(report)) {
        widen(batch, report->recipe);
        cautions_add(&batch->handled, report);
    }
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
    doc_after(block, "Spread: (highest - lowest) / highest.");
}

doc_record *report_batch_end(report_batch *batch)
{
    if (batch->mixed) {
        put_ranges(batch);
        report_handling(batch->report, &batch->handled);
    }
    free(batch->least_g_per_l);
    free(batch->most_g_per_l);
    return batch->report;
}
