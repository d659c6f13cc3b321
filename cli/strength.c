/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is scaled is put in the place of what was read, and said. */
#include "strength.h"

#include <math.h>

#include "complain.h"
#include "mixing_problem.h"

static exit_code refuse(const cli_settings *settings,
                        const sw_strength *strength)
{
    sw_error error = {.status = SW_OK};
    snprintf(error.message, sizeof error.message, "--to-ec %.4g: %.480s",
             settings->to_ec_ms_per_cm, strength->reason);
    complain_error(&error);
    return EXIT_UNMET;
}

exit_code strength_scale_target(cli_inputs *inputs,
                                const cli_settings *settings,
                                const sw_stock_setup *setup)
{
    sw_error error;
    sw_solver *solver;
    sw_strength_aim aim = {settings->to_ec_ms_per_cm, setup};
    if (isnan(aim.ec_ms_per_cm))
        return EXIT_DONE;
    exit_code code = mixing_solver(&solver);
    if (code != EXIT_DONE)
        return code;
    sw_problem problem = mixing_problem(inputs, settings);
    sw_status status =
        sw_strength_find(solver, &problem, &aim, &inputs->strength, &error);
    sw_solver_free(solver);
    if (status != SW_OK)
        return complain_error(&error);
    if (!inputs->strength->reached)
        return refuse(settings, inputs->strength);
    sw_target_free(inputs->target);
    inputs->target = inputs->strength->target;
    inputs->strength->target = NULL;
    return EXIT_DONE;
}

exit_code strength_scale_recipe(cli_inputs *inputs,
                                const cli_settings *settings,
                                const sw_content *water)
{
    sw_error error;
    sw_mix mix = {.water = water,
                  .target = inputs->target,
                  .shelf = inputs->shelf,
                  .recipe = inputs->recipe,
                  .conditions = settings->conditions};
    if (isnan(settings->to_ec_ms_per_cm))
        return EXIT_DONE;
    if (sw_strength_of_recipe(&mix, settings->to_ec_ms_per_cm,
                              &inputs->strength, &error) != SW_OK)
        return complain_error(&error);
    if (!inputs->strength->reached)
        return refuse(settings, inputs->strength);
    for (size_t j = 0; j < inputs->recipe->count; j++)
        inputs->recipe->g_per_l[j] *= inputs->strength->factor;
    inputs->recipe_scaled = true;
    return EXIT_DONE;
}
