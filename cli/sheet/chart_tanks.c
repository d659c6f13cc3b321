/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Saturation of each tank, warm and cold, against the line at 100 %. */
#include "sheet/parts.h"

#include <math.h>

#include "sheet/chart.h"
#include "sheet/escape.h"

static const char name[] = "tanks";
static const double left = 122.0, limit_x = 290.0, right = 318.0;
static const double row_height = 26.0, head = 22.0;

static void put_bar(const cli_sheet *sheet, int tank, bool cold, double y)
{
    const sw_tank_report *row = &sheet->report->stock->tanks[tank];
    const sw_stock_setup *setup = sheet->report->setup;
    double saturation = cold ? row->saturation_cold : row->saturation;
    double x = isnan(saturation) ? left : left + (limit_x - left) * saturation;
    const double box[4] = {left, y, fmin(x, right) - left, 16.0};
    char words[64];
    snprintf(words, sizeof words, "%s, %.4g °C", sheet_tank_name((sw_tank)tank),
             cold ? setup->cold_c : setup->temperature_c);
    chart_label(sheet->out, left - 6.0, y + 12.0, "end", words);
    chart_piece(sheet->out, name, cold ? CHART_DOTS : CHART_HATCH, box, "");
    chart_label(sheet->out, CHART_WIDTH, y + 12.0, "end",
                sheet_saturation(saturation).text);
}

static void describe(const cli_sheet *sheet)
{
    const sw_stock_setup *setup = sheet->report->setup;
    for (int t = 0; t < SW_TANKS; t++) {
        const sw_tank_report *row = &sheet->report->stock->tanks[t];
        if (sheet_tank_volume_l(sheet, t) > 0.0)
            escape_print(
                sheet->out, "%s: %s at %.4g °C, %s at %.4g °C. ",
                sheet_tank_name((sw_tank)t),
                sheet_saturation(row->saturation).text, setup->temperature_c,
                sheet_saturation(row->saturation_cold).text, setup->cold_c);
    }
    fputs("Above 100 % something comes out.", sheet->out);
}

void chart_tanks(const cli_sheet *sheet)
{
    double y = head;
    size_t rows = 0;
    for (int t = 0; t < SW_TANKS; t++)
        rows += sheet_tank_volume_l(sheet, t) > 0.0 ? 2 : 0;
    double bottom = head + (double)rows * row_height;
    const double limit[4] = {limit_x, head - 6.0, limit_x, bottom};
    chart_open(sheet->out, bottom, "Saturation of the stock tanks");
    describe(sheet);
    chart_describe(sheet->out, name);
    for (int t = 0; t < SW_TANKS; t++)
        for (int cold = 0; cold < 2 && sheet_tank_volume_l(sheet, t) > 0.0;
             cold++) {
            put_bar(sheet, t, cold, y);
            y += row_height;
        }
    chart_line(sheet->out, limit, 1.6, "4 2");
    chart_label(sheet->out, limit_x, 12.0, "middle", "100 %: saturated");
    chart_close(sheet->out);
}
