/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Every sample of every water, one target and one shelf.  Amounts are rounded
 * alike in all waters, each to as few figures as keep every verdict.
 */
#include "run/many.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "io/complain.h"
#include "io/memory.h"
#include "run/stop.h"

enum { LEAST_FIGURES = 3, MOST_FIGURES = 8, COARSER_PASSES = 3 };

typedef enum rounding { TO_NEAREST, DOWN, UP, ROUNDINGS } rounding;

/* ---- Amounts as printed -------------------------------------------------- */

/* `value` to so many figures, one more where the first is a 1. */
static double rounded(double value, int figures, rounding way)
{
    if (!(value > 0.0))
        return 0.0;
    double step = pow(10.0, -sw_print_decimals(value, figures));
    double steps = value / step;
    double whole[ROUNDINGS] = {round(steps), floor(steps), ceil(steps)};
    return whole[way] * step;
}

/* A liquid is rounded by volume, as it is measured. */
static double as_printed(const sw_product *product, double g_per_l,
                         double volume_l, int figures, rounding way)
{
    double unit_g =
        product->density_g_per_ml > 0.0 ? product->density_g_per_ml : 1.0;
    if (g_per_l < report_least_g_per_l())
        return 0.0;
    return rounded(g_per_l * volume_l / unit_g, figures, way) * unit_g /
           volume_l;
}

static sw_status assess(const cli_many *many, size_t water,
                        const sw_recipe *recipe, sw_assessment **out,
                        sw_error *error)
{
    const sw_water *report = many->shared.waters.items[water].water;
    const double whole = 1.0;
    sw_mix mix = {.water = &many->shared.contents[water],
                  .target = many->shared.target,
                  .shelf = many->shared.shelf,
                  .recipe = recipe,
                  .conditions = many->several.settings->conditions,
                  .reports = &report,
                  .shares = &whole,
                  .report_count = 1};
    return sw_assess(&mix, out, error);
}

static bool same_verdicts(const sw_assessment *a, const sw_assessment *b)
{
    for (size_t i = 0; i < sw_row_count(a); i++)
        if (sw_row_at(a, i).verdict != sw_row_at(b, i).verdict)
            return false;
    return true;
}

/* Rounds a product in every water.  False: another rounding than the nearest
 * leaves the product's own limits, or moves what somebody fixed. */
static bool print_product(cli_many *many, size_t j, int figures, rounding way)
{
    bool kept = true;
    const sw_product *product = &many->shared.shelf->products[j];
    for (size_t k = 0; k < many->shared.waters.count; k++) {
        double g_per_l =
            as_printed(product, many->many->waters[k].amounts.g_per_l[j],
                       many->several.settings->volume_l, figures, way);
        many->several.runs[k].mixed.g_per_l[j] = g_per_l;
        kept = kept && !(g_per_l < product->min_g_per_l) &&
               !(g_per_l > product->max_g_per_l) &&
               isnan(product->fixed_g_per_l);
    }
    many->figures[j] = figures;
    return kept || way == TO_NEAREST;
}

/* Judges what is printed in every water; *same: each as the exact amounts. */
static exit_code judge_printed(cli_many *many, sw_assessment *const *exact,
                               bool *same)
{
    sw_error error;
    *same = true;
    for (size_t k = 0; k < many->shared.waters.count; k++) {
        cli_run *run = &many->several.runs[k];
        sw_assessment_free(run->assessment);
        run->assessment = NULL;
        if (assess(many, k, &run->mixed, &run->assessment, &error) != SW_OK)
            return complain_error(&error);
        run->report.assessment = run->assessment;
        *same = *same && same_verdicts(exact[k], run->assessment);
    }
    return EXIT_DONE;
}

/* As few figures of one product as the others, as they are printed, allow. */
static exit_code coarsen(cli_many *many, sw_assessment *const *exact, size_t j)
{
    exit_code code = EXIT_DONE;
    cli_run *runs = many->several.runs;
    size_t count = many->several.count;
    int most = many->figures[j];
    bool same = false;
    double *before = memory_array(count, sizeof *before);
    for (size_t k = 0; k < count; k++)
        before[k] = runs[k].mixed.g_per_l[j];
    for (int figures = LEAST_FIGURES; figures < most && !same; figures++)
        for (int way = 0; way < ROUNDINGS && !same && code == EXIT_DONE; way++)
            if (print_product(many, j, figures, (rounding)way))
                code = judge_printed(many, exact, &same);
    for (size_t k = 0; k < count && !same; k++)
        runs[k].mixed.g_per_l[j] = before[k];
    if (!same)
        many->figures[j] = most;
    free(before);
    return code;
}

