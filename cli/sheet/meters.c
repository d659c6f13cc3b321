/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What the meters should show and how far off they may be, then an empty log.
 * The EC's interval joins that of the estimate with that of lab, label, scale
 * and fill as independent errors: the root of the sum of squares.
 */
#include "sheet/parts.h"

#include <math.h>

#include "meter.h"
#include "sheet/escape.h"

enum { LOG_ROWS = 6 };

/* The target's accepted range for EC or a pH; of a pH aired that of the pH as
 * mixed, where the target has no other. */
static cli_figure wanted(const cli_sheet *sheet, sw_target_kind kind,
                         bool aired, int decimals)
{
    const sw_assessment *assessment = sheet->report->assessment;
    const sw_measure_row *found = NULL;
    for (size_t i = 0; i < assessment->measure_count; i++) {
        const sw_measure_row *row = &assessment->measures[i];
        if (row->kind == kind && (row->aired ? aired : !found))
            found = row;
    }
    return found ? sheet_band(found->low, found->high, decimals)
                 : (cli_figure){"not given"};
}

static void put_row(const cli_sheet *sheet, const char *name,
                    cli_figure expected, cli_figure interval, cli_figure target)
{
    fprintf(sheet->out,
            "<tr><th scope=\"row\">%s</th><td class=\"number\"><b>%s</b></td>"
            "<td class=\"number\">%s</td><td class=\"number\">%s</td></tr>\n",
            name, expected.text, interval.text, target.text);
}

static void put_ec(const cli_sheet *sheet)
{
    const sw_chemistry *mixed = &sheet->report->assessment->mixed;
    const sw_spread *spread = &sheet->spread->ec_ms_per_cm;
    double low = hypot(mixed->ec_ms_per_cm - mixed->ec_low_ms_per_cm,
                       spread->median - spread->p5);
    double high = hypot(mixed->ec_high_ms_per_cm - mixed->ec_ms_per_cm,
                        spread->p95 - spread->median);
    put_row(sheet, "EC, mS/cm at 25 °C",
            figure_fixed(mixed->ec_ms_per_cm, FIGURE_EC),
            sheet_band(mixed->ec_ms_per_cm - low, mixed->ec_ms_per_cm + high,
                       FIGURE_EC),
            wanted(sheet, SW_TARGET_EC, false, FIGURE_EC));
}

/* A meter that does not reckon to 25 degrees, where one is asked about. */
static void put_bare_ec(const cli_sheet *sheet)
{
    cli_meter meter;
    char name[64];
    if (!report_meter(sheet->report, &meter))
        return;
    snprintf(name, sizeof name, "EC, mS/cm at %.4g °C",
             sheet->report->settings->meter_c);
    cli_figure factor = figure_fixed(meter.to_25, 2);
    cli_figure words = {"times "};
    snprintf(words.text, sizeof words.text, "times %.8s", factor.text);
    put_row(sheet, name, figure_fixed(meter.bare_ms_per_cm, FIGURE_EC), words,
            (cli_figure){"without compensation"});
}

static void put_ph(const cli_sheet *sheet)
{
    const sw_assessment *assessment = sheet->report->assessment;
    const sw_spread *spread = &sheet->spread->ph;
    put_row(sheet, "pH as mixed", figure_fixed(assessment->mixed.ph, FIGURE_PH),
            sheet_band(spread->p5, spread->p95, FIGURE_PH),
            wanted(sheet, SW_TARGET_PH, false, FIGURE_PH));
    put_row(sheet, "pH after airing",
            figure_fixed(assessment->aired.ph, FIGURE_PH),
            (cli_figure){"if left to stand"},
            wanted(sheet, SW_TARGET_PH, true, FIGURE_PH));
}

static void put_log(const cli_sheet *sheet)
{
    fputs("<table class=\"log paper\">\n<caption>Meter log</caption>\n"
          "<thead><tr><th scope=\"col\">Date and time</th>"
          "<th scope=\"col\">EC</th><th scope=\"col\">pH</th>"
          "<th scope=\"col\">°C</th>"
          "<th scope=\"col\">What was done, by whom</th></tr></thead>\n"
          "<tbody>\n",
          sheet->out);
    for (int i = 0; i < LOG_ROWS; i++)
        fputs("<tr><td></td><td></td><td></td><td></td><td></td></tr>\n",
              sheet->out);
    fputs("</tbody>\n</table>\n", sheet->out);
}

static void put_reading(const cli_sheet *sheet, const char *name, double value,
                        const char *unit)
{
    if (!isnan(value))
        fprintf(sheet->out, "%s %s%s; ", name, figure_fixed(value, 2).text,
                unit);
}

/* What was measured of it, where it was, and what to think of that. */
static void put_measured(const cli_sheet *sheet)
{
    sw_readings readings = report_readings(sheet->report);
    if (!sheet->report->diagnosis)
        return;
    fputs("<p><strong>Measured:</strong> ", sheet->out);
    put_reading(sheet, "EC", readings.ec_ms_per_cm, " mS/cm at 25 °C");
    put_reading(sheet, "pH", readings.ph, "");
    escape_name(sheet->out, meter_verdict(sheet->report).text);
    fputs("</p>\n", sheet->out);
}

/* The narrower range that the screen gives, and what this one adds to it. */
static void put_ec_alone(const cli_sheet *sheet)
{
    const sw_chemistry *mixed = &sheet->report->assessment->mixed;
    fprintf(sheet->out,
            "<p>The range of EC is that of the estimate, %s to %s, widened by "
            "how far the laboratory, the labels, the scale and the fill level "
            "may be off.</p>\n",
            figure_fixed(mixed->ec_low_ms_per_cm, FIGURE_EC).text,
            figure_fixed(mixed->ec_high_ms_per_cm, FIGURE_EC).text);
}

void sheet_meters(const cli_sheet *sheet)
{
    fprintf(sheet->out,
            "<section>\n<h2>What the meters should show</h2>\n"
            "<div class=\"scroll\" role=\"group\" tabindex=\"0\" "
            "aria-label=\"What the meters should show\">\n"
            "<table class=\"whole\">\n<caption>Finished solution at %.4g "
            "°C%s</caption>\n"
            "<thead><tr>"
            "<td></td><th scope=\"col\" class=\"number\">Expected</th>"
            "<th scope=\"col\" class=\"number\">9 times in 10</th>"
            "<th scope=\"col\" class=\"number\">Wanted</th></tr></thead>\n"
            "<tbody>\n",
            sheet->report->settings->conditions.temperature_c,
            sheet->report->stock ? ", behind the injectors" : "");
    put_ec(sheet);
    put_bare_ec(sheet);
    put_ph(sheet);
    fputs("</tbody>\n</table>\n</div>\n", sheet->out);
    put_ec_alone(sheet);
    fputs("<p>Outside these ranges, find out why before the crop gets it: a "
          "weight, a fill level, a meter that needs calibrating, or another "
          "water than the laboratory saw.</p>\n",
          sheet->out);
    put_measured(sheet);
    put_log(sheet);
    fputs("</section>\n", sheet->out);
}
