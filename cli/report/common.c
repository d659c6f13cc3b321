/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What several reports say in the same way; the whole of one recipe. */
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "report/blocks.h"
#include "io/figure.h"
#include "run/cautions.h"
#include "sentences_text.h"

doc_record *report_begin_as(const char *name, const char *command)
{
    doc_record *report = doc_new(name);
    doc_text(report, "saltwright", sw_version());
    doc_text(report, "command", command);
    return report;
}

doc_record *report_begin(const char *command)
{
    return report_begin_as(command, command);
}

static void put_given(doc_record *record, const char *key, const char *name,
                      const char *from)
{
    doc_text(record, key, name);
    if (from)
        doc_reads(record, key, "%s (%s)", name, from);
}

void report_target(doc_record *record, const cli_inputs *inputs)
{
    put_given(record, "target", inputs->target->name, inputs->target_from);
}

/* The products taken where nobody named a shelf; "": somebody did. */
static void list_assumed(const cli_inputs *inputs, char *list, size_t size)
{
    const sw_shelf *shelf = inputs->shelf;
    *list = '\0';
    for (size_t j = 0; inputs->shelf_assumed && j < shelf->count; j++)
        text_join(list, size, ", ", "%s", shelf->products[j].name);
}

/* What is there for the pH. */
static const char *strength_words(const cli_inputs *inputs)
{
    return !sw_target_ph(inputs->target) ? ""
           : inputs->two_tanks           ? SAY_STRENGTH_ASSUMED_STOCKS
                                         : SAY_STRENGTH_ASSUMED;
}

void report_shelf(doc_record *record, const cli_inputs *inputs)
{
    char list[1024];
    put_given(record, "shelf", inputs->shelf->name, inputs->shelf_from);
    list_assumed(inputs, list, sizeof list);
    doc_text(record, "assumed", list);
    if (*list)
        doc_reads(record, "assumed", SAY_SHELF_ASSUMED, list,
                  strength_words(inputs));
}

void report_say_assumed(doc_block *block, const cli_inputs *inputs)
{
    char list[1024];
    list_assumed(inputs, list, sizeof list);
    if (*list)
        doc_say(block, DOC_PLAIN, SAY_SHELF_ASSUMED, list,
                strength_words(inputs));
}

report_sentence report_words(const char *format, ...)
{
    report_sentence out;
    va_list list;
    va_start(list, format);
    vsnprintf(out.text, sizeof out.text, format, list);
    va_end(list);
    return out;
}

doc_record *report_note(doc_block *block, const sw_note *note, const char *text,
                        unsigned places)
{
    doc_record *row = doc_row(block);
    doc_text(row, "code", note->code);
    doc_text(row, "severity", sw_severity_text(note->severity));
    doc_words(row, "severity", sw_signal_text(note->severity));
    doc_text(row, "text", text);
    doc_colour(row, note->severity == SW_DANGER ? DOC_BAD : DOC_PLAIN);
    doc_show_row(row, places);
    return row;
}

void report_notes(doc_block *block, const sw_notes *notes, unsigned places)
{
    for (size_t i = 0; i < notes->count; i++)
        report_note(block, &notes->items[i], notes->items[i].text, places);
}

unsigned report_places_of_read(const sw_note *note)
{
    bool shown =
        note->about & SW_ABOUT_FILE || !strcmp(note->code, "coarse-detection");
    return DOC_EVIDENCE | DOC_DATA | (shown ? DOC_SCREEN | DOC_CLIENT : 0);
}

static bool has_note(const sw_notes *notes, const char *text)
{
    for (size_t i = 0; i < notes->count; i++)
        if (!strcmp(notes->items[i].text, text))
            return true;
    return false;
}

