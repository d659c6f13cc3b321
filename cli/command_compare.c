/* SPDX-License-Identifier: GPL-3.0-or-later */
/* saltwright compare: one target and one shelf in several waters. */
#include <stdlib.h>

#include "command.h"
#include "complain.h"
#include "memory.h"
#include "mixing.h"
#include "output.h"
#include "render.h"
#include "runs.h"
#include "settings.h"

/* More waters than that are a batch. */
enum { MOST_WATERS = 60 };

static exit_code show(const cli_comparison *comparison,
                      const cli_settings *settings)
{
    cli_output output;
    exit_code worst = EXIT_DONE;
    output_open(&output);
    cli_canvas canvas = {output.stream, render_in_colour(settings)};
    renderer_of(settings->format)->comparison(&canvas, comparison);
    for (size_t i = 0; i < comparison->count; i++)
        if (report_exit_code(comparison->reports[i]) != EXIT_DONE)
            worst = EXIT_UNMET;
    exit_code code = output_deliver(&output, settings->output);
    return code == EXIT_DONE ? worst : code;
}

static exit_code compare(const cli_inputs *shared, const cli_settings *settings)
{
    size_t count = shared->waters.count;
    sw_solver *solver;
    exit_code code = mixing_solver(&solver);
    if (code != EXIT_DONE)
        return code;
    cli_run *runs = memory_array(count, sizeof *runs);
    const cli_report **reports = memory_array(count, sizeof(cli_report *));
    for (size_t i = 0; i < count && code == EXIT_DONE; i++) {
        code = run_solve("compare", shared, settings, solver, i, &runs[i]);
        if (code == EXIT_DONE)
            code = mixing_explain(&runs[i].report, &runs[i].conflict);
        runs[i].report.conflict = runs[i].conflict;
        reports[i] = &runs[i].report;
    }
    cli_comparison comparison = {reports, count};
    if (code == EXIT_DONE)
        code = show(&comparison, settings);
    for (size_t i = 0; i < count; i++)
        run_free(&runs[i]);
    free(runs);
    free(reports);
    sw_solver_free(solver);
    return code;
}

static exit_code run(const cli_options *options)
{
    static const option_id required[] = {OPT_WATER, OPT_TARGET, OPT_SHELF,
                                         OPT_COUNT};
    cli_settings settings;
    cli_inputs shared;
    exit_code code = options_require(options, required);
    if (code == EXIT_DONE)
        code = settings_read(options, &settings);
    if (code != EXIT_DONE)
        return code;
    code = inputs_read_shared(options, &settings, &shared);
    if (code == EXIT_DONE && shared.waters.count > MOST_WATERS)
        code = complain_usage("compare",
                              "%zu waters stand badly side by side; for more "
                              "than %d use saltwright batch",
                              shared.waters.count, MOST_WATERS);
    if (code == EXIT_DONE)
        code = compare(&shared, &settings);
    inputs_free(&shared);
    return code;
}

static const option_id taken[] = {OPT_WATER,   OPT_TARGET,    OPT_SHELF,
                                  OPT_VOLUME,  OPT_OBJECTIVE, OPT_TEMPERATURE,
                                  OPT_AMOUNTS, OPT_FORMAT,    OPT_OUTPUT,
                                  OPT_HELP,    OPT_COUNT};

const cli_command command_compare = {
    .name = "compare",
    .summary = "the same target and shelf in several waters, side by side",
    .operands = "",
    .explanation =
        "Formulates for each water on its own and sets the recipes and the "
        "finished solutions side by side. A file without :SAMPLE stands for "
        "every sample in it.",
    .example = "saltwright compare --water waters.csv --target target.csv \\\n"
               "      --shelf shelf.csv",
    .options = taken,
    .run = run};
