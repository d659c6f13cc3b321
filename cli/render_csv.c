/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * For spreadsheets: RFC 4180, one value a line,
 *     section,name,quantity,value,unit
 * with the water first where there are several; a batch has a water a line.
 * A spreadsheet runs a cell that begins with = + - @ tab or CR as a formula; a
 * text that does gets an apostrophe in front.  Numbers are left as they are.
 */
#include "render.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"

/* Where lines go, and the water they are about where there are several. */
typedef struct csv {
    FILE *stream;
    const char *water;
} csv;

/* The cell with its quotes where RFC 4180 asks for them. */
static void put_text(const csv *out, const char *text)
{
    bool formula = *text && strchr("=+-@\t\r", *text);
    bool quoted = strpbrk(text, ",\"\r\n") != NULL;
    if (quoted)
        fputc('"', out->stream);
    if (formula)
        fputc('\'', out->stream);
    for (; *text; text++) {
        if (*text == '"')
            fputc('"', out->stream);
        fputc(*text, out->stream);
    }
    if (quoted)
        fputc('"', out->stream);
}

/* What a line is about. */
typedef struct cli_cell {
    const char *section;
    const char *name;
    const char *quantity;
} cli_cell;

static void put_head(const csv *out, const cli_cell *cell)
{
    const char *cells[] = {out->water, cell->section, cell->name,
                           cell->quantity};
    for (size_t i = out->water ? 0 : 1; i < 4; i++) {
        put_text(out, cells[i]);
        fputc(',', out->stream);
    }
}

static void put_number(const csv *out, cli_cell cell, double value,
                       const char *unit)
{
    if (!isfinite(value))
        return;
    put_head(out, &cell);
    fprintf(out->stream, "%.10g,", value);
    put_text(out, unit);
    fputs("\r\n", out->stream);
}

static void put_word(const csv *out, cli_cell cell, const char *word)
{
    if (!word || !*word)
        return;
    put_head(out, &cell);
    put_text(out, word);
    fputs(",\r\n", out->stream);
}

static void put_header(const csv *out)
{
    fprintf(out->stream, "%ssection,name,quantity,value,unit\r\n",
            out->water ? "water," : "");
}

static void put_run(const csv *out, const cli_report *report)
{
    const sw_solution *solution = report->solution;
    put_word(out, (cli_cell){"run", "", "saltwright"}, sw_version());
    put_word(out, (cli_cell){"run", "", "command"}, report->command);
    put_number(out, (cli_cell){"run", "", "volume"}, report->settings->volume_l,
               "L");
    if (!solution)
        return;
    put_word(out, (cli_cell){"run", "", "outcome"},
             sw_outcome_text(solution->outcome));
    put_word(out, (cli_cell){"run", "", "objective"},
             sw_objective_text(solution->objective));
    for (size_t i = 0; i < solution->limit_count; i++)
        put_number(out, (cli_cell){"limit", solution->limits[i].name, "bound"},
                   solution->limits[i].bound, "");
    if (solution->outcome == SW_CONFLICT)
        return;
    put_number(out, (cli_cell){"certificate", "", "objective"},
               solution->certificate.objective, "");
    put_number(out, (cli_cell){"certificate", "", "lower bound"},
               solution->certificate.lower_bound, "");
    put_number(out, (cli_cell){"certificate", "", "gap"},
               solution->certificate.gap, "");
}

static void put_water(const csv *out, const sw_water *water)
{
    const char *name = water->sample;
    for (int c = 0; c < SW_COMPONENT_COUNT; c++)
        if (water->reported[c])
            put_number(
                out,
                (cli_cell){"water", name, sw_component_name((sw_component)c)},
                water->per_l.amount[c], "mg/L");
    if (water->alkalinity_reported)
        put_number(out, (cli_cell){"water", name, "alkalinity"},
                   water->per_l.amount[SW_ALKALINITY], "meq/L");
    put_number(out, (cli_cell){"water", name, "pH"}, water->ph, "");
    put_number(out, (cli_cell){"water", name, "EC"}, water->ec_ms_per_cm,
               "mS/cm");
}

