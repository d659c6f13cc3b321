/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Recipes in common: how few serve, which water gets which, what it gives. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "report/blocks.h"
#include "run/cautions.h"
#include "io/figure.h"
#include "io/memory.h"
#include "report/words.h"
#include "sentences_text.h"

enum { LISTED_APART = 6, MOST_CHANGES = 16, LIST_BYTES = 1024 };

static const char *sample_of(const cli_many *many, size_t water)
{
    return many->several.names[water];
}

static void add_text(char *to, const char *between, const char *text)
{
    text_join(to, LIST_BYTES, between, "%s", text);
}

static const sw_assessment *found_in(const cli_many *many, size_t water)
{
    return many->several.reports[water]->assessment;
}

/* Of a product in a water, as printed. */
static double printed_in(const cli_many *many, size_t water, size_t product)
{
    return many->several.reports[water]->recipe->g_per_l[product];
}

/* ---- Which waters -------------------------------------------------------- */

static bool is_served(const cli_many *many, size_t water, size_t recipe)
{
    return water < many->many->water_count &&
           many->many->waters[water].recipe == recipe;
}

/* Whether a sample, or all that a recipe serves, are not to be mixed. */
static bool is_stopped(const cli_many *many, size_t k)
{
    return stop_is_asked(many->several.reports[k]);
}

static bool is_all_stopped(const cli_many *many, size_t recipe)
{
    for (size_t k = 0; k < many->many->water_count; k++)
        if (is_served(many, k, recipe) && !is_stopped(many, k))
            return false;
    return true;
}

static bool all_are_stopped(const cli_many *many)
{
    for (size_t r = 0; r < many->many->recipe_count; r++)
        if (!is_all_stopped(many, r))
            return false;
    return true;
}

/* Whether there are amounts for a sample, on a page that has some. */
static bool is_told(const cli_many *many, size_t k)
{
    return !is_stopped(many, k) || all_are_stopped(many);
}

static size_t count_told(const cli_many *many, bool if_met)
{
    size_t count = 0;
    for (size_t k = 0; k < many->many->water_count; k++)
        count += is_told(many, k) && (!if_met || found_in(many, k)->all_met);
    return count;
}

static bool is_told_of(const cli_many *many, size_t k, size_t recipe)
{
    return is_served(many, k, recipe) && is_told(many, k);
}

/* "january to april, november": runs of three and more by their ends. */
static void list_served(const cli_many *many, size_t recipe, char *list)
{
    list[0] = '\0';
    if (many->many->recipe_count == 1 &&
        count_told(many, false) == many->many->water_count) {
        add_text(list, "", "all samples");
        return;
    }
    for (size_t k = 0; k < many->many->water_count; k++) {
        size_t last = k;
        if (!is_told_of(many, k, recipe))
            continue;
        while (is_told_of(many, last + 1, recipe))
            last++;
        add_text(list, ", ", sample_of(many, k));
        if (last >= k + 2) {
            add_text(list, " to ", sample_of(many, last));
            k = last;
        }
    }
}

static void list_apart(const cli_many *many, const sw_waters_apart *apart,
                       char *list)
{
    list[0] = '\0';
    for (size_t i = 0; i < apart->count; i++)
        add_text(list, i + 1 < apart->count ? ", " : " and ",
                 sample_of(many, apart->waters[i]));
}

/* ---- The result ---------------------------------------------------------- */

/* "3.1 mg/L" */
static report_sentence by_words(const cli_miss *miss)
{
    return report_words("%s%s%s", figure_plain(miss->by).text,
                        *miss->unit ? " " : "", miss->unit);
}

/* "Ca is over in august by 3.1 mg/L" */
static report_sentence miss_words(const cli_many *many, const cli_miss *miss,
                                  const char *is)
{
    return report_words("%s %s %s in %s by %s", miss->name, is,
                        sw_verdict_text(miss->verdict),
                        sample_of(many, miss->water), by_words(miss).text);
}

static void say_one_would(doc_block *verdict, const cli_many *many)
{
    cli_miss worst;
    if (many->one && many_worst_of_one(many, &worst))
        doc_say(verdict, DOC_PLAIN, SAY_MANY_ONE_WORST,
                miss_words(many, &worst, "would be").text);
}

