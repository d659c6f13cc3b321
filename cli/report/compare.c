/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which of several waters to use, why, why not the others; and the mix. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "report/blocks.h"
#include "report/words.h"
#include "sentences_text.h"

/* A share that shows as nothing. */
static const double least_share = 0.005;
/* What a solve leaves open of a share, in percent. */
static const double share_noise = 1e-6;

/* Why there is no recipe, and what would make one. */
static void say_none(const cli_report *report, char *text, size_t size)
{
    const sw_solution *solution = report->solution;
    char why[2048] = "", helps[2400];
    if (solution->outcome == SW_UNDETERMINED) {
        snprintf(text, size, SAY_NO_RECIPE_UNDETERMINED);
        return;
    }
    if (solution->outcome == SW_CONFLICT)
        report_members_words(report, why, sizeof why);
    else
        snprintf(why, sizeof why, "the search was cut short");
    report_help_words(report, helps, sizeof helps);
    snprintf(text, size, SAY_NO_RECIPE "%s%s",
             solution->outcome == SW_CONFLICT ? "limits conflict: " : "", why,
             *helps ? ". " : "", helps);
}

/* What a result is of. */
static const char *say_use(const sw_choice *choice, size_t run)
{
    bool doubtful = choice->rankings[run].doubtful;
    if (run != choice->chosen)
        return doubtful ? "if its report is right: " : "";
    if (!choice->usable)
        return "do not use it as it stands; the least harmful: ";
    return doubtful ? "use it only once what is in doubt is measured: "
                    : "use it: ";
}

/* "use it: 14 of 16 targets met. Short: pH" */
static void put_result(doc_block *block, const cli_several *several, size_t run)
{
    const cli_report *report = several->reports[run];
    const sw_choice *choice = several->choice;
    const char *reason = choice->rankings[run].reason;
    char result[5000];
    char text[5400];
    doc_record *row = doc_row(block);
    doc_text(row, "name", several->names[run]);
    if (report->assessment)
        report_result_words(report, result, sizeof result);
    else
        say_none(report, result, sizeof result);
    bool behind = report->assessment && run != choice->chosen && *reason;
    snprintf(text, sizeof text, "%s%s%s%s", say_use(choice, run), result,
             behind ? "; " : "", behind ? reason : "");
    report_put_alarms(row, "text", report, text);
}

static void put_asked(doc_record *record, const cli_several *several)
{
    doc_record *out = doc_part(record, "asked");
    doc_text(out, "for", several->settings->audience);
    report_target(out, several->shared);
    report_shelf(out, several->shared);
    doc_text(out, "aim",
             sw_objective_facts_of(several->settings->objective)->aim);
}

/* What is in purified water of which there is no analysis, and the like. */
static void put_assumptions(doc_record *record, const cli_several *several)
{
    const cli_sources *waters = &several->shared->waters;
    doc_block *block = doc_add(record, "assumptions");
    doc_show_block(block, DOC_SCREEN | DOC_EVIDENCE);
    if (!several->water_price)
        doc_say(block, DOC_PLAIN, SAY_WATER_PRICE_OUT);
    for (size_t i = 0; i < waters->count; i++) {
        const sw_water *water = waters->items[i].water;
        const double *c = water->per_l.amount;
        if (strcmp(water->file, typical_water_file) == 0)
            doc_say(block, DOC_PLAIN, SAY_PURIFIED_TYPICAL, water->ph, c[SW_NA],
                    c[SW_CL], c[SW_CA], report_as_caco3(c[SW_ALKALINITY]));
    }
    doc_say(block, DOC_PLAIN, SAY_TOLERANCES);
}

/* ---- The choice ---------------------------------------------------------*/

static const char *criterion_words(const cli_several *several,
                                   sw_criterion criterion)
{
    static const char *const names[SW_CRITERION_COUNT] = {
        [SW_BY_REPORT] = "not to be judged",
        [SW_BY_RECIPE] = "without a recipe",
        [SW_BY_MISSES] = "targets clearly missed",
        [SW_BY_HARM] = "safety limits exceeded",
        [SW_BY_DEPOSITS] = "precipitates expected",
        [SW_BY_DISTANCE] = "off the target, %",
        [SW_BY_DRIFT] = "pH outside range, aerated",
        [SW_BY_ACID] = "acid and base, meq/L"};
    if (criterion != SW_BY_COST)
        return names[criterion];
    return several->water_price ? "cost of 1000 L with the water"
                                : "cost of 1000 L without water";
}

