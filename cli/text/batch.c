/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A line for each water, then how far each product's amount ranges over them:
 * what stays the same can be weighed once and for all.
 */
#include "stop.h"
#include "text/parts.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cautions.h"
#include "memory.h"
#include "text/figure.h"
#include "text/table.h"
#include "words.h"

typedef struct range {
    double least;
    double most;
} amount_range;

typedef struct batch_state {
    cli_page page;
    cli_table table;
    const sw_shelf *shelf;
    amount_range *ranges; /* g/L, one per product */
    size_t solved;
    cli_handled handled;
} batch_state;

static const cli_table_column columns[] = {
    {"water", "", false},  {"targets", "met", true},
    {"EC", "mS/cm", true}, {"pH", "mixed", true},
    {"pH", "aired", true}, {"cost", "per 1000 L", true},
    {"recipe", "", false}};

static void *begin(const cli_canvas *canvas, const cli_inputs *shared,
                   const cli_settings *settings)
{
    batch_state *state = memory_array(1, sizeof *state);
    (void)settings;
    state->page = (cli_page){canvas->out, canvas->colour};
    state->table = table_new(columns, sizeof columns / sizeof columns[0]);
    state->table.remark_indent = 4;
    state->shelf = shared->shelf;
    state->ranges = memory_array(shared->shelf->count, sizeof(amount_range));
    return state;
}

static void widen(batch_state *state, const cli_report *report)
{
    for (size_t i = 0; i < report->recipe->count; i++) {
        double amount = report->recipe->g_per_l[i];
        amount_range *range = &state->ranges[i];
        if (state->solved == 0 || amount < range->least)
            range->least = amount;
        if (state->solved == 0 || amount > range->most)
            range->most = amount;
    }
    state->solved++;
}

/* What came of the search, as a grower would say it. */
static const char *result_words(const sw_solution *solution)
{
    static const char *const best[] = {[SW_CLOSEST] = "the closest",
                                       [SW_EVEN] = "the most even",
                                       [SW_CHEAPEST] = "the cheapest"};
    switch (solution->outcome) {
    case SW_OPTIMAL:
        return best[solution->objective];
    case SW_LIMIT:
        return "cut short";
    default:
        return "none";
    }
}

/* Below a row: what must not be overlooked, then what is not met. */
typedef struct batch_remark {
    char text[2048];
} batch_remark;

static void add_words(batch_remark *remark, const char *before,
                      const char *words)
{
    size_t used = strlen(remark->text);
    snprintf(remark->text + used, sizeof remark->text - used, "%s%s%s",
             used ? " " : "", before, words);
}

static void add_danger(void *context, const sw_note *note)
{
    add_words(context, "Danger: ", note->text);
}

static void put_remark(cli_table *table, const cli_report *report)
{
    batch_remark remark = {""};
    char unmet[1024];
    words_unmet(report, unmet, sizeof unmet);
    report_visit_severity(report, SW_DANGER, add_danger, &remark);
    if (unmet[0])
        add_words(&remark, "", unmet);
    if (report->assessment->undeclared.text[0])
        add_words(&remark, "", report->assessment->undeclared.text);
    if (remark.text[0])
        table_remark(table, remark.text);
}

static void add_solved(batch_state *state, const sw_water *water,
                       const cli_report *report)
{
    const sw_assessment *assessment = report->assessment;
    char met_text[48];
    bool dangerous = report_is_dangerous(report);
    size_t met;
    size_t all;
    sw_count_met(report->assessment, &met, &all);
    snprintf(met_text, sizeof met_text, "%zu/%zu", met, all);
    cli_figure ec = figure_fixed(assessment->mixed.ec_ms_per_cm, FIGURE_EC);
    cli_figure mixed = figure_fixed(assessment->mixed.ph, FIGURE_PH);
    cli_figure aired = figure_fixed(assessment->aired.ph, FIGURE_PH);
    cli_figure cost = figure_fixed(assessment->cost_per_m3, FIGURE_COST);
    const char *cells[] = {water->sample,
                           met_text,
                           ec.text,
                           mixed.text,
                           aired.text,
                           cost.text,
                           dangerous ? "do not use"
                                     : result_words(report->solution)};
    table_add(&state->table, cells)->tone = dangerous ? TONE_BAD : TONE_PLAIN;
    put_remark(&state->table, report);
    if (!stop_is_asked(report)) {
        widen(state, report);
        cautions_add(&state->handled, report);
    }
}

static void row(void *opaque, const sw_water *water, const cli_report *report)
{
    batch_state *state = opaque;
    if (report && report->assessment) {
        add_solved(state, water, report);
        return;
    }
    const char *cells[] = {water->sample,
                           "",
                           "",
                           "",
                           "",
                           "",
                           report ? result_words(report->solution) : "failed"};
    table_add(&state->table, cells)->tone = TONE_BAD;
}

static void put_ranges(const batch_state *state)
{
    static const cli_table_column heads[] = {{"product", "", false},
                                             {"least", "per 1000 L", true},
                                             {"most", "per 1000 L", true},
                                             {"spread", "", true}};
    cli_table table = table_new(heads, sizeof heads / sizeof heads[0]);
    for (size_t i = 0; i < state->shelf->count; i++) {
        const sw_product *product = &state->shelf->products[i];
        amount_range range = state->ranges[i];
        double scale = 1000.0 / (isnan(product->density_g_per_ml)
                                     ? 1.0
                                     : product->density_g_per_ml);
        bool liquid = !isnan(product->density_g_per_ml);
        if (range.most < 1e-9)
            continue;
        cli_figure least = liquid ? figure_liquid_metric(scale * range.least)
                                  : figure_mass_metric(scale * range.least);
        cli_figure most = liquid ? figure_liquid_metric(scale * range.most)
                                 : figure_mass_metric(scale * range.most);
        cli_figure spread =
            figure_percent((range.most - range.least) / range.most);
        const char *cells[] = {product->name, least.text, most.text,
                               spread.text};
        table_add(&table, cells);
    }
    if (table.row_count) {
        page_title(&state->page, "How far the amounts range");
        part_gear(&state->page, &state->handled);
        table_print(&state->page, &table);
        page_paragraph(&state->page, 2, 2,
                       "Spread: most less least, as a share of the most.");
    }
    table_free(&table);
}

static void end(void *opaque)
{
    batch_state *state = opaque;
    page_word(&state->page, TONE_TITLE, "A recipe for each water");
    fputc('\n', state->page.out);
    table_print(&state->page, &state->table);
    if (state->solved) {
        put_ranges(state);
        part_cautions(&state->page, &state->handled);
    }
    table_free(&state->table);
    free(state->ranges);
    free(state);
}

const cli_batch_renderer text_batch = {begin, row, end};
