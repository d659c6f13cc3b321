/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One recipe in one water, or in each of several. */
#include <math.h>

#include "parts.h"

#include "../words.h"
#include "bridge.h"
#include "report/blocks.h"
#include "line.h"

static void put_certificate(const cli_lines *out, const char *of,
                            const sw_certificate *proof)
{
    LINE_NUMBERS(out, "certificate", of, {"objective", proof->objective, ""},
                 {"lower bound", proof->lower_bound, ""},
                 {"gap", proof->gap, ""});
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
                        (cli_cell){"within", solution->within[i].name,
                                   solution->within[i].missed ? "missed bound"
                                                              : "bound"},
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

void lines_put_report(const cli_lines *out, const cli_report *report)
{
    const sw_assessment *assessment = report->assessment;
    bridge_csv(out, report, report_stop);
    put_run(out, report);
    bridge_csv(out, report, report_verdict);
    bridge_csv(out, report, report_asked);
    bridge_csv(out, report, report_waters);
    if (assessment) {
        bridge_csv(out, report, report_recipe);
        line_number(out, (cli_cell){"run", "", "cost"}, report_cost(report),
                    "");
        bridge_csv(out, report, report_charges);
        bridge_csv(out, report, report_components);
        bridge_csv(out, report, report_measures);
        bridge_csv(out, report, report_finished);
        bridge_csv(out, report, report_assessed_limits);
    }
    bridge_csv(out, report, report_weighed);
    bridge_csv(out, report, report_premixes);
    bridge_csv(out, report, report_renewal);
    bridge_csv(out, report, report_diagnosis);
    bridge_csv(out, report, report_sure);
    bridge_csv(out, report, report_trade_off);
    bridge_csv(out, report, report_why);
    bridge_csv(out, report, report_conflict);
    bridge_csv(out, report, report_stock);
    bridge_csv(out, report, report_steps);
    bridge_csv(out, report, report_recipe_notes);
    bridge_csv(out, report, report_safety);
}

void lines_show_report(const cli_canvas *canvas, const cli_report *report)
{
    cli_lines out = {canvas->out, NULL};
    line_header(&out, "");
    lines_put_report(&out, report);
}
