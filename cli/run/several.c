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

void several_free(void *thing)
{
    cli_several *several = thing;
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
        if (report_pours(report, k))
            text_join(text, size, ", ", "%s %.60s",
                      report_share_words(report, k).text,
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
static void check_options(const cli_options *options)
{
    static const option_id single[] = {
        OPT_SCALE_STEP, OPT_FINE_STEP, OPT_TRACE_SOLUTION, OPT_WHOLE_PACKS,
        OPT_HOW_SURE,   OPT_DOUBT,     OPT_MEASURED_EC,    OPT_MEASURED_PH,
        OPT_WHY,        OPT_TRADE_OFF, OPT_CURVE,          OPT_COUNT};
    const char *stray = options_any(options, single);
    if (stray)
        leave(complain_usage(options->command->name, SAY_ONE_RECIPE, stray));
    const char *sheet = options_value(options, OPT_SHEET, 0);
    if (!sheet || !output_is_chart(sheet))
        return;
    complain_file(sheet, SAY_CHART_ONE_STAGE);
    leave(EXIT_UNMET);
}

static size_t count_stages(const sw_target *target)
{
    size_t count = 0;
    while (sw_target_stage_name(target, count))
        count++;
    return count;
}

/* Solves a stage into `run`, which shares all but its target. */
static void run_stage(const cli_inputs *shared, const cli_settings *settings,
                      const char *name, cli_run *run)
{
    sw_error error = {0};
    run->inputs = *shared;
    run->inputs.target = NULL;
    run_begin(run, "formulate", &run->inputs, settings);
    expect_ok(
        sw_target_stage(shared->target, name, &run->inputs.target, &error),
        &error);
    run_scale_target(&run->inputs, settings, NULL);
    leave_unless_done(run_solve(run, true, false));
    run_finish(run, &run->solution->water, run_depth_of(settings));
    run_try_ranges(run);
}

static void free_stages(void *thing)
{
    cli_several *stages = thing;
    for (size_t i = 0; i < stages->count; i++) {
        cli_inputs *inputs = &stages->runs[i].inputs;
        sw_target_free(inputs->target);
        sw_strength_free(inputs->strength);
        inputs->assumptions = (sw_notes){0}; /* the shared ones */
    }
    several_free(stages);
}

cli_several *stages_run(const cli_options *options, const cli_inputs *shared,
                        const cli_settings *settings)
{
    size_t count = count_stages(shared->target);
    cli_several *out = memory_kept(sizeof *out, free_stages);
    several_new(out, count, shared, settings);
    check_options(options);
    for (size_t i = 0; i < count; i++) {
        const char *name = sw_target_stage_name(shared->target, i);
        run_stage(shared, settings, name, several_add(out, name));
    }
    return out;
}

/* ---- Waters side by side -------------------------------------------- */

/* More waters than that are a batch. */
enum { MOST_WATERS = 60 };
/* Of 1000 L, in currencies of the smallest coin too. */
static const double most_price = 1e6;

/* ---- What is given ------------------------------------------------------*/

static double *read_price(const cli_options *options, size_t count)
{
    const char *text = options_value(options, OPT_WATER_PRICE, 0);
    const char *at = text;
    if (!text)
        return NULL;
    double *price = memory_array(count, sizeof *price);
    for (size_t i = 0; i < count; i++) {
        const char *end = number_read(at, &price[i]);
        if (!end || !(price[i] >= 0.0 && price[i] <= most_price) ||
            *end != (i + 1 < count ? ',' : '\0')) {
            free(price);
            leave(complain_usage("compare", SAY_WATER_PRICES, text, count));
        }
        at = end + 1;
    }
    return price;
}

static void check_count(const cli_options *options, size_t count)
{
    if (count > MOST_WATERS)
        leave(complain_usage("compare", SAY_WATERS_MANY, count, MOST_WATERS));
    if (count < 2 && options_has(options, OPT_BLEND))
        leave(complain_usage("compare", SAY_BLEND_NEEDS_TWO));
}

static void add_purified(const cli_options *options, cli_sources *waters)
{
    cli_sources purified = {0};
    exit_code code = sources_read(options, OPT_PURIFIED, &purified);
    if (code != EXIT_DONE)
        sources_free(&purified);
    leave_unless_done(code);
    sources_append(waters, &purified);
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
static void add_water(cli_several *several, size_t index)
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
    if (twice)
        complain_usage("compare", SAY_WATER_TWICE, name);
    free(name);
    if (twice)
        leave(EXIT_USAGE);
}

/* ---- Runs ---------------------------------------------------------------*/

/* Their contents are completed for a mix. */
static void solve_each(const cli_several *several, cli_inputs *shared)
{
    size_t count = shared->waters.count;
    shared->contents = memory_array(count + 1, sizeof(sw_content));
    for (size_t i = 0; i < count; i++) {
        cli_run *run = &several->runs[i];
        run_begin(run, "compare", shared, several->settings);
        leave_unless_done(run_water(run, shared, i, false));
        run_finish(run, &run->solution->water, RUN_WHOLE);
        progress_step(i + 1, count);
        shared->contents[i] = run->content;
    }
}

static void solve_mix(cli_several *several, cli_inputs *shared)
{
    sw_error error = {0};
    inputs_find_most_share(shared);
    sw_problem problem = run_problem_asked(shared, several->settings);
    problem.water_price_per_m3 = several->water_price;
    expect_ok(sw_blend_find(shared->solver, &problem, &several->blend, &error),
              &error);
    cli_run *run =
        several_add(several, several_mix_name(several->settings).text);
    run_begin(run, "compare", shared, several->settings);
    run_adopt(run, several->blend->best);
    several->blend->best = NULL;
    run_finish(run, &run->solution->water, RUN_WHOLE);
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

/* Between them all; behind the first `as_they_come` are purified ones. */
static void choose(cli_several *several, size_t as_they_come)
{
    sw_error error = {0};
    char shares[256];
    size_t count = several->count;
    sw_candidate *candidates = memory_array(count, sizeof *candidates);
    several_say_shares(several, count - 1, shares, sizeof shares);
    for (size_t i = 0; i < count; i++)
        candidates[i] = (sw_candidate){
            .name = several->names[i],
            .detail = several->blend && i + 1 == count ? shares : "",
            .target = several->shared->target,
            .shelf = several->shared->shelf,
            .solution = several->runs[i].solution,
            .assessment = several->runs[i].assessment,
            .water_price_per_m3 = water_cost(several, i),
            .takes_work = i >= as_they_come,
            .doubtful = report_is_doubted(several->reports[i])};
    sw_status status = sw_choose(candidates, count, &several->choice, &error);
    free(candidates);
    expect_ok(status, &error);
}

cli_several *compare_run(const cli_options *options, cli_settings *settings)
{
    cli_inputs *shared = inputs_read_shared(options, settings);
    cli_several *out = memory_kept(sizeof *out, several_free);
    size_t as_they_come = shared->waters.count;
    add_purified(options, &shared->waters);
    size_t count = shared->waters.count;
    check_count(options, count);
    several_new(out, count + 1, shared, settings);
    out->one_target = true;
    out->water_price = read_price(options, count);
    for (size_t i = 0; i < count; i++)
        add_water(out, i);
    interrupt_say_nothing();
    solve_each(out, shared);
    if (options_has(options, OPT_BLEND))
        solve_mix(out, shared);
    choose(out, as_they_come);
    return out;
}
