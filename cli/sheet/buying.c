/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to buy for so many fills of the tanks, to take to the merchant. */
#include "buying.h"

#include <math.h>

#include "sheet/escape.h"
#include "sheet/parts.h"

static void put_row(const cli_sheet *sheet, size_t index)
{
    const cli_report *report = sheet->report;
    cli_purchase bought = buying_of(report, index);
    if (!(bought.g > 0.0))
        return;
    fputs("<tr><td class=\"box\"><span class=\"square\"></span></td>"
          "<th scope=\"row\">",
          sheet->out);
    escape_name(sheet->out, report->inputs->shelf->products[index].name);
    fprintf(sheet->out,
            "</th><td class=\"number\">%s</td><td class=\"number\"><b>%s</b>"
            "</td><td class=\"number\">%s</td></tr>\n",
            buying_needed(report, index, &bought).text,
            buying_packs(report, index, &bought).text,
            figure_fixed(bought.cost, FIGURE_COST).text);
}

void sheet_buying(const cli_sheet *sheet)
{
    const cli_report *report = sheet->report;
    double total = buying_cost(report);
    if (!buying_shows(report))
        return;
    fprintf(sheet->out,
            "<section>\n<h2>%s</h2>\n<table class=\"buy\">\n<thead><tr>"
            "<th scope=\"col\" class=\"box\">Have</th>"
            "<th scope=\"col\">Product</th>"
            "<th scope=\"col\" class=\"number\">Needed</th>"
            "<th scope=\"col\" class=\"number\">Whole packs</th>"
            "<th scope=\"col\" class=\"number\">Cost</th></tr></thead>\n"
            "<tbody>\n",
            buying_title(report).text);
    for (size_t i = 0; i < report->stock->count; i++)
        put_row(sheet, i);
    fputs("</tbody>\n</table>\n", sheet->out);
    if (!isnan(total))
        fprintf(sheet->out,
                "<p>Together <strong>%s</strong> in the currency of the "
                "shelf's prices.</p>\n",
                figure_fixed(total, FIGURE_COST).text);
    fputs("</section>\n", sheet->out);
}
