/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * saltwright check: what a recipe that is already there makes of this water;
 * with --top-up, what to weigh out beside it.
 */
#include <math.h>

#include "io/command.h"
#include "io/complain.h"
#include "run/inputs.h"
#include "run/report.h"
#include "command/show.h"
#include "run/settings.h"
#include "run/tanks.h"
#include "sentences_text.h"

/* The amounts given become fixed amounts of the shelf. */
static void fix_amounts(cli_inputs *inputs)
{
    for (size_t i = 0; inputs->recipe && i < inputs->recipe->count; i++) {
        double g_per_l = inputs->recipe->g_per_l[i];
        if (g_per_l > 0.0)
            inputs->shelf->products[i].fixed_g_per_l = g_per_l;
    }
}

static exit_code top_up(cli_inputs *inputs, const cli_settings *settings)
{
    cli_run run = {.solution = NULL};
    fix_amounts(inputs);
    return show_run(&run, run_formulate(&run, "check", inputs, settings));
}

static exit_code judge(cli_inputs *inputs, const cli_settings *settings)
{
    sw_content water;
    cli_run run = {.report = {.recipe = inputs->recipe}};
    run_begin(&run, "check", inputs, settings);
    exit_code code = run_blend(inputs, &water);
    if (code == EXIT_DONE)
        code = run_scale_recipe(inputs, settings, &water);
    if (code == EXIT_DONE)
        code = run_finish(&run, &water, run_depth_of(settings));
    return show_run(&run, code);
}

static exit_code judge_tanks(const cli_options *options, cli_settings *settings,
                             cli_inputs *inputs)
{
    cli_tanks tanks = {0};
    cli_run run = {.solution = NULL};
    exit_code code = tanks_read(options, &tanks);
    if (code == EXIT_DONE)
        code =
            tanks_read_make_up(options, settings, &tanks, &inputs->assumptions);
    tanks_set_units(options, &tanks, settings);
    if (code == EXIT_DONE)
        code = stocks_judge(&run, options, inputs, settings, &tanks);
    code = show_run(&run, code);
    sources_free(&tanks.make_up);
    return code;
}

/* Tanks as mixed go with no other amounts; tanks alone say nothing. */
static exit_code check_stock_options(const cli_options *options)
{
    static const option_id others[] = {OPT_RECIPE, OPT_DOSE, OPT_TOP_UP,
                                       OPT_VOLUME, OPT_TO_EC};
    static const option_id only[] = {OPT_TANK,    OPT_FACTOR, OPT_HEAD,
                                     OPT_MAKE_UP, OPT_STORE,  OPT_PER_DAY,
                                     OPT_FILLS};
    bool stocks = options_has(options, OPT_STOCKS);
    for (size_t i = 0; stocks && i < sizeof others / sizeof others[0]; i++)
        if (options_has(options, others[i]))
            return complain_usage("check", SAY_NOT_WITH_STOCKS,
                                  option_spec_of(others[i])->name);
    for (size_t i = 0; !stocks && i < sizeof only / sizeof only[0]; i++)
        if (options_has(options, only[i]))
            return complain_usage("check", SAY_NEEDS_STOCKS,
                                  option_spec_of(only[i])->name);
    if (stocks && !options_has(options, OPT_TANK))
        return complain_usage("check", SAY_STOCKS_NEED_TANK);
    return EXIT_DONE;
}

/* What makes no sense before any file is opened. */
static exit_code check_options(const cli_options *options)
{
    exit_code code = check_stock_options(options);
    if (code != EXIT_DONE || options_has(options, OPT_STOCKS))
        return code;
    bool topping = options_has(options, OPT_TOP_UP);
    if (!topping && !options_has(options, OPT_RECIPE) &&
        !options_has(options, OPT_DOSE))
        return complain_usage("check", SAY_NOTHING_TO_CHECK);
    return EXIT_DONE;
}

static exit_code run(const cli_options *options)
{
    cli_settings settings;
    cli_inputs inputs;
    exit_code code = check_options(options);
    if (code == EXIT_DONE)
        code = settings_read(options, &settings);
    if (code != EXIT_DONE)
        return code;
    code = inputs_read(options, &settings, &inputs);
    if (code == EXIT_DONE)
        code = premix_fit(&inputs, &settings);
    if (code == EXIT_DONE)
        code = options_has(options, OPT_STOCKS)
                   ? judge_tanks(options, &settings, &inputs)
               : options_has(options, OPT_TOP_UP) ? top_up(&inputs, &settings)
                                                  : judge(&inputs, &settings);
    inputs_free(&inputs);
    return code;
}

static const option_id required[] = {OPT_WATER, OPT_TARGET, OPT_COUNT};

static const option_id taken[] = {
    OPTIONS_ONE_WATER, OPTIONS_TARGET,    OPTIONS_SHELF, OPT_RECIPE,
    OPT_DOSE,          OPT_STOCKS,        OPTIONS_TANKS, OPT_TOP_UP,
    OPT_VOLUME,        OPTIONS_CLOSENESS, OPT_TO_EC,     OPT_TEMPERATURE,
    OPTIONS_METERS,    OPT_AMOUNTS,       OPT_FOR,       OPTIONS_RESULT,
    OPT_COUNT};

const cli_task command_check = {
    .required = required, .options = taken, .run = run};
