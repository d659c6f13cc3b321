/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * For programs: one object a run, reference/saltwright.schema.json.  A key
 * that does not apply is absent, so every number passes through set_number.
 */
#include "render.h"

#include <jansson.h>
#include <math.h>
#include <stdlib.h>

#include "complain.h"
#include "memory.h"
#include "text/safe.h"

enum { DIGITS = 12 };

/* Adds `value` unless it is not a number. */
static void set_number(json_t *object, const char *key, double value)
{
    if (isfinite(value))
        json_object_set_new(object, key, json_real(value));
}

/* Adds `text` unless NULL or ""; bytes that are no UTF-8 are spelled out. */
static void set_text(json_t *object, const char *key, const char *text)
{
    char safe[4096];
    if (!text || !*text)
        return;
    json_t *value = json_string(text);
    if (!value) {
        text_safe(safe, sizeof safe, text);
        value = json_string(safe);
    }
    json_object_set_new(object, key, value);
}

/* "target_mg_per_l" and so on take arrays of number keys at once. */
typedef struct cli_keyed {
    const char *key;
    double value;
} cli_keyed;

static void set_numbers(json_t *object, const cli_keyed *numbers, size_t count)
{
    for (size_t i = 0; i < count; i++)
        set_number(object, numbers[i].key, numbers[i].value);
}

#define SET_NUMBERS(object, ...)                                               \
    set_numbers(object, (const cli_keyed[]){__VA_ARGS__},                      \
                sizeof((const cli_keyed[]){__VA_ARGS__}) / sizeof(cli_keyed))

static json_t *new_run(const char *command)
{
    json_t *root = json_object();
    set_text(root, "saltwright", sw_version());
    set_text(root, "command", command);
    return root;
}

static void write_json(const cli_canvas *canvas, json_t *root)
{
    if (!root || json_dumpf(root, canvas->out,
                            JSON_INDENT(2) | JSON_REAL_PRECISION(DIGITS)) != 0)
        exit((int)complain_memory());
    fputc('\n', canvas->out);
    json_decref(root);
}

static json_t *certificate(const sw_certificate *proof)
{
    json_t *out = json_object();
    SET_NUMBERS(out, {"objective", proof->objective},
                {"lower_bound", proof->lower_bound}, {"gap", proof->gap});
    return out;
}

/* The components that a water reports. */
static json_t *reported(const sw_content *per_l, const bool *is_reported)
{
    json_t *out = json_object();
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        if (is_reported[i])
            set_number(out, sw_component_name((sw_component)i),
                       per_l->amount[i]);
    return out;
}

static json_t *source_water(const cli_source *source, double share)
{
    const sw_water *water = source->water;
    json_t *out = json_object();
    set_text(out, "sample", water->sample);
    set_text(out, "file", water->file);
    set_number(out, "share", share);
    json_object_set_new(out, "components",
                        reported(&water->per_l, water->reported));
    if (water->alkalinity_reported)
        set_number(out, "alkalinity_meq_per_l",
                   water->per_l.amount[SW_ALKALINITY]);
    SET_NUMBERS(out, {"ph", water->ph}, {"ec_ms_per_cm", water->ec_ms_per_cm});
    return out;
}

static json_t *blended_water(const cli_report *report)
{
    const sw_content *water = &report->assessment->water;
    bool known[SW_COMPONENT_COUNT];
    json_t *out = json_object();
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        known[i] = report_is_reported(report, (sw_component)i);
    json_object_set_new(out, "components", reported(water, known));
    set_number(out, "alkalinity_meq_per_l", water->amount[SW_ALKALINITY]);
    return out;
}

/* `water` is what the tank is filled with; `waters` what it is blended of. */
static void set_waters(json_t *root, const cli_report *report)
{
    const cli_inputs *inputs = report->inputs;
    if (inputs->waters.count == 1) {
        json_object_set_new(
            root, "water", source_water(&inputs->waters.items[0], (double)NAN));
        return;
    }
    if (report->assessment)
        json_object_set_new(root, "water", blended_water(report));
    json_t *waters = json_array();
    for (size_t i = 0; i < inputs->waters.count; i++)
        json_array_append_new(waters, source_water(&inputs->waters.items[i],
                                                   report_share(report, i)));
    json_object_set_new(root, "waters", waters);
}

