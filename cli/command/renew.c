/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * saltwright renew: a tank whose solution goes round, brought back to its
 * target with fresh water and additions, or partly let out.
 */
#include <stdlib.h>

#include "io/command.h"
#include "io/complain.h"
#include "run/inputs.h"
#include "io/memory.h"
#include "io/quantities.h"
#include "command/show.h"
#include "run/settings.h"
#include "sentences_text.h"

static exit_code read_holds(const cli_options *options, cli_settings *settings,
                            double *holds_l)
{
    const char *given = options_value(options, OPT_HOLDS, 0);
    sw_unit_system system;
    if (sw_volume_parse(given, holds_l, &system, NULL) != SW_OK)
        return quantity_refuse(options, OPT_HOLDS, given, VOLUME_EXPECTED);
    if (!options_has(options, OPT_VOLUME)) {
        settings->volume_l = *holds_l;
        settings->volume_system = system;
        if (system == SW_US && !options_has(options, OPT_AMOUNTS))
            settings->amounts = AMOUNTS_BOTH;
    }
    if (*holds_l > settings->volume_l)
        return complain_usage("renew", SAY_HOLDS_TOO_MUCH, given,
                              settings->volume_l);
    return EXIT_DONE;
}

/* Puts the tank's solution before the fresh water. */
static exit_code take_solution(const cli_options *options,
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
    return code == EXIT_DONE
               ? source_complete(&both[0], &settings->conditions, &contents[0],
                                 &inputs->assumptions)
               : code;
}

static exit_code solve(cli_inputs *inputs, const cli_settings *settings,
                       double held, sw_renewal **renewal)
{
    sw_error error = {0};
    sw_problem problem = run_problem(inputs, settings);
    return sw_renew(inputs->solver, &problem, held, renewal, &error) == SW_OK
               ? EXIT_DONE
               : complain_error(&error);
}

static exit_code renew(cli_inputs *inputs, const cli_settings *settings,
                       double holds_l)
{
    sw_renewal *renewal = NULL;
    exit_code code =
        solve(inputs, settings, holds_l / settings->volume_l, &renewal);
    if (code != EXIT_DONE)
        return code;
    if (renewal->outcome != SW_UNDETERMINED) {
        inputs->fractions = memory_array(2, sizeof *inputs->fractions);
        inputs->fractions[0] = renewal->kept;
        inputs->fractions[1] = 1.0 - renewal->kept;
    }
    cli_run run = {.report = {.renewal = renewal, .holds_l = holds_l}};
    run_begin(&run, "renew", inputs, settings);
    run_adopt(&run, renewal->solution);
    renewal->solution = NULL;
    code = show_run(
        &run, run_finish(&run, &run.solution->water, run_depth_of(settings)));
    sw_renewal_free(renewal);
    return code;
}

static exit_code run(const cli_options *options)
{
    cli_settings settings;
    cli_inputs inputs = {0};
    double holds_l = 0.0;
    exit_code code = settings_read(options, &settings);
    if (code == EXIT_DONE)
        code = read_holds(options, &settings, &holds_l);
    if (code == EXIT_DONE && options_count(options, OPT_WATER) > 1)
        code = complain_usage("renew", SAY_ONE_FRESH_WATER);
    if (code != EXIT_DONE)
        return code;
    code = inputs_read(options, &settings, &inputs);
    if (code == EXIT_DONE)
        code = take_solution(options, &settings, &inputs);
    if (code == EXIT_DONE)
        code = renew(&inputs, &settings, holds_l);
    inputs_free(&inputs);
    return code;
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
