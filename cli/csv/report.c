/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One recipe in one water, or in each of several. */
#include <math.h>

#include "parts.h"

#include "../words.h"
#include "bridge.h"
#include "report/blocks.h"
#include "line.h"
#include "stop.h"

static void put_certificate(const cli_lines *out, const char *of,
                            const sw_certificate *proof)
{
    LINE_NUMBERS(out, "certificate", of, {"objective", proof->objective, ""},
                 {"lower bound", proof->lower_bound, ""},
                 {"gap", proof->gap, ""});
}

static void put_reason(void *context, const sw_note *note)
{
    line_word(context, (cli_cell){"stop", "", "reason"}, note->text);
}

static void put_change(void *context, const char *change)
{
    line_word(context, (cli_cell){"stop", "", "change"}, change);
}

/* What the certificate is under. */
static void put_proof(const cli_lines *out, const cli_report *report)
{
    const sw_solution *solution = report->solution;
    const sw_shelf *shelf = report->inputs->shelf;
    line_number(out, (cli_cell){"certificate", "", "ionic strength"},
                solution->certificate.ionic_strength_mol_per_kg, "mol/kg");
    for (size_t i = 0; i < solution->within_count; i++)
        if (!solution->within[i].binds)
            line_number(out,
                        (cli_cell){"within", solution->within[i].name, "bound"},
                        solution->within[i].bound, "");
    for (size_t j = 0; solution->left_out && j < shelf->count; j++)
        if (solution->left_out[j] != SW_IN_USE)
            line_word(out,
                      (cli_cell){"left out", shelf->products[j].name, "rule"},
                      sw_left_out_text(solution->left_out[j]));
}

static void put_fewest(const cli_lines *out, const cli_report *report)
{
    const sw_fewer *fewer = &report->solution->fewer;
    if (!words_has_fewest(report))
        return;
    LINE_NUMBERS(
        out, "fewest", "", {"equal within", report->settings->equal_share, ""},
        {"products", (double)fewer->products, ""},
        {"pH within", fewer->ph_apart, ""},
        {"moved share", fewer->moved_share, ""},
        {"deviations", fewer->closest.count ? fewer->objective : NAN, ""});
    line_word(out, (cli_cell){"fewest", "", "proved"},
              fewer->proved ? "yes" : "no");
    for (size_t i = 0; i < fewer->closest.count; i++)
        if (!report_uses(report, i) &&
            fewer->closest.g_per_l[i] > report_least_g_per_l())
            line_number(out,
                        (cli_cell){"fewest",
                                   report->inputs->shelf->products[i].name,
                                   "left out"},
                        fewer->closest.g_per_l[i], "g/L");
}

static void put_run(const cli_lines *out, const cli_report *report)
{
    const sw_solution *solution = report->solution;
    line_word(out, (cli_cell){"run", "", "saltwright"}, sw_version());
    line_word(out, (cli_cell){"run", "", "command"}, report->command);
    line_number(out, (cli_cell){"run", "", "volume"},
                report->settings->volume_l, "L");
    line_word(out, (cli_cell){"run", "", "stage"}, report->inputs->stage);
    if (report->inputs->strength)
        line_number(out, (cli_cell){"run", "", "strength"},
                    report->inputs->strength->factor, "");
    if (!solution)
        return;
    line_word(out, (cli_cell){"run", "", "outcome"},
              sw_outcome_text(solution->outcome));
    line_word(out, (cli_cell){"run", "", "objective"},
              sw_objective_text(solution->objective));
    for (size_t i = 0; i < solution->limit_count; i++)
        line_number(out, (cli_cell){"limit", solution->limits[i].name, "bound"},
                    solution->limits[i].bound, "");
    if (solution->outcome == SW_CONFLICT)
        return;
    put_certificate(out, "", report_certificate(report));
    put_proof(out, report);
    put_fewest(out, report);
    if (report_in_steps(report))
        put_certificate(out, "before whole steps", &solution->certificate);
}

static void put_waters(const cli_lines *out, const cli_report *report)
{
    for (size_t i = 0; i < report->inputs->waters.count; i++) {
        const sw_water *water = report->inputs->waters.items[i].water;
        line_number(out, (cli_cell){"water", water->sample, "share"},
                    report_share(report, i), "");
        line_water(out, water);
    }
}

static void put_component(const cli_lines *out, const sw_component_row *row)
{
    const char *name = sw_component_name(row->component);
    LINE_NUMBERS(
        out, "component", name, {"water", report_water_part(row), "mg/L"},
        {"water unseen", report_water_unseen(row), "mg/L"},
        {"added", row->added_mg_per_l, "mg/L"},
        {"finished", row->finished_mg_per_l, "mg/L"},
        {"target", row->target_mg_per_l, "mg/L"},
        {"min", row->min_mg_per_l, "mg/L"}, {"max", row->max_mg_per_l, "mg/L"},
        {"residual", row->residual_mg_per_l, "mg/L"});
    line_word(out, (cli_cell){"component", name, "verdict"},
              sw_verdict_text(row->verdict));
    line_word(out, (cli_cell){"component", name, "reason"}, row->reason);
}