static void put_waters(const csv *out, const cli_report *report)
{
    for (size_t i = 0; i < report->inputs->waters.count; i++) {
        const sw_water *water = report->inputs->waters.items[i].water;
        put_number(out, (cli_cell){"water", water->sample, "share"},
                   report_share(report, i), "");
        put_water(out, water);
    }
}

static void put_recipe(const csv *out, const cli_report *report)
{
    for (size_t i = 0; i < report->recipe->count; i++) {
        cli_portion portion = report_portion(report, i);
        const char *name = portion.product->name;
        if (!report_uses(report, i))
            continue;
        put_number(out, (cli_cell){"recipe", name, "mass per litre"},
                   portion.g_per_l, "g/L");
        put_number(out, (cli_cell){"recipe", name, "volume per litre"},
                   portion.ml_per_l, "mL/L");
        put_number(out, (cli_cell){"recipe", name, "mass"}, portion.g, "g");
        put_number(out, (cli_cell){"recipe", name, "volume"}, portion.ml, "mL");
        put_number(out, (cli_cell){"recipe", name, "cost"}, portion.cost, "");
        put_word(out, (cli_cell){"recipe", name, "tank"},
                 portion.product->tank);
    }
    put_number(out, (cli_cell){"recipe", "", "cost"}, report_cost(report), "");
}

static void put_component(const csv *out, const sw_component_row *row)
{
    const char *name = sw_component_name(row->component);
    const struct {
        const char *quantity;
        double value;
    } values[] = {
        {"water", row->water_mg_per_l},       {"added", row->added_mg_per_l},
        {"finished", row->finished_mg_per_l}, {"target", row->target_mg_per_l},
        {"min", row->min_mg_per_l},           {"max", row->max_mg_per_l},
        {"residual", row->residual_mg_per_l}};
    for (size_t i = 0; i < sizeof values / sizeof values[0]; i++)
        put_number(out, (cli_cell){"component", name, values[i].quantity},
                   values[i].value, "mg/L");
    put_word(out, (cli_cell){"component", name, "verdict"},
             sw_verdict_text(row->verdict));
    put_word(out, (cli_cell){"component", name, "reason"}, row->reason);
}

static void put_measure(const csv *out, const sw_measure_row *row)
{
    const char *unit = row->kind == SW_TARGET_EC ? "mS/cm" : "";
    const char *section = row->kind == SW_TARGET_RATIO ? "ratio" : "measure";
    put_number(out, (cli_cell){section, row->name, "finished"}, row->finished,
               unit);
    put_number(out, (cli_cell){section, row->name, "target"}, row->target,
               unit);
    put_number(out, (cli_cell){section, row->name, "min"}, row->min, unit);
    put_number(out, (cli_cell){section, row->name, "max"}, row->max, unit);
    put_word(out, (cli_cell){section, row->name, "verdict"},
             sw_verdict_text(row->verdict));
}

static void put_solution(const csv *out, const sw_assessment *assessment)
{
    const sw_chemistry *mixed = &assessment->mixed;
    const struct {
        const char *quantity;
        double value;
        const char *unit;
    } values[] = {{"EC", mixed->ec_ms_per_cm, "mS/cm"},
                  {"EC low", mixed->ec_low_ms_per_cm, "mS/cm"},
                  {"EC high", mixed->ec_high_ms_per_cm, "mS/cm"},
                  {"pH mixed", mixed->ph, ""},
                  {"pH aired", assessment->aired.ph, ""},
                  {"alkalinity", mixed->alkalinity_meq_per_l, "meq/L"},
                  {"osmotic pressure", mixed->osmotic_pressure_kpa, "kPa"}};
    for (size_t i = 0; i < sizeof values / sizeof values[0]; i++)
        put_number(out, (cli_cell){"finished", "", values[i].quantity},
                   values[i].value, values[i].unit);
    for (int i = 0; i < SW_SOLID_COUNT; i++) {
        const sw_saturation *row = &mixed->saturation[i];
        const char *name = sw_solid_name((sw_solid)i);
        if (!row->defined)
            continue;
        put_number(out, (cli_cell){"saturation", name, "index"}, row->index,
                   "");
        put_word(out, (cli_cell){"saturation", name, "verdict"},
                 report_saturation_verdict(row));
    }
}

