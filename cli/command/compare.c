/* SPDX-License-Identifier: GPL-3.0-or-later */
/* saltwright compare: one target and one shelf in several waters. */
#include "io/command.h"
#include "report/blocks.h"
#include "run/compare.h"
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
    OPTIONS_WATER,   OPT_PURIFIED,  OPT_BLEND,  OPT_WATER_PRICE,
    OPTIONS_TARGET,  OPTIONS_SHELF, OPT_VOLUME, OPTIONS_CLOSENESS,
    OPT_TEMPERATURE, OPT_AMOUNTS,   OPT_FOR,    OPTIONS_RESULT,
    OPT_COUNT};

const cli_command command_compare = {
    .name = "compare",
    .summary = "which of several waters to use, and why",
    .operands = "",
    .explanation =
        "Formulates for each water on its own, sets the recipes and the "
        "finished solutions side by side, and says which water to use and "
        "why. A file without :SAMPLE stands for every sample in it. With "
        "--blend the closest (or cheapest) mix of them joins in, and the range "
        "of shares at "
        "which every target can be met.",
    .example = "saltwright compare --water well.csv --water town.csv \\\n"
               "      --purified typical --blend --target target.csv \\\n"
               "      --shelf shelf.csv",
    .required = required,
    .options = taken,
    .run = run};
