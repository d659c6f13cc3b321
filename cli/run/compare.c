/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A run for each water, one for their mix, and the choice between them. */
#include "run/compare.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "io/complain.h"
#include "io/interrupt.h"
#include "io/memory.h"
#include "io/progress.h"
#include "io/quantities.h"
#include "sentences_text.h"

/* More waters than that are a batch. */
enum { MOST_WATERS = 60 };
/* Of 1000 L, in currencies of the smallest coin too. */
static const double most_price = 1e6;

/* ---- What is given ------------------------------------------------------*/

static exit_code read_price(const cli_options *options, size_t count,
                            double **out)
{
    const char *text = options_value(options, OPT_WATER_PRICE, 0);
    const char *at = text;
    if (!text)
        return EXIT_DONE;
    double *price = memory_array(count, sizeof *price);
    *out = price;
    for (size_t i = 0; i < count; i++) {
        const char *end = number_read(at, &price[i]);
        if (!end || !(price[i] >= 0.0 && price[i] <= most_price) ||
            *end != (i + 1 < count ? ',' : '\0'))
            return complain_usage("compare", SAY_WATER_PRICES, text, count);
        at = end + 1;
    }
    return EXIT_DONE;
}

static exit_code check_count(const cli_options *options, size_t count)
{
    if (count > MOST_WATERS)
        return complain_usage("compare", SAY_WATERS_MANY, count, MOST_WATERS);
    if (count < 2 && options_has(options, OPT_BLEND))
        return complain_usage("compare", SAY_BLEND_NEEDS_TWO);
    return EXIT_DONE;
}

static exit_code read_all(const cli_options *options, cli_settings *settings,
                          cli_compare *compare)
{
    cli_sources purified = {0};
    exit_code code = inputs_read_shared(options, settings, &compare->shared);
    compare->as_they_come = compare->shared.waters.count;
    if (code == EXIT_DONE)
        code = sources_read(options, OPT_PURIFIED, &purified);
    if (code == EXIT_DONE)
        sources_append(&compare->shared.waters, &purified);
    else
        sources_free(&purified);
    return code == EXIT_DONE
               ? check_count(options, compare->shared.waters.count)
               : code;
}

/* Whether another water, or the mix, is called as water `index` is. */
static bool is_shared(const cli_several *several, size_t index)
{
    const cli_sources *waters = &several->shared->waters;
    const char *name = waters->items[index].water->sample;
    bool found = strcmp(name, several_mix_name(several->settings).text) == 0;
    for (size_t i = 0; i < waters->count && !found; i++)
        found = i != index && strcmp(waters->items[i].water->sample, name) == 0;
    return found;
}

/* The run of a water: of "well", or where two are called so, of "well
 * (north.csv)". */
static exit_code add_water(cli_several *several, size_t index)
{
    const sw_water *water = several->shared->waters.items[index].water;
    bool shared = is_shared(several, index);
    size_t size = strlen(water->sample) + strlen(water->file) + 4;
    char *name = memory_array(size, 1);
    snprintf(name, size, "%s%s%s%s", water->sample, shared ? " (" : "",
             shared ? water->file : "", shared ? ")" : "");
    bool twice = false;
    for (size_t i = 0; i < several->count && !twice; i++)
        twice = strcmp(several->names[i], name) == 0;
    several_add(several, name);
    exit_code code =
        twice ? complain_usage("compare", SAY_WATER_TWICE, name) : EXIT_DONE;
    free(name);
    return code;
}

/* ---- Runs ---------------------------------------------------------------*/

static exit_code solve_each(cli_compare *compare)
{
    const cli_inputs *shared = &compare->shared;
    exit_code code = EXIT_DONE;
    for (size_t i = 0; i < shared->waters.count && code == EXIT_DONE; i++) {
        cli_run *run = &compare->several.runs[i];
        run_begin(run, "compare", shared, compare->several.settings);
        code = run_water(run, shared, i, RUN_WHOLE);
        progress_step(i + 1, shared->waters.count);
        shared->contents[i] = run->content;
    }
    return code;
}

static exit_code solve_mix(cli_compare *compare)
{
    sw_error error;
    cli_several *several = &compare->several;
    sw_problem problem = run_problem(&compare->shared, several->settings);
    problem.water_price_per_m3 = several->water_price;
    if (sw_blend_find(compare->shared.solver, &problem, &several->blend,
                      &error) != SW_OK)
        return complain_error(&error);
    cli_run *run =
        several_add(several, several_mix_name(several->settings).text);
    run_begin(run, "compare", &compare->shared, several->settings);
    run_adopt(run, several->blend->best);
    several->blend->best = NULL;
    return run_finish(run, &run->solution->water, RUN_WHOLE);
}

/* What 1000 L of a run cost as water; NaN: not known. */
static double water_cost(const cli_several *several, size_t run)
{
    const sw_solution *solution = several->runs[run].solution;
    double cost = 0.0;
    if (!several->water_price)
        return (double)NAN;
    if (run < several->shared->waters.count)
        return several->water_price[run];
    for (size_t k = 0; k < solution->water_count; k++)
        cost += several->water_price[k] * solution->fractions[k];
    return cost;
}

static exit_code choose(cli_compare *compare)
{
    sw_error error;
    char shares[256];
    cli_several *several = &compare->several;
    size_t count = several->count;
    sw_candidate *candidates = memory_array(count, sizeof *candidates);
    several_say_shares(several, count - 1, shares, sizeof shares);
    for (size_t i = 0; i < count; i++)
        candidates[i] = (sw_candidate){
            .name = several->names[i],
            .detail = several->blend && i + 1 == count ? shares : "",
            .target = compare->shared.target,
            .shelf = compare->shared.shelf,
            .solution = several->runs[i].solution,
            .assessment = several->runs[i].assessment,
            .water_price_per_m3 = water_cost(several, i),
            .takes_work = i >= compare->as_they_come};
    sw_status status = sw_choose(candidates, count, &several->choice, &error);
    free(candidates);
    return status == SW_OK ? EXIT_DONE : complain_error(&error);
}

static exit_code solve(cli_compare *compare, bool blends)
{
    interrupt_say_nothing();
    exit_code code = solve_each(compare);
    if (code == EXIT_DONE && blends)
        code = solve_mix(compare);
    if (code == EXIT_DONE)
        code = choose(compare);
    return code;
}

exit_code compare_run(const cli_options *options, cli_settings *settings,
                      cli_compare *out)
{
    *out = (cli_compare){.as_they_come = 0};
    exit_code code = read_all(options, settings, out);
    size_t count = out->shared.waters.count;
    several_new(&out->several, count + 1, &out->shared, settings);
    out->several.one_target = true;
    out->shared.contents = memory_array(count + 1, sizeof(sw_content));
    if (code == EXIT_DONE)
        code = read_price(options, count, &out->several.water_price);
    for (size_t i = 0; i < count && code == EXIT_DONE; i++)
        code = add_water(&out->several, i);
    return code == EXIT_DONE ? solve(out, options_has(options, OPT_BLEND))
                             : code;
}

void compare_free(cli_compare *compare)
{
    /* The mix has the shared inputs, but no assumptions of its own. */
    several_free(&compare->several);
    inputs_free(&compare->shared);
}
