/* SPDX-License-Identifier: GPL-3.0-or-later */
/* saltwright compare: one target and one shelf in several waters. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "command.h"
#include "complain.h"
#include "memory.h"
#include "mixing.h"
#include "quantities.h"
#include "runs.h"
#include "settings.h"
#include "show_runs.h"

/* More waters than that are a batch. */
enum { MOST_WATERS = 60 };
/* Of 1000 L, in currencies of the smallest coin too. */
static const double most_price = 1e6;

/* One comparison from files to screen; a column more than waters for a mix. */
typedef struct cli_bench {
    const cli_settings *settings;
    cli_inputs shared;   /* its contents are completed for a mix */
    size_t as_they_come; /* of its waters; those behind are purified */
    double *water_price;
    sw_solver *solver;
    cli_run *runs;
    const cli_report **reports;
    char **names; /* of each water its own, then the mix's */
    size_t count;
    sw_blend *blend;
    sw_choice *choice;
} cli_bench;

static cli_several several_of(const cli_bench *bench)
{
    return (cli_several){.reports = bench->reports,
                         .names = (const char *const *)bench->names,
                         .count = bench->count,
                         .shared = &bench->shared,
                         .settings = bench->settings,
                         .choice = bench->choice,
                         .blend = bench->blend,
                         .water_price = bench->water_price};
}

static exit_code show(const cli_bench *bench)
{
    cli_several several = several_of(bench);
    return show_runs(report_compare(&several), "runs", &several);
}

/* What 1000 L of column `column` cost as water; NaN: not known. */
static double water_cost(const cli_bench *bench, size_t column)
{
    const sw_solution *solution = bench->runs[column].solution;
    double cost = 0.0;
    if (!bench->water_price)
        return (double)NAN;
    if (column < bench->shared.waters.count)
        return bench->water_price[column];
    for (size_t k = 0; k < solution->water_count; k++)
        cost += bench->water_price[k] * solution->fractions[k];
    return cost;
}

static exit_code choose(cli_bench *bench)
{
    sw_error error;
    char shares[256];
    cli_several several = several_of(bench);
    sw_candidate *candidates = memory_array(bench->count, sizeof *candidates);
    several_say_shares(&several, bench->count - 1, shares, sizeof shares);
    for (size_t i = 0; i < bench->count; i++)
        candidates[i] = (sw_candidate){
            .name = bench->names[i],
            .detail = bench->blend && i + 1 == bench->count ? shares : "",
            .target = bench->shared.target,
            .shelf = bench->shared.shelf,
            .solution = bench->runs[i].solution,
            .assessment = bench->runs[i].assessment,
            .water_price_per_m3 = water_cost(bench, i),
            .takes_work = i >= bench->as_they_come};
    sw_status status =
        sw_choose(candidates, bench->count, &bench->choice, &error);
    free(candidates);
    return status == SW_OK ? EXIT_DONE : complain_error(&error);
}

static void add_column(cli_bench *bench)
{
    bench->reports[bench->count] = &bench->runs[bench->count].report;
    bench->count++;
}

/* Whether another water, or the mix, is called as water `index` is. */
static bool is_shared(const cli_bench *bench, size_t index)
{
    const cli_sources *waters = &bench->shared.waters;
    const char *name = waters->items[index].water->sample;
    bool found = strcmp(name, several_mix_name(bench->settings)) == 0;
    for (size_t i = 0; i < waters->count && !found; i++)
        found = i != index && strcmp(waters->items[i].water->sample, name) == 0;
    return found;
}

/* "well", or where two are called so "well (north.csv)". */
static char *name_of(const cli_bench *bench, size_t index)
{
    const sw_water *water = bench->shared.waters.items[index].water;
    bool shared = is_shared(bench, index);
    size_t size = strlen(water->sample) + strlen(water->file) + 4;
    char *name = memory_array(size, 1);
    snprintf(name, size, "%s%s%s%s", water->sample, shared ? " (" : "",
             shared ? water->file : "", shared ? ")" : "");
    return name;
}

/* The names of the waters, each its own, and that of a mix. */
static exit_code name_waters(cli_bench *bench)
{
    size_t count = bench->shared.waters.count;
    bench->names = memory_array(count + 1, sizeof(char *));
    for (size_t i = 0; i < count; i++) {
        bench->names[i] = name_of(bench, i);
        for (size_t k = 0; k < i; k++)
            if (strcmp(bench->names[i], bench->names[k]) == 0)
                return complain_usage("compare",
                                      "the water '%.120s' is given twice",
                                      bench->names[i]);
    }
    bench->names[count] = memory_text(several_mix_name(bench->settings));
    return EXIT_DONE;
}

static exit_code explain(cli_run *run)
{
    exit_code code = mixing_explain(&run->report, &run->conflict);
    run->report.conflict = run->conflict;
    return code;
}

static exit_code solve_each(cli_bench *bench)
{
    const cli_inputs *shared = &bench->shared;
    exit_code code = EXIT_DONE;
    for (size_t i = 0; i < shared->waters.count && code == EXIT_DONE; i++) {
        code = run_solve("compare", shared, bench->settings, bench->solver, i,
                         &bench->runs[i]);
        if (code == EXIT_DONE)
            code = explain(&bench->runs[i]);
        add_column(bench);
        bench->shared.contents[i] = bench->runs[i].content;
    }
    return code;
}

