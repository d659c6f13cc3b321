/* SPDX-License-Identifier: GPL-3.0-or-later */
/* saltwright stock: the recipe as concentrates in tanks. */
#include <math.h>

#include "io/command.h"
#include "io/complain.h"
#include "run/inputs.h"
#include "command/show.h"
#include "run/scale.h"
#include "run/settings.h"
#include "run/tanks.h"

/* Weighs the tanks where that is asked for.  The volume shown is what a batch
 * is enough for. */
static exit_code finish(cli_run *run, const sw_problem *problem,
                        cli_settings *settings, sw_stock **stock)
{
    exit_code code = EXIT_DONE;
    run->report.recipe = *stock ? report_recipe_of(run->solution) : NULL;
    if (*stock && (*stock)->outcome == SW_OPTIMAL)
        code = scale_weigh(&run->report, problem, stock);
    run->report.stock = *stock;
    if (*stock && (*stock)->feed_l > 0.0 && isfinite((*stock)->feed_l))
        settings->volume_l = (*stock)->feed_l;
    return code == EXIT_DONE
               ? run_finish(run, &run->solution->water, run_depth_of(settings))
               : code;
}

static exit_code plan(const cli_inputs *inputs, cli_settings *settings,
                      const cli_tanks *tanks)
{
    sw_error error;
    sw_solution *solution;
    sw_stock *stock;
    cli_run run = {
        .report = {.setup = &tanks->setup, .make_up = tanks_make_up(tanks)}};
    sw_problem problem = run_problem_asked(inputs, settings);
    if (sw_stock_formulate(&problem, &tanks->setup, &solution, &stock,
                           &error) != SW_OK)
        return error.status == SW_ERR_VALUE && !error.file[0]
                   ? complain_usage("stock", "%s", error.message)
                   : complain_error(&error);
    run_begin(&run, "stock", inputs, settings);
    run_adopt(&run, solution);
    settings->volume_system = tanks->system;
    exit_code code = show_run(&run, finish(&run, &problem, settings, &stock));
    sw_stock_free(stock);
    return code;
}

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
    exit_code code = settings_read(options, &settings);
    if (code != EXIT_DONE)
        return code;
    code = read_all(options, &settings, &inputs, &tanks);
    if (code == EXIT_DONE && !options_has(options, OPT_AMOUNTS) &&
        tanks.system == SW_US)
        settings.amounts = AMOUNTS_BOTH;
    if (code == EXIT_DONE)
        code = run_scale_target(&inputs, &settings, &tanks.setup);
    if (code == EXIT_DONE)
        code = plan(&inputs, &settings, &tanks);
    inputs_free(&inputs);
    sources_free(&tanks.make_up);
    return code;
}

static const option_id required[] = {OPT_WATER, OPT_TARGET, OPT_SHELF, OPT_TANK,
                                     OPT_COUNT};

static const option_id taken[] = {
    OPT_WATER,          OPT_READ_AS,     OPT_SHARE,       OPT_TARGET,
    OPT_STAGE,          OPT_SHELF,       OPT_TANK,        OPT_FACTOR,
    OPT_HEAD,           OPT_THIRD_TANK,  OPT_MAKE_UP,     OPT_PER_DAY,
    OPT_FILLS,          OPT_STORE,       OPT_SCALE_STEP,  OPT_FINE_STEP,
    OPT_TRACE_SOLUTION, OPT_WHOLE_PACKS, OPT_SEARCH_TIME, OPT_OBJECTIVE,
    OPT_EQUAL,          OPT_TO_EC,       OPT_TEMPERATURE, OPT_METER_AT,
    OPT_AMOUNTS,        OPT_HOW_SURE,    OPT_MEASURED_EC, OPT_MEASURED_PH,
    OPT_DOUBT,          OPT_FORMAT,      OPT_BRIEF,       OPT_ONLY,
    OPT_OUTPUT,         OPT_SHEET,       OPT_FOR,         OPT_HELP,
    OPT_COUNT};

const cli_command command_stock = {
    .name = "stock",
    .summary = "the recipe as concentrates in tanks A and B",
    .operands = "",
    .explanation =
        "Formulates as saltwright formulate does and puts the products into "
        "stock tanks: what must be kept apart, whether it stays dissolved, "
        "and how far a fill lasts. What the make-up water of the tanks brings "
        "along is counted.",
    .example = "saltwright stock --water water.csv --target target.csv \\\n"
               "      --shelf shelf.csv --tank 50gal --factor 100",
    .required = required,
    .options = taken,
    .run = run};
