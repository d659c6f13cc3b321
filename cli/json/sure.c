/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How sure: points and shares of each quantity, and what was taken as off. */
#include "parts.h"

#include "../sure.h"

static cli_value *shares(const sw_spread *spread)
{
    static const char *const keys[SW_DOUBT_COUNT] = {"lab", "label", "scale",
                                                     "fill", "injector"};
    cli_value *out = value_object();
    for (int d = 0; d < SW_DOUBT_COUNT; d++)
        if (spread->share[d] > 0.0)
            value_put_number(out, keys[d], spread->share[d]);
    return out;
}

static cli_value *quantity(const cli_spread *row)
{
    cli_value *out = value_object();
    value_put_text(out, "quantity", row->name);
    value_put_text(out, "unit", row->unit);
    VALUE_PUT(out, {"p5", row->spread->p5}, {"median", row->spread->median},
              {"p95", row->spread->p95},
              {"standard_deviation", row->spread->deviation});
    value_put(out, "variance_shares", shares(row->spread));
    return out;
}

cli_value *doc_tolerances(const sw_tolerances *off)
{
    cli_value *out = value_object();
    VALUE_PUT(out, {"lab", off->lab}, {"lab_ph", off->lab_ph},
              {"label", off->label}, {"scale_g", off->scale_step_g},
              {"fine_scale_g", off->micro_step_g}, {"fill", off->fill},
              {"injector", off->injector});
    return out;
}

cli_value *doc_sure(const cli_report *report)
{
    cli_spread rows[SURE_ROWS];
    cli_value *out = value_object();
    cli_value *list = value_array();
    size_t count = sure_rows(report, rows);
    for (size_t i = 0; i < count; i++)
        value_append(list, quantity(&rows[i]));
    value_put(out, "tolerances", doc_tolerances(report->off));
    value_put_number(out, "samples", (double)report->sure->samples);
    value_put(out, "quantities", list);
    return out;
}
