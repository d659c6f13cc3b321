/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Why to believe the recipe, and which limits shape it. */
#include <math.h>
#include <stdio.h>

#include "report/blocks.h"
#include "sentences_text.h"

enum { LIST_BYTES = 6000 };
const double report_exact = 1e-12;

double report_sum(double squares)
{
    return squares < report_exact ? 0.0 : squares;
}

/* To the next power of ten, since what is left of so little is rounding. */
cli_figure report_gap(const sw_certificate *proof)
{
    cli_figure said;
    double bound = report_exact;
    while (proof->gap >= bound && bound < 5e-7)
        bound *= 10;
    if (proof->gap < bound)
        snprintf(said.text, sizeof said.text, "below %.0e", bound);
    else
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
        snprintf(own, sizeof own, SAY_TAKEN_IS_ONE,
                 report_sum(fewer->objective));
    if (fewer->proved)
        snprintf(found, sizeof found, SAY_NONE_FEWER, own[0] ? "these" : "its",
                 fewer->products, fewer->products == 1 ? "" : "s",
                 shelf_fixes_some(shelf) ? ", what the shelf fixes not counted"
                                         : "");
    if (!(share > 0.0))
        return report_words(SAY_SAME_ARE_EQUAL, fewer->ph_apart, own, found);
    return report_words(SAY_COUNT_AS_EQUAL, percent, fewer->ph_apart, percent,
                        own, found);
}

/* How the amounts came to be whole steps. */
static void describe_steps(const sw_weighed *w, char *moves, size_t size)
{
    if (!w->equal)
        snprintf(moves, size, "%s",
                 w->outcome == SW_OPTIMAL
                     ? "nothing the scale can weigh of these products comes "
                       "closer to the target."
                     : "not proved.");
    else if (w->moved == 0)
        snprintf(moves, size, SAY_STEPS_NEAREST, 100.0 * w->most_moved);
    else
        snprintf(moves, size, SAY_STEPS_LEAST_MOVE, w->moved,
                 w->moved == 1 ? "amount is" : "amounts are",
                 100.0 * w->most_moved);
}

/* Of the amounts shown; what follows is then of the recipe they came from. */
static void say_steps(doc_block *block, const cli_report *report)
{
    const sw_weighed *w = report->weighed;
    char moves[200], within[200] = "", open[100] = "";
    describe_steps(w, moves, sizeof moves);
    if (w->equal && w->of_steps)
        snprintf(within, sizeof within, SAY_STEPS_NONE_WITHIN,
                 100.0 * report->settings->equal_share);
    else if (w->equal)
        snprintf(within, sizeof within, SAY_STEPS_WITHIN,
                 100.0 * report->settings->equal_share);
    if (w->outcome != SW_OPTIMAL)
        snprintf(open, sizeof open, SAY_STEPS_CUT_SHORT,
                 w->certificate.lower_bound);
    doc_before(block, SAY_STEPS_SUM, within, moves, open,
               w->certificate.objective);
    doc_before(block, SAY_BEFORE_STEPS);
}

/* A ratio has no deviation that counts. */
static const char *words_of_none_closer(const cli_report *report)
{
    const sw_target *target = report->inputs->target;
    for (size_t i = 0; i < target->count; i++)
        if (target->rows[i].kind == SW_TARGET_RATIO &&
            !isnan(target->rows[i].target))
            return "The sum of deviations, in which ratios do not count, is "
                   "zero.";
    return "The sum of deviations is zero: no recipe can be closer to the "
           "target.";
}

/* In what none is better, and by how much one may be. */
static void say_measure(doc_block *block, const cli_report *report)
{
    const sw_solution *solution = report->solution;
    const sw_certificate *proof = &solution->certificate;
    const sw_objective_facts *facts =
        sw_objective_facts_of(solution->objective);
    bool another = solution->fewer.closest.count > 0; /* than the one shown */
    cli_figure gap = report_gap(proof);
    if (solution->outcome != SW_OPTIMAL)
        doc_before(block, SAY_PROOF_CUT_SHORT, proof->objective,
                   proof->lower_bound);
    else if (facts->kind == SW_OF_AMOUNTS)
        doc_before(block, SAY_PROOF_LOWER, facts->value, gap.text);
    else if (proof->objective < report_exact)
        doc_before(block, "%s",
                   another ? "The sum of deviations of the closest recipe is "
                             "zero."
                           : words_of_none_closer(report));
    else if (facts->kind == SW_OF_WORST)
        doc_before(block, SAY_PROOF_WORST, proof->objective, gap.text);
    else
        doc_before(block, SAY_PROOF_SUM,
                   another ? "The closest recipe of these products within the "
                             "limits below: sum of"
                           : "No recipe of these products within the limits "
                             "below comes closer: sum of",
                   proof->objective, gap.text);
}