static void put_criterion(doc_block *grid, const cli_several *several,
                          sw_criterion criterion)
{
    static const int decimals[SW_CRITERION_COUNT] = {[SW_BY_DISTANCE] = 1,
                                                     [SW_BY_DRIFT] = 1,
                                                     [SW_BY_ACID] = 1,
                                                     [SW_BY_COST] =
                                                         FIGURE_COST};
    doc_record *row = doc_row(grid);
    doc_text(row, "criterion", criterion_words(several, criterion));
    doc_block *cells = doc_add(row, "cells");
    for (size_t i = 0; i < several->count; i++) {
        doc_record *cell = doc_row(cells);
        doc_text(cell, "run", several->names[i]);
        doc_decimals(cell, decimals[criterion]);
        doc_number(cell, "value",
                   several->choice->rankings[i].value[criterion]);
    }
}

static void put_criteria(doc_record *record, const cli_several *several)
{
    doc_block *grid = doc_add(record, "criteria");
    const sw_criterion *c = several->choice->order + 2;
    doc_before(grid, SAY_CRITERIA_ORDER);
    for (; *c != SW_CRITERION_COUNT; c++)
        put_criterion(grid, several, *c);
    doc_after(grid, SAY_CRITERIA_MARGINS, sw_criterion_margin(SW_BY_DISTANCE),
              sw_criterion_margin(SW_BY_DRIFT), sw_criterion_margin(SW_BY_ACID),
              100.0 * sw_criterion_margin(SW_BY_COST), SW_UNCLEAR_PH,
              100.0 * SW_UNCLEAR_EC);
}

static void put_candidate(doc_block *block, const cli_several *several,
                          size_t run)
{
    const sw_ranking *ranking = &several->choice->rankings[run];
    const double *value = ranking->value;
    doc_record *row = doc_row(block);
    doc_text(row, "name", several->names[run]);
    doc_text(row, "reason", ranking->reason);
    doc_text(row, "out_by", sw_criterion_text(ranking->out_by));
    doc_flag(row, "dangerous", ranking->dangerous);
    doc_number(row, "pays_below_per_m3", ranking->pays_below_per_m3);
    DOC_NUMBERS(doc_part(row, "values"),
                {"targets_clearly_missed", value[SW_BY_MISSES]},
                {"safety_limits_exceeded", value[SW_BY_HARM]},
                {"precipitates_expected", value[SW_BY_DEPOSITS]},
                {"off_target_percent", value[SW_BY_DISTANCE]},
                {"ph_outside_range_aired", value[SW_BY_DRIFT]},
                {"acid_and_base_meq_per_l", value[SW_BY_ACID]},
                {"cost_per_m3", value[SW_BY_COST]});
}

static void put_choice(doc_record *record, const cli_several *several)
{
    const sw_choice *choice = several->choice;
    doc_record *out = doc_part(record, "choice");
    if (choice->chosen < choice->count)
        doc_text(out, choice->usable ? "use" : "least_harmful",
                 several->names[choice->chosen]);
    doc_text(out, "verdict", choice->verdict);
    doc_flag(out, "priced", choice->priced);
    doc_block *order = doc_add(out, "criteria");
    for (const sw_criterion *c = choice->order; *c != SW_CRITERION_COUNT; c++)
        doc_say(order, DOC_PLAIN, "%s", sw_criterion_text(*c));
    doc_block *candidates = doc_add(out, "candidates");
    for (size_t i = 0; i < choice->count; i++)
        put_candidate(candidates, several, i);
}

/* ---- The mix ------------------------------------------------------------*/

/* Percent of a share without promising more than there is. */
static cli_figure inward(double share, bool up)
{
    return figure_fixed(up ? ceil(100.0 * share - share_noise)
                           : floor(100.0 * share + share_noise),
                        0);
}

