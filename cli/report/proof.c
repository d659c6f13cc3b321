/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Why to believe the recipe, and which limits shape it. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "report/blocks.h"

enum { LIST_BYTES = 6000 };
const double report_exact = 1e-12;

double report_sum(double squares)
{
    return squares < report_exact ? 0.0 : squares;
}

cli_figure report_gap(const sw_certificate *proof)
{
    cli_figure said = {"below 1e-12"};
    if (!(proof->gap < report_exact))
        snprintf(said.text, sizeof said.text, "%.0e", proof->gap);
    return said;
}

static void put_certificate(doc_record *record, const char *key,
                            const sw_certificate *proof)
{
    if (isfinite(proof->gap))
        DOC_NUMBERS(doc_part(record, key),
                    {"objective", report_sum(proof->objective)},
                    {"lower_bound", report_sum(proof->lower_bound)},
                    {"gap", report_sum(proof->gap)});
}

/* Whether recipes near the closest counted as equal. */
static bool has_fewest(const sw_solution *solution)
{
    return solution->recipe.count && solution->fewer.ph_apart > 0.0;
}

void report_fewest(doc_record *record, const sw_fewer *fewer,
                   const sw_recipe *taken, const sw_shelf *shelf, double share)
{
    doc_record *out = doc_part(record, "fewest");
    doc_block *left = doc_add(out, "left_out");
    DOC_NUMBERS(out, {"equal_within", share},
                {"products", (double)fewer->products},
                {"ph_within", fewer->ph_apart});
    doc_flag(out, "proved", fewer->proved);
    if (fewer->closest.count) {
        doc_text(out, "most_moved", sw_component_name(fewer->moved));
        DOC_NUMBERS(out, {"moved_share", fewer->moved_share},
                    {"deviations", report_sum(fewer->objective)});
    }
    for (size_t i = 0; i < fewer->closest.count; i++) {
        double g_per_l = fewer->closest.g_per_l[i];
        if (!(g_per_l > report_least_g_per_l()) ||
            taken->g_per_l[i] > report_least_g_per_l())
            continue;
        doc_record *row = doc_row(left);
        doc_text(row, "product", shelf->products[i].name);
        doc_number(row, "g_per_l", g_per_l);
    }
}

static bool shelf_fixes_some(const sw_shelf *shelf)
{
    for (size_t j = 0; j < shelf->count; j++)
        if (shelf->products[j].min_g_per_l > 0.0 ||
            !isnan(shelf->products[j].fixed_g_per_l))
            return true;
    return false;
}

report_sentence report_fewest_words(const sw_fewer *fewer,
                                    const sw_shelf *shelf, double share)
{
    double percent = 100.0 * share;
    char own[120] = "";
    char found[160] = "Whether one of them takes fewer products is not proved.";
    if (fewer->closest.count)
        snprintf(own, sizeof own,
                 "The recipe taken is one of them; its own sum is %.4g. ",
                 report_sum(fewer->objective));
    if (fewer->proved)
        snprintf(found, sizeof found,
                 "None of them takes fewer than %s %zu product%s%s.",
                 own[0] ? "these" : "its", fewer->products,
                 fewer->products == 1 ? "" : "s",
                 shelf_fixes_some(shelf) ? ", what the shelf fixes not counted"
                                         : "");
    return report_words(
        "Recipes count as equal to it that keep every limit and verdict, each "
        "target within %.3g %%, the pH within %.2g, and raise nothing else by "
        "more than %.3g %% of it, of N for its forms, or of what feeds usually "
        "get at most. %s%s",
        percent, fewer->ph_apart, percent, own, found);
}

/* How the amounts came to be whole steps. */
static void describe_steps(const sw_weighed *w, char *moves, size_t size)
{
    if (!w->equal)
        snprintf(moves, size, "%s",
                 w->outcome == SW_OPTIMAL
                     ? "no whole steps of these products come closer to the "
                       "target."
                     : "not proved.");
    else if (w->moved == 0)
        snprintf(moves, size,
                 "in every nutrient, each amount at its nearest step, none "
                 "changed by more than %.3g %%.",
                 100.0 * w->most_moved);
    else
        snprintf(moves, size,
                 "in every nutrient by the least move: %zu %s not at the "
                 "nearest step, the largest change is %.3g %%.",
                 w->moved, w->moved == 1 ? "amount is" : "amounts are",
                 100.0 * w->most_moved);
}

/* Of the amounts shown; what follows is then of the recipe they came from. */
static void say_steps(doc_block *block, const cli_report *report)
{
    const sw_weighed *w = report->weighed;
    char moves[200], within[200] = "", open[100] = "";
    describe_steps(w, moves, sizeof moves);
    if (w->equal && w->of_steps)
        snprintf(within, sizeof within,
                 "no whole steps are within %.3g %% of the closest recipe; "
                 "they are within that of the closest whole steps ",
                 100.0 * report->settings->equal_share);
    else if (w->equal)
        snprintf(within, sizeof within,
                 "they are within %.3g %% of the closest recipe ",
                 100.0 * report->settings->equal_share);
    if (w->outcome != SW_OPTIMAL)
        snprintf(open, sizeof open,
                 " The search was cut short: a sum down to %.4g may be "
                 "reached.",
                 w->certificate.lower_bound);
    doc_before(block,
               "Of the amounts above: %s%s%s Sum of weighted squared relative "
               "deviations %.4g.",
               within, moves, open, w->certificate.objective);
    doc_before(block, "Of the recipe before whole steps, whose amounts are not "
                      "shown:");
}