static void say_why_not_fewer(doc_block *verdict, const cli_many *many)
{
    char list[LIST_BYTES];
    const sw_many *found = many->many;
    if (!found->fewest_proved) {
        doc_say(verdict, DOC_BAD, SAY_MANY_CUT_SHORT);
    } else if (found->recipe_count == 2) {
        list_apart(many, &found->apart[0], list);
        doc_say(verdict, DOC_PLAIN, SAY_MANY_NO_ONE, list);
    } else if (found->recipe_count > 2) {
        doc_say(verdict, DOC_PLAIN, SAY_MANY_SETS, found->apart_count);
    }
}

static void say_fewest(doc_block *verdict, const cli_many *many)
{
    char list[LIST_BYTES] = "", served[LIST_BYTES];
    size_t met = count_told(many, true), count = count_told(many, false);
    size_t recipes = 0;
    bool all = count == many->many->water_count;
    for (size_t r = 0; r < many->many->recipe_count; r++) {
        list_served(many, r, served);
        recipes += *served != '\0';
        if (*served) {
            add_text(list, "; ", figure_letter('A', r).text);
            add_text(list, " for ", served);
        }
    }
    if (recipes == 1)
        doc_say(verdict, met == count ? DOC_GOOD : DOC_PLAIN, SAY_MANY_ONE,
                all && count > 1 ? "all " : "", count, count > 1 ? "s" : "");
    else
        doc_say(verdict, met == count ? DOC_GOOD : DOC_PLAIN, SAY_MANY_RECIPES,
                recipes, all ? "all " : "", count, list);
    say_one_would(verdict, many);
    say_why_not_fewer(verdict, many);
}

static void say_met(doc_block *verdict, const cli_many *many)
{
    size_t met = count_told(many, true);
    if (met == count_told(many, false)) {
        doc_say(verdict, DOC_GOOD, SAY_MANY_ALL_MET);
        return;
    }
    doc_say(verdict, DOC_BAD, SAY_MANY_SOME_MET,
            met ? figure_fixed((double)met, FIGURE_WHOLE).text : "none",
            many->fewest ? "; what the others miss they miss with a recipe of "
                           "their own too, or it is only judged (EC)"
                         : "");
}

/* A ratio that a water alone breaks, which no verdict on a sum tells. */
static void say_ratios(doc_block *verdict, const cli_many *many)
{
    for (size_t k = 0; k < many->several.count; k++) {
        const sw_notes *notes = &many->many->waters[k].notes;
        for (size_t i = 0; i < notes->count; i++)
            if (!strcmp(notes->items[i].code, "ratio-over-by-water"))
                doc_say(verdict, DOC_BAD, "%s: %s", sample_of(many, k),
                        notes->items[i].text);
    }
}

/* What labels leave open in each, and acid or base that is not sized. */
static void say_open(doc_block *verdict, const cli_many *many)
{
    for (size_t k = 0; k < many->several.count; k++) {
        const char *open = found_in(many, k)->undeclared.text;
        if (open[0])
            report_reads_poured(
                doc_say(verdict, DOC_BAD, "%s: %s", sample_of(many, k), open),
                "text", many->several.reports[k]);
    }
}

/* What to change, once for all samples; the last is how to go on where there
 * are no amounts. */
static void say_changes(doc_block *verdict, const cli_many *many)
{
    const char *said[MOST_CHANGES];
    size_t count = 0;
    for (size_t k = 0; k < many->many->water_count; k++) {
        const char *changes[STOP_MOST_CHANGES];
        size_t all = stop_changes(many->several.reports[k], changes);
        all -= all && !all_are_stopped(many);
        for (size_t c = 0; c < all && count < MOST_CHANGES; c++) {
            size_t i = 0;
            while (i < count && strcmp(said[i], changes[c]) != 0)
                i++;
            if (i == count)
                doc_say(verdict, DOC_BAD, "%s", said[count++] = changes[c]);
        }
    }
}

/* The amounts of the others are told. */
static void say_stopped(doc_block *verdict, const cli_many *many)
{
    char list[LIST_BYTES] = "";
    for (size_t k = 0; k < many->many->water_count; k++)
        if (is_stopped(many, k))
            add_text(list, *list ? ", " : "", sample_of(many, k));
    if (all_are_stopped(many))
        doc_say(verdict, DOC_BAD, "STOP. Danger: %s", stop_words);
    else
        doc_say(verdict, DOC_BAD, SAY_MANY_STOPPED, list, stop_words);
}