static json_t *portion_of(const cli_report *report, size_t index)
{
    cli_portion portion = report_portion(report, index);
    json_t *out = json_object();
    set_text(out, "product", portion.product->name);
    SET_NUMBERS(out, {"g_per_l", portion.g_per_l},
                {"ml_per_l", portion.ml_per_l},
                {"amount", isnan(portion.ml) ? portion.g : portion.ml});
    set_text(out, "amount_unit", isnan(portion.ml) ? "g" : "mL");
    set_number(out, "cost", portion.cost);
    set_text(out, "tank", portion.product->tank);
    return out;
}

static json_t *recipe(const cli_report *report)
{
    json_t *out = json_array();
    for (size_t i = 0; i < report->recipe->count; i++)
        if (report_uses(report, i))
            json_array_append_new(out, portion_of(report, i));
    return out;
}

static json_t *component(const sw_component_row *row)
{
    json_t *out = json_object();
    set_text(out, "component", sw_component_name(row->component));
    SET_NUMBERS(out, {"water_mg_per_l", row->water_mg_per_l},
                {"added_mg_per_l", row->added_mg_per_l},
                {"finished_mg_per_l", row->finished_mg_per_l},
                {"target_mg_per_l", row->target_mg_per_l},
                {"min_mg_per_l", row->min_mg_per_l},
                {"max_mg_per_l", row->max_mg_per_l},
                {"residual_mg_per_l", row->residual_mg_per_l});
    set_text(out, "verdict", sw_verdict_text(row->verdict));
    set_text(out, "reason", row->reason);
    return out;
}

static json_t *components(const sw_assessment *assessment)
{
    json_t *out = json_array();
    for (size_t i = 0; i < SW_COMPONENT_COUNT; i++)
        json_array_append_new(out, component(&assessment->rows[i]));
    return out;
}

/* Rows on ratios under `key` "ratio", the others under "measure". */
static json_t *measures(const sw_assessment *assessment, bool ratios)
{
    json_t *out = json_array();
    for (size_t i = 0; i < assessment->measure_count; i++) {
        const sw_measure_row *row = &assessment->measures[i];
        if ((row->kind == SW_TARGET_RATIO) != ratios)
            continue;
        json_t *item = json_object();
        set_text(item, ratios ? "ratio" : "measure", row->name);
        SET_NUMBERS(item, {"finished", row->finished}, {"target", row->target},
                    {"min", row->min}, {"max", row->max});
        set_text(item, "verdict", sw_verdict_text(row->verdict));
        json_array_append_new(out, item);
    }
    return out;
}

static json_t *saturation(const sw_chemistry *chemistry)
{
    json_t *out = json_array();
    for (int i = 0; i < SW_SOLID_COUNT; i++) {
        const sw_saturation *row = &chemistry->saturation[i];
        if (!row->defined)
            continue;
        json_t *item = json_object();
        set_text(item, "solid", sw_solid_name((sw_solid)i));
        set_text(item, "formula", sw_solid_formula((sw_solid)i));
        SET_NUMBERS(item, {"index", row->index}, {"ph_onset", row->ph_onset});
        set_text(item, "verdict", report_saturation_verdict(row));
        json_array_append_new(out, item);
    }
    return out;
}

static json_t *finished(const cli_report *report)
{
    const sw_assessment *assessment = report->assessment;
    const sw_chemistry *mixed = &assessment->mixed;
    json_t *out = json_object();
    SET_NUMBERS(out, {"ec_ms_per_cm", mixed->ec_ms_per_cm},
                {"ec_low_ms_per_cm", mixed->ec_low_ms_per_cm},
                {"ec_high_ms_per_cm", mixed->ec_high_ms_per_cm});
    set_text(out, "ec_method", "estimated from the ions");
    SET_NUMBERS(out, {"ph_mixed", mixed->ph},
                {"ph_aired", assessment->aired.ph},
                {"alkalinity_meq_per_l", mixed->alkalinity_meq_per_l},
                {"ionic_strength_mol_per_l", mixed->ionic_strength_mol_per_kg},
                {"osmotic_pressure_kpa", mixed->osmotic_pressure_kpa},
                {"cations_meq_per_l", mixed->cations_meq_per_l},
                {"anions_meq_per_l", mixed->anions_meq_per_l},
                {"temperature_c", report->settings->conditions.temperature_c});
    json_object_set_new(out, "saturation", saturation(mixed));
    return out;
}

