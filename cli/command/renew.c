/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * saltwright renew: a tank whose solution recirculates, brought back to its
 * target with fresh water and additions, or partly drained.
 */
#include <math.h>
#include <stdlib.h>

#include "io/command.h"
#include "io/complain.h"
#include "run/inputs.h"
#include "io/memory.h"
#include "io/quantities.h"
#include "command/show.h"
#include "run/settings.h"
#include "sentences_text.h"

static double read_holds(const cli_options *options, cli_settings *settings)
{
    double holds_l;
    const char *given = options_value(options, OPT_HOLDS, 0);
    sw_unit_system system;
    if (sw_volume_parse(given, &holds_l, &system, NULL) != SW_OK)
        quantity_refuse(options, OPT_HOLDS, given, VOLUME_EXPECTED);
    if (!options_has(options, OPT_VOLUME)) {
        settings->volume_l = holds_l;
        settings->fills_vessel = true;
        settings->volume_system = system;
        if (system == SW_US && !options_has(options, OPT_AMOUNTS))
            settings->amounts = AMOUNTS_BOTH;
    }
    if (holds_l > settings->volume_l)
        leave(complain_usage("renew", SAY_HOLDS_TOO_MUCH, given,
                             settings->volume_l));
    return holds_l;
}

/* Puts the tank's solution before the fresh water. */
static void take_solution(const cli_options *options,
                          const cli_settings *settings, cli_inputs *inputs)
{
    cli_sources solution;
    exit_code code = sources_read(options, OPT_SOLUTION, &solution);
    cli_source *both = memory_array(2, sizeof *both);
    sw_content *contents = memory_array(2, sizeof *contents);
    both[0] = solution.items[0];
    both[1] = inputs->waters.items[0];
    contents[1] = inputs->contents[0];
    free(solution.items);
    free(inputs->waters.items);
    free(inputs->contents);
    inputs->waters = (cli_sources){both, 2};
    inputs->contents = contents;
    leave_unless_done(code);
    leave_unless_done(source_complete(&both[0], &settings->conditions,
                                      &contents[0], &inputs->assumptions));
}

static void solve(cli_run *run, double held)
{
    sw_error error = {0};
    const cli_report *report = &run->report;
    sw_problem problem = run_problem(report->inputs, report->settings);
    expect_ok(
        sw_renew(report->inputs->solver, &problem, held, &run->renewal, &error),
        &error);
}

/* What the additions bring into the tank with the water they are dissolved in.
 */
static double room_for(const cli_inputs *inputs, const cli_settings *settings,
                       const sw_recipe *recipe)
{
    double room_l = 0.0;
    for (size_t j = 0; j < recipe->count; j++) {
        double g = recipe->g_per_l[j] * settings->volume_l;
        if (recipe->g_per_l[j] > report_least_g_per_l())
            room_l +=
                sw_bucket_l(&inputs->shelf->products[j], g, settings->volume_l);
    }
    return room_l;
}

/* To half a place of its first figure, so that slightly larger amounts find
 * room too: 15 of 11.2. */
static double round_up(double room_l)
{
    double step = 0.5 * pow(10.0, floor(log10(room_l)));
    return step * ceil(room_l / step);
}

/* The same again with less held, where what is dissolved has no room in the
 * tank. */
static void make_room(cli_run *run)
{
    const sw_renewal *renewal = run->renewal;
    const cli_settings *settings = run->report.settings;
    if (renewal->outcome == SW_UNDETERMINED)
        return;
    double room_l =
        room_for(run->report.inputs, settings, &renewal->solution->recipe);
    if ((1.0 - renewal->kept) * settings->volume_l >= room_l)
        return;
    double held = 1.0 - round_up(room_l) / settings->volume_l;
    if (held <= 0.0)
        return;
    sw_renewal_free(run->renewal);
    run->renewal = NULL;
    solve(run, held);
}

static cli_run *renew(cli_inputs *inputs, const cli_settings *settings,
                      double holds_l)
{
    cli_run *run = run_new("renew", inputs, settings);
    solve(run, holds_l / settings->volume_l);
    make_room(run);
    sw_renewal *renewal = run->renewal;
    if (renewal->outcome != SW_UNDETERMINED) {
        inputs->fractions = memory_array(2, sizeof *inputs->fractions);
        inputs->fractions[0] = renewal->kept;
        inputs->fractions[1] = 1.0 - renewal->kept;
    }
    run->report.renewal = renewal;
    run->report.holds_l = holds_l;
    run_adopt(run, renewal->solution);
    renewal->solution = NULL;
    run_finish(run, &run->solution->water, run_depth_of(settings));
    return run;
}

static exit_code run(const cli_options *options)
{
    cli_settings settings;
    settings_read(options, &settings);
    double holds_l = read_holds(options, &settings);
    if (options_count(options, OPT_WATER) > 1)
        leave(complain_usage("renew", SAY_ONE_FRESH_WATER));
    cli_inputs *inputs = inputs_read(options, &settings);
    take_solution(options, &settings, inputs);
    return show_run(renew(inputs, &settings, holds_l));
}

static const option_id required[] = {OPT_SOLUTION, OPT_HOLDS, OPT_WATER,
                                     OPT_TARGET, OPT_COUNT};

static const option_id taken[] = {OPT_SOLUTION, OPT_HOLDS,      OPTIONS_WATER,
                                  OPT_READ_AS,  OPTIONS_TARGET, OPTIONS_SHELF,
                                  OPT_VOLUME,   OPT_OBJECTIVE,  OPT_TEMPERATURE,
                                  OPT_AMOUNTS,  OPT_FOR,        OPTIONS_RESULT,
                                  OPT_COUNT};

const cli_task command_renew = {
    .required = required, .options = taken, .run = run};