static void say_stop(doc_block *verdict, const cli_many *many)
{
    const sw_note *reason;
    say_stopped(verdict, many);
    for (size_t k = 0; k < many->many->water_count; k++) {
        cli_note_walk walk = {0};
        while ((reason = stop_next_reason(many->several.reports[k], &walk)))
            doc_say(verdict, DOC_BAD, "%s: %s", sample_of(many, k),
                    reason->text);
    }
    say_changes(verdict, many);
}

/* What to settle first, and of which waters. */
static void say_open_waters(doc_block *verdict, const cli_many *many)
{
    char list[LIST_BYTES] = "", bare[LIST_BYTES] = "";
    size_t count = many->open_count;
    for (size_t i = 0; i < count; i++) {
        const cli_open_water *open = &many->open[i];
        add_text(list, *list ? ", " : "", open->sample);
        if (open->lacks_ph)
            add_text(bare, *bare ? ", " : "", open->sample);
    }
    if (many->left.count)
        doc_say(verdict, DOC_BAD, SAY_MANY_LEFT_OUT, list);
    report_say_doubts(verdict, many->open, count);
    if (*bare)
        doc_say(verdict, DOC_BAD, "%s: %s", bare, SAY_PH_UNKNOWN);
    if (!many->left.count)
        doc_say(verdict, DOC_BAD, SAY_MANY_UNDETERMINED, list);
}

static void say_result(doc_record *report, const cli_many *many)
{
    char drift[LIST_BYTES + 128];
    cli_miss worst;
    doc_block *verdict = doc_add(report, "verdict");
    if (many->open_count)
        say_open_waters(verdict, many);
    if (many->many->recipes[0].outcome == SW_UNDETERMINED)
        return;
    if (!many->several.count) {
        doc_say(verdict, DOC_BAD, SAY_MANY_NONE);
        return;
    }
    if (many_is_stopped(many))
        say_stop(verdict, many);
    report_say_before_several(verdict, &many->several);
    if (many->fewest)
        say_fewest(verdict, many);
    else
        doc_say(verdict, DOC_PLAIN, SAY_MANY_NEAREST, many->many->water_count);
    say_met(verdict, many);
    say_ratios(verdict, many);
    for (int above = 1; above >= 0; above--) {
        words_drift_of_many(&many->several, above, drift, sizeof drift);
        if (drift[0])
            doc_say(verdict, DOC_PLAIN, "%s", drift);
    }
    say_open(verdict, many);
    if (!many->fewest && many_worst_of_one(many, &worst))
        doc_say(verdict, DOC_PLAIN, SAY_MANY_LARGEST_MISS,
                miss_words(many, &worst, "is").text);
}

/* ---- Amounts ------------------------------------------------------------- */

/* "310 g", "560 mL (694 g)"; in US units beside, or alone. */
static report_sentence amount_words(const cli_many *many, size_t water,
                                    size_t product, double poured_g)
{
    const cli_report *report = many->several.reports[water];
    double g = many->many->waters[water].amounts.g_per_l[product] *
               many->several.settings->volume_l;
    bool liquid = many->shared->shelf->products[product].density_g_per_ml > 0.0;
    cli_amounts wanted = many->several.settings->amounts;
    bool only_us = wanted == AMOUNTS_US;
    cli_figure first =
        printed_amount(report, product, g, (cli_way){.us = only_us});
    cli_figure mass =
        only_us ? figure_mass_us(poured_g) : figure_mass_metric(poured_g);
    cli_figure us = printed_amount(report, product, g, (cli_way){.us = true});
    bool also = wanted == AMOUNTS_BOTH && strcmp(us.text, first.text) != 0;
    return report_as_sized(
        report_words("%s%s%s%s%s%s", first.text, liquid ? " (" : "",
                     liquid ? mass.text : "", liquid ? ")" : "",
                     also ? " or " : "", also ? us.text : "")
            .text,
        poured_g, report_most_g_per_l(report, product));
}

static void put_amount(doc_record *row, const cli_many *many, size_t water,
                       size_t product)
{
    const sw_product *of = &many->shared->shelf->products[product];
    double g_per_l = printed_in(many, water, product);
    double g = g_per_l * many->several.settings->volume_l;
    doc_text(row, "product", of->name);
    doc_text(row, "amount", amount_words(many, water, product, g).text);
    DOC_NUMBERS(row, {"g_per_l", g_per_l}, {"g", g},
                {"ml", g / of->density_g_per_ml});
}