/* A renewal's proof holds for what is kept. */
static void say_kept(doc_block *block, doc_record *out,
                     const cli_report *report)
{
    if (!report->renewal)
        return;
    double kept_l = report_turnover(report).kept_l;
    doc_number(out, "kept_l", kept_l);
    doc_before(
        block, SAY_PROOF_KEPT,
        figure_volume_both(kept_l, report->settings->volume_system).text);
}

static void say_ph(doc_block *block, const cli_report *report)
{
    const sw_solution *solution = report->solution;
    double ionic = solution->certificate.ionic_strength_mol_per_kg;
    bool free_mix =
        report->inputs->waters.count > 1 && !report->inputs->fractions;
    const char *counts = free_mix ? SAY_PROOF_PH_COUNTS SAY_PROOF_PH_COUNTS_FREE
                                  : SAY_PROOF_PH_COUNTS;
    if (isfinite(ionic))
        doc_before(block, SAY_PROOF_PH,
                   solution->fewer.closest.count ? "the closest" : "this",
                   ionic, sw_levers_text(solution->certificate.levers),
                   sw_objective_facts_of(solution->objective)->kind ==
                           SW_OF_AMOUNTS
                       ? ""
                       : counts);
}

/* Products that a rule kept out, or at their min, by that rule.  A fixed amount
 * is the shelf's alone. */
static void put_left_out(doc_record *out, bool at_min, doc_block *said,
                         const cli_report *report)
{
    const sw_left_out *rules = report->solution->left_out;
    const sw_shelf *shelf = report->inputs->shelf;
    doc_block *block = doc_add(out, at_min ? "held_at_min" : "left_out");
    for (int rule = SW_IN_USE + 1; rules && rule <= SW_LEFT_WATER; rule++) {
        char list[LIST_BYTES] = "";
        for (size_t j = 0; j < shelf->count; j++) {
            const sw_product *product = &shelf->products[j];
            if ((int)rules[j] != rule || !isnan(product->fixed_g_per_l) ||
                (product->min_g_per_l > 0.0) != at_min)
                continue;
            doc_record *row = doc_row(block);
            doc_text(row, "product", product->name);
            doc_text(row, "rule", sw_left_out_text(rules[j]));
            text_join(list, sizeof list, ", ", "%s", product->name);
        }
        if (list[0])
            doc_before(said,
                       at_min ? SAY_PROOF_HELD_AT_MIN : SAY_PROOF_LEFT_OUT,
                       sw_left_out_text((sw_left_out)rule), list);
    }
}

static void put_limit(doc_block *block, const sw_limit *limit, char *missed,
                      char *rest)
{
    doc_record *row = doc_row(block);
    doc_text(row, "limit", limit->name);
    doc_text(row, "origin", sw_origin_text(limit->origin));
    DOC_NUMBERS(row, {"bound", limit->bound},
                {"price", limit->binds ? limit->price : (double)NAN});
    doc_flag(row, "binds", limit->binds);
    doc_flag(row, "missed", limit->missed);
    doc_show_row(row, limit->binds ? 0 : DOC_DATA);
    if (limit->missed)
        text_join(missed, LIST_BYTES, "; ", "%s", limit->name);
    else if (!limit->binds)
        text_join(rest, LIST_BYTES, "; ", "%s", limit->name);
}

/* Under what the proof holds, and which of it holds the recipe back. */
static void put_within(doc_record *out, const cli_report *report)
{
    char rest[LIST_BYTES] = "";
    char missed[LIST_BYTES] = "";
    bool eased = false;
    const sw_solution *solution = report->solution;
    const cli_sources *waters = &report->inputs->waters;
    doc_block *block = doc_add(out, "within");
    for (size_t i = 0; i < solution->within_count; i++) {
        sw_limit limit = solution->within[i];
        if (limit.kind == SW_SIDE_WATER && limit.index < waters->count)
            snprintf(limit.name, sizeof limit.name, SAY_PROOF_MOST_SHARE,
                     waters->items[limit.index].water->sample,
                     100.0 * limit.bound);
        put_limit(block, &limit, missed, rest);
        eased |= limit.origin == SW_GAVE_WAY;
    }
    if (missed[0])
        doc_after(block, SAY_PROOF_GAVE_WAY,
                  "acids, bases and the mix of waters", missed);
    if (rest[0])
        doc_after(block, eased ? SAY_PROOF_SLACK_EASED : SAY_PROOF_SLACK, rest);
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
    say_measure(block, report);
    say_kept(block, out, report);
    if (solution->outcome == SW_OPTIMAL && has_fewest(solution))
        doc_before(block, "%s",
                   report_fewest_words(&solution->fewer, report->inputs->shelf,
                                       report->settings->equal_share)
                       .text);
    say_ph(block, report);
    put_left_out(out, false, block, report);
    put_left_out(out, true, block, report);
    put_within(out, report);
}

