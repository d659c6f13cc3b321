/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A run of one water: recipe, finished solution, limits and notes. */
#include "parts.h"

#include <math.h>

#include "../words.h"
#include "bridge.h"
#include "report/blocks.h"

static cli_value *limits(const sw_solution *solution)
{
    cli_value *out = value_array();
    for (size_t i = 0; i < solution->limit_count; i++) {
        cli_value *item = value_add_object(out);
        value_put_text(item, "limit", solution->limits[i].name);
        VALUE_PUT(item, {"bound", solution->limits[i].bound},
                  {"price", solution->limits[i].price});
    }
    return out;
}

/* What the certificate is of, and under what. */
static cli_value *proof(const cli_report *report)
{
    const sw_solution *solution = report->solution;
    const sw_shelf *shelf = report->inputs->shelf;
    cli_value *out = value_object();
    value_put_text(out, "minimises", sw_objective_measure(solution->objective));
    value_put_number(out, "ionic_strength_mol_per_kg",
                     solution->certificate.ionic_strength_mol_per_kg);
    cli_value *within = value_array();
    for (size_t i = 0; i < solution->within_count; i++) {
        const sw_limit *limit = &solution->within[i];
        cli_value *item = value_add_object(within);
        value_put_text(item, "limit", limit->name);
        value_put_text(item, "origin", sw_origin_text(limit->origin));
        value_put_number(item, "bound", limit->bound);
        value_put_flag(item, "binds", limit->binds);
        value_put_flag(item, "missed", limit->missed);
    }
    value_put(out, "within", within);
    cli_value *left = value_array();
    for (size_t j = 0; solution->left_out && j < shelf->count; j++) {
        if (solution->left_out[j] == SW_IN_USE)
            continue;
        cli_value *item = value_add_object(left);
        value_put_text(item, "product", shelf->products[j].name);
        value_put_text(item, "rule", sw_left_out_text(solution->left_out[j]));
    }
    value_put(out, "left_out", left);
    return out;
}

static cli_value *fewest(const cli_report *report)
{
    const sw_fewer *fewer = &report->solution->fewer;
    cli_value *out = value_object();
    cli_value *left = value_array();
    value_put_number(out, "equal_within", report->settings->equal_share);
    value_put_number(out, "products", (double)fewer->products);
    value_put_flag(out, "proved", fewer->proved);
    value_put_number(out, "ph_within", fewer->ph_apart);
    for (size_t i = 0; i < fewer->closest.count; i++) {
        double g_per_l = fewer->closest.g_per_l[i];
        if (!(g_per_l > report_least_g_per_l()) || report_uses(report, i))
            continue;
        cli_value *item = value_add_object(left);
        value_put_text(item, "product",
                       report->inputs->shelf->products[i].name);
        value_put_number(item, "g_per_l", g_per_l);
    }
    value_put(out, "left_out", left);
    if (fewer->closest.count) {
        value_put_text(out, "most_moved", sw_component_name(fewer->moved));
        value_put_number(out, "moved_share", fewer->moved_share);
        value_put_number(out, "deviations", fewer->objective);
    }
    return out;
}

static void put_solution(cli_value *root, const cli_report *report)
{
    const sw_solution *solution = report->solution;
    value_put_text(root, "outcome", sw_outcome_text(solution->outcome));
    value_put_text(root, "objective", sw_objective_text(solution->objective));
    if (isfinite(solution->certificate.gap) && solution->outcome != SW_CONFLICT)
        value_put(root, "certificate",
                  doc_certificate(report_certificate(report)));
    if (report_in_steps(report))
        value_put(root, "certificate_before_steps",
                  doc_certificate(&solution->certificate));
    if (words_has_fewest(report))
        value_put(root, "fewest", fewest(report));
    value_put(root, "limits", limits(solution));
    if (solution->outcome != SW_CONFLICT && solution->within)
        value_put(root, "proof", proof(report));
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
