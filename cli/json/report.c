/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A run of one water: recipe, finished solution, limits and notes. */
#include "parts.h"

#include "bridge.h"
#include "report/blocks.h"

static void put_solution(cli_value *root, const cli_report *report)
{
    const sw_solution *solution = report->solution;
    value_put_text(root, "outcome", sw_outcome_text(solution->outcome));
    value_put_text(root, "objective", sw_objective_text(solution->objective));
    bridge_json(root, report, report_proof);
}

static void put_assessment(cli_value *root, const cli_report *report)
{
    const sw_assessment *assessment = report->assessment;
    value_put_flag(root, "all_met", assessment->all_met);
    bridge_json(root, report, report_recipe);
    value_put_number(root, "cost", report_cost(report));
    bridge_json(root, report, report_charges);
    bridge_json(root, report, report_components);
    bridge_json(root, report, report_measures);
    bridge_json(root, report, report_finished);
    bridge_json(root, report, report_assessed_limits);
}

static cli_value *strength(const cli_inputs *inputs)
{
    cli_value *object = value_object();
    value_put_text(object, "of", inputs->recipe_scaled ? "recipe" : "target");
    VALUE_PUT(object, {"factor", inputs->strength->factor},
              {"ec_ms_per_cm", inputs->strength->ec_ms_per_cm});
    return object;
}

void doc_put_report(cli_value *root, const cli_report *report)
{
    bridge_json(root, report, report_stop);
    bridge_json(root, report, report_verdict);
    bridge_json(root, report, report_asked);
    if (report->solution)
        put_solution(root, report);
    bridge_json(root, report, report_trade_off);
    bridge_json(root, report, report_why);
    bridge_json(root, report, report_conflict);
    value_put_number(root, "volume_l", report->settings->volume_l);
    value_put_text(root, "stage", report->inputs->stage);
    if (report->inputs->strength)
        value_put(root, "strength", strength(report->inputs));
    bridge_json(root, report, report_waters);
    if (report->assessment)
        put_assessment(root, report);
    bridge_json(root, report, report_premixes);
    bridge_json(root, report, report_renewal);
    bridge_json(root, report, report_diagnosis);
    bridge_json(root, report, report_sure);
    bridge_json(root, report, report_weighed);
    bridge_json(root, report, report_stock);
    bridge_json(root, report, report_steps);
    bridge_json(root, report, report_recipe_notes);
    bridge_json(root, report, report_safety);
}

void doc_show_report(const cli_canvas *canvas, const cli_report *report)
{
    cli_value *root = doc_run(report->command);
    doc_put_report(root, report);
    value_write(root, canvas->out);
}
