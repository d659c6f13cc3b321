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
#include "sheet/name.h"
#include "sure.h"
#include "write/write.h"

static void put_page(const cli_report *report, FILE *out)
{
    doc_record *record = doc_new("report");
    report_mixing(record, report);
    write_html(record, out);
    doc_free(record);
}

static exit_code render(const cli_report *report)
{
    const char *file = report->settings->sheet;
    cli_output output;
    output_open(&output);
    if (sheet_is_chart(file))
        bridge_chart(output.stream, report, report_components);
    else
        put_page(report, output.stream);
    return output_deliver(&output, file);
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
    sw_uncertainty spread;
    sw_tolerances off;
    cli_report with = *report;
    exit_code code = EXIT_DONE;
    with.spread = report->sure ? report->sure : &spread;
    if (!report->assessment && sheet_is_chart(report->settings->sheet)) {
        complain_file(report->settings->sheet,
                      "no chart is written: there is no recipe");
        return EXIT_UNMET;
    }
    if (!report->assessment)
        with.spread = NULL;
    else if (!report->sure && report->steps)
        code = sure_find(report, &off, &spread);
    return code == EXIT_DONE ? render(&with) : code;
}