/* Of the samples that may be mixed, of which there is one. */
static size_t first_of(const cli_many *many, size_t recipe)
{
    size_t k = 0;
    while (!is_served(many, k, recipe) || is_stopped(many, k))
        k++;
    return k;
}

static void put_salts(doc_record *report, const cli_many *many)
{
    char gear[256];
    cli_handled handled = several_handled(&many->several);
    doc_block *block = doc_add(report, "salts");
    cautions_gear(&handled, gear, sizeof gear);
    doc_before(block, "%s", gear);
    doc_title(block, SAY_MANY_MEASURE_OUT,
              figure_volume(many->several.settings->volume_l,
                            many->several.settings->volume_system)
                  .text);
    for (size_t r = 0; r < many->many->recipe_count; r++) {
        if (is_all_stopped(many, r))
            continue;
        size_t water = first_of(many, r);
        for (size_t j = 0; j < many->many->product_count; j++) {
            if (many->many->own[j] ||
                !report_uses(many->several.reports[water], j))
                continue;
            doc_record *row = doc_row(block);
            doc_text(row, "recipe", figure_letter('A', r).text);
            put_amount(row, many, water, j);
        }
    }
}

static void put_own(doc_record *report, const cli_many *many)
{
    doc_block *block = doc_add(report, "own");
    for (size_t k = 0; k < many->many->water_count; k++)
        for (size_t j = 0; j < many->many->product_count; j++) {
            if (!many->many->own[j] || is_stopped(many, k) ||
                !report_uses(many->several.reports[k], j))
                continue;
            doc_record *row = doc_row(block);
            doc_text(row, "sample", sample_of(many, k));
            put_amount(row, many, k, j);
        }
}

/* ---- What each water gets ------------------------------------------------ */

static void put_water(doc_block *block, const cli_many *many, size_t k)
{
    char list[LIST_BYTES] = "";
    const sw_assessment *found = found_in(many, k);
    cli_misses misses = many_misses(found, k);
    size_t met, all;
    sw_count_met(found, &met, &all);
    for (size_t i = 0; i < misses.count; i++)
        add_text(list, "; ",
                 report_words("%s %s by %s", misses.items[i].name,
                              sw_verdict_text(misses.items[i].verdict),
                              by_words(&misses.items[i]).text)
                     .text);
    free(misses.items);
    doc_record *row = doc_row(block);
    doc_text(row, "sample", sample_of(many, k));
    doc_text(row, "file", many->shared->waters.items[k].water->file);
    doc_text(row, "recipe",
             figure_letter('A', many->many->waters[k].recipe).text);
    doc_print(row, "met_words", "%zu of %zu", met, all);
    DOC_NUMBERS(row, {"targets_met", (double)met}, {"targets", (double)all},
                {"ec_ms_per_cm", found->mixed.ec_ms_per_cm},
                {"objective", many->many->waters[k].objective});
    report_put_phs(row, found);
    doc_text(row, "misses", list);
    doc_colour(row, met == all ? DOC_GOOD : DOC_BAD);
}

static void put_waters(doc_record *report, const cli_many *many)
{
    doc_block *waters = doc_add(report, "waters");
    for (size_t k = 0; k < many->many->water_count; k++)
        put_water(waters, many, k);
    report_side_contents(report, &many->several);
}

/* ---- Proof --------------------------------------------------------------- */

/* A product is taken that is poured into any of the samples. */
static void put_fewest(doc_record *row, const cli_many *many, size_t recipe)
{
    size_t products = many->many->product_count;
    sw_recipe taken = {.g_per_l = memory_array(products, sizeof(double)),
                       .count = products};
    for (size_t k = 0; k < many->many->water_count; k++)
        for (size_t j = 0; j < products && is_served(many, k, recipe); j++)
            taken.g_per_l[j] = fmax(taken.g_per_l[j], printed_in(many, k, j));
    report_fewest(row, &many->many->recipes[recipe].fewer, &taken,
                  many->shared->shelf, many->several.settings->equal_share);
    free(taken.g_per_l);
}