void report_file_notes(doc_block *block, const cli_sources *sources)
{
    for (size_t k = 0; k < sources->count; k++) {
        const sw_notes *notes = &sources->items[k].notes;
        for (size_t i = 0; i < notes->count; i++) {
            const sw_note *note = &notes->items[i];
            size_t before = 0;
            while (before < k &&
                   !has_note(&sources->items[before].notes, note->text))
                before++;
            if (note->about & SW_ABOUT_FILE && before == k)
                report_note(block, note, note->text,
                            report_places_of_read(note));
        }
    }
}

void report_range(doc_record *record, const char *key, double low, double high,
                  int decimals)
{
    if (!isnan(low) || !isnan(high))
        doc_text(record, key, figure_band(low, high, decimals).text);
}

const char report_hidden[] = "by less than these digits show";

bool report_is_hidden(double value, double low, double high, int decimals)
{
    cli_figure shown = figure_fixed(value, decimals);
    cli_figure bound = figure_fixed(value > high ? high : low, decimals);
    return (value > high || value < low) && strcmp(shown.text, bound.text) == 0;
}

/* ">0.7", or of a limit that bounds from below "<6.5". */
static void put_bound(doc_record *record, const char *key, double limit,
                      bool below)
{
    doc_number(record, key, limit);
    doc_reads(record, key, "%s%s", below ? "<" : ">", figure_short(limit).text);
}

/* For want of a reading, or of one that sees as little as the limit. */
static bool is_unjudged(const sw_guideline_row *row)
{
    return row->fitness == SW_NOT_REPORTED || row->fitness == SW_NOT_SEEN;
}

static void put_guidelines(doc_record *record, const sw_guideline_row *rows,
                           size_t count)
{
    doc_block *block = doc_add(record, "guidelines");
    for (size_t i = 0; i < count; i++) {
        const sw_guideline_row *row = &rows[i];
        bool fit = row->fitness == SW_FIT;
        bool judged = !is_unjudged(row);
        doc_record *out = doc_row(block);
        doc_text(out, "use", row->use);
        doc_text(out, "guideline", row->name);
        doc_shown(out, "value", row->value, figure_short(row->value).text);
        put_bound(out, "restricted_at", row->caution, row->below);
        put_bound(out, "unsuitable_at", row->severe, row->below);
        put_bound(out, "danger_at", row->danger, row->below);
        doc_text(out, "unit", row->unit);
        doc_number(out, "purified_share", row->purified_share);
        doc_flag(out, "soil", row->soil);
        doc_text(out, "verdict", sw_fitness_text(row->fitness));
        doc_text(out, "source", row->source);
        doc_colour(out, fit                    ? DOC_GOOD
                        : row->soil || !judged ? DOC_PLAIN
                                               : DOC_BAD);
        doc_show_row(out, fit || !judged ? DOC_DATA : 0);
    }
}

/* Whether two limits are of the same name and use. */
static bool is_same(const sw_guideline_row *a, const sw_guideline_row *b)
{
    return strcmp(a->use, b->use) == 0 && strcmp(a->name, b->name) == 0;
}

/* Whether limit `index` is met, and named by no row before it: neither met
 * there, nor broken anywhere. */
static bool is_news(const sw_guideline_row *rows, size_t count, size_t index)
{
    for (size_t i = 0; i < count; i++)
        if (is_same(&rows[i], &rows[index]) &&
            (rows[i].fitness != SW_FIT || i < index))
            return false;
    return rows[index].fitness == SW_FIT;
}

/* The limits met for the use of row `first`, where it is the first of them. */
static void put_met(doc_block *block, const sw_guideline_row *rows,
                    size_t count, size_t first)
{
    char list[512] = "";
    for (size_t i = 0; i < count; i++) {
        if (strcmp(rows[i].use, rows[first].use) != 0 ||
            !is_news(rows, count, i))
            continue;
        if (i < first)
            return;
        text_join(list, sizeof list, ", ", "%s", rows[i].name);
    }
    doc_record *out = doc_row(block);
    doc_text(out, "use", rows[first].use);
    doc_text(out, "limits", list);
}

