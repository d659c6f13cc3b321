/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Why to believe the recipe, which limits shape it, and what else to know. */
#include "stop.h"
#include "text/parts.h"

#include <string.h>

#include "cautions.h"
#include "text/figure.h"

/* Squared relative deviations below it are rounding. */
static const double exact = 1e-12;

/* What the proof leaves open; below `exact` it is rounding, not a figure. */
static const char *open_words(double gap, char words[32])
{
    if (gap < exact)
        return "less than 1e-12";
    snprintf(words, 32, "%.1e", gap);
    return words;
}

static void put_certificate(const cli_page *page, const sw_solution *solution)
{
    const sw_certificate *proof = &solution->certificate;
    char words[32];
    const char *left = open_words(proof->gap, words);
    if (solution->objective != SW_CHEAPEST && proof->objective < exact) {
        page_paragraph(page, 2, 2,
                       "The sum of deviations is zero: no recipe can be "
                       "closer to the target.");
        return;
    }
    switch (solution->objective) {
    case SW_CLOSEST:
        page_paragraph(page, 2, 2,
                       "No recipe from this shelf comes closer to the target. "
                       "Sum of weighted squared relative deviations %.4g; the "
                       "proof leaves %s of it open.",
                       proof->objective, left);
        break;
    case SW_EVEN:
        page_paragraph(page, 2, 2,
                       "No recipe from this shelf has a smaller worst "
                       "deviation. It is %.4g of the target, weighted; the "
                       "proof leaves %s of it open.",
                       proof->objective, left);
        break;
    case SW_CHEAPEST:
        page_paragraph(page, 2, 2,
                       "No recipe from this shelf that keeps the limits costs "
                       "less. The proof leaves %s of the cost open.",
                       left);
        break;
    }
}

/* Of the amounts shown; what follows is then of the recipe they came from. */
static void put_steps_proof(const cli_page *page, const sw_weighed *weighed)
{
    const sw_certificate *proof = &weighed->certificate;
    char words[32];
    if (weighed->outcome == SW_OPTIMAL)
        page_paragraph(page, 2, 2,
                       "Of the amounts above: no whole steps of these products "
                       "come closer to the target. Sum of weighted squared "
                       "relative deviations %.4g; the proof leaves %s of it "
                       "open.",
                       proof->objective, open_words(proof->gap, words));
    else
        page_paragraph(page, 2, 2,
                       "Of the amounts above: none, the search was cut short. "
                       "Sum of weighted squared relative deviations %.4g; "
                       "whole steps that come closer, down to %.4g, may exist.",
                       proof->objective, proof->lower_bound);
    page_paragraph(page, 2, 2,
                   "Of the recipe before whole steps, whose amounts are not "
                   "shown:");
}

void part_proof(const cli_page *page, const cli_report *report)
{
    const sw_solution *solution = report->solution;
    if (!solution)
        return;
    page_title(page, "Proof");
    if (report_in_steps(report))
        put_steps_proof(page, report->weighed);
    if (solution->outcome == SW_OPTIMAL)
        put_certificate(page, solution);
    else
        page_paragraph(page, 2, 2,
                       "None: the search was cut short. Its measure is %.4g; "
                       "the best possible is at least %.4g.",
                       solution->certificate.objective,
                       solution->certificate.lower_bound);
    if (sw_target_ph(report->inputs->target))
        page_paragraph(page, 2, 2,
                       "Acid and base serve the pH alone: the rest is proved "
                       "with them at these amounts.");
    if (solution->limit_count)
        page_paragraph(page, 2, 2, "Held back by:");
    for (size_t i = 0; i < solution->limit_count; i++)
        page_paragraph(page, 2, 4, "- %s", solution->limits[i].name);
}

typedef struct note_list {
    const cli_page *page;
    const cli_report *report; /* or NULL: of several */
    bool cautions;            /* those, or the others */
    bool begun;
} note_list;

static void put_note(void *context, const sw_note *note)
{
    static const char *const words[] = {
        [SW_INFO] = "", [SW_WARNING] = "Warning: ", [SW_DANGER] = "Danger: "};
    note_list *list = context;
    if (cautions_has(note) != list->cautions || cautions_is_gear(note) ||
        (list->report && stop_hides(list->report, note)))
        return;
    if (!list->begun)
        page_title(list->page, list->cautions ? "Safety" : "Notes");
    list->begun = true;
    page_paragraph(list->page, 2, 4, "- %s%s", words[note->severity],
                   note->text);
}

void part_notes(const cli_page *page, const cli_report *report)
{
    note_list notes = {page, report, false, false};
    note_list cautions = {page, NULL, true, false};
    report_visit_notes(report, put_note, &notes);
    report_visit_notes(report, put_note, &cautions);
}

void part_note_list(const cli_page *page, const sw_notes *notes)
{
    note_list list = {page, NULL, false, false};
    for (size_t i = 0; i < notes->count; i++)
        put_note(&list, &notes->items[i]);
}

void part_gear(const cli_page *page, const cli_handled *handled)
{
    char text[256];
    cautions_gear(handled, text, sizeof text);
    page_paragraph(page, 2, 2, "%s", text);
}

void part_report_gear(const cli_page *page, const cli_report *report)
{
    cli_handled handled = {.count = 0};
    cautions_add(&handled, report);
    part_gear(page, &handled);
}

void part_cautions(const cli_page *page, const cli_handled *handled)
{
    sw_notes cautions;
    note_list list = {page, NULL, true, false};
    cautions_find(handled, &cautions);
    for (size_t i = 0; i < cautions.count; i++)
        put_note(&list, &cautions.items[i]);
    sw_notes_free(&cautions);
}
