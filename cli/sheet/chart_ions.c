/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cations over anions on one scale: two bars of one length are a balance. */
#include "sheet/parts.h"

#include <math.h>

#include "sheet/chart.h"
#include "sheet/escape.h"

static const char name[] = "ions";
static const double left = 58.0, right = 318.0;

static void put_side(const cli_sheet *sheet, bool cations, double y,
                     double units_per_meq)
{
    static const chart_fill fills[] = {CHART_HATCH, CHART_WHITE, CHART_DOTS};
    cli_ion ions[MOST_IONS];
    size_t count = sheet_ions(sheet, cations, ions);
    double x = left;
    for (size_t i = 0; i < count; i++) {
        const double box[4] = {x, y, ions[i].meq_per_l * units_per_meq, 24.0};
        chart_piece(sheet->out, name, fills[i % 3], box, ions[i].name);
        x += box[2];
    }
    chart_label(sheet->out, left - 6.0, y + 16.0, "end",
                cations ? "cations" : "anions");
    chart_label(sheet->out, x + 6.0, y + 16.0, "start",
                figure_fixed(cations ? sheet->water->cations_meq_per_l
                                     : sheet->water->anions_meq_per_l,
                             FIGURE_CHARGE)
                    .text);
}

static void describe_side(const cli_sheet *sheet, bool cations)
{
    cli_ion ions[MOST_IONS];
    size_t count = sheet_ions(sheet, cations, ions);
    escape_print(sheet->out, "%s %s meq/L", cations ? "Cations" : " Anions",
                 figure_fixed(cations ? sheet->water->cations_meq_per_l
                                      : sheet->water->anions_meq_per_l,
                              FIGURE_CHARGE)
                     .text);
    for (size_t i = 0; i < count; i++)
        escape_print(sheet->out, "%s%s %s", i ? ", " : ": ", ions[i].name,
                     figure_fixed(ions[i].meq_per_l, FIGURE_CHARGE).text);
    fputc('.', sheet->out);
}

void chart_ions(const cli_sheet *sheet)
{
    double most =
        fmax(sheet->water->cations_meq_per_l, sheet->water->anions_meq_per_l);
    double scale = most > 0.0 ? (right - left) / most : 0.0;
    chart_open(sheet->out, 84.0, "Charges of the source water");
    describe_side(sheet, true);
    describe_side(sheet, false);
    chart_describe(sheet->out, name);
    chart_label(sheet->out, CHART_WIDTH, 12.0, "end", "meq/L");
    put_side(sheet, true, 22.0, scale);
    put_side(sheet, false, 54.0, scale);
    chart_close(sheet->out);
}