static json_t *guidelines(const sw_guideline_row *rows, size_t count)
{
    json_t *out = json_array();
    for (size_t i = 0; i < count; i++) {
        const sw_guideline_row *row = &rows[i];
        json_t *item = json_object();
        set_text(item, "guideline", row->name);
        set_text(item, "use", row->use);
        set_text(item, "unit", row->unit);
        SET_NUMBERS(item, {"value", row->value}, {"caution", row->caution},
                    {"severe", row->severe},
                    {"purified_share", row->purified_share});
        set_text(item, "verdict", sw_fitness_text(row->fitness));
        set_text(item, "source", row->source);
        json_array_append_new(out, item);
    }
    return out;
}

static json_t *limits(const sw_solution *solution)
{
    json_t *out = json_array();
    for (size_t i = 0; i < solution->limit_count; i++) {
        json_t *item = json_object();
        set_text(item, "limit", solution->limits[i].name);
        SET_NUMBERS(item, {"bound", solution->limits[i].bound},
                    {"price", solution->limits[i].price});
        json_array_append_new(out, item);
    }
    return out;
}

static void add_note(void *context, const sw_note *note)
{
    json_t *item = json_object();
    set_text(item, "severity", sw_severity_text(note->severity));
    set_text(item, "code", note->code);
    set_text(item, "text", note->text);
    json_array_append_new(context, item);
}

static json_t *notes(const cli_report *report)
{
    json_t *out = json_array();
    report_visit_input_notes(report, add_note, out);
    report_visit_notes(report, add_note, out);
    return out;
}

static void set_solution(json_t *root, const sw_solution *solution)
{
    set_text(root, "outcome", sw_outcome_text(solution->outcome));
    set_text(root, "objective", sw_objective_text(solution->objective));
    if (isfinite(solution->certificate.gap) && solution->outcome != SW_CONFLICT)
        json_object_set_new(root, "certificate",
                            certificate(&solution->certificate));
    json_object_set_new(root, "limits", limits(solution));
}

static json_t *tank_products(const cli_report *report, sw_tank tank)
{
    json_t *out = json_array();
    for (size_t i = 0; i < report->stock->count; i++) {
        const sw_product *product = &report->inputs->shelf->products[i];
        const sw_placement *placement = &report->stock->placements[i];
        bool liquid = !isnan(product->density_g_per_ml);
        if (placement->g[tank] <= 0.0)
            continue;
        json_t *item = json_object();
        set_text(item, "product", product->name);
        set_number(item, "amount",
                   liquid ? placement->g[tank] / product->density_g_per_ml
                          : placement->g[tank]);
        set_text(item, "amount_unit", liquid ? "mL" : "g");
        set_text(item, "reason", placement->reason);
        json_array_append_new(out, item);
    }
    return out;
}

static json_t *tank(const cli_report *report, sw_tank index)
{
    const sw_tank_report *row = &report->stock->tanks[index];
    json_t *out = json_object();
    json_t *limits = json_object();
    set_text(out, "tank", sw_tank_text(index));
    SET_NUMBERS(out, {"volume_l", row->volume_l}, {"ratio", row->ratio},
                {"salts_g_per_l", row->salts_g_per_l}, {"ph", row->ph});
    json_object_set_new(out, "products", tank_products(report, index));
    SET_NUMBERS(limits, {"saturation", row->saturation},
                {"saturation_cold", row->saturation_cold},
                {"coldest_c", row->coldest_c},
                {"highest_factor", row->highest_factor});
    set_text(limits, "solid", row->solid);
    set_text(limits, "solid_cold", row->solid_cold);
    set_text(limits, "missing", row->missing);
    json_object_set_new(out, "limits", limits);
    return out;
}

static json_t *steps(const cli_report *report)
{
    json_t *out = json_array();
    for (size_t i = 0; report->steps && i < report->steps->count; i++) {
        const sw_step *step = &report->steps->items[i];
        json_t *item = json_object();
        set_text(item, "kind", sw_step_text(step->kind));
        if (step->tank < SW_TANKS)
            set_text(item, "tank", sw_tank_text(step->tank));
        if (step->kind == SW_STEP_ADD) {
            set_text(item, "product",
                     report->inputs->shelf->products[step->product].name);
            set_number(item, "g", step->g);
        }
        set_text(item, "text", step->text);
        set_text(item, "caution", step->caution);
        json_array_append_new(out, item);
    }
    return out;
}

