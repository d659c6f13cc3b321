/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is asked of several runs at once. */
#include "run/several.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "io/command.h"
#include "io/complain.h"
#include "io/memory.h"
#include "io/output.h"
#include "io/safe.h"
#include "io/figure.h"
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
    sw_error error;
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
    sw_error error;
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
