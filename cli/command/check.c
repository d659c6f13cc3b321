/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * saltwright check: what a recipe that is already there makes of this water;
 * with --top-up, what to weigh out beside it.
 */

#include "io/command.h"
#include "io/complain.h"
#include "io/memory.h"
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

static cli_run *judge(cli_inputs *inputs, const cli_settings *settings)
{
    sw_content water;
    cli_run *run = run_new("check", inputs, settings);
    run->report.recipe = inputs->recipe;
    run_blend(inputs, &water);
    run_scale_recipe(inputs, settings, &water);
    run_finish(run, &water, run_depth_of(settings));
    return run;
}

static cli_run *judge_tanks(const cli_options *options, cli_settings *settings,
                            cli_inputs *inputs)
{
    cli_tanks *tanks = tanks_read(options);
    tanks_read_make_up(options, settings, tanks, &inputs->assumptions);
    tanks_set_units(options, tanks, settings);
    return stocks_judge(options, inputs, settings, tanks);
}

/* Tanks as mixed go with no other amounts; tanks alone say nothing. */
static void check_options(const cli_options *options)
{
    static const option_id others[] = {OPT_RECIPE, OPT_DOSE,  OPT_TOP_UP,
                                       OPT_VOLUME, OPT_TO_EC, OPT_COUNT};
    static const option_id only[] = {OPT_TANK,    OPT_FACTOR, OPT_HEAD,
                                     OPT_MAKE_UP, OPT_STORE,  OPT_PER_DAY,
                                     OPT_FILLS,   OPT_COUNT};
    static const option_id any[] = {OPT_RECIPE, OPT_DOSE, OPT_TOP_UP,
                                    OPT_STOCKS, OPT_COUNT};
    bool stocks = options_has(options, OPT_STOCKS);
    const char *stray = options_any(options, stocks ? others : only);
    if (stray)
        leave(complain_usage(
            "check", stocks ? SAY_NOT_WITH_STOCKS : SAY_NEEDS_STOCKS, stray));
    if (stocks && !options_has(options, OPT_TANK))
        leave(complain_usage("check", SAY_STOCKS_NEED_TANK));
    if (!options_any(options, any))
        leave(complain_usage("check", SAY_NOTHING_TO_CHECK));
}

static exit_code run(const cli_options *options)
{
    cli_settings settings;
    check_options(options);
    settings_read(options, &settings);
    cli_inputs *inputs = inputs_read(options, &settings);
    premix_fit(inputs, &settings);
    if (options_has(options, OPT_STOCKS))
        return show_run(judge_tanks(options, &settings, inputs));
    if (!options_has(options, OPT_TOP_UP))
        return show_run(judge(inputs, &settings));
    fix_amounts(inputs);
    return show_run(run_formulate("check", inputs, &settings));
}

static const option_id taken[] = {
    OPTIONS_ONE_WATER, OPTIONS_TARGET,    OPTIONS_SHELF, OPT_RECIPE,
    OPT_DOSE,          OPT_STOCKS,        OPTIONS_TANKS, OPT_TOP_UP,
    OPT_VOLUME,        OPTIONS_CLOSENESS, OPT_TO_EC,     OPT_TEMPERATURE,
    OPTIONS_METERS,    OPT_AMOUNTS,       OPT_FOR,       OPTIONS_RESULT,
    OPT_COUNT};

const cli_task command_check = {
    .required = requires_aim, .options = taken, .run = run};
