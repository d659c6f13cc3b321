/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A lab report on trial. */
#include "parts.h"

#include <math.h>

static cli_value *checks(const sw_audit_report *report)
{
    cli_value *out = value_array();
    for (size_t i = 0; i < report->check_count; i++) {
        const sw_check_row *row = &report->checks[i];
        cli_value *item = value_add_object(out);
        value_put_text(item, "check", row->name);
        value_put_text(item, "finding", sw_finding_text(row->finding));
        VALUE_PUT(item, {"reported", row->reported},
                  {"reckoned", row->reckoned}, {"value", row->value},
                  {"low", row->low}, {"high", row->high});
        value_put_text(item, "unit", row->unit);
        value_put_text(item, "measure", row->measure);
        value_put_text(item, "reason", row->reason);
        value_put_text(item, "source", row->source);
    }
    return out;
}

static cli_value *rereadings(const sw_audit_report *report)
{
    cli_value *out = value_array();
    for (size_t i = 0; i < report->rereading_count; i++) {
        cli_value *item = value_add_object(out);
        value_put_text(item, "read_as", report->rereadings[i].read_as);
        value_put_text(item, "text", report->rereadings[i].text);
        VALUE_PUT(item, {"score", report->rereadings[i].score},
                  {"share", report->rereadings[i].share});
    }
    return out;
}

void doc_show_audit(const cli_canvas *canvas, const cli_audit *audit)
{
    const sw_audit_report *report = audit->report;
    const sw_notes *read =
        audit->source->waters ? &audit->source->waters->notes : NULL;
    cli_value *root = doc_run("audit");
    cli_value *list = value_array();
    value_put(root, "water", doc_source_water(audit->source, (double)NAN));
    if (!isnan(audit->read_ms_per_cm))
        VALUE_PUT(root, {"meter_temperature_c", audit->meter_c},
                  {"meter_bare_ms_per_cm", audit->read_ms_per_cm});
    value_put_number(root, "score", report->score);
    value_put(root, "checks", checks(report));
    value_put(root, "rereadings", rereadings(report));
    value_put(root, "fitness",
              doc_guidelines(report->fitness, report->fitness_count));
    for (size_t i = 0; read && i < read->count; i++)
        doc_add_note(list, &read->items[i]);
    for (size_t i = 0; i < report->notes.count; i++)
        doc_add_note(list, &report->notes.items[i]);
    value_put(root, "notes", list);
    value_write(root, canvas->out);
}
