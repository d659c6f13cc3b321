/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Why to believe the recipe, which limits shape it, and what else to know. */
#include "text/parts.h"

#include <math.h>
#include <string.h>

#include "cautions.h"
#include "text/figure.h"
#include "words.h"

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

static void put_fewest(const cli_page *page, const cli_report *report)
{
    char text[500];
    words_fewest(report, text, sizeof text);
    if (text[0])
        page_paragraph(page, 2, 2, "%s", text);
}

static void put_certificate(const cli_page *page, const cli_report *report)
{
    const sw_solution *solution = report->solution;
    const sw_certificate *proof = &solution->certificate;
    char words[32];
    const char *left = open_words(proof->gap, words);
    bool another = solution->fewer.closest.count > 0; /* than the one shown */
    if (solution->objective != SW_CHEAPEST && proof->objective < exact) {
        page_paragraph(page, 2, 2,
                       another ? "The sum of deviations of the closest recipe "
                                 "is zero."
                               : "The sum of deviations is zero: no recipe can "
                                 "be closer to the target.");
        put_fewest(page, report);
        return;
    }
    switch (solution->objective) {
    case SW_CLOSEST:
        page_paragraph(page, 2, 2,
                       another
                           ? "The closest recipe of these products within the "
                             "limits below has a sum of weighted squared "
                             "relative deviations of %.4g; the proof leaves %s "
                             "of it open."
                           : "No recipe of these products comes closer within "
                             "the limits below. Sum of weighted squared "
                             "relative deviations %.4g; the proof leaves %s of "
                             "it open.",
                       proof->objective, left);
        put_fewest(page, report);
        break;
    case SW_EVEN:
        page_paragraph(page, 2, 2,
                       "No recipe of these products within the limits below "
                       "has a smaller worst deviation. It is %.4g of the "
                       "target, weighted; the "
                       "proof leaves %s of it open.",
                       proof->objective, left);
        break;
    case SW_CHEAPEST:
        page_paragraph(page, 2, 2,
                       "No recipe of these products within the limits below "
                       "costs less. The proof leaves %s of the cost open.",
                       left);
        break;
    }
}

/* Of the amounts shown; what follows is then of the recipe they came from. */
static void put_steps_proof(const cli_page *page, const cli_report *report)
{
    char text[400];
    words_steps(report, text, sizeof text);
    page_paragraph(page, 2, 2,
                   "Of the amounts above: %s Sum of weighted squared relative "
                   "deviations %.4g.",
                   text, report->weighed->certificate.objective);
    page_paragraph(page, 2, 2,
                   "Of the recipe before whole steps, whose amounts are not "
                   "shown:");
}

/* Names joined by "; ". */
typedef struct name_list {
    char text[6000];
    size_t used;
} name_list;

static void add_name(name_list *list, const char *name, const char *why)
{
    int written = snprintf(list->text + list->used,
                           sizeof list->text - list->used, "%s%s%s%s",
                           list->used ? "; " : "", name, *why ? ": " : "", why);
    size_t room = sizeof list->text - 1 - list->used;
    list->used += (size_t)written < room ? (size_t)written : room;
}

static void put_names(const cli_page *page, const char *what,
                      const name_list *list)
{
    if (list->used)
        page_paragraph(page, 2, 4, "%s: %s.", what, list->text);
}

static void put_left_out(const cli_page *page, const cli_report *report)
{
    const sw_solution *solution = report->solution;
    const sw_shelf *shelf = report->inputs->shelf;
    name_list list = {.used = 0};
    for (size_t j = 0; solution->left_out && j < shelf->count; j++)
        if (solution->left_out[j] != SW_IN_USE)
            add_name(&list, shelf->products[j].name,
                     sw_left_out_text(solution->left_out[j]));
    put_names(page, "Of the shelf, left out", &list);
}

/* Under what the proof holds, and which of it holds the recipe back. */
static void put_terms(const cli_page *page, const cli_report *report)
{
    const sw_solution *solution = report->solution;
    double ionic = solution->certificate.ionic_strength_mol_per_kg;
    name_list rest = {.used = 0};
    name_list missed = {.used = 0};
    if (isfinite(ionic))
        page_paragraph(page, 2, 2,
                       "The pH is linear at the ionic strength of %s recipe, "
                       "%.4f mol/kg, and moved by acids, bases and what brings "
                       "P or Si that has a target; what the others do to it is "
                       "taken as it is there%s.",
                       solution->fewer.closest.count ? "the closest" : "this",
                       ionic,
                       solution->objective == SW_CHEAPEST
                           ? ""
                           : ". A target of pH counts 0.1 at the end of its "
                             "accepted range");
    put_left_out(page, report);
    if (solution->limit_count)
        page_paragraph(page, 2, 2, "Limits in effect:");
    for (size_t i = 0; i < solution->limit_count; i++)
        page_paragraph(page, 2, 4, "- %s", solution->limits[i].name);
    for (size_t i = 0; i < solution->within_count; i++)
        if (solution->within[i].missed)
            add_name(&missed, solution->within[i].name, "");
        else if (!solution->within[i].binds)
            add_name(&rest, solution->within[i].name, "");
    put_names(page, "Limits that gave way", &missed);
    put_names(page, "Limits that do not hold it back", &rest);
}

void part_proof(const cli_page *page, const cli_report *report)
{
    const sw_solution *solution = report->solution;
    if (!solution)
        return;
    page_title(page, "Proof");
    if (report_in_steps(report))
        put_steps_proof(page, report);
    if (solution->outcome == SW_OPTIMAL)
        put_certificate(page, report);
    else
        page_paragraph(page, 2, 2,
                       "None: the search was cut short. Its measure is %.4g; "
                       "the best possible is at least %.4g.",
                       solution->certificate.objective,
                       solution->certificate.lower_bound);
    put_terms(page, report);
}

void part_gear(const cli_page *page, const cli_handled *handled)
{
    char text[256];
    cautions_gear(handled, text, sizeof text);
    page_paragraph(page, 2, 2, "%s", text);
}

void part_cautions(const cli_page *page, const cli_handled *handled)
{
    static const char *const words[] = {
        [SW_INFO] = "", [SW_WARNING] = "Warning: ", [SW_DANGER] = "Danger: "};
    sw_notes cautions;
    cautions_find(handled, &cautions);
    page_title(page, "Safety");
    for (size_t i = 0; i < cautions.count; i++)
        if (!cautions_is_gear(&cautions.items[i]))
            page_paragraph(page, 2, 4, "- %s%s",
                           words[cautions.items[i].severity],
                           cautions.items[i].text);
    sw_notes_free(&cautions);
}
