/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Problem to solution: apart from mixing.c, which shows what came of it, so
 * that what prepares a problem needs no renderer. */
#include "mixing_problem.h"

#include "complain.h"

sw_problem mixing_problem(const cli_inputs *inputs,
                          const cli_settings *settings)
{
    return (sw_problem){.waters = inputs->contents,
                        .water_count = inputs->waters.count,
                        .fractions = inputs->fractions,
                        .target = inputs->target,
                        .shelf = inputs->shelf,
                        .objective = settings->objective,
                        .conditions = settings->conditions};
}

sw_problem mixing_asked(const cli_inputs *inputs, const cli_settings *settings)
{
    sw_problem problem = mixing_problem(inputs, settings);
    problem.equal_share = settings->equal_share;
    return problem;
}

exit_code mixing_formulate(sw_solver *solver, const cli_inputs *inputs,
                           const cli_settings *settings, bool nearest,
                           sw_solution **solution)
{
    sw_error error;
    sw_problem problem = mixing_asked(inputs, settings);
    problem.nearest = nearest;
    *solution = NULL;
    if (sw_formulate(solver, &problem, solution, &error) == SW_OK)
        return EXIT_DONE;
    if (inputs->waters.count == 1 && error.status == SW_ERR_VALUE)
        source_blame(&inputs->waters.items[0], &error);
    return complain_error(&error);
}

exit_code mixing_solver(sw_solver **solver)
{
    sw_error error;
    return sw_solver_new(solver, &error) == SW_OK ? EXIT_DONE
                                                  : complain_error(&error);
}

exit_code mixing_blend(const cli_inputs *inputs, sw_content *water)
{
    *water = (sw_content){0};
    if (inputs->waters.count > 1 && !inputs->fractions)
        return complain_usage("check", "with several waters, --share says how "
                                       "much of each is in the tank");
    sw_content_add_waters(water, inputs->contents, inputs->fractions,
                          inputs->waters.count);
    return EXIT_DONE;
}
