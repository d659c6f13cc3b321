/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Each component with a target as a bar: the water, then each product that
 * brings it, over the band.  Each row has its own scale with the target, or
 * the only limit, at the same place.
 */
#include "sheet/parts.h"

#include <math.h>

#include "sheet/chart.h"
#include "sheet/escape.h"

static const char name[] = "components";
/* Where the bars begin, where the target stands, where they are cut. */
static const double left = 52.0, target_x = 202.0, right = 277.0;
static const double row_height = 24.0, bar_height = 14.0, head = 24.0;

static double place(double value, double scale)
{
    double x = left + (target_x - left) * value / scale;
    return x < right ? x : right;
}

/* The band behind the bar, with an end mark at each of its limits. */
static void put_band(FILE *out, const sw_component_row *row, double y)
{
    double scale = report_bar_scale(row);
    double from =
        isnan(row->low_mg_per_l) ? left : place(row->low_mg_per_l, scale);
    double to =
        isnan(row->high_mg_per_l) ? right : place(row->high_mg_per_l, scale);
    fprintf(out,
            "<rect x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\" "
            "fill=\"#d9dfdf\"/>\n",
            from, y - 3.0, to - from, bar_height + 6.0);
}

static void put_ends(FILE *out, const sw_component_row *row, double y)
{
    const double limits[2] = {row->low_mg_per_l, row->high_mg_per_l};
    for (int i = 0; i < 2; i++) {
        if (isnan(limits[i]))
            continue;
        double x = place(limits[i], report_bar_scale(row));
        const double above[4] = {x, y - 5.0, x, y};
        const double below[4] = {x, y + bar_height, x, y + bar_height + 5.0};
        chart_line(out, above, 2.0, NULL);
        chart_line(out, below, 2.0, NULL);
    }
}

static double put_water(FILE *out, const sw_component_row *row, double y)
{
    double x = place(row->water_mg_per_l, report_bar_scale(row));
    const double box[4] = {left, y, x - left, bar_height};
    chart_piece(out, name, CHART_HATCH, box, "");
    return row->water_mg_per_l;
}

static void put_products(const cli_sheet *sheet, const sw_component_row *row,
                         double y, double sum)
{
    const sw_shelf *shelf = sheet->report->inputs->shelf;
    double scale = report_bar_scale(row);
    for (size_t turn = 1; turn <= shelf->count; turn++) {
        size_t i = sheet_product_at(sheet, turn);
        if (i == shelf->count)
            return;
        double added = sheet->report->recipe->g_per_l[i] *
                       shelf->products[i].per_g.amount[row->component];
        double x = place(sum, scale);
        const double box[4] = {x, y, place(sum + added, scale) - x, bar_height};
        if (box[2] >= 0.5)
            chart_piece(sheet->out, name, CHART_WHITE, box,
                        sheet_letter(sheet, i).text);
        sum += added;
    }
}

static void put_row(const cli_sheet *sheet, const sw_component_row *row,
                    double y)
{
    char words[64];
    bool beyond =
        row->finished_mg_per_l / report_bar_scale(row) * (target_x - left) >
        right - left;
    bool met = row->verdict == SW_MET;
    chart_label(sheet->out, left - 6.0, y + bar_height - 2.0, "end",
                sw_component_name(row->component));
    put_band(sheet->out, row, y);
    put_products(sheet, row, y, put_water(sheet->out, row, y));
    put_ends(sheet->out, row, y);
    snprintf(
        words, sizeof words, "%s%s%s%s", beyond ? "→ " : "",
        figure_fixed(row->finished_mg_per_l, report_row_decimals(row)).text,
        met ? "" : " ", met ? "" : sw_verdict_text(row->verdict));
    chart_label(sheet->out, right + 6.0, y + bar_height - 2.0, "start", words);
}

static void describe(const cli_sheet *sheet)
{
    bool begun = false;
    escape_print(sheet->out, "Finished solution in mg/L. ");
    for (size_t i = 0; i < SW_COMPONENT_COUNT; i++) {
        const sw_component_row *row = report_row(sheet->report, i);
        int decimals = report_row_decimals(row);
        if (!report_has_bar(row))
            continue;
        escape_print(
            sheet->out, "%s%s %s, of it %s from the water, band %s: %s",
            begun ? "; " : "", sw_component_name(row->component),
            figure_fixed(row->finished_mg_per_l, decimals).text,
            row->water_reported
                ? figure_fixed(row->water_mg_per_l, decimals).text
                : "what is not reported",
            sheet_band(row->low_mg_per_l, row->high_mg_per_l, decimals).text,
            sw_verdict_text(row->verdict));
        begun = true;
    }
    fputs(begun ? "." : "No component has a target.", sheet->out);
}

static void put_scale(FILE *out, double bottom)
{
    const double target[4] = {target_x, head - 6.0, target_x, bottom};
    chart_line(out, target, 0.8, "3 2");
    chart_label(out, left, 12.0, "middle", "0");
    chart_label(out, (left + target_x) / 2.0, 12.0, "middle", "50 %");
    chart_label(out, target_x, 12.0, "middle", "target");
    chart_label(out, right + 6.0, 12.0, "start", "mg/L");
}

void chart_components(const cli_sheet *sheet)
{
    size_t rows = 0;
    double y = head;
    for (size_t i = 0; i < SW_COMPONENT_COUNT; i++)
        rows += report_has_bar(report_row(sheet->report, i));
    double bottom = head + (double)rows * row_height;
    chart_open(sheet->out, bottom, "The finished solution against its target");
    describe(sheet);
    chart_describe(sheet->out, name);
    for (size_t i = 0; i < SW_COMPONENT_COUNT; i++)
        if (report_has_bar(report_row(sheet->report, i))) {
            put_row(sheet, report_row(sheet->report, i), y);
            y += row_height;
        }
    put_scale(sheet->out, bottom);
    chart_close(sheet->out);
}
