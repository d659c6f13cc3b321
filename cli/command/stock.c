/* SPDX-License-Identifier: GPL-3.0-or-later */
/* saltwright stock: the recipe as concentrates in tanks. */
#include "io/command.h"
#include "run/inputs.h"
#include "command/show.h"
#include "run/settings.h"
#include "run/tanks.h"

static exit_code run(const cli_options *options)
{
    cli_settings settings;
    settings_read(options, &settings);
    cli_tanks *tanks = tanks_read(options);
    cli_inputs *inputs = inputs_read(options, &settings);
    tanks_read_make_up(options, &settings, tanks, &inputs->assumptions);
    tanks_set_units(options, tanks, &settings);
    run_scale_target(inputs, &settings, &tanks->setup);
    return show_run(stocks_plan(inputs, &settings, tanks));
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