static void put_recipe(doc_block *block, const cli_many *many, size_t recipe)
{
    char served[LIST_BYTES];
    const sw_common *common = &many->many->recipes[recipe];
    const sw_certificate *proof = &common->certificate;
    doc_record *row = doc_row(block);
    list_served(many, recipe, served);
    doc_text(row, "recipe", figure_letter('A', recipe).text);
    doc_text(row, "serves", served);
    doc_text(row, "outcome", sw_outcome_text(common->outcome));
    DOC_NUMBERS(row, {"objective", report_sum(proof->objective)},
                {"lower_bound", report_sum(proof->lower_bound)},
                {"gap", report_sum(proof->gap)},
                {"kkt_residual", proof->kkt_residual});
    doc_flag(row, "acid_or_base_proved", common->proved);
    if (common->fewer.ph_apart > 0.0)
        put_fewest(row, many, recipe);
}

static void put_recipes(doc_record *report, const cli_many *many)
{
    doc_block *block = doc_add(report, "recipes");
    for (size_t r = 0; r < many->many->recipe_count; r++)
        put_recipe(block, many, r);
    if (many->many->recipe_count > 1)
        doc_after(block, SAY_MANY_CHANGES, many->many->changes,
                  many->many->changes == 1 ? "" : "s");
}

static void put_apart(doc_record *report, const cli_many *many)
{
    doc_block *block = doc_add(report, "apart");
    for (size_t a = 0; a < many->many->apart_count; a++) {
        char list[LIST_BYTES];
        list_apart(many, &many->many->apart[a], list);
        doc_record *row = doc_row(block);
        doc_text(row, "text", list);
        if (a >= LISTED_APART)
            doc_show_row(row, DOC_EVIDENCE | DOC_DATA);
    }
}

/* Whether a limit gave way in some water. */
static bool gave_way(const cli_many *many)
{
    for (size_t k = 0; k < many->many->water_count; k++) {
        const sw_notes *notes = &many->many->waters[k].notes;
        for (size_t i = 0; i < notes->count; i++)
            if (notes->items[i].about & SW_ABOUT_EASED)
                return true;
    }
    return false;
}

static void say_proof(doc_record *report, const cli_many *many)
{
    doc_block *block = doc_add(report, "proof");
    const sw_many *found = many->many;
    const sw_objective_facts *facts =
        sw_objective_facts_of(many->several.settings->objective);
    doc_say(block, DOC_PLAIN, SAY_MANY_PROOF, facts->name, facts->measure,
            facts->kind == SW_OF_WORST ? ", the largest of all samples"
                                       : ", summed over the samples",
            gave_way(many)
                ? " (one that gave way counts at the value in the notes)"
                : "",
            many->fewest ? " and every accepted range, of which the last 0.1 % "
                           "is kept free for the rounding of amounts"
                         : "");
    for (size_t r = 0; r < found->recipe_count; r++) {
        const sw_common *common = &found->recipes[r];
        doc_say(block, DOC_PLAIN, "%s %s: %s, optimality gap %s.",
                common->fewer.closest.count ? "Closest to recipe" : "Recipe",
                figure_letter('A', r).text,
                figure_plain(common->certificate.objective).text,
                report_gap(&common->certificate).text);
        if (!common->proved)
            doc_say(block, DOC_BAD, SAY_MANY_SIDES, figure_letter('A', r).text);
        if (common->fewer.ph_apart > 0.0)
            doc_say(block, DOC_PLAIN, "%s",
                    report_fewest_words(&common->fewer, many->shared->shelf,
                                        many->several.settings->equal_share)
                        .text);
    }
}

/* ---- The whole ----------------------------------------------------------- */

doc_record *report_many(const cli_many *many)
{
    cli_handled handled = several_handled(&many->several);
    doc_record *report = report_begin("recipes");
    const sw_many *found = many->many;
    doc_text(report, "objective",
             sw_objective_text(many->several.settings->objective));
    DOC_NUMBERS(report, {"volume_l", many->several.settings->volume_l},
                {"recipe_count", (double)found->recipe_count},
                {"changes", (double)found->changes});
    if (many->fewest)
        doc_flag(report, "fewest_proved", found->fewest_proved);
    say_result(report, many);
    report_asked(report, &(cli_report){.settings = many->several.settings,
                                       .inputs = many->shared});
    if (!many->several.count)
        return report;
    put_recipes(report, many);
    if (!all_are_stopped(many)) {
        put_salts(report, many);
        put_own(report, many);
    }
    report_handling(report, &handled);
    put_waters(report, many);
    put_apart(report, many);
    report_limits_of_many(report, many);
    say_proof(report, many);
    report_notes_of_many(report, many);
    return report;
}
