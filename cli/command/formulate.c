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

static exit_code run(const cli_options *options)
{
    cli_settings settings;
    settings_read(options, &settings);
    cli_inputs *inputs = inputs_read(options, &settings);
    if (stages_remain(inputs)) {
        const cli_several *stages = stages_run(options, inputs, &settings);
        return show_several(report_stages(stages), "stages", stages);
    }
    if (sw_target_is_ph_alone(inputs->target)) {
        const cli_ph_alone *alone = ph_alone_run(options, &settings, inputs);
        return show_report(report_ph_alone(alone), &settings,
                           ph_alone_exit_code(alone));
    }
    cli_run *found = run_formulate("formulate", inputs, &settings);
    run_try_ranges(found);
    return show_run(found);
}

static const option_id taken[] = {
    OPTIONS_ONE_WATER, OPTIONS_TARGET,    OPTIONS_TARGET_OF, OPTIONS_SHELF,
    OPT_VOLUME,        OPTIONS_CLOSENESS, OPT_KEEP_RANGES,   OPT_TO_EC,
    OPT_WHY,           OPT_TRADE_OFF,     OPT_CURVE,         OPT_TEMPERATURE,
    OPTIONS_SCALE,     OPTIONS_METERS,    OPT_AMOUNTS,       OPT_FOR,
    OPTIONS_RESULT,    OPT_COUNT};

const cli_task command_formulate = {
    .required = requires_aim, .options = taken, .run = run};
