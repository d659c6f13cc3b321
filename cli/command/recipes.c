/* SPDX-License-Identifier: GPL-3.0-or-later */
/* saltwright recipes: how few recipes serve several waters? */
#include "io/command.h"
#include "report/blocks.h"
#include "command/show.h"

static exit_code run(const cli_options *options)
{
    cli_settings settings;
    cli_many many;
    exit_code code = settings_read(options, &settings);
    if (code != EXIT_DONE)
        return code;
    code = many_run(options, &settings, &many);
    if (code == EXIT_DONE)
        code =
            show_report(report_many(&many), &settings, many_exit_code(&many));
    many_free(&many);
    return code;
}

static const option_id required[] = {OPT_WATER, OPT_TARGET, OPT_COUNT};

static const option_id taken[] = {
    OPTIONS_WATER,  OPTIONS_TARGET,    OPTIONS_SHELF,   OPT_ONE_RECIPE,
    OPT_VOLUME,     OPTIONS_CLOSENESS, OPT_TEMPERATURE, OPT_AMOUNTS,
    OPTIONS_RESULT, OPT_COUNT};

const cli_task command_recipes = {
    .required = required, .options = taken, .run = run};
