/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A front as a curve in a file of its own: misfit over cost or number. */
#include "sheet/curve.h"

#include <math.h>
#include <string.h>

#include "complain.h"
#include "output.h"
#include "sheet/chart.h"
#include "sheet/escape.h"
#include "text/figure.h"

static const char name[] = "front";
static const double left = 58.0, right = 346.0, top = 34.0, bottom = 214.0;

/* The two ends of an axis and where they stand. */
typedef struct curve_axis {
    double low, high, from, to;
} curve_axis;

static double place(const curve_axis *axis, double value)
{
    double span = axis->high - axis->low;
    double share = span > 0.0 ? (value - axis->low) / span : 0.5;
    return axis->from + share * (axis->to - axis->from);
}

static double across_of(const sw_front *front, size_t i)
{
    return front->trade == SW_TRADE_COST ? front->points[i].cost_per_m3
                                         : (double)front->points[i].products;
}

static cli_figure across_figure(const sw_front *front, double value)
{
    return front->trade == SW_TRADE_COST ? figure_fixed(value, FIGURE_COST)
                                         : figure_fixed(value, FIGURE_WHOLE);
}

/* From a round value at or below `low` to one at or above `high`. */
static double round_step(double span)
{
    static const double steps[] = {1.0, 2.0, 5.0, 10.0};
    double power = pow(10.0, floor(log10(span / 4.0)));
    size_t i = 0;
    while (i < 3 && steps[i] * power < span / 4.0)
        i++;
    return steps[i] * power;
}

static curve_axis axis_of(double low, double high, double from, double to)
{
    double span = high - low > 0.0 ? high - low : fmax(fabs(high), 1.0);
    double step = round_step(span);
    return (curve_axis){step * floor(low / step + 1e-9),
                        step * ceil(high / step - 1e-9), from, to};
}

static void put_grid(FILE *out, const sw_front *front, const curve_axis *x,
                     const curve_axis *y)
{
    double step = round_step(y->high - y->low);
    long steps = lround((y->high - y->low) / step);
    for (long i = 0; i <= steps; i++) {
        double at = y->low + (double)i * step;
        const double line[4] = {left, place(y, at), right, place(y, at)};
        chart_line(out, line, 0.4, "2 3");
        chart_label(out, left - 6.0, place(y, at) + 4.0, "end",
                    figure_short(at).text);
    }
    step = round_step(x->high - x->low);
    if (front->trade == SW_TRADE_PRODUCTS)
        step = fmax(step, 1.0);
    steps = lround((x->high - x->low) / step);
    for (long i = 0; i <= steps; i++) {
        double at = x->low + (double)i * step;
        const double line[4] = {place(x, at), bottom, place(x, at),
                                bottom + 4.0};
        chart_line(out, line, 1.0, NULL);
        chart_label(out, place(x, at), bottom + 18.0, "middle",
                    across_figure(front, at).text);
    }
    const double foot[4] = {left, bottom, right, bottom};
    chart_line(out, foot, 1.0, NULL);
}

static void put_curve(FILE *out, const sw_front *front, const curve_axis *x,
                      const curve_axis *y)
{
    for (size_t i = 0; i < front->count; i++) {
        double at_x = place(x, across_of(front, i));
        double at_y = place(y, front->points[i].objective);
        if (i) {
            const double line[4] = {place(x, across_of(front, i - 1)),
                                    place(y, front->points[i - 1].objective),
                                    at_x, at_y};
            chart_line(out, line, 2.0,
                       front->trade == SW_TRADE_COST ? NULL : "3 3");
        }
        if (front->trade == SW_TRADE_PRODUCTS || !i || i + 1 == front->count)
            chart_dot(out, at_x, at_y);
    }
}

static void describe(FILE *out, const sw_front *front)
{
    for (size_t i = 0; i < front->count; i++)
        escape_print(out, "%s%s %s distance %s", i ? "; " : "",
                     front->trade == SW_TRADE_COST ? "cost" : "products",
                     across_figure(front, across_of(front, i)).text,
                     figure_plain(front->points[i].objective).text);
}

static void put_chart(FILE *out, const sw_front *front)
{
    bool cost = front->trade == SW_TRADE_COST;
    size_t last = front->count - 1;
    curve_axis x =
        axis_of(across_of(front, last), across_of(front, 0), left, right);
    curve_axis y = axis_of(0.0, front->points[last].objective, bottom, top);
    chart_open(out, 258.0,
               cost ? "Fit against cost" : "Fit against number of products");
    describe(out, front);
    chart_describe(out, name);
    chart_label(out, 8.0, 16.0, "start",
                "distance from the target (sum of weighted squared relative "
                "deviations)");
    chart_label(out, right, bottom + 36.0, "end",
                cost ? "cost of 1000 L" : "products");
    put_grid(out, front, &x, &y);
    put_curve(out, front, &x, &y);
    chart_close(out);
}

exit_code curve_write(const sw_front *front, const char *file)
{
    cli_output output;
    output_open(&output);
    put_chart(output.stream, front);
    return output_deliver(&output, file);
}
