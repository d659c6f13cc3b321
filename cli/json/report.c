/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A run of one water: recipe, finished solution, limits and notes. */
#include "parts.h"

#include <math.h>

#include "../words.h"
#include "bridge.h"
#include "report/blocks.h"
#include "stop.h"

static cli_value *blended_water(const cli_report *report)
{
    sw_content water = report->assessment->water;
    bool known[SW_COMPONENT_COUNT];
    cli_value *out = value_object();
    for (int i = 0; i < SW_COMPONENT_COUNT; i++) {
        known[i] = report->assessment->rows[i].water_reported;
        water.amount[i] = report->assessment->rows[i].water_mg_per_l;
    }
    value_put(out, "components", doc_reported(&water, known));
    value_put_number(out, "alkalinity_meq_per_l", water.amount[SW_ALKALINITY]);
    return out;
}

/* `water` is what the tank is filled with; `waters` what it is blended of. */
static void put_waters(cli_value *root, const cli_report *report)
{
    const cli_inputs *inputs = report->inputs;
    if (inputs->waters.count == 1) {
        value_put(root, "water",
                  doc_source_water(&inputs->waters.items[0], (double)NAN));
        return;
    }
    if (report->assessment)
        value_put(root, "water", blended_water(report));
    cli_value *waters = value_array();
    for (size_t i = 0; i < inputs->waters.count; i++)
        value_append(waters, doc_source_water(&inputs->waters.items[i],
                                              report_share(report, i)));
    value_put(root, "waters", waters);
}

static cli_value *component(const sw_component_row *row)
{
    cli_value *out = value_object();
    value_put_text(out, "component", sw_component_name(row->component));
    VALUE_PUT(out, {"water_mg_per_l", report_water_part(row)},
              {"water_unseen_mg_per_l", report_water_unseen(row)},
              {"added_mg_per_l", row->added_mg_per_l},
              {"finished_mg_per_l", row->finished_mg_per_l},
              {"target_mg_per_l", row->target_mg_per_l},
              {"min_mg_per_l", row->min_mg_per_l},
              {"max_mg_per_l", row->max_mg_per_l},
              {"residual_mg_per_l", row->residual_mg_per_l});
    value_put_text(out, "verdict", sw_verdict_text(row->verdict));
    value_put_text(out, "reason", row->reason);
    return out;
}

static cli_value *components(const sw_assessment *assessment)
{
    cli_value *out = value_array();
    for (size_t i = 0; i < SW_COMPONENT_COUNT; i++)
        value_append(out, component(&assessment->rows[i]));
    return out;
}

static cli_value *saturation(const sw_chemistry *chemistry)
{
    cli_value *out = value_array();
    for (int i = 0; i < SW_SOLID_COUNT; i++) {
        const sw_saturation *row = &chemistry->saturation[i];
        if (!row->defined)
            continue;
        cli_value *item = value_add_object(out);
        value_put_text(item, "solid", sw_solid_name((sw_solid)i));
        value_put_text(item, "formula", sw_solid_formula((sw_solid)i));
        VALUE_PUT(item, {"index", row->index}, {"ph_onset", row->ph_onset});
        value_put_text(item, "verdict",
                       report_saturation_verdict((sw_solid)i, row));
    }
    return out;
}

static cli_value *finished(const cli_report *report)
{
    const sw_assessment *assessment = report->assessment;
    const sw_chemistry *mixed = &assessment->mixed;
    cli_value *out = value_object();
    VALUE_PUT(out, {"ec_ms_per_cm", mixed->ec_ms_per_cm},
              {"ec_low_ms_per_cm", mixed->ec_low_ms_per_cm},
              {"ec_high_ms_per_cm", mixed->ec_high_ms_per_cm});
    value_put_text(out, "ec_method", "estimated from the ions");
    VALUE_PUT(out, {"ph_mixed", mixed->ph}, {"ph_aired", assessment->aired.ph},
              {"alkalinity_meq_per_l", mixed->alkalinity_meq_per_l},
              {"ionic_strength_mol_per_l", mixed->ionic_strength_mol_per_kg},
              {"osmotic_pressure_kpa", mixed->osmotic_pressure_kpa},
              {"ammonia_n_mg_per_l", mixed->ammonia_n_mg_per_l},
              {"cations_meq_per_l", mixed->cations_meq_per_l},
              {"anions_meq_per_l", mixed->anions_meq_per_l},
              {"temperature_c", report->settings->conditions.temperature_c});
    doc_put_undeclared(out, &assessment->undeclared);
    cli_meter meter;
    if (report_meter(report, &meter))
        VALUE_PUT(out, {"meter_temperature_c", report->settings->meter_c},
                  {"meter_bare_ms_per_cm", meter.bare_ms_per_cm},
                  {"meter_to_25_c", meter.to_25},
                  {"meter_two_percent_ms_per_cm", meter.two_percent_ms_per_cm});
    value_put(out, "saturation", saturation(mixed));
    return out;
}

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

static cli_value *notes(const cli_report *report)
{
    cli_value *out = value_array();
    report_visit_input_notes(report, doc_add_note, out);
    report_visit_notes(report, doc_add_note, out);
    return out;
}

static void add_reason(void *context, const sw_note *note)
{
    value_append(context, value_text(note->text));
}

static void add_change(void *context, const char *change)
{
    value_append(context, value_text(change));
}

static void put_stop(cli_value *root, const cli_report *report)
{
    if (!stop_is_asked(report))
        return;
    cli_value *stop = value_object();
    cli_value *reasons = value_array();
    cli_value *changes = value_array();
    stop_visit_reasons(report, add_reason, reasons);
    stop_visit_changes(report, add_change, changes);
    value_put(stop, "reasons", reasons);
    value_put(stop, "changes", changes);
    value_put(root, "stop", stop);
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
    value_put(root, "components", components(assessment));
    bridge_json(root, report, report_measures);
    value_put(root, "finished", finished(report));
    value_put(
        root, "guidelines",
        doc_guidelines(assessment->guidelines, assessment->guideline_count));
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
    put_stop(root, report);
    if (report->solution)
        put_solution(root, report);
    if (report->front)
        value_put(root, "trade_off", doc_front(report));
    if (report->why)
        value_put(root, "why", doc_why(report));
    if (report->conflict)
        value_put(root, "conflict", doc_conflict(report->conflict));
    value_put_number(root, "volume_l", report->settings->volume_l);
    value_put_text(root, "stage", report->inputs->stage);
    if (report->inputs->strength)
        value_put(root, "strength", strength(report->inputs));
    put_waters(root, report);
    if (report->assessment)
        put_assessment(root, report);
    bridge_json(root, report, report_premixes);
    if (report->renewal)
        value_put(root, "renewal", doc_renewal(report));
    if (report->diagnosis)
        value_put(root, "meter", doc_meter(report));
    if (report->sure)
        value_put(root, "how_sure", doc_sure(report));
    bridge_json(root, report, report_weighed);
    bridge_json(root, report, report_stock);
    bridge_json(root, report, report_steps);
    value_put(root, "notes", notes(report));
}

void doc_show_report(const cli_canvas *canvas, const cli_report *report)
{
    cli_value *root = doc_run(report->command);
    doc_put_report(root, report);
    value_write(root, canvas->out);
}