static exit_code solve_mix(cli_bench *bench)
{
    sw_error error;
    const cli_settings *settings = bench->settings;
    sw_problem problem = mixing_problem(&bench->shared, settings);
    problem.water_price_per_m3 = bench->water_price;
    if (sw_blend_find(bench->solver, &problem, &bench->blend, &error) != SW_OK)
        return complain_error(&error);
    sw_solution *best = bench->blend->best;
    bench->blend->best = NULL;
    exit_code code = run_adopt("compare", &bench->shared, settings, best,
                               &bench->runs[bench->count]);
    if (code == EXIT_DONE)
        code = explain(&bench->runs[bench->count]);
    add_column(bench);
    return code;
}

static exit_code compare(cli_bench *bench, bool blends)
{
    size_t columns = bench->shared.waters.count + 1;
    exit_code code = name_waters(bench);
    if (code == EXIT_DONE)
        code = mixing_solver(&bench->solver);
    bench->runs = memory_array(columns, sizeof *bench->runs);
    bench->reports = memory_array(columns, sizeof(cli_report *));
    bench->shared.contents =
        memory_array(columns, sizeof *bench->shared.contents);
    if (code == EXIT_DONE)
        code = solve_each(bench);
    if (code == EXIT_DONE && blends)
        code = solve_mix(bench);
    if (code == EXIT_DONE)
        code = choose(bench);
    return code == EXIT_DONE ? show(bench) : code;
}

static void bench_free(cli_bench *bench)
{
    for (size_t i = 0; i < bench->count; i++)
        run_free(&bench->runs[i]);
    free(bench->runs);
    free(bench->reports);
    for (size_t i = 0; bench->names && i <= bench->shared.waters.count; i++)
        free(bench->names[i]);
    free(bench->names);
    free(bench->water_price);
    sw_blend_free(bench->blend);
    sw_choice_free(bench->choice);
    sw_solver_free(bench->solver);
    inputs_free(&bench->shared);
}

static exit_code read_price(const cli_options *options, cli_bench *bench)
{
    const char *text = options_value(options, OPT_WATER_PRICE, 0);
    size_t count = bench->shared.waters.count;
    const char *at = text;
    if (!text)
        return EXIT_DONE;
    bench->water_price = memory_array(count, sizeof *bench->water_price);
    for (size_t i = 0; i < count; i++) {
        double price;
        const char *end = number_read(at, &price);
        if (!end || !(price >= 0.0 && price <= most_price) ||
            *end != (i + 1 < count ? ',' : '\0'))
            return complain_usage(
                "compare",
                "--water-price %.80s: expected %zu prices of 1000 L up to a "
                "million, one for each water in its order and the purified one "
                "last, such as 1.90,0",
                text, count);
        bench->water_price[i] = price;
        at = end + 1;
    }
    return EXIT_DONE;
}

static exit_code check_count(const cli_options *options, size_t count)
{
    if (count > MOST_WATERS)
        return complain_usage(
            "compare",
            "%zu waters are too many to compare side by side; for more "
            "than %d use saltwright batch",
            count, MOST_WATERS);
    if (count < 2 && options_has(options, OPT_BLEND))
        return complain_usage("compare",
                              "--blend mixes two waters or more: name another "
                              "with --water or --purified");
    return EXIT_DONE;
}

static exit_code read_all(const cli_options *options, cli_bench *bench)
{
    cli_sources purified = {0};
    exit_code code =
        inputs_read_shared(options, bench->settings, &bench->shared);
    bench->as_they_come = bench->shared.waters.count;
    if (code == EXIT_DONE)
        code = sources_read(options, OPT_PURIFIED, &purified);
    if (code == EXIT_DONE)
        sources_append(&bench->shared.waters, &purified);
    else
        sources_free(&purified);
    if (code == EXIT_DONE)
        code = check_count(options, bench->shared.waters.count);
    return code == EXIT_DONE ? read_price(options, bench) : code;
}

static exit_code run(const cli_options *options)
{
    cli_settings settings;
    cli_bench bench = {.settings = &settings};
    exit_code code = settings_read(options, &settings);
    if (code != EXIT_DONE)
        return code;
    code = read_all(options, &bench);
    if (code == EXIT_DONE)
        code = compare(&bench, options_has(options, OPT_BLEND));
    bench_free(&bench);
    return code;
}

static const option_id required[] = {OPT_WATER, OPT_TARGET, OPT_SHELF,
                                     OPT_COUNT};

static const option_id taken[] = {
    OPT_WATER,       OPT_PURIFIED, OPT_BLEND,  OPT_WATER_PRICE, OPT_TARGET,
    OPT_STAGE,       OPT_SHELF,    OPT_VOLUME, OPT_OBJECTIVE,   OPT_EQUAL,
    OPT_TEMPERATURE, OPT_AMOUNTS,  OPT_FORMAT, OPT_OUTPUT,      OPT_SHEET,
    OPT_FOR,         OPT_HELP,     OPT_COUNT};

const cli_command command_compare = {
    .name = "compare",
    .summary = "which of several waters to use, and why",
    .operands = "",
    .explanation =
        "Formulates for each water on its own, sets the recipes and the "
        "finished solutions side by side, and says which water to use and "
        "why. A file without :SAMPLE stands for every sample in it. With "
        "--blend the closest (or cheapest) mix of them joins in, and the range "
        "of shares at "
        "which every target can be met.",
    .example = "saltwright compare --water well.csv --water town.csv \\\n"
               "      --purified typical --blend --target target.csv \\\n"
               "      --shelf shelf.csv",
    .required = required,
    .options = taken,
    .run = run};
