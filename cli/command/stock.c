/* SPDX-License-Identifier: GPL-3.0-or-later */
/* saltwright stock: the recipe as concentrates in tanks. */
#include "io/command.h"
#include "io/complain.h"
#include "run/inputs.h"
#include "command/show.h"
#include "run/settings.h"
#include "run/tanks.h"

static exit_code read_all(const cli_options *options, cli_settings *settings,
                          cli_inputs *inputs, cli_tanks *tanks)
{
    exit_code code = tanks_read(options, tanks);
    if (code == EXIT_DONE)
        code = inputs_read(options, settings, inputs);
    if (code == EXIT_DONE)
        code =
            tanks_read_make_up(options, settings, tanks, &inputs->assumptions);
    return code;
}

static exit_code run(const cli_options *options)
{
    cli_settings settings;
    cli_inputs inputs = {0};
    cli_tanks tanks = {0};
    cli_run planned = {.solution = NULL};
    exit_code code = settings_read(options, &settings);
    if (code != EXIT_DONE)
        return code;
    code = read_all(options, &settings, &inputs, &tanks);
    if (code == EXIT_DONE)
        tanks_set_units(options, &tanks, &settings);
    if (code == EXIT_DONE)
        code = run_scale_target(&inputs, &settings, &tanks.setup);
    if (code == EXIT_DONE)
        code = show_run(&planned,
                        stocks_plan(&planned, &inputs, &settings, &tanks));
    inputs_free(&inputs);
    sources_free(&tanks.make_up);
    return code;
}

static const option_id required[] = {OPT_WATER, OPT_TARGET, OPT_TANK,
                                     OPT_COUNT};

static const option_id taken[] = {
    OPTIONS_ONE_WATER, OPTIONS_TARGET, OPTIONS_TARGET_OF, OPTIONS_SHELF,
    OPTIONS_TANKS,     OPT_THIRD_TANK, OPTIONS_CLOSENESS, OPT_TO_EC,
    OPT_TEMPERATURE,   OPTIONS_SCALE,  OPTIONS_METERS,    OPT_AMOUNTS,
    OPT_FOR,           OPTIONS_RESULT, OPT_COUNT};

const cli_task command_stock = {
    .required = required, .options = taken, .run = run};
