/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Gathers what a sheet shows beyond the report: the order of mixing, how far
 * the meters may be off, the charges of the water.  Then the page is built
 * whole in memory and delivered under its name.
 */
#include "sheet/sheet.h"

#include "bridge.h"
#include "complain.h"
#include "mixing.h"
#include "output.h"
#include "report/blocks.h"
#include "sheet/escape.h"
#include "sheet/name.h"
#include "sheet/parts.h"
#include "stop.h"
#include "sure.h"

/* Page 1, for whoever weighs and mixes. */
static void put_work(const cli_sheet *sheet)
{
    cli_report with = *sheet->report;
    with.sure = sheet->spread;
    fputs("<div class=\"worker\">\n", sheet->out);
    bridge_worker(sheet->out, &with, report_worker);
    fputs("</div>\n", sheet->out);
}

static void put_page(const cli_sheet *sheet)
{
    bool stops = stop_is_asked(sheet->report);
    sheet_head(sheet->out, "Mixing sheet", sheet->report->inputs->target->name);
    fputs("<body>\n", sheet->out);
    if (stops)
        sheet_opening(sheet);
    fputs("<main>\n", sheet->out);
    if (!stops) {
        fputs("<h1>Mixing sheet</h1>\n", sheet->out);
        put_work(sheet);
        sheet_opening(sheet);
    }
    bridge_html(sheet->out, sheet->report, report_components);
    bridge_html(sheet->out, sheet->report, report_measures);
    bridge_html(sheet->out, sheet->report, report_finished);
    if (!stops) {
        bridge_html(sheet->out, sheet->report, report_safety);
        bridge_html(sheet->out, sheet->report, report_diagnosis);
        bridge_html(sheet->out, sheet->report, report_meter_log);
        bridge_html(sheet->out, sheet->report, report_stock);
    }
    bridge_html(sheet->out, sheet->report, report_sure);
    bridge_html(sheet->out, sheet->report, report_conflict);
    bridge_html(sheet->out, sheet->report, report_proof);
    bridge_html(sheet->out, sheet->report, report_why);
    bridge_html(sheet->out, sheet->report, report_trade_off);
    bridge_html(sheet->out, sheet->report, report_charges);
    bridge_html(sheet->out, sheet->report, report_assumptions);
    bridge_html(sheet->out, sheet->report, report_recipe_notes);
    sheet_closing(sheet);
    sheet_foot(sheet->out);
}

static exit_code render(const cli_report *report, cli_sheet *sheet)
{
    const char *file = report->settings->sheet;
    cli_output output;
    output_open(&output);
    sheet->out = output.stream;
    if (sheet_is_chart(file))
        bridge_chart(sheet->out, report, report_components);
    else
        put_page(sheet);
    return output_deliver(&output, file);
}

static exit_code fill_and_render(const cli_report *report)
{
    sw_uncertainty spread;
    sw_tolerances off;
    bool alone = sheet_is_chart(report->settings->sheet);
    exit_code sure = EXIT_DONE;
    if (report->sure)
        spread = *report->sure;
    else if (!alone)
        sure = sure_find(report, &off, &spread);
    cli_sheet sheet = {.report = report, .spread = alone ? NULL : &spread};
    return sure == EXIT_DONE ? render(report, &sheet) : sure;
}

exit_code sheet_put_mixing(const cli_report *report, FILE *out)
{
    sw_steps *steps;
    exit_code code = mixing_order(report, &steps);
    cli_report with = *report;
    with.steps = steps;
    if (code == EXIT_DONE)
        bridge_worker(out, &with, report_steps);
    sw_steps_free(steps);
    return code;
}

exit_code sheet_write(const cli_report *report)
{
    const char *file = report->settings->sheet;
    const char *reason = !report->assessment ? "there is no recipe"
                         : report->stock &&
                                 report->stock->outcome == SW_CONFLICT &&
                                 !stop_is_asked(report)
                             ? "these stocks do not stay dissolved"
                             : NULL;
    if (reason) {
        complain_file(file, "no sheet is written: %s", reason);
        return EXIT_UNMET;
    }
    return fill_and_render(report);
}
