/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was measured, and an empty log. */
#include "sheet/parts.h"

#include <math.h>

#include "meter.h"
#include "sheet/escape.h"

enum { LOG_ROWS = 6 };

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
    fputs("<section>\n<h2>Meters</h2>\n", sheet->out);
    put_ec_alone(sheet);
    fputs("<p>Outside the ranges on page 1, find out why before the crop gets "
          "it: a weight, a fill level, a meter that needs calibrating, or "
          "another water than the laboratory saw.</p>\n",
          sheet->out);
    put_measured(sheet);
    put_log(sheet);
    fputs("</section>\n", sheet->out);
}
