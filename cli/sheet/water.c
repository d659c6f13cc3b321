/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The charges of the source water: cations and anions, drawn and in numbers. */
#include "sheet/parts.h"

#include <math.h>

#include "sheet/escape.h"

static void put_side(const cli_sheet *sheet, bool of_cations)
{
    cli_ion ions[MOST_IONS];
    size_t count = sheet_ions(sheet, of_cations, ions);
    fprintf(sheet->out, "<tr><th scope=\"row\">%s</th><td>",
            of_cations ? "Cations" : "Anions");
    for (size_t i = 0; i < count; i++)
        fprintf(sheet->out, "%s%s %s", i ? ", " : "", ions[i].name,
                figure_fixed(ions[i].meq_per_l, FIGURE_CHARGE).text);
    fprintf(sheet->out, "</td><td class=\"number\"><b>%s</b></td></tr>\n",
            figure_fixed(of_cations ? sheet->water->cations_meq_per_l
                                    : sheet->water->anions_meq_per_l,
                         FIGURE_CHARGE)
                .text);
}

static void put_table(const cli_sheet *sheet)
{
    fputs("<table class=\"dense whole\">\n<caption>Charges of the water, "
          "meq/L</caption>\n<thead><tr><td></td><th scope=\"col\">Ions</th>"
          "<th scope=\"col\" class=\"number\">Sum</th></tr></thead>\n<tbody>\n",
          sheet->out);
    put_side(sheet, true);
    put_side(sheet, false);
    fputs("</tbody>\n</table>\n", sheet->out);
}

static void put_difference(const cli_sheet *sheet)
{
    double plus = sheet->water->cations_meq_per_l;
    double minus = sheet->water->anions_meq_per_l;
    if (plus + minus <= 0.0) {
        fputs("<p>Nothing in the water carries charge.</p>\n", sheet->out);
        return;
    }
    fprintf(sheet->out,
            "<p>The two sides differ by %.1f %% of their sum; a good report "
            "stays within a few per cent. Alkalinity %.0f mg/L CaCO<sub>3"
            "</sub>, shown as HCO3.</p>\n",
            100.0 * fabs(plus - minus) / (plus + minus),
            report_as_caco3(
                sheet->report->assessment->water.amount[SW_ALKALINITY]));
}

void sheet_water(const cli_sheet *sheet)
{
    fputs("<section>\n<h2>The source water</h2>\n<figure>\n", sheet->out);
    chart_ions(sheet);
    fputs("</figure>\n", sheet->out);
    put_table(sheet);
    put_difference(sheet);
    fputs("</section>\n", sheet->out);
}
