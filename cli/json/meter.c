/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the meters say: readings, mistakes by entry, what to look at next. */
#include "parts.h"

#include <math.h>

#include "../meter.h"

static cli_value *mistake(const cli_report *report, const sw_mistake *m)
{
    cli_value *out = value_object();
    bool product = m->kind >= SW_LEFT_OUT && m->kind <= SW_OTHER_FORM;
    value_put_text(out, "kind", sw_mistake_text(m->kind));
    value_put_text(out, "text", meter_mistake(report, m).text);
    if (product)
        value_put_text(out, "product",
                       report->inputs->shelf->products[m->product].name);
    value_put_text(out, "form", m->form);
    if (report->stock && (product || m->kind == SW_HEAD_OFF))
        value_put_text(out, "tank", sw_tank_text((sw_tank)m->head));
    VALUE_PUT(out, {"factor", m->factor}, {"belief", m->belief},
              {"distance", m->distance}, {"ec_ms_per_cm", m->ec_ms_per_cm},
              {"ph", m->ph}, {"ec_off_ms_per_cm", m->ec_off_ms_per_cm},
              {"ph_off", m->ph_off}, {"misfit", m->misfit});
    return out;
}

static cli_value *entries(const cli_report *report)
{
    const sw_diagnosis *d = report->diagnosis;
    cli_value *out = value_array();
    for (size_t e = 0; e < d->entry_count; e++) {
        cli_value *entry = value_object();
        cli_value *list = value_array();
        for (size_t i = 0; i < d->mistake_count; i++)
            if (d->mistakes[i].entry == e)
                value_append(list, mistake(report, &d->mistakes[i]));
        value_put_number(entry, "belief", meter_belief(d, e));
        value_put(entry, "either_of", list);
        value_append(out, entry);
    }
    return out;
}

/* What it would show if the first mistake of each entry were the one. */
static cli_value *expected(const sw_diagnosis *d, const sw_look *look)
{
    cli_value *out = value_array();
    for (size_t i = 0; i < d->mistake_count; i++)
        if (i == 0 || d->mistakes[i].entry != d->mistakes[i - 1].entry)
            value_append(out, value_number(look->expected[i]));
    return out;
}

static cli_value *looks(const cli_report *report)
{
    const sw_diagnosis *d = report->diagnosis;
    cli_value *out = value_array();
    for (size_t i = 0; i < d->look_count; i++) {
        cli_value *item = value_object();
        value_put_text(item, "look", meter_look(report, &d->looks[i]).text);
        value_put_text(item, "unit", meter_unit(&d->looks[i]));
        value_put_number(item, "bits", d->looks[i].bits);
        value_put(item, "expected", expected(d, &d->looks[i]));
        value_append(out, item);
    }
    return out;
}

cli_value *doc_meter(const cli_report *report)
{
    const sw_diagnosis *d = report->diagnosis;
    sw_readings readings = report_readings(report);
    const sw_readings *r = &readings;
    cli_value *out = value_object();
    VALUE_PUT(out, {"measured_ec_ms_per_cm", r->ec_ms_per_cm},
              {"measured_ph", r->ph}, {"ec_error", r->ec_error},
              {"ph_error", r->ph_error}, {"ec_ms_per_cm", d->ec_ms_per_cm},
              {"ph", d->ph}, {"distance", d->distance});
    value_put_flag(out, "explained", d->explained);
    value_put_text(out, "verdict", meter_verdict(report).text);
    value_put(out, "entries", entries(report));
    value_put(out, "looks", looks(report));
    return out;
}
