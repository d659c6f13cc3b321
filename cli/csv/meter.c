/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the meters say: each mistake, and each look. */
#include "parts.h"

#include "../meter.h"
#include "line.h"

static void put_mistake(const cli_lines *out, const cli_report *report,
                        const sw_mistake *mistake)
{
    cli_words words = meter_mistake(report, mistake);
    line_number(out, (cli_cell){"mistake", words.text, "entry"},
                (double)mistake->entry + 1.0, "");
    line_number(out, (cli_cell){"mistake", words.text, "belief"},
                mistake->belief, "");
    line_number(out, (cli_cell){"mistake", words.text, "distance"},
                mistake->distance, "standard errors");
    line_number(out, (cli_cell){"mistake", words.text, "misfit"},
                mistake->misfit, "standard errors");
    line_number(out, (cli_cell){"mistake", words.text, "EC"},
                mistake->ec_ms_per_cm, "mS/cm");
    line_number(out, (cli_cell){"mistake", words.text, "pH"}, mistake->ph, "");
}

void lines_meter(const cli_lines *out, const cli_report *report)
{
    const sw_diagnosis *d = report->diagnosis;
    sw_readings readings = report_readings(report);
    const sw_readings *r = &readings;
    line_number(out, (cli_cell){"measured", "", "EC"}, r->ec_ms_per_cm,
                "mS/cm");
    line_number(out, (cli_cell){"measured", "", "pH"}, r->ph, "");
    line_word(out, (cli_cell){"measured", "", "explained"},
              d->explained ? "yes" : "no");
    line_word(out, (cli_cell){"measured", "", "verdict"},
              meter_verdict(report).text);
    for (size_t i = 0; i < d->mistake_count; i++)
        put_mistake(out, report, &d->mistakes[i]);
    for (size_t i = 0; i < d->look_count; i++)
        line_number(out,
                    (cli_cell){"look", meter_look(report, &d->looks[i]).text,
                               "information"},
                    d->looks[i].bits, "bit");
}
