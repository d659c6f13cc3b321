/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How near each stock tank is to losing something to the floor. */
#include "sheet/parts.h"

#include <math.h>

#include "sheet/escape.h"

static void put_tank(const cli_sheet *sheet, int tank)
{
    const sw_tank_report *row = &sheet->report->stock->tanks[tank];
    double most =
        row->highest_factor >= 1.0 ? floor(row->highest_factor) : (double)NAN;
    fprintf(sheet->out,
            "<tr><th scope=\"row\">%s</th><td class=\"number\">%s</td>"
            "<td class=\"number\">%s</td><td class=\"number\">%s</td>"
            "<td class=\"number\">%s</td><td class=\"number\">%s</td><td>",
            sheet_tank_name((sw_tank)tank),
            figure_fixed(row->salts_g_per_l, FIGURE_WHOLE).text,
            figure_fixed(row->ph, FIGURE_PH).text,
            sheet_saturation(row->saturation).text,
            sheet_saturation(row->saturation_cold).text,
            figure_fixed(most, FIGURE_WHOLE).text);
    escape_text(sheet->out, row->solid_cold[0] ? row->solid_cold : row->solid);
    if (row->saturation_cold > 1.0 && !isnan(row->coldest_c))
        fprintf(sheet->out, "<br><strong>Keep it above %.0f °C.</strong>",
                ceil(row->coldest_c));
    if (row->no_ph[0]) {
        fputs("<br>pH not estimated: ", sheet->out);
        escape_text(sheet->out, row->no_ph);
        fputs(".", sheet->out);
    }
    if (row->no_data[0]) {
        fputs("<br>No data on the solubility of ", sheet->out);
        escape_text(sheet->out, row->no_data);
        fputs(".", sheet->out);
    }
    if (row->missing[0]) {
        fputs("<br>No data on ", sheet->out);
        escape_text(sheet->out, row->missing);
        fputs(" together; bounded by the pure salts.", sheet->out);
    }
    fputs("</td></tr>\n", sheet->out);
}

static void put_table(const cli_sheet *sheet)
{
    fprintf(
        sheet->out,
        "<div class=\"scroll\" role=\"group\" tabindex=\"0\" "
        "aria-label=\"Saturation of the tanks\">\n"
        "<table class=\"dense whole\">\n<caption>Saturation in use at %.4g °C "
        "and in cold store at %.4g °C; 100 %% is the limit</caption>\n"
        "<thead><tr><td></td>"
        "<th scope=\"col\" class=\"number\">Salts, g/L</th>"
        "<th scope=\"col\" class=\"number\">pH</th>"
        "<th scope=\"col\" class=\"number\">In use</th>"
        "<th scope=\"col\" class=\"number\">Cold</th>"
        "<th scope=\"col\" class=\"number\">Highest factor</th>"
        "<th scope=\"col\">First to come out</th></tr></thead>\n<tbody>\n",
        sheet->report->setup->temperature_c, sheet->report->setup->cold_c);
    for (int t = 0; t < SW_TANKS; t++)
        if (sheet_tank_volume_l(sheet, t) > 0.0)
            put_tank(sheet, t);
    fputs("</tbody>\n</table>\n</div>\n", sheet->out);
}

void sheet_tanks(const cli_sheet *sheet)
{
    fputs("<section>\n<h2>Will the stocks stay dissolved?</h2>\n<figure>\n",
          sheet->out);
    chart_tanks(sheet);
    fputs("</figure>\n", sheet->out);
    put_table(sheet);
    fputs("</section>\n", sheet->out);
}
