/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Charts of a comparison: what decides, a bar a column; how far each component
 * lies from its target; the shares of a mix.  Columns carry their number, the
 * chosen one is hatched.
 */
#include "sheet/waters.h"

#include <math.h>
#include <string.h>

#include "memory.h"
#include "sheet/chart.h"
#include "write/escape.h"
#include "text/safe.h"

enum { NAME_BYTES = 256 };

static const double left = 112.0;
static const double right = 300.0;
static const double head = 26.0;
static const double lane = 17.0;
/* Deviations are drawn to this share of the target. */
static const double widest = 0.3;
/* Rows in which no column is off by this are left out. */
static const double least_off = 0.01;

/* "2 town", cut to what stands left of a chart. */
static void label_of(const cli_comparison *comparison, size_t column,
                     char label[NAME_BYTES])
{
    char name[NAME_BYTES];
    text_safe(name, sizeof name, comparison->names[column]);
    snprintf(label, NAME_BYTES, "%zu %.200s", column + 1, name);
    label[chart_fit(label, left - 6.0)] = '\0';
}

static chart_fill fill_of(const cli_comparison *comparison, size_t column)
{
    return comparison->choice && comparison->choice->chosen == column
               ? CHART_HATCH
               : CHART_WHITE;
}

static double value_of(const cli_comparison *comparison, size_t column,
                       sw_criterion criterion)
{
    return comparison->choice->rankings[column].value[criterion];
}

/* NaN where no column has one. */
static double largest(const cli_comparison *comparison, sw_criterion criterion)
{
    double most = (double)NAN;
    for (size_t i = 0; i < comparison->count; i++)
        most = fmax(most, value_of(comparison, i, criterion));
    return most;
}

static void describe_decides(FILE *out, const cli_comparison *comparison)
{
    const sw_criterion *c = comparison->choice->order + 1;
    for (; *c != SW_CRITERION_COUNT; c++) {
        if (!(largest(comparison, *c) > 0.0))
            continue;
        escape_print(out, "%s: ", comparison_criterion(comparison, *c));
        for (size_t i = 0; i < comparison->count; i++)
            escape_print(out, "%s%s %s", i ? ", " : "", comparison->names[i],
                         comparison_value(comparison, i, *c).text);
        fputs(". ", out);
    }
}

static double put_criterion(FILE *out, const cli_comparison *comparison,
                            sw_criterion criterion, double y)
{
    double most = largest(comparison, criterion);
    chart_label(out, 0.0, y + 12.0, "start",
                comparison_criterion(comparison, criterion));
    y += lane + 2.0;
    for (size_t i = 0; i < comparison->count; i++, y += lane) {
        char label[NAME_BYTES];
        double value = value_of(comparison, i, criterion);
        double width =
            isnan(value) ? 0.0 : (right - left) * fmax(value, 0.0) / most;
        const double box[4] = {left, y, width, lane - 5.0};
        label_of(comparison, i, label);
        chart_label(out, left - 6.0, y + 10.0, "end", label);
        chart_piece(out, "decides", fill_of(comparison, i), box, "");
        chart_label(out, left + width + 6.0, y + 10.0, "start",
                    comparison_value(comparison, i, criterion).text);
    }
    return y + 8.0;
}

void chart_decides(FILE *out, const cli_comparison *comparison)
{
    size_t drawn = 0;
    double y = 4.0;
    const sw_criterion *c = comparison->choice->order + 1;
    for (; *c != SW_CRITERION_COUNT; c++)
        drawn += largest(comparison, *c) > 0.0;
    double each = lane + 10.0 + lane * (double)comparison->count;
    chart_open(out, 4.0 + each * (double)drawn, "Criteria");
    describe_decides(out, comparison);
    chart_describe(out, "decides");
    for (c = comparison->choice->order + 1; *c != SW_CRITERION_COUNT; c++)
        if (largest(comparison, *c) > 0.0)
            y = put_criterion(out, comparison, *c, y);
    chart_close(out);
}

static const sw_component_row *row_of(const cli_comparison *comparison,
                                      size_t column, size_t row)
{
    const cli_report *report = comparison->reports[column];
    return report->assessment ? report_row(report, row) : NULL;
}

static double place(double deviation)
{
    double share = fmin(fmax(deviation, -widest), widest) / widest;
    return (left + right) / 2.0 + share * (right - left) / 2.0;
}

static double deviation_of(const sw_component_row *row)
{
    return (row->finished_mg_per_l - row->target_mg_per_l) /
           row->target_mg_per_l;
}

/* A target that some column is off by enough to see. */
static bool is_off(const cli_comparison *comparison, size_t row)
{
    for (size_t i = 0; i < comparison->count; i++) {
        const sw_component_row *found = row_of(comparison, i, row);
        if (found && found->target_mg_per_l > 0.0 &&
            fabs(deviation_of(found)) >= least_off)
            return true;
    }
    return false;
}

/* One column's bar from the target to where it is, and its number there. */
static void put_deviation(FILE *out, const cli_comparison *comparison,
                          size_t column, const sw_component_row *row, double y)
{
    char text[64];
    double deviation = deviation_of(row);
    double from = place(fmin(deviation, 0.0));
    const double box[4] = {from, y + 2.0, place(fmax(deviation, 0.0)) - from,
                           7.0};
    bool beyond = fabs(deviation) > widest;
    bool met = row->verdict == SW_MET;
    chart_piece(out, "off", fill_of(comparison, column), box, "");
    snprintf(text, sizeof text, "%zu%s%s%s", column + 1, met ? "" : " ",
             met ? "" : sw_verdict_text(row->verdict),
             beyond ? deviation > 0.0 ? " →" : " ←" : "");
    bool left_of = deviation < -0.5 * least_off;
    chart_label(out, place(deviation) + (left_of ? -4.0 : 4.0), y + 9.5,
                left_of ? "end" : "start", text);
}

