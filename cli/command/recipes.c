/* SPDX-License-Identifier: GPL-3.0-or-later */
/* saltwright recipes: how few recipes serve several waters? */
#include "io/command.h"
#include "report/blocks.h"
#include "command/show.h"

static exit_code run(const cli_options *options)
{
    cli_settings settings;
    settings_read(options, &settings);
    const cli_many *many = many_run(options, &settings);
    return show_report(report_many(many), &settings, many_exit_code(many));
}

static const option_id taken[] = {
    OPTIONS_WATER,  OPTIONS_TARGET,    OPTIONS_SHELF,   OPT_ONE_RECIPE,
    OPT_VOLUME,     OPTIONS_CLOSENESS, OPT_TEMPERATURE, OPT_AMOUNTS,
    OPTIONS_RESULT, OPT_COUNT};

const cli_task command_recipes = {
    .required = requires_aim, .options = taken, .run = run};