static void put_meter(const cli_lines *out, const cli_report *report)
{
    cli_meter meter;
    if (!report_meter(report, &meter))
        return;
    LINE_NUMBERS(out, "finished", "meter",
                 {"temperature", report->settings->meter_c, "degC"},
                 {"EC bare", meter.bare_ms_per_cm, "mS/cm"},
                 {"factor to 25 degC", meter.to_25, ""},
                 {"EC by 2 %", meter.two_percent_ms_per_cm, "mS/cm"});
}

/* What labels leave open; a line of text where it matters. */
static void put_undeclared(const cli_lines *out, const sw_undeclared *u)
{
    if (!(u->anions_meq_per_l > 0 || u->cations_meq_per_l > 0 || u->text[0]))
        return;
    LINE_NUMBERS(out, "finished", "undeclared",
                 {"anions", u->anions_meq_per_l, "meq/L"},
                 {"cations", u->cations_meq_per_l, "meq/L"},
                 {"open acid", u->open_acid_meq_per_l, "meq/L"},
                 {"open base", u->open_base_meq_per_l, "meq/L"},
                 {"pH lowest", u->ph_low, ""}, {"pH highest", u->ph_high, ""},
                 {"acid or base until pH, low", u->until_ph_low, ""},
                 {"acid or base until pH, high", u->until_ph_high, ""},
                 {"EC lowest", u->ec_low_ms_per_cm, "mS/cm"},
                 {"EC highest", u->ec_high_ms_per_cm, "mS/cm"},
                 {"Cl at most", u->cl_mg_per_l, "mg/L"},
                 {"Na at most", u->na_mg_per_l, "mg/L"});
    if (u->text[0])
        line_word(out, (cli_cell){"finished", "undeclared", "text"}, u->text);
}

static void put_solution(const cli_lines *out, const cli_report *report)
{
    const sw_assessment *assessment = report->assessment;
    const sw_chemistry *mixed = &assessment->mixed;
    LINE_NUMBERS(out, "finished", "", {"EC", mixed->ec_ms_per_cm, "mS/cm"},
                 {"EC low", mixed->ec_low_ms_per_cm, "mS/cm"},
                 {"EC high", mixed->ec_high_ms_per_cm, "mS/cm"},
                 {"pH mixed", mixed->ph, ""},
                 {"pH aired", assessment->aired.ph, ""},
                 {"alkalinity", mixed->alkalinity_meq_per_l, "meq/L"},
                 {"osmotic pressure", mixed->osmotic_pressure_kpa, "kPa"});
    put_undeclared(out, &assessment->undeclared);
    put_meter(out, report);
    for (int i = 0; i < SW_SOLID_COUNT; i++) {
        const sw_saturation *row = &mixed->saturation[i];
        const char *name = sw_solid_name((sw_solid)i);
        if (!row->defined)
            continue;
        line_number(out, (cli_cell){"saturation", name, "index"}, row->index,
                    "");
        line_word(out, (cli_cell){"saturation", name, "verdict"},
                  report_saturation_verdict((sw_solid)i, row));
    }
}

void lines_put_report(const cli_lines *out, const cli_report *report)
{
    const sw_assessment *assessment = report->assessment;
    cli_lines copy = *out;
    if (stop_is_asked(report)) {
        stop_visit_reasons(report, put_reason, &copy);
        stop_visit_changes(report, put_change, &copy);
    }
    put_run(out, report);
    put_waters(out, report);
    if (assessment) {
        bridge_csv(out, report, report_recipe);
        line_number(out, (cli_cell){"run", "", "cost"}, report_cost(report),
                    "");
        for (size_t i = 0; i < SW_COMPONENT_COUNT; i++)
            put_component(out, &assessment->rows[i]);
        bridge_csv(out, report, report_measures);
        put_solution(out, report);
        line_guidelines(out, assessment->guidelines,
                        assessment->guideline_count);
    }
    bridge_csv(out, report, report_weighed);
    bridge_csv(out, report, report_premixes);
    if (report->renewal)
        lines_renewal(out, report);
    if (report->diagnosis)
        lines_meter(out, report);
    if (report->sure)
        lines_sure(out, report);
    if (report->front)
        lines_front(out, report);
    if (report->why)
        lines_why(out, report);
    if (report->conflict)
        line_conflict(out, report->conflict);
    bridge_csv(out, report, report_stock);
    bridge_csv(out, report, report_steps);
    report_visit_input_notes(report, line_note, &copy);
    report_visit_notes(report, line_note, &copy);
}

void lines_show_report(const cli_canvas *canvas, const cli_report *report)
{
    cli_lines out = {canvas->out, NULL};
    line_header(&out, "");
    lines_put_report(&out, report);
}