static json_t *stock(const cli_report *report)
{
    const sw_stock *row = report->stock;
    json_t *out = json_object();
    json_t *tanks = json_array();
    set_text(out, "outcome", sw_outcome_text(row->outcome));
    SET_NUMBERS(out, {"factor", report->setup->factor},
                {"highest_factor", row->highest_factor});
    if (row->outcome != SW_CONFLICT)
        SET_NUMBERS(out, {"feed_l", row->feed_l},
                    {"cost_per_fill", row->cost_per_fill});
    set_text(out, "limit", row->limit);
    for (int i = 0; i < SW_TANKS; i++)
        if (row->tanks[i].volume_l > 0.0)
            json_array_append_new(tanks, tank(report, (sw_tank)i));
    json_object_set_new(out, "tanks", tanks);
    json_object_set_new(out, "steps", steps(report));
    return out;
}

static void set_assessment(json_t *root, const cli_report *report)
{
    const sw_assessment *assessment = report->assessment;
    json_object_set_new(root, "all_met", json_boolean(assessment->all_met));
    json_object_set_new(root, "recipe", recipe(report));
    set_number(root, "cost", report_cost(report));
    json_object_set_new(root, "components", components(assessment));
    json_object_set_new(root, "ratios", measures(assessment, true));
    json_object_set_new(root, "measures", measures(assessment, false));
    json_object_set_new(root, "finished", finished(report));
    json_object_set_new(
        root, "guidelines",
        guidelines(assessment->guidelines, assessment->guideline_count));
}

static void set_report(json_t *root, const cli_report *report)
{
    if (report->solution)
        set_solution(root, report->solution);
    set_number(root, "volume_l", report->settings->volume_l);
    set_waters(root, report);
    if (report->assessment)
        set_assessment(root, report);
    if (report->stock)
        json_object_set_new(root, "stock", stock(report));
    json_object_set_new(root, "notes", notes(report));
}

static void show_report(const cli_canvas *canvas, const cli_report *report)
{
    json_t *root = new_run(report->command);
    set_report(root, report);
    write_json(canvas, root);
}

static void show_comparison(const cli_canvas *canvas,
                            const cli_comparison *comparison)
{
    json_t *root = new_run("compare");
    json_t *runs = json_array();
    for (size_t i = 0; i < comparison->count; i++) {
        json_t *run = json_object();
        set_report(run, comparison->reports[i]);
        json_array_append_new(runs, run);
    }
    json_object_set_new(root, "runs", runs);
    write_json(canvas, root);
}

typedef struct batch_state {
    const cli_canvas *canvas;
    json_t *root;
    json_t *runs;
} batch_state;

static void *begin_batch(const cli_canvas *canvas, const cli_inputs *shared,
                         const cli_settings *settings)
{
    batch_state *state = memory_array(1, sizeof *state);
    (void)shared;
    *state = (batch_state){canvas, new_run("batch"), json_array()};
    set_text(state->root, "objective", sw_objective_text(settings->objective));
    return state;
}

/* What a batch tells of the finished solution. */
static void set_brief(json_t *row, const cli_report *report)
{
    const sw_assessment *assessment = report->assessment;
    json_t *amounts = json_object();
    json_t *contents = json_object();
    for (size_t i = 0; i < report->recipe->count; i++)
        if (report_uses(report, i))
            set_number(amounts, report->inputs->shelf->products[i].name,
                       report->recipe->g_per_l[i]);
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        set_number(contents, sw_component_name((sw_component)i),
                   assessment->finished.amount[i]);
    json_object_set_new(row, "all_met", json_boolean(assessment->all_met));
    json_object_set_new(row, "g_per_l", amounts);
    json_object_set_new(row, "finished_mg_per_l", contents);
    SET_NUMBERS(row, {"ec_ms_per_cm", assessment->mixed.ec_ms_per_cm},
                {"ph_mixed", assessment->mixed.ph},
                {"ph_aired", assessment->aired.ph},
                {"cost_per_m3", assessment->cost_per_m3});
}

static void add_batch_row(void *opaque, const sw_water *water,
                          const cli_report *report)
{
    batch_state *state = opaque;
    json_t *row = json_object();
    set_text(row, "sample", water->sample);
    set_text(row, "outcome",
             report ? sw_outcome_text(report->solution->outcome) : "failed");
    if (report && report->assessment) {
        json_object_set_new(row, "certificate",
                            certificate(&report->solution->certificate));
        set_brief(row, report);
    }
    json_array_append_new(state->runs, row);
}