static exit_code judge_exact(const cli_many *many, sw_assessment **exact)
{
    sw_error error;
    for (size_t k = 0; k < many->shared.waters.count; k++)
        if (assess(many, k, &many->many->waters[k].amounts, &exact[k],
                   &error) != SW_OK)
            return complain_error(&error);
    return EXIT_DONE;
}

/* More figures of all until every verdict is kept, then fewer again of each
 * product that can do with them. */
static exit_code round_all(cli_many *many, sw_assessment *const *exact)
{
    bool same = false;
    exit_code code = EXIT_DONE;
    size_t products = many->many->product_count;
    int figures = LEAST_FIGURES;
    for (; figures <= MOST_FIGURES && !same && code == EXIT_DONE; figures++) {
        for (size_t j = 0; j < products; j++)
            print_product(many, j, figures, TO_NEAREST);
        code = judge_printed(many, exact, &same);
    }
    for (int pass = 0; pass < COARSER_PASSES; pass++)
        for (size_t j = 0; j < products && same && code == EXIT_DONE; j++)
            if (many->figures[j] > LEAST_FIGURES)
                code = coarsen(many, exact, j);
    return code == EXIT_DONE ? judge_printed(many, exact, &same) : code;
}

static exit_code print_all(cli_many *many)
{
    size_t count = many->shared.waters.count;
    sw_assessment **exact = memory_array(count, sizeof(sw_assessment *));
    exit_code code = judge_exact(many, exact);
    if (code == EXIT_DONE)
        code = round_all(many, exact);
    for (size_t k = 0; k < count; k++)
        sw_assessment_free(exact[k]);
    free(exact);
    return code;
}

/* A run of each water, with room for what is printed. */
static void begin_runs(cli_many *many)
{
    many->figures = memory_array(many->many->product_count + 1, sizeof(int));
    for (size_t k = 0; k < many->shared.waters.count; k++) {
        const sw_recipe *exact = &many->many->waters[k].amounts;
        cli_run *run = several_add(&many->several,
                                   many->shared.waters.items[k].water->sample);
        run_begin(run, "recipes", &many->shared, many->several.settings);
        run->mixed = (sw_recipe){
            .g_per_l = memory_array(exact->count + 1, sizeof(double)),
            .most_g_per_l = exact->most_g_per_l, /* borrowed */
            .count = exact->count};
        run->report.recipe = &run->mixed;
    }
}

/* ---- The run ------------------------------------------------------------- */

static exit_code complete_all(cli_many *many)
{
    exit_code code = EXIT_DONE;
    cli_inputs *shared = &many->shared;
    shared->contents =
        memory_array(shared->waters.count, sizeof *shared->contents);
    for (size_t k = 0; k < shared->waters.count && code == EXIT_DONE; k++)
        code = source_complete(&shared->waters.items[k],
                               &many->several.settings->conditions,
                               &shared->contents[k], &shared->assumptions);
    return code;
}

static exit_code solve(cli_many *many)
{
    sw_error error;
    sw_solver *solver = many->shared.solver;
    sw_problem problem =
        run_problem_asked(&many->shared, many->several.settings);
    problem.nearest = true;
    sw_status status =
        many->fewest ? sw_fewest_recipes(solver, &problem, &many->many, &error)
                     : sw_one_recipe(solver, &problem, &many->many, &error);
    if (status == SW_OK && many->many->recipe_count > 1)
        status = sw_one_recipe(solver, &problem, &many->one, &error);
    return status == SW_OK ? EXIT_DONE : complain_error(&error);
}

/* Salts in common are of no use for a pH alone. */
static exit_code check_target(const cli_inputs *shared)
{
    if (sw_target_is_ph_alone(shared->target))
        return complain_usage("recipes",
                              "the target asks for a pH alone, which needs no "
                              "recipe: 'saltwright formulate' tells the acid "
                              "of one water");
    return EXIT_DONE;
}