static void put_guidelines(const csv *out, const sw_guideline_row *rows,
                           size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const sw_guideline_row *row = &rows[i];
        char name[sizeof row->name + sizeof row->use + 4];
        snprintf(name, sizeof name, "%s on %s", row->name, row->use);
        put_number(out, (cli_cell){"guideline", name, "value"}, row->value,
                   row->unit);
        put_number(out, (cli_cell){"guideline", name, "caution"}, row->caution,
                   row->unit);
        put_number(out, (cli_cell){"guideline", name, "severe"}, row->severe,
                   row->unit);
        put_number(out, (cli_cell){"guideline", name, "purified share"},
                   row->purified_share, "");
        put_word(out, (cli_cell){"guideline", name, "verdict"},
                 sw_fitness_text(row->fitness));
        put_word(out, (cli_cell){"guideline", name, "source"}, row->source);
    }
}

static void put_note(void *context, const sw_note *note)
{
    const csv *out = context;
    put_word(out,
             (cli_cell){"note", note->code, sw_severity_text(note->severity)},
             note->text);
}

static void put_stock(const csv *out, const cli_report *report)
{
    const sw_stock *stock = report->stock;
    put_word(out, (cli_cell){"stock", "", "outcome"},
             sw_outcome_text(stock->outcome));
    put_number(out, (cli_cell){"stock", "", "factor"}, report->setup->factor,
               "");
    put_number(out, (cli_cell){"stock", "", "highest factor"},
               stock->highest_factor, "");
    put_word(out, (cli_cell){"stock", "", "limit"}, stock->limit);
    for (int t = 0; t < SW_TANKS; t++) {
        const sw_tank_report *row = &stock->tanks[t];
        char name[32];
        snprintf(name, sizeof name, "tank %s", sw_tank_text((sw_tank)t));
        if (!(row->volume_l > 0.0))
            continue;
        put_number(out, (cli_cell){"stock", name, "volume"}, row->volume_l,
                   "L");
        put_number(out, (cli_cell){"stock", name, "saturation"},
                   row->saturation, "");
        put_number(out, (cli_cell){"stock", name, "saturation cold"},
                   row->saturation_cold, "");
        for (size_t i = 0; i < stock->count; i++)
            if (stock->placements[i].g[t] > 0.0)
                put_number(out,
                           (cli_cell){name,
                                      report->inputs->shelf->products[i].name,
                                      "mass"},
                           stock->placements[i].g[t], "g");
    }
}

static void put_report(const csv *out, const cli_report *report)
{
    const sw_assessment *assessment = report->assessment;
    csv copy = *out;
    put_run(out, report);
    put_waters(out, report);
    if (assessment) {
        put_recipe(out, report);
        for (size_t i = 0; i < SW_COMPONENT_COUNT; i++)
            put_component(out, &assessment->rows[i]);
        for (size_t i = 0; i < assessment->measure_count; i++)
            put_measure(out, &assessment->measures[i]);
        put_solution(out, assessment);
        put_guidelines(out, assessment->guidelines,
                       assessment->guideline_count);
    }
    if (report->stock)
        put_stock(out, report);
    report_visit_input_notes(report, put_note, &copy);
    report_visit_notes(report, put_note, &copy);
}

static void show_report(const cli_canvas *canvas, const cli_report *report)
{
    csv out = {canvas->out, NULL};
    put_header(&out);
    put_report(&out, report);
}

static void show_comparison(const cli_canvas *canvas,
                            const cli_comparison *comparison)
{
    csv out = {canvas->out, ""};
    put_header(&out);
    for (size_t i = 0; i < comparison->count; i++) {
        const cli_report *report = comparison->reports[i];
        out.water = report->inputs->waters.items[0].water->sample;
        put_report(&out, report);
    }
}

/* Columns of a batch besides products and components. */
static const char *const batch_heads[] = {
    "outcome",      "met",      "targets",
    "objective",    "gap",      "EC [mS/cm]",
    "pH mixed",     "pH aired", "alkalinity [meq/L]",
    "cost [per m3]"};

enum { BATCH_HEADS = sizeof batch_heads / sizeof batch_heads[0] };

typedef struct batch_state {
    csv out;
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
        put_text(&state->out, head);
    }
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        fprintf(canvas->out, ",%s [mg/L]", sw_component_name((sw_component)i));
    fputs("\r\n", canvas->out);
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
    report_count_met(report, &met, &all);
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
        put_value(stream, assessment->finished.amount[i]);
}