static void put_band(FILE *out, const sw_component_row *row, double y,
                     double bottom)
{
    const double ends[2] = {row->low_mg_per_l, row->high_mg_per_l};
    for (int i = 0; i < 2; i++) {
        double deviation =
            (ends[i] - row->target_mg_per_l) / row->target_mg_per_l;
        double x = place(deviation);
        const double line[4] = {x, y, x, bottom};
        if (fabs(deviation) < widest)
            chart_line(out, line, 1.0, "1 2");
    }
}

static double put_component(FILE *out, const cli_comparison *comparison,
                            size_t row, double y)
{
    double bottom = y + 12.0 * (double)comparison->count;
    bool named = false;
    for (size_t i = 0; i < comparison->count; i++, y += 12.0) {
        const sw_component_row *found = row_of(comparison, i, row);
        if (!found)
            continue;
        if (!named) {
            chart_label(out, left - 30.0, y + 10.0, "end",
                        sw_component_name(found->component));
            put_band(out, found, y, bottom);
        }
        named = true;
        put_deviation(out, comparison, i, found, y);
    }
    return bottom + 9.0;
}

static void describe_off(FILE *out, const cli_comparison *comparison,
                         const cli_order *order)
{
    escape_print(out, "Percent off the target. ");
    for (size_t r = 0; r < order->count; r++) {
        bool begun = false;
        if (!is_off(comparison, order->items[r]))
            continue;
        for (size_t i = 0; i < comparison->count; i++) {
            const sw_component_row *row =
                row_of(comparison, i, order->items[r]);
            if (!row)
                continue;
            escape_print(out, "%s%s%s %s",
                         begun ? ", " : sw_component_name(row->component),
                         begun ? "" : ": ", comparison->names[i],
                         figure_signed(100.0 * deviation_of(row), 0).text);
            begun = true;
        }
        fputs(". ", out);
    }
}

void chart_off(FILE *out, const cli_comparison *comparison)
{
    cli_order order = comparison_components(comparison);
    size_t rows = 0;
    double y = head;
    for (size_t r = 0; r < order.count; r++)
        rows += is_off(comparison, order.items[r]);
    double bottom =
        head + (double)rows * (12.0 * (double)comparison->count + 9.0);
    chart_open(out, bottom, "How far each component is off its target");
    describe_off(out, comparison, &order);
    chart_describe(out, "off");
    const double target[4] = {place(0.0), head - 8.0, place(0.0), bottom};
    chart_line(out, target, 1.4, NULL);
    chart_label(out, place(0.0), 12.0, "middle", "target");
    chart_label(out, place(-0.2), 12.0, "middle", "-20 %");
    chart_label(out, place(0.2), 12.0, "middle", "+20 %");
    for (size_t r = 0; r < order.count; r++)
        if (is_off(comparison, order.items[r]))
            y = put_component(out, comparison, order.items[r], y);
    chart_close(out);
    comparison_order_free(&order);
}

static double at_share(double share)
{
    return left + share * (right - left);
}

static void put_share(FILE *out, const cli_comparison *comparison, size_t water,
                      double y)
{
    char label[NAME_BYTES];
    const sw_blend *blend = comparison->blend;
    const double *best =
        comparison->reports[comparison->count - 1]->solution->fractions;
    const double whole[4] = {left, y + 9.0, right, y + 9.0};
    label_of(comparison, water, label);
    chart_label(out, left - 6.0, y + 13.0, "end", label);
    chart_line(out, whole, 0.8, "1 3");
    if (blend->range == SW_OPTIMAL) {
        double from = at_share(blend->lowest[water]);
        const double box[4] = {
            from, y + 3.0, fmax(at_share(blend->highest[water]) - from, 1.0),
            12.0};
        chart_piece(out, "shares", CHART_WHITE, box, "");
    }
    if (best) {
        double x = at_share(best[water]);
        const double mark[4] = {x, y - 1.0, x, y + 19.0};
        chart_line(out, mark, 3.0, NULL);
        chart_label(out, right + 8.0, y + 13.0, "start",
                    comparison_share(comparison, water).text);
    }
}

void chart_shares(FILE *out, const cli_comparison *comparison)
{
    size_t waters = comparison->shared->waters.count;
    chart_open(out, head + 26.0 * (double)waters, "Shares of the mix");
    for (size_t k = 0; k < waters; k++)
        escape_print(out, "%s: %s, every target met at %s. ",
                     comparison->names[k], comparison_share(comparison, k).text,
                     comparison_range(comparison, k).text);
    chart_describe(out, "shares");
    chart_label(out, left, 12.0, "middle", "0 %");
    chart_label(out, at_share(0.5), 12.0, "middle", "50 %");
    chart_label(out, right, 12.0, "middle", "100 %");
    chart_label(out, right + 30.0, 12.0, "start", "mix");
    for (size_t k = 0; k < waters; k++)
        put_share(out, comparison, k, head + 26.0 * (double)k);
    chart_close(out);
}