/* "12 to 60 %" */
static cli_figure range_words(double low, double high)
{
    cli_figure out;
    bool narrow = ceil(100.0 * low) > floor(100.0 * high);
    snprintf(
        out.text, sizeof out.text, "%.10s to %.10s %%",
        narrow ? figure_fixed(100.0 * low, 2).text : inward(low, true).text,
        narrow ? figure_fixed(100.0 * high, 2).text : inward(high, false).text);
    return out;
}

static void put_share(doc_block *block, const cli_several *several,
                      size_t water)
{
    const sw_blend *blend = several->blend;
    const double *best =
        several->reports[several->count - 1]->solution->fractions;
    doc_record *row = doc_row(block);
    doc_text(row, "water", several->names[water]);
    if (best)
        doc_number(row, "share", best[water]);
    DOC_NUMBERS(row, {"lowest_share", blend->lowest[water]},
                {"highest_share", blend->highest[water]});
    if (blend->range == SW_OPTIMAL)
        doc_text(row, "range",
                 range_words(blend->lowest[water], blend->highest[water]).text);
}

/* What must be in the mix, and whether one of the waters is all of it. */
static void say_shares(doc_block *block, const cli_several *several)
{
    const sw_blend *blend = several->blend;
    const double *best =
        several->reports[several->count - 1]->solution->fractions;
    char needed[512] = "";
    for (size_t k = 0; blend->range == SW_OPTIMAL && k < blend->water_count;
         k++) {
        if (blend->lowest[k] > least_share)
            text_join(needed, sizeof needed, " and ", "%s %% of %.60s",
                      inward(blend->lowest[k], true).text, several->names[k]);
    }
    if (needed[0])
        doc_after(block, SAY_MIX_NEEDS, needed);
    for (size_t k = 0; best && k < blend->water_count; k++)
        if (best[k] > 1.0 - least_share)
            doc_after(block, SAY_MIX_NO_BETTER, several->names[k]);
}

static void put_mix(doc_record *record, const cli_several *several)
{
    const sw_blend *blend = several->blend;
    if (!blend)
        return;
    doc_record *out = doc_part(record, "blend");
    doc_text(out, "outcome",
             sw_outcome_text(
                 several->reports[several->count - 1]->solution->outcome));
    doc_text(out, "range", sw_outcome_text(blend->range));
    doc_block *block = doc_add(out, "waters");
    doc_title(block, "A mix of these waters: the %s",
              several_mix_name(several->settings).text);
    for (size_t k = 0; k < blend->water_count; k++)
        put_share(block, several, k);
    say_shares(block, several);
    if (blend->range == SW_OPTIMAL)
        doc_after(block, SAY_MIX_SHARES);
    else if (blend->range == SW_CONFLICT)
        doc_after(block, SAY_MIX_NO_SHARE);
    else if (blend->range == SW_UNDETERMINED)
        doc_after(block, SAY_MIX_UNDETERMINED);
    else
        doc_after(block, SAY_MIX_CUT_SHORT);
}

doc_record *report_compare(const cli_several *several)
{
    const sw_choice *choice = several->choice;
    doc_record *report = report_begin("compare");
    if (!choice->usable && choice->chosen < several->count)
        report_stop_all(report, SAY_STOP_ALL_WATERS);
    doc_block *verdict = doc_add(report, "verdict");
    doc_title(verdict, "Which water");
    report_say_before_several(verdict, several);
    doc_say(verdict, choice->usable ? DOC_PLAIN : DOC_BAD, "%s",
            choice->verdict);
    if (choice->usable && words_airs_any(several))
        doc_say(verdict, DOC_PLAIN, "%s", SAY_AERATE_ALL);
    doc_block *results = doc_add(report, "results");
    for (size_t i = 0; i < several->count; i++)
        put_result(results, several, i);
    put_asked(report, several);
    put_choice(report, several);
    put_mix(report, several);
    put_criteria(report, several);
    report_side(report, several);
    put_assumptions(report, several);
    report_file_notes(doc_add(report, "notes"), &several->shared->waters);
    return report;
}
