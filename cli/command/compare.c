/* SPDX-License-Identifier: GPL-3.0-or-later */
/* saltwright compare: one target and one shelf in several waters. */
#include "io/command.h"
#include "report/blocks.h"
#include "run/several.h"
#include "command/show.h"

static exit_code run(const cli_options *options)
{
    cli_settings settings;
    settings_read(options, &settings);
    const cli_several *waters = compare_run(options, &settings);
    return show_several(report_compare(waters), "runs", waters);
}

static const option_id taken[] = {
    OPTIONS_WATER,     OPT_READ_AS,     OPT_PURIFIED,  OPT_BLEND,
    OPT_WATER_PRICE,   OPTIONS_TARGET,  OPTIONS_SHELF, OPT_VOLUME,
    OPTIONS_CLOSENESS, OPT_TEMPERATURE, OPT_AMOUNTS,   OPT_FOR,
    OPTIONS_RESULT,    OPT_COUNT};

const cli_task command_compare = {
    .required = requires_aim, .options = taken, .run = run};
