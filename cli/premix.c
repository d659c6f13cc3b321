/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The recipe as it was given is what premixes are held against. */
#include "premix.h"

#include <stdlib.h>

#include "complain.h"
#include "doses.h"
#include "memory.h"
#include "mixing_problem.h"

static sw_mix given_mix(const cli_inputs *inputs, const cli_settings *settings,
                        const sw_content *water)
{
    return (sw_mix){.water = water,
                    .target = inputs->target,
                    .shelf = inputs->shelf,
                    .recipe = inputs->recipe,
                    .conditions = settings->conditions};
}

exit_code premix_fit(cli_inputs *inputs, const cli_settings *settings)
{
    sw_error error;
    sw_content water;
    if (!inputs->recipe || inputs->best == DOSES_NO_BEST)
        return EXIT_DONE;
    exit_code code = mixing_blend(inputs, &water);
    if (code != EXIT_DONE)
        return code;
    sw_mix mix = given_mix(inputs, settings, &water);
    if (sw_premix_fit(&mix, inputs->best, &inputs->best_rate,
                      &inputs->assumptions, &error) != SW_OK)
        return complain_option("dose", &error);
    inputs->recipe->g_per_l[inputs->best] = inputs->best_rate.g_per_l;
    return EXIT_DONE;
}

exit_code premix_review(const cli_report *report, cli_premixes *out)
{
    sw_error error;
    const cli_inputs *inputs = report->inputs;
    *out = (cli_premixes){0};
    if (!inputs->recipe || !report->assessment)
        return EXIT_DONE;
    sw_mix mix =
        given_mix(inputs, report->settings, &report->assessment->water);
    out->items = memory_array(inputs->recipe->count, sizeof(sw_premix *));
    for (size_t j = 0; j < inputs->recipe->count; j++) {
        if (!(inputs->recipe->g_per_l[j] > 0.0) ||
            !sw_is_premix(&inputs->shelf->products[j]))
            continue;
        if (sw_premix_review(&mix, j, &out->items[out->count], &error) != SW_OK)
            return complain_error(&error);
        out->count++;
    }
    return EXIT_DONE;
}

void premix_free(cli_premixes *premixes)
{
    for (size_t i = 0; i < premixes->count; i++)
        sw_premix_free(premixes->items[i]);
    free(premixes->items);
    *premixes = (cli_premixes){0};
}
