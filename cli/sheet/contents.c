/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What the crop gets: the chart, and its numbers as a table.
 */
#include "sheet/parts.h"

#include <math.h>
#include <string.h>

#include "bridge.h"
#include "report/blocks.h"
#include "sheet/escape.h"

static const char *verdict_of(sw_verdict verdict)
{
    return verdict == SW_VERDICT_NONE ? "no target" : sw_verdict_text(verdict);
}

/* "water 104, a 36.2": where the component comes from. */
static void put_origins(const cli_sheet *sheet, const sw_component_row *row)
{
    const cli_report *report = sheet->report;
    int decimals = report_row_decimals(row);
    double least = 0.5 * pow(10.0, -decimals);
    bool begun = row->water_mg_per_l >= least;
    if (begun)
        fprintf(sheet->out, "water %s",
                figure_fixed(row->water_mg_per_l, decimals).text);
    for (size_t turn = 1; turn <= report->inputs->shelf->count; turn++) {
        size_t i = sheet_product_at(sheet, turn);
        if (i == report->inputs->shelf->count)
            break;
        double added =
            report->recipe->g_per_l[i] *
            report->inputs->shelf->products[i].per_g.amount[row->component];
        if (added < least)
            continue;
        fprintf(sheet->out, "%s<i class=\"key\">%s</i> %s", begun ? ", " : "",
                sheet_letter(sheet, i).text,
                figure_fixed(added, decimals).text);
        begun = true;
    }
}

static void put_component(const cli_sheet *sheet, const sw_component_row *row)
{
    int decimals = report_row_decimals(row);
    bool unmet = row->verdict == SW_SHORT || row->verdict == SW_OVER;
    fprintf(sheet->out,
            "<tr%s><th scope=\"row\">%s</th><td class=\"number\">%s</td>"
            "<td class=\"number\">%s</td><td>%s</td><td class=\"origin\">",
            unmet ? " class=\"unmet\"" : "", sw_component_name(row->component),
            figure_fixed(row->finished_mg_per_l, decimals).text,
            sheet_band(row->low_mg_per_l, row->high_mg_per_l, decimals).text,
            verdict_of(row->verdict));
    put_origins(sheet, row);
    if (row->reason[0]) {
        fputs("<br>", sheet->out);
        escape_text(sheet->out, row->reason);
    }
    fputs("</td></tr>\n", sheet->out);
}

static void put_components(const cli_sheet *sheet)
{
    fputs("<div class=\"scroll\" role=\"group\" tabindex=\"0\" "
          "aria-label=\"Components of the finished solution\">\n"
          "<table class=\"dense\">\n<caption>Components of the finished "
          "solution, mg/L</caption>\n<thead><tr><td></td>"
          "<th scope=\"col\" class=\"number\">Finished</th>"
          "<th scope=\"col\" class=\"number\">Band</th>"
          "<th scope=\"col\">Verdict</th><th scope=\"col\">Comes from</th>"
          "</tr></thead>\n<tbody>\n",
          sheet->out);
    for (size_t i = 0; i < SW_COMPONENT_COUNT; i++)
        if (report_shows(report_row(sheet->report, i)))
            put_component(sheet, report_row(sheet->report, i));
    fputs("</tbody>\n</table>\n</div>\n", sheet->out);
}

void sheet_contents(const cli_sheet *sheet)
{
    fputs("<section>\n<h2>What the crop gets</h2>\n<figure>\n", sheet->out);
    chart_components(sheet);
    fputs("<figcaption>Each row on its own scale, the target at 100 %. "
          "Hatched: from the water. Letters: the products as lettered on this "
          "sheet. Grey with end marks: the band in which a target counts "
          "as met.</figcaption>\n</figure>\n",
          sheet->out);
    put_components(sheet);
    fputs("</section>\n", sheet->out);
    bridge_html(sheet->out, sheet->report, report_measures);
}
