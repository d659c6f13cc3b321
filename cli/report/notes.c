/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What else to know of a recipe: notes, safety, and what was assumed. */
#include <math.h>
#include <stdio.h>

#include "report/blocks.h"

#include "run/cautions.h"
#include "sentences_text.h"

static void put_note(doc_block *block, const cli_report *report,
                     const sw_note *note)
{
    unsigned page = note->severity == SW_INFO      ? DOC_EVIDENCE
                    : note->severity == SW_WARNING ? DOC_CLIENT
                                                   : DOC_BRIEF | DOC_CLIENT;
    if (note->about & SW_ABOUT_CAUTION)
        return;
    doc_record *row = report_note(
        block, note, note->text,
        stop_hides(report, note) ? DOC_DATA : DOC_SCREEN | page | DOC_DATA);
    report_reads_us(row, "text", report);
}

/* What the order of mixing doses from a solution, where nobody has said what
 * the scale can do: the screen has no order. */
static void put_little(doc_block *block, const cli_report *report)
{
    char list[sizeof((sw_note *)0)->text / 2] = "";
    sw_note note = {.severity = SW_INFO, .code = "too-little"};
    for (size_t i = 0; report->steps && i < report->steps->count; i++) {
        const sw_step *step = &report->steps->items[i];
        if (step->kind == SW_STEP_ADD && step->concentrate_g > 0.0)
            text_join(list, sizeof list, ", ", "%s",
                      report->inputs->shelf->products[step->product].name);
    }
    snprintf(note.text, sizeof note.text, SAY_TOO_LITTLE, list);
    if (*list)
        report_note(block, &note, note.text,
                    DOC_SCREEN | DOC_EVIDENCE | DOC_DATA);
}

/* Of what none is poured, what to know before any is. */
static void put_unpoured(doc_block *block, const cli_report *report)
{
    const cli_sources *waters = &report->inputs->waters;
    for (size_t i = 0; i < waters->count; i++) {
        const sw_notes *doubts = &waters->items[i].doubts;
        bool idle = !report_pours(report, i) && !isnan(report_share(report, i));
        for (size_t k = 0; idle && k < doubts->count; k++) {
            sw_note note = {.severity = SW_INFO};
            snprintf(note.code, sizeof note.code, "%s", doubts->items[k].code);
            snprintf(note.text, sizeof note.text, SAY_UNPOURED,
                     doubts->items[k].text);
            report_note(block, &note, note.text,
                        DOC_SCREEN | DOC_EVIDENCE | DOC_DATA);
        }
    }
}

void report_recipe_notes(doc_record *record, const cli_report *report)
{
    const sw_note *note;
    cli_note_walk files = {0}, walk = {0};
    doc_block *block = doc_add(record, "notes");
    while ((note = report_next_input_note(report, &files)))
        report_note(block, note, note->text, report_places_of_read(note));
    while ((note = report_next_note(report, &walk)))
        put_note(block, report, note);
    put_unpoured(block, report);
    put_little(block, report);
}

/* What to wear stands above what is weighed. */
static void put_cautions(doc_record *record, const sw_notes *cautions)
{
    doc_block *block = doc_add(record, "safety");
    doc_title(block, "Safety");
    doc_show_block(block, DOC_SCREEN | DOC_EVIDENCE | DOC_DATA);
    for (size_t i = 0; i < cautions->count; i++)
        report_note(block, &cautions->items[i], cautions->items[i].text,
                    cautions->items[i].about & SW_ABOUT_GEAR ? DOC_DATA : 0);
    if (cautions->count)
        doc_after(block, SAY_GHS);
}

void report_safety(doc_record *record, const cli_report *report)
{
    put_cautions(record, &report->cautions);
}

void report_handling(doc_record *record, const cli_handled *handled)
{
    sw_notes cautions = {0};
    cautions_find(handled, &cautions);
    put_cautions(record, &cautions);
    sw_notes_free(&cautions);
}

void report_assumptions(doc_record *record, const cli_report *report)
{
    doc_block *block = doc_add(record, "assumptions");
    report_say_assumed(block, report->inputs);
    doc_say(block, DOC_PLAIN, SAY_WATER_AS_FOUND);
    doc_say(block, DOC_PLAIN, SAY_RANGES_COVER);
    if (report->stock)
        doc_say(block, DOC_PLAIN, SAY_INJECTORS_AS_SET);
}

/* "a potassium nitrate: label ..." */
static void say_product(doc_block *block, const cli_report *report,
                        size_t index)
{
    const sw_product *p = &report->inputs->shelf->products[index];
    char purity[40] = "";
    bool pure = !p->label && p->formula && !isnan(p->purity);
    if (pure)
        snprintf(purity, sizeof purity, ", %.20s %% pure",
                 figure_short(100.0 * p->purity).text);
    doc_say(block, DOC_PLAIN, "%s %s: %s%s%s%s%s.",
            report_letter(report, index).text, p->name,
            p->label ? "label " : "",
            p->label     ? p->label
            : p->formula ? p->formula
                         : "",
            purity, p->source && p->catalogue_name ? "; " : "",
            p->source && p->catalogue_name ? p->source : "");
}

/* A published limit that sodium or chloride was held against. */
static void say_guideline(doc_block *block, const sw_guideline_row *row)
{
    bool known = !isnan(row->value);
    doc_say(block, DOC_PLAIN, "%s on %s%s%s %s: %s. %s.", row->name, row->use,
            known ? ", " : "", known ? figure_plain(row->value).text : "",
            known ? row->unit : "", sw_fitness_text(row->fitness), row->source);
}

void report_sources(doc_record *record, const cli_report *report)
{
    const sw_assessment *assessment = report->assessment;
    size_t count = report->inputs->shelf->count;
    doc_block *block = doc_add(record, "sources");
    for (size_t turn = 0; report_product_at(report, turn) < count; turn++)
        say_product(block, report, report_product_at(report, turn));
    for (size_t i = 0; assessment && i < assessment->guideline_count; i++)
        say_guideline(block, &assessment->guidelines[i]);
    doc_say(block, DOC_PLAIN, SAY_SOURCES_CONSTANTS, sw_version());
}
