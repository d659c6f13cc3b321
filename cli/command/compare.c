/* SPDX-License-Identifier: GPL-3.0-or-later */
/* saltwright compare: one target and one shelf in several waters. */
#include "io/command.h"
#include "report/blocks.h"
#include "run/several.h"
#include "command/show.h"

static exit_code run(const cli_options *options)
{
    cli_settings settings;
    cli_compare compare;
    exit_code code = settings_read(options, &settings);
    if (code != EXIT_DONE)
        return code;
    code = compare_run(options, &settings, &compare);
    if (code == EXIT_DONE)
        code = show_several(report_compare(&compare.several), "runs",
                            &compare.several);
    compare_free(&compare);
    return code;
}

static const option_id required[] = {OPT_WATER, OPT_TARGET, OPT_COUNT};

static const option_id taken[] = {
    OPTIONS_WATER,     OPT_READ_AS,     OPT_PURIFIED,  OPT_BLEND,
    OPT_WATER_PRICE,   OPTIONS_TARGET,  OPTIONS_SHELF, OPT_VOLUME,
    OPTIONS_CLOSENESS, OPT_TEMPERATURE, OPT_AMOUNTS,   OPT_FOR,
    OPTIONS_RESULT,    OPT_COUNT};

const cli_task command_compare = {
    .required = required, .options = taken, .run = run};