/* As many samples as can be served, each with a name of its own. */
static exit_code check_samples(const cli_inputs *shared)
{
    size_t count = shared->waters.count;
    if (count > SW_MANY_WATERS)
        return complain_usage("recipes",
                              "%zu samples are too many for recipes in common; "
                              "it takes up to %d",
                              count, SW_MANY_WATERS);
    for (size_t k = 1; k < count; k++)
        for (size_t i = 0; i < k; i++) {
            const char *sample = shared->waters.items[k].water->sample;
            if (!strcmp(sample, shared->waters.items[i].water->sample))
                return complain_usage("recipes",
                                      "two samples are called '%s': give each "
                                      "a name of its own, so that its acid is "
                                      "not taken for the other's",
                                      sample);
        }
    return EXIT_DONE;
}

/* Whether there is a recipe for every water. */
static bool is_solved(const cli_many *many)
{
    for (size_t k = 0; k < many->many->water_count; k++)
        if (!many->many->waters[k].amounts.count)
            return false;
    return true;
}

exit_code many_run(const cli_options *options, cli_settings *settings,
                   cli_many *out)
{
    *out = (cli_many){.fewest = !options_has(options, OPT_ONE_RECIPE)};
    exit_code code = inputs_read_shared(options, settings, &out->shared);
    several_new(&out->several, out->shared.waters.count, &out->shared,
                settings);
    out->several.one_target = true;
    if (code == EXIT_DONE)
        code = check_target(&out->shared);
    if (code == EXIT_DONE)
        code = check_samples(&out->shared);
    if (code == EXIT_DONE)
        code = complete_all(out);
    if (code == EXIT_DONE)
        code = solve(out);
    if (code != EXIT_DONE || !is_solved(out))
        return code;
    begin_runs(out);
    return print_all(out);
}

void many_free(cli_many *many)
{
    several_free(&many->several);
    free(many->figures);
    sw_many_free(many->many);
    sw_many_free(many->one);
    inputs_free(&many->shared);
}

/* ---- What is missed ------------------------------------------------------ */

static void add_miss(cli_misses *to, const cli_miss *miss, double value,
                     double low, double high)
{
    if (miss->verdict != SW_SHORT && miss->verdict != SW_OVER)
        return;
    double end = miss->verdict == SW_SHORT ? low : high;
    to->items = memory_grow(to->items, to->count, sizeof *to->items);
    cli_miss *item = &to->items[to->count++];
    *item = *miss;
    item->by = fabs(value - end);
    item->share = item->by / (fabs(end) > 0.0 ? fabs(end) : 1.0);
}

cli_misses many_misses(const sw_assessment *assessment, size_t water)
{
    cli_misses out = {NULL, 0};
    for (size_t i = 0; i < sw_row_count(assessment); i++) {
        sw_row row = sw_row_at(assessment, i);
        cli_miss miss = {
            .water = water, .unit = row.unit, .verdict = row.verdict};
        snprintf(miss.name, sizeof miss.name, "%s", row.name);
        add_miss(&out, &miss, row.finished, row.low, row.high);
    }
    return out;
}

static void take_worst(const sw_assessment *assessment, size_t water,
                       cli_miss *worst)
{
    cli_misses misses = many_misses(assessment, water);
    for (size_t i = 0; i < misses.count; i++)
        if (misses.items[i].share > worst->share)
            *worst = misses.items[i];
    free(misses.items);
}

bool many_worst_of_one(const cli_many *many, cli_miss *worst)
{
    sw_error error;
    *worst = (cli_miss){0};
    const sw_many *one = many->one ? many->one : many->many;
    for (size_t k = 0; k < one->water_count; k++) {
        sw_assessment *found;
        if (!one->waters[k].amounts.count ||
            assess(many, k, &one->waters[k].amounts, &found, &error) != SW_OK)
            continue;
        take_worst(found, k, worst);
        sw_assessment_free(found);
    }
    return worst->share > 0.0;
}

size_t many_all_met(const cli_many *many)
{
    size_t all = 0;
    for (size_t k = 0; k < many->several.count; k++)
        all += many->several.runs[k].assessment->all_met;
    return all;
}

bool many_is_stopped(const cli_many *many)
{
    for (size_t k = 0; k < many->several.count; k++)
        if (stop_is_asked(many->several.reports[k]))
            return true;
    return false;
}

exit_code many_exit_code(const cli_many *many)
{
    bool sound = many_all_met(many) == many->shared.waters.count;
    return sound && !many_is_stopped(many) ? EXIT_DONE : EXIT_UNMET;
}
