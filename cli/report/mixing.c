/* SPDX-License-Identifier: GPL-3.0-or-later */
/* All there is to say of a recipe in a water: the subjects, from top to
 * bottom, and what the whole of it is. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "report/blocks.h"
#include "run/stop.h"

static void put_strength(doc_record *record, const cli_inputs *inputs)
{
    if (!inputs->strength)
        return;
    doc_record *out = doc_part(record, "strength");
    doc_text(out, "of", inputs->recipe_scaled ? "recipe" : "target");
    DOC_NUMBERS(out, {"factor", inputs->strength->factor},
                {"ec_ms_per_cm", inputs->strength->ec_ms_per_cm});
}

static void put_facts(doc_record *record, const cli_report *report)
{
    const sw_solution *solution = report->solution;
    if (solution) {
        doc_text(record, "outcome", sw_outcome_text(solution->outcome));
        doc_text(record, "objective", sw_objective_text(solution->objective));
    }
    doc_number(record, "volume_l", report->settings->volume_l);
    doc_text(record, "stage", report->inputs->stage);
    if (report->assessment) {
        doc_flag(record, "all_met", report->assessment->all_met);
        doc_number(record, "cost", report_cost(report));
    }
    put_strength(record, report->inputs);
}

/* What can hurt stands before what is done, wherever there is an amount. */
static void put_recipe(doc_record *record, const cli_report *report)
{
    report_stock(record, report);
    report_recipe(record, report);
    report_safety(record, report);
    report_worker(record, report);
    report_weighed(record, report);
    report_bag(record, report);
    report_premixes(record, report);
    report_components(record, report);
    report_measures(record, report);
    report_finished(record, report);
    report_diagnosis(record, report);
    report_sure(record, report);
    report_assessed_limits(record, report);
    report_charges(record, report);
    if (report->spread && !stop_is_asked(report))
        report_meter_log(record, report);
}

void report_mixing(doc_record *record, const cli_report *report)
{
    report_title(record, report);
    put_facts(record, report);
    report_stop(record, report);
    report_verdict(record, report);
    report_asked(record, report);
    report_renewal(record, report);
    if (report->assessment)
        put_recipe(record, report);
    report_conflict(record, report);
    if (report->assessment)
        report_proof(record, report);
    report_why(record, report);
    report_trade_off(record, report);
    report_waters(record, report);
    report_recipe_notes(record, report);
    if (!report->assessment)
        report_safety(record, report);
    report_assumptions(record, report);
    report_sources(record, report);
}