static void say_unjudged(doc_block *block, const sw_guideline_row *rows,
                         size_t count)
{
    bool any_met = false;
    char list[512] = "";
    for (size_t i = 0; i < count; i++) {
        bool first = is_unjudged(&rows[i]);
        any_met = any_met || is_news(rows, count, i);
        for (size_t k = 0; k < i && first; k++)
            first = !is_unjudged(&rows[k]) || !is_same(&rows[k], &rows[i]);
        if (first)
            text_join(list, sizeof list, ", ", "%s (%s)", rows[i].name,
                      rows[i].use);
    }
    if (*list && !any_met)
        doc_title(block, "Limits not judged");
    if (*list)
        doc_after(block, SAY_LIMITS_UNJUDGED, list);
}

void report_limits(doc_record *record, const sw_guideline_row *rows,
                   size_t count)
{
    put_guidelines(record, rows, count);
    doc_block *met = doc_add(record, "limits_met");
    say_unjudged(met, rows, count);
    for (size_t i = 0; i < count; i++)
        if (is_news(rows, count, i))
            put_met(met, rows, count, i);
}

cli_figure report_degrees(const cli_report *report, double celsius)
{
    cli_figure said;
    cli_figure fahrenheit = figure_fahrenheit(celsius);
    cli_amounts amounts = report->settings->amounts;
    if (amounts == AMOUNTS_US)
        snprintf(said.text, sizeof said.text, "%.20s °F", fahrenheit.text);
    else
        snprintf(said.text, sizeof said.text,
                 amounts == AMOUNTS_BOTH ? "%.4g °C (%.20s °F)" : "%.4g °C",
                 celsius, fahrenheit.text);
    return said;
}

/* ---- The whole of a recipe in a water ------------------------------- */

static void put_strength(doc_record *record, const cli_inputs *inputs)
{
    if (!inputs->strength)
        return;
    doc_record *out = doc_part(record, "strength");
    doc_text(out, "of", inputs->recipe_scaled ? "recipe" : "target");
    DOC_NUMBERS(out, {"factor", inputs->strength->factor},
                {"ec_ms_per_cm", inputs->strength->ec_ms_per_cm});
}

static void put_facts(doc_record *record, const cli_report *report)
{
    const sw_solution *solution = report->solution;
    if (solution) {
        doc_text(record, "outcome", sw_outcome_text(solution->outcome));
        doc_text(record, "objective", sw_objective_text(solution->objective));
    }
    doc_number(record, "volume_l", report->settings->volume_l);
    doc_text(record, "stage", report->inputs->stage);
    if (report->assessment) {
        doc_flag(record, "all_met", report->assessment->all_met);
        doc_number(record, "cost", report_cost(report));
    }
    put_strength(record, report->inputs);
}

/* What can hurt stands before what is done, wherever there is an amount. */
static void put_recipe(doc_record *record, const cli_report *report)
{
    report_stock(record, report);
    report_recipe(record, report);
    report_safety(record, report);
    report_worker(record, report);
    report_weighed(record, report);
    report_bag(record, report);
    report_premixes(record, report);
    report_components(record, report);
    report_measures(record, report);
    report_finished(record, report);
    report_diagnosis(record, report);
    report_sure(record, report);
    report_assessed_limits(record, report);
    report_charges(record, report);
    if (report->spread && !stop_is_asked(report))
        report_meter_log(record, report);
}

void report_mixing(doc_record *record, const cli_report *report)
{
    report_title(record, report);
    put_facts(record, report);
    report_stop(record, report);
    report_verdict(record, report);
    report_asked(record, report);
    report_renewal(record, report);
    if (report->assessment)
        put_recipe(record, report);
    report_conflict(record, report);
    if (report->assessment)
        report_proof(record, report);
    report_why(record, report);
    report_trade_off(record, report);
    report_waters(record, report);
    report_recipe_notes(record, report);
    if (!report->assessment)
        report_safety(record, report);
    report_assumptions(record, report);
    report_sources(record, report);
}
