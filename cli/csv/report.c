/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One recipe in one water, or in each of several. */
#include "parts.h"

#include "bridge.h"
#include "report/blocks.h"
#include "line.h"

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
    bridge_csv(out, report, report_proof);
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
