/* SPDX-License-Identifier: GPL-3.0-or-later */
/* saltwright formulate: water, target and shelf to weights for the scale. */
#include "io/command.h"
#include "run/inputs.h"
#include "report/blocks.h"
#include "run/ph_alone.h"
#include "run/run.h"
#include "command/show.h"
#include "run/several.h"
#include "run/settings.h"

static exit_code tell_ph(const cli_options *options, cli_inputs *inputs,
                         const cli_settings *settings)
{
    cli_ph_alone alone;
    exit_code code = ph_alone_run(options, settings, inputs, &alone);
    if (code == EXIT_DONE)
        code = show_report(report_ph_alone(&alone), settings,
                           ph_alone_exit_code(&alone));
    ph_alone_free(&alone);
    return code;
}

static exit_code each_stage(const cli_options *options,
                            const cli_inputs *inputs,
                            const cli_settings *settings)
{
    cli_several stages;
    exit_code code = stages_run(options, inputs, settings, &stages);
    if (code == EXIT_DONE)
        code = show_several(report_stages(&stages), "stages", &stages);
    stages_free(&stages);
    return code;
}

static exit_code solve(const cli_options *options, cli_inputs *inputs,
                       const cli_settings *settings)
{
    if (sw_target_is_ph_alone(inputs->target) && !stages_remain(inputs))
        return tell_ph(options, inputs, settings);
    if (stages_remain(inputs))
        return each_stage(options, inputs, settings);
    cli_run run = {.solution = NULL};
    return show_run(&run, run_formulate(&run, "formulate", inputs, settings));
}

static exit_code run(const cli_options *options)
{
    cli_settings settings;
    cli_inputs inputs;
    exit_code code = settings_read(options, &settings);
    if (code != EXIT_DONE)
        return code;
    code = inputs_read(options, &settings, &inputs);
    if (code == EXIT_DONE)
        code = solve(options, &inputs, &settings);
    inputs_free(&inputs);
    return code;
}

static const option_id required[] = {OPT_WATER, OPT_TARGET, OPT_COUNT};

static const option_id taken[] = {
    OPTIONS_ONE_WATER, OPTIONS_TARGET,    OPTIONS_TARGET_OF, OPTIONS_SHELF,
    OPT_VOLUME,        OPTIONS_CLOSENESS, OPT_TO_EC,         OPT_WHY,
    OPT_TRADE_OFF,     OPT_CURVE,         OPT_TEMPERATURE,   OPTIONS_SCALE,
    OPTIONS_METERS,    OPT_AMOUNTS,       OPT_FOR,           OPTIONS_RESULT,
    OPT_COUNT};

const cli_task command_formulate = {
    .required = required, .options = taken, .run = run};
