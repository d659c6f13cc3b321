/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A stream of many waters. */
#include "parts.h"

#include <stdlib.h>

#include "../memory.h"

typedef struct batch_state {
    const cli_canvas *canvas;
    cli_value *root;
    cli_value *runs;
} batch_state;

static void *begin_batch(const cli_canvas *canvas, const cli_inputs *shared,
                         const cli_settings *settings)
{
    batch_state *state = memory_array(1, sizeof *state);
    (void)shared;
    *state = (batch_state){canvas, doc_run("batch"), value_array()};
    value_put_text(state->root, "objective",
                   sw_objective_text(settings->objective));
    return state;
}

/* What a batch tells of the finished solution. */
static void put_brief(cli_value *row, const cli_report *report)
{
    const sw_assessment *assessment = report->assessment;
    cli_value *amounts = value_object();
    cli_value *contents = value_object();
    for (size_t i = 0; i < report->recipe->count; i++)
        if (report_uses(report, i))
            value_put_number(amounts, report->inputs->shelf->products[i].name,
                             report->recipe->g_per_l[i]);
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        value_put_number(contents, sw_component_name((sw_component)i),
                         assessment->rows[i].finished_mg_per_l);
    value_put_flag(row, "all_met", assessment->all_met);
    value_put(row, "g_per_l", amounts);
    value_put(row, "finished_mg_per_l", contents);
    VALUE_PUT(row, {"ec_ms_per_cm", assessment->mixed.ec_ms_per_cm},
              {"ph_mixed", assessment->mixed.ph},
              {"ph_aired", assessment->aired.ph},
              {"cost_per_m3", assessment->cost_per_m3});
    doc_put_undeclared(row, &assessment->undeclared);
}

static void add_danger(void *context, const sw_note *note)
{
    value_append(context, value_text(note->text));
}

static void put_dangers(cli_value *row, const cli_report *report)
{
    if (!report_is_dangerous(report))
        return;
    cli_value *dangers = value_array();
    report_visit_severity(report, SW_DANGER, add_danger, dangers);
    value_put(row, "dangers", dangers);
}

static void add_batch_row(void *opaque, const sw_water *water,
                          const cli_report *report)
{
    batch_state *state = opaque;
    cli_value *row = value_object();
    value_put_text(row, "sample", water->sample);
    value_put_text(row, "outcome",
                   report ? sw_outcome_text(report->solution->outcome)
                          : "failed");
    if (report && report->assessment) {
        value_put(row, "certificate",
                  doc_certificate(&report->solution->certificate));
        put_brief(row, report);
        put_dangers(row, report);
    }
    value_append(state->runs, row);
}

static void end_batch(void *opaque)
{
    batch_state *state = opaque;
    value_put(state->root, "runs", state->runs);
    value_write(state->root, state->canvas->out);
    free(state);
}

const cli_batch_renderer doc_batch = {begin_batch, add_batch_row, end_batch};