/* In what none is better, and by how much one may be. */
static void say_measure(doc_block *block, const sw_solution *solution)
{
    const sw_certificate *proof = &solution->certificate;
    const sw_objective_facts *facts =
        sw_objective_facts_of(solution->objective);
    bool another = solution->fewer.closest.count > 0; /* than the one shown */
    cli_figure gap = report_gap(proof);
    if (solution->outcome != SW_OPTIMAL)
        doc_before(block,
                   "None: the search was cut short. Its measure is %.4g; the "
                   "best possible is at least %.4g.",
                   proof->objective, proof->lower_bound);
    else if (facts->kind == SW_OF_AMOUNTS)
        doc_before(block,
                   "No recipe of these products within the limits below has a "
                   "lower %s. Optimality gap %s.",
                   facts->value, gap.text);
    else if (proof->objective < report_exact)
        doc_before(block, another ? "The sum of deviations of the closest "
                                    "recipe is zero."
                                  : "The sum of deviations is zero: no recipe "
                                    "can be closer to the target.");
    else if (facts->kind == SW_OF_WORST)
        doc_before(block,
                   "No recipe of these products within the limits below has a "
                   "smaller worst deviation: %.4g of the target, weighted. "
                   "Optimality gap %s.",
                   proof->objective, gap.text);
    else
        doc_before(block,
                   "%s weighted squared relative deviations %.4g, optimality "
                   "gap %s.",
                   another ? "The closest recipe of these products within the "
                             "limits below: sum of"
                           : "No recipe of these products within the limits "
                             "below comes closer: sum of",
                   proof->objective, gap.text);
}

static void say_ph(doc_block *block, const sw_solution *solution)
{
    double ionic = solution->certificate.ionic_strength_mol_per_kg;
    if (isfinite(ionic))
        doc_before(block,
                   "The pH is linear at the ionic strength of %s recipe, %.4f "
                   "mol/kg, and moved by %s%s.",
                   solution->fewer.closest.count ? "the closest" : "this",
                   ionic, sw_levers_text(solution->certificate.levers),
                   sw_objective_facts_of(solution->objective)->kind ==
                           SW_OF_AMOUNTS
                       ? ""
                       : ". A target of pH counts 0.1 at the end of its "
                         "accepted range");
}

/* Products of the shelf that were not to serve, by the rule they fall under. */
static void put_left_out(doc_record *out, doc_block *said,
                         const cli_report *report)
{
    const sw_left_out *rules = report->solution->left_out;
    const sw_shelf *shelf = report->inputs->shelf;
    doc_block *block = doc_add(out, "left_out");
    for (int rule = SW_IN_USE + 1; rules && rule <= SW_LEFT_TRACE; rule++) {
        char list[LIST_BYTES] = "";
        for (size_t j = 0; j < shelf->count; j++) {
            if ((int)rules[j] != rule)
                continue;
            doc_record *row = doc_row(block);
            doc_text(row, "product", shelf->products[j].name);
            doc_text(row, "rule", sw_left_out_text(rules[j]));
            text_join(list, sizeof list, ", ", "%s", shelf->products[j].name);
        }
        if (list[0])
            doc_before(said, "Left out of the shelf (%s): %s.",
                       sw_left_out_text((sw_left_out)rule), list);
    }
}

/* Under what the proof holds, and which of it holds the recipe back. */
static void put_within(doc_record *out, const sw_solution *solution)
{
    char rest[LIST_BYTES] = "";
    char missed[LIST_BYTES] = "";
    doc_block *block = doc_add(out, "within");
    for (size_t i = 0; i < solution->within_count; i++) {
        const sw_limit *limit = &solution->within[i];
        doc_record *row = doc_row(block);
        doc_text(row, "limit", limit->name);
        doc_text(row, "origin", sw_origin_text(limit->origin));
        DOC_NUMBERS(row, {"bound", limit->bound},
                    {"price", limit->binds ? limit->price : (double)NAN});
        doc_flag(row, "binds", limit->binds);
        doc_flag(row, "missed", limit->missed);
        doc_show_row(row, limit->binds ? 0 : DOC_DATA);
        if (limit->missed)
            text_join(missed, sizeof missed, "; ", "%s", limit->name);
        else if (!limit->binds)
            text_join(rest, sizeof rest, "; ", "%s", limit->name);
    }
    if (missed[0])
        doc_after(block, "Limits that gave way: %s.", missed);
    if (rest[0])
        doc_after(block, "Limits that do not hold it back: %s.", rest);
}

void report_proof(doc_record *record, const cli_report *report)
{
    const sw_solution *solution = report->solution;
    if (!solution || solution->outcome == SW_CONFLICT)
        return;
    put_certificate(record, "certificate", report_certificate(report));
    if (report_in_steps(report))
        put_certificate(record, "certificate_before_steps",
                        &solution->certificate);
    if (has_fewest(solution))
        report_fewest(record, &solution->fewer, report->recipe,
                      report->inputs->shelf, report->settings->equal_share);
    doc_block *block = doc_add(record, "proof");
    doc_record *out = doc_row(block);
    doc_text(out, "minimises",
             sw_objective_facts_of(solution->objective)->measure);
    doc_number(out, "ionic_strength_mol_per_kg",
               solution->certificate.ionic_strength_mol_per_kg);
    if (report_in_steps(report))
        say_steps(block, report);
    say_measure(block, solution);
    if (solution->outcome == SW_OPTIMAL && has_fewest(solution))
        doc_before(block, "%s",
                   report_fewest_words(&solution->fewer, report->inputs->shelf,
                                       report->settings->equal_share)
                       .text);
    say_ph(block, solution);
    put_left_out(out, block, report);
    put_within(out, solution);
}
