/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is asked of several runs at once; each stage; waters side by side. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "run/several.h"
#include "io/command.h"
#include "io/complain.h"
#include "io/memory.h"
#include "io/output.h"
#include "io/safe.h"
#include "io/figure.h"
#include "io/interrupt.h"
#include "io/progress.h"
#include "io/quantities.h"
#include "sentences_text.h"

/* A share that shows as nothing. */
static const double least_share = 0.005;

void several_new(cli_several *several, size_t most, const cli_inputs *shared,
                 const cli_settings *settings)
{
    *several =
        (cli_several){.settings = settings,
                      .shared = shared,
                      .runs = memory_array(most, sizeof(cli_run)),
                      .reports = memory_array(most, sizeof(const cli_report *)),
                      .names = memory_array(most, sizeof(char *))};
}

cli_run *several_add(cli_several *several, const char *name)
{
    size_t index = several->count++;
    several->names[index] = memory_text(name);
    several->reports[index] = &several->runs[index].report;
    return &several->runs[index];
}

void several_free(cli_several *several)
{
    for (size_t i = 0; i < several->count; i++) {
        run_free(&several->runs[i]);
        free(several->names[i]);
    }
    free(several->runs);
    free(several->reports);
    free(several->names);
    free(several->water_price);
    sw_blend_free(several->blend);
    sw_choice_free(several->choice);
}

cli_figure several_mix_name(const cli_settings *settings)
{
    cli_figure out;
    snprintf(out.text, sizeof out.text, "%s mix",
             sw_objective_text(settings->objective));
    return out;
}

void several_say_shares(const cli_several *several, size_t run, char *text,
                        size_t size)
{
    const cli_report *report = several->reports[run];
    size_t count = report->inputs->waters.count;
    text[0] = '\0';
    for (size_t k = 0; count > 1 && k < count; k++)
        if (report_share(report, k) >= least_share)
            text_join(text, size, ", ", "%s %.60s",
                      figure_percent(report_share(report, k)).text,
                      report->inputs->waters.items[k].water->sample);
}

cli_handled several_handled(const cli_several *several)
{
    cli_handled handled = {.count = 0};
    for (size_t i = 0; i < several->count; i++)
        cautions_add(&handled, several->reports[i]);
    return handled;
}

exit_code several_exit_code(const cli_several *several)
{
    const sw_choice *choice = several->choice;
    if (choice)
        return choice->usable
                   ? report_exit_code(several->reports[choice->chosen])
                   : EXIT_UNMET;
    for (size_t i = 0; i < several->count; i++)
        if (report_exit_code(several->reports[i]) != EXIT_DONE)
            return EXIT_UNMET;
    return EXIT_DONE;
}

/* ---- Stages of a crop -------------------------------------------------------
 *
 * Each has the target of its stage in the place of the whole, and everything
 * else in common.
 */

bool stages_remain(const cli_inputs *inputs)
{
    return sw_target_stage_name(inputs->target, 0) != NULL;
}

static exit_code take(const cli_options *options, const char *stage,
                      cli_inputs *inputs)
{
    sw_error error = {0};
    sw_target *one;
    if (sw_target_stage(inputs->target, stage, &one, &error) != SW_OK)
        return error.status == SW_ERR_NAME
                   ? complain_usage(options->command->name,
                                    "--stage: in %.200s %s",
                                    inputs->target->name, error.message)
                   : complain_error(&error);
    sw_target_free(inputs->target);
    inputs->target = one;
    inputs->stage = stage;
    return EXIT_DONE;
}

exit_code stages_choose(const cli_options *options, cli_inputs *inputs)
{
    const char *stage = options_value(options, OPT_STAGE, 0);
    if (stage)
        return take(options, stage, inputs);
    if (!stages_remain(inputs) || options->command->task == &command_formulate)
        return EXIT_DONE;
    return complain_usage(options->command->name, SAY_STAGES_CHOOSE,
                          inputs->target->name, options->command->name,
                          sw_target_stage_name(inputs->target, 0));
}

/* Options about one recipe say nothing of several. */
static exit_code check_options(const cli_options *options)
{
    static const option_id single[] = {
        OPT_SCALE_STEP, OPT_FINE_STEP, OPT_TRACE_SOLUTION, OPT_WHOLE_PACKS,
        OPT_HOW_SURE,   OPT_DOUBT,     OPT_MEASURED_EC,    OPT_MEASURED_PH,
        OPT_WHY,        OPT_TRADE_OFF, OPT_CURVE};
    for (size_t i = 0; i < sizeof single / sizeof single[0]; i++)
        if (options_has(options, single[i]))
            return complain_usage(options->command->name, SAY_ONE_RECIPE,
                                  option_spec_of(single[i])->name);
    const char *sheet = options_value(options, OPT_SHEET, 0);
    if (!sheet || !output_is_chart(sheet))
        return EXIT_DONE;
    complain_file(sheet, SAY_CHART_ONE_STAGE);
    return EXIT_UNMET;
}

static size_t count_stages(const sw_target *target)
{
    size_t count = 0;
    while (sw_target_stage_name(target, count))
        count++;
    return count;
}

/* Solves a stage into `run`, which shares all but its target. */
static exit_code run_stage(const cli_inputs *shared,
                           const cli_settings *settings, const char *name,
                           cli_run *run)
{
    sw_error error = {0};
    run->inputs = *shared;
    run->inputs.target = NULL;
    run_begin(run, "formulate", &run->inputs, settings);
    if (sw_target_stage(shared->target, name, &run->inputs.target, &error) !=
        SW_OK)
        return complain_error(&error);
    exit_code code = run_scale_target(&run->inputs, settings, NULL);
    if (code == EXIT_DONE)
        code = run_solve(run, true);
    return code == EXIT_DONE
               ? run_finish(run, &run->solution->water, run_depth_of(settings))
               : code;
}

exit_code stages_run(const cli_options *options, const cli_inputs *shared,
                     const cli_settings *settings, cli_several *out)
{
    size_t count = count_stages(shared->target);
    several_new(out, count, shared, settings);
    exit_code code = check_options(options);
    for (size_t i = 0; i < count && code == EXIT_DONE; i++) {
        const char *name = sw_target_stage_name(shared->target, i);
        code = run_stage(shared, settings, name, several_add(out, name));
    }
    return code;
}

void stages_free(cli_several *stages)
{
    for (size_t i = 0; i < stages->count; i++) {
        cli_inputs *inputs = &stages->runs[i].inputs;
        sw_target_free(inputs->target);
        sw_strength_free(inputs->strength);
        inputs->assumptions = (sw_notes){0}; /* the shared ones */
    }
    several_free(stages);
}

/* ---- Waters side by side -------------------------------------------- */

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
    sw_error error = {0};
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
    sw_error error = {0};
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