/* ---- Trade-off ------------------------------------------------------ */

/* A curve has more points than a table needs. */
enum { ROWS_SHOWN = 9 };

/* What both tables call the distance. */
#define DISTANCE                                                               \
    "The distance is the sum of weighted squared relative deviations."

static bool uses(const sw_front_point *point, size_t product)
{
    return point->recipe.g_per_l[product] >= report_least_g_per_l();
}

static doc_record *put_point(doc_block *block, const cli_report *report,
                             const sw_front_point *point)
{
    doc_record *row = doc_row(block);
    DOC_NUMBERS(row, {"products", (double)point->products},
                {"objective", point->objective},
                {"lower_bound", point->lower_bound},
                {"cost_per_m3", point->cost_per_m3});
    doc_flag(row, "misses_ph", point->misses_ph);
    doc_block *amounts = doc_add(row, "g_per_l");
    for (size_t j = 0; j < point->recipe.count; j++)
        if (uses(point, j))
            doc_entry(amounts, report->inputs->shelf->products[j].name,
                      point->recipe.g_per_l[j]);
    if (point->misses_ph)
        doc_text(row, "remark", "the pH is missed");
    return row;
}

static void put_costs(doc_record *out, const cli_report *report)
{
    const sw_front *front = report->front;
    doc_block *block = doc_add(out, "by_cost");
    size_t every =
        front->count > ROWS_SHOWN ? (front->count - 1) / (ROWS_SHOWN - 1) : 1;
    doc_before(
        block,
        "Each of these comes closest for what it costs, from the "
        "closest recipe to the cheapest; all keep the limits "
        "and, where the target gives none, the accepted ranges. " DISTANCE);
    for (size_t i = 0; i < front->count; i++) {
        const sw_front_point *point = &front->points[i];
        doc_record *row = put_point(block, report, point);
        DOC_NUMBERS(
            row,
            {"cost_share", point->cost_per_m3 / front->points[0].cost_per_m3},
            {"saved_by_1_more", -point->slope});
        doc_show_row(row, i % every ? DOC_DATA : 0);
    }
    if (front->count == 1)
        doc_after(block, SAY_TRADE_ONE);
}

/* "without boric acid, zinc sulfate": what the first recipe uses and this one
 * does not. */
static void put_what_is_dropped(doc_record *row, const cli_report *report,
                                const sw_front_point *point)
{
    char list[1024] = "";
    for (size_t j = 0; j < point->recipe.count; j++) {
        if (uses(&report->front->points[0], j) && !uses(point, j))
            text_join(list, sizeof list, ", ", "%s",
                      report->inputs->shelf->products[j].name);
    }
    if (list[0])
        doc_print(row, "without", "without %s", list);
}

static void put_numbers(doc_record *out, const cli_report *report)
{
    const sw_front *front = report->front;
    doc_block *block = doc_add(out, "by_products");
    doc_before(block, "Each of these is the best with so many products of the "
                      "shelf; what the shelf fixes is not counted. " DISTANCE);
    for (size_t i = 0; i < front->count; i++) {
        const sw_front_point *point = &front->points[i];
        doc_record *row = put_point(block, report, point);
        if (point->lower_bound >= point->objective * (1.0 - 1e-6) - 1e-12)
            doc_words(row, "lower_bound", "proved");
        put_what_is_dropped(row, report, point);
    }
}

void report_trade_off(doc_record *record, const cli_report *report)
{
    bool cost = report->settings->trade == SW_TRADE_COST;
    if (!report->settings->trade_off || !report->recipe)
        return;
    doc_block *block = doc_add(record, "trade_off");
    doc_record *out = doc_row(block);
    if (!report->front) {
        doc_title(block, "Trade-off of fit against %s",
                  cost ? "cost" : "number of products");
        doc_text(out, "none", SAY_TRADE_NONE);
    } else if (cost)
        put_costs(out, report);
    else
        put_numbers(out, report);
}
