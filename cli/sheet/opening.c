/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The head of the sheet: what it makes, for whom, from what, and how well. */
#include "sheet/parts.h"

#include "bridge.h"
#include "report/blocks.h"
#include "stop.h"
#include "tanks.h"

static void put_lead(const cli_sheet *sheet)
{
    const cli_report *report = sheet->report;
    fputs("<p>", sheet->out);
    if (report->stock && tanks_differ(report->setup, report->stock))
        fprintf(sheet->out,
                "Stock tanks, each with its own fill and injector: enough for "
                "%s of feed.",
                sheet_volume(sheet, report->stock->feed_l).text);
    else if (report->stock)
        fprintf(sheet->out,
                "Stock tanks of %s, diluted 1 to %s: enough for %s of feed.",
                sheet_volume(sheet, report->setup->volume_l).text,
                figure_given(report->setup->factor).text,
                sheet_volume(sheet, report->stock->feed_l).text);
    else
        fprintf(sheet->out, "A reservoir of %s of finished solution.",
                sheet_volume(sheet, report->settings->volume_l).text);
    fputs("</p>\n", sheet->out);
}

void sheet_opening(const cli_sheet *sheet)
{
    bool stops = stop_is_asked(sheet->report);
    fputs(stops ? "<header>\n<h1>Not a mixing sheet</h1>\n" : "<section>\n",
          sheet->out);
    if (stops)
        bridge_html(sheet->out, sheet->report, report_stop);
    bridge_html(sheet->out, sheet->report, report_verdict);
    if (!stops)
        put_lead(sheet);
    bridge_html(sheet->out, sheet->report, report_asked);
    fputs(stops ? "</header>\n" : "</section>\n", sheet->out);
}
