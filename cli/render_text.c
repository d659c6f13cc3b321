/* SPDX-License-Identifier: GPL-3.0-or-later */
/* For a person at a terminal; the parts live in text/. */
#include "render.h"

#include "bridge.h"
#include "report/blocks.h"
#include "stop.h"
#include "text/page.h"

static void show_report(const cli_canvas *canvas, const cli_report *report)
{
    cli_page page = {canvas->out, canvas->colour};
    if (stop_is_asked(report))
        bridge_first(&page, report, report_stop);
    (stop_is_asked(report) ? bridge_text : bridge_first)(&page, report,
                                                         report_verdict);
    bridge_text(&page, report, report_asked);
    bridge_text(&page, report, report_renewal);
    if (!report->assessment) {
        bridge_text(&page, report, report_conflict);
    } else {
        bridge_text(&page, report, report_stock);
        bridge_text(&page, report, report_recipe);
        bridge_text(&page, report, report_steps);
        bridge_text(&page, report, report_weighed);
        bridge_text(&page, report, report_premixes);
        bridge_text(&page, report, report_components);
        bridge_text(&page, report, report_measures);
        bridge_text(&page, report, report_finished);
        bridge_text(&page, report, report_diagnosis);
        bridge_text(&page, report, report_sure);
        bridge_text(&page, report, report_assessed_limits);
        bridge_text(&page, report, report_conflict);
        bridge_text(&page, report, report_proof);
        bridge_text(&page, report, report_why);
        bridge_text(&page, report, report_trade_off);
    }
    bridge_text(&page, report, report_recipe_notes);
    bridge_text(&page, report, report_safety);
}

const cli_renderer render_text = {.report = show_report};