static void add_batch_row(void *opaque, const sw_water *water,
                          const cli_report *report)
{
    batch_state *state = opaque;
    FILE *stream = state->out.stream;
    put_text(&state->out, water->sample);
    fprintf(stream, ",%s",
            report ? sw_outcome_text(report->solution->outcome) : "failed");
    if (report && report->assessment)
        put_batch_values(stream, report);
    else
        for (size_t i = 1;
             i < BATCH_HEADS + state->shelf->count + SW_COMPONENT_COUNT; i++)
            fputc(',', stream);
    fputs("\r\n", stream);
}

static void end_batch(void *state)
{
    free(state);
}

static void put_check(const csv *out, const sw_check_row *row)
{
    const char *name = row->name;
    put_word(out, (cli_cell){"check", name, "finding"},
             sw_finding_text(row->finding));
    put_number(out, (cli_cell){"check", name, "reported"}, row->reported,
               row->unit);
    put_number(out, (cli_cell){"check", name, "reckoned"}, row->reckoned,
               row->unit);
    put_number(out, (cli_cell){"check", name, "value"}, row->value,
               row->measure);
    put_number(out, (cli_cell){"check", name, "low"}, row->low, row->measure);
    put_number(out, (cli_cell){"check", name, "high"}, row->high, row->measure);
    put_word(out, (cli_cell){"check", name, "reason"}, row->reason);
    put_word(out, (cli_cell){"check", name, "source"}, row->source);
}

static void show_audit(const cli_canvas *canvas, const cli_audit *audit)
{
    csv page = {canvas->out, NULL};
    const csv *out = &page;
    const sw_audit_report *report = audit->report;
    put_header(out);
    put_word(out, (cli_cell){"run", "", "saltwright"}, sw_version());
    put_word(out, (cli_cell){"run", "", "command"}, "audit");
    put_water(out, audit->source->water);
    for (size_t i = 0; i < report->check_count; i++)
        put_check(out, &report->checks[i]);
    for (size_t i = 0; i < report->rereading_count; i++) {
        const sw_rereading *row = &report->rereadings[i];
        put_word(out, (cli_cell){"rereading", row->read_as, "text"}, row->text);
        put_number(out, (cli_cell){"rereading", row->read_as, "share"},
                   row->share, "");
    }
    put_guidelines(out, report->fitness, report->fitness_count);
    for (size_t i = 0; i < report->notes.count; i++)
        put_note(&page, &report->notes.items[i]);
}

static void put_product(const csv *out, const sw_product *product)
{
    const char *name = product->name;
    put_word(out, (cli_cell){"product", name, "formula"}, product->formula);
    put_number(out, (cli_cell){"product", name, "purity"}, product->purity, "");
    put_number(out, (cli_cell){"product", name, "density"},
               product->density_g_per_ml, "g/mL");
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        if (product->per_g.amount[i] > 0.0)
            put_number(
                out,
                (cli_cell){"product", name, sw_component_name((sw_component)i)},
                product->per_g.amount[i], "mg/g");
    put_number(out, (cli_cell){"product", name, "alkalinity"},
               product->per_g.amount[SW_ALKALINITY], "meq/g");
    put_word(out, (cli_cell){"product", name, "source"}, product->source);
}

static void show_catalogue(const cli_canvas *canvas,
                           const cli_catalogue *catalogue)
{
    csv page = {canvas->out, NULL};
    const csv *out = &page;
    put_header(out);
    for (size_t i = 0; i < catalogue->count; i++)
        if (!catalogue->one || catalogue->one == catalogue->products[i])
            put_product(out, catalogue->products[i]);
    for (size_t i = 0; i < catalogue->hydrate_count; i++)
        put_number(out,
                   (cli_cell){"hydrate", catalogue->hydrates[i].product->name,
                              "mass that does the work of 1 g"},
                   catalogue->hydrates[i].g_per_g, "g");
}

static const cli_batch_renderer batch = {begin_batch, add_batch_row, end_batch};

const cli_renderer render_csv = {.report = show_report,
                                 .comparison = show_comparison,
                                 .batch = &batch,
                                 .audit = show_audit,
                                 .catalogue = show_catalogue};