static void end_batch(void *opaque)
{
    batch_state *state = opaque;
    json_object_set_new(state->root, "runs", state->runs);
    write_json(state->canvas, state->root);
    free(state);
}

static json_t *checks(const sw_audit_report *report)
{
    json_t *out = json_array();
    for (size_t i = 0; i < report->check_count; i++) {
        const sw_check_row *row = &report->checks[i];
        json_t *item = json_object();
        set_text(item, "check", row->name);
        set_text(item, "finding", sw_finding_text(row->finding));
        SET_NUMBERS(item, {"reported", row->reported},
                    {"reckoned", row->reckoned}, {"value", row->value},
                    {"low", row->low}, {"high", row->high});
        set_text(item, "unit", row->unit);
        set_text(item, "measure", row->measure);
        set_text(item, "reason", row->reason);
        set_text(item, "source", row->source);
        json_array_append_new(out, item);
    }
    return out;
}

static json_t *rereadings(const sw_audit_report *report)
{
    json_t *out = json_array();
    for (size_t i = 0; i < report->rereading_count; i++) {
        json_t *item = json_object();
        set_text(item, "read_as", report->rereadings[i].read_as);
        set_text(item, "text", report->rereadings[i].text);
        SET_NUMBERS(item, {"score", report->rereadings[i].score},
                    {"share", report->rereadings[i].share});
        json_array_append_new(out, item);
    }
    return out;
}

static void show_audit(const cli_canvas *canvas, const cli_audit *audit)
{
    const sw_audit_report *report = audit->report;
    const sw_notes *read =
        audit->source->waters ? &audit->source->waters->notes : NULL;
    json_t *root = new_run("audit");
    json_t *list = json_array();
    json_object_set_new(root, "water",
                        source_water(audit->source, (double)NAN));
    set_number(root, "score", report->score);
    json_object_set_new(root, "checks", checks(report));
    json_object_set_new(root, "rereadings", rereadings(report));
    json_object_set_new(root, "fitness",
                        guidelines(report->fitness, report->fitness_count));
    for (size_t i = 0; read && i < read->count; i++)
        add_note(list, &read->items[i]);
    for (size_t i = 0; i < report->notes.count; i++)
        add_note(list, &report->notes.items[i]);
    json_object_set_new(root, "notes", list);
    write_json(canvas, root);
}

static json_t *product(const sw_product *product)
{
    json_t *out = json_object();
    json_t *content = json_object();
    json_t *hazards = json_array();
    for (const cli_hazard *hazard = catalogue_hazards; hazard->bit; hazard++)
        if (product->hazards & hazard->bit)
            json_array_append_new(hazards, json_string(hazard->word));
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        if (product->per_g.amount[i] > 0.0)
            set_number(content, sw_component_name((sw_component)i),
                       product->per_g.amount[i]);
    set_text(out, "product", product->name);
    set_text(out, "formula", product->formula);
    SET_NUMBERS(out, {"purity", product->purity},
                {"density_g_per_ml", product->density_g_per_ml},
                {"alkalinity_meq_per_g", product->per_g.amount[SW_ALKALINITY]});
    json_object_set_new(out, "mg_per_g", content);
    json_object_set_new(out, "hazards", hazards);
    set_text(out, "source", product->source);
    return out;
}

static void show_catalogue(const cli_canvas *canvas,
                           const cli_catalogue *catalogue)
{
    json_t *root = new_run("catalogue");
    json_t *products = json_array();
    json_t *hydrates = json_array();
    for (size_t i = 0; i < catalogue->count; i++)
        if (!catalogue->one || catalogue->one == catalogue->products[i])
            json_array_append_new(products, product(catalogue->products[i]));
    json_object_set_new(root, "products", products);
    for (size_t i = 0; i < catalogue->hydrate_count; i++)
        json_array_append_new(
            hydrates, json_pack("{s:s, s:f}", "product",
                                catalogue->hydrates[i].product->name, "g_per_g",
                                catalogue->hydrates[i].g_per_g));
    if (catalogue->one)
        json_object_set_new(root, "hydrates", json_incref(hydrates));
    json_decref(hydrates);
    write_json(canvas, root);
}

static const cli_batch_renderer batch = {begin_batch, add_batch_row, end_batch};

const cli_renderer render_json = {.report = show_report,
                                  .comparison = show_comparison,
                                  .batch = &batch,
                                  .audit = show_audit,
                                  .catalogue = show_catalogue};
