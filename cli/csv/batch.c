/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Many waters: one line each. */
#include "parts.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "../memory.h"
#include "line.h"

/* Columns of a batch besides products and components. */
static const char *const batch_heads[] = {
    "outcome",      "met",      "targets",
    "objective",    "gap",      "EC [mS/cm]",
    "pH mixed",     "pH aired", "alkalinity [meq/L]",
    "cost [per m3]"};

enum {
    BATCH_HEADS = sizeof batch_heads / sizeof batch_heads[0],
    DANGER_BYTES = 4096
};

typedef struct batch_state {
    cli_lines out;
    const sw_shelf *shelf;
} batch_state;

static void *begin_batch(const cli_canvas *canvas, const cli_inputs *shared,
                         const cli_settings *settings)
{
    batch_state *state = memory_array(1, sizeof *state);
    (void)settings;
    *state = (batch_state){{canvas->out, NULL}, shared->shelf};
    fputs("sample", canvas->out);
    for (size_t i = 0; i < BATCH_HEADS; i++)
        fprintf(canvas->out, ",%s", batch_heads[i]);
    for (size_t i = 0; i < state->shelf->count; i++) {
        char head[600];
        snprintf(head, sizeof head, "%s [g/L]", state->shelf->products[i].name);
        fputc(',', canvas->out);
        line_text(&state->out, head);
    }
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        fprintf(canvas->out, ",%s [mg/L]", sw_component_name((sw_component)i));
    fputs(",danger,undeclared\r\n", canvas->out);
    return state;
}

/* A number between commas, empty where it is none. */
static void put_value(FILE *stream, double value)
{
    fputc(',', stream);
    if (isfinite(value))
        fprintf(stream, "%.10g", value);
}

static void put_batch_values(FILE *stream, const cli_report *report)
{
    const sw_assessment *assessment = report->assessment;
    size_t met;
    size_t all;
    sw_count_met(report->assessment, &met, &all);
    const double values[BATCH_HEADS - 1] = {
        (double)met,
        (double)all,
        report->solution->certificate.objective,
        report->solution->certificate.gap,
        assessment->mixed.ec_ms_per_cm,
        assessment->mixed.ph,
        assessment->aired.ph,
        assessment->mixed.alkalinity_meq_per_l,
        assessment->cost_per_m3};
    for (size_t i = 0; i < BATCH_HEADS - 1; i++)
        put_value(stream, values[i]);
    for (size_t i = 0; i < report->recipe->count; i++)
        put_value(stream, report->recipe->g_per_l[i]);
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        put_value(stream, assessment->rows[i].finished_mg_per_l);
}

static void join_danger(void *context, const sw_note *note)
{
    char *text = context;
    size_t used = strlen(text);
    snprintf(text + used, DANGER_BYTES - used, "%s%s", used ? " " : "",
             note->text);
}

static void put_dangers(const cli_lines *out, const cli_report *report)
{
    char text[DANGER_BYTES] = "";
    report_visit_severity(report, SW_DANGER, join_danger, text);
    fputc(',', out->stream);
    if (text[0])
        line_text(out, text);
}

static void add_batch_row(void *opaque, const sw_water *water,
                          const cli_report *report)
{
    batch_state *state = opaque;
    FILE *stream = state->out.stream;
    line_text(&state->out, water->sample);
    fprintf(stream, ",%s",
            report ? sw_outcome_text(report->solution->outcome) : "failed");
    if (report && report->assessment) {
        put_batch_values(stream, report);
        put_dangers(&state->out, report);
        fputc(',', stream);
        if (report->assessment->undeclared.text[0])
            line_text(&state->out, report->assessment->undeclared.text);
    } else {
        for (size_t i = 0;
             i < BATCH_HEADS + 1 + state->shelf->count + SW_COMPONENT_COUNT;
             i++)
            fputc(',', stream);
    }
    fputs("\r\n", stream);
}

static void end_batch(void *state)
{
    free(state);
}

const cli_batch_renderer lines_batch = {begin_batch, add_batch_row, end_batch};
