/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The recipe as it was given is what premixes are held against. */
#include "run/report.h"

#include <stdlib.h>

#include "io/complain.h"
#include "io/memory.h"
#include "run/run.h"

static bool wants_best(const cli_inputs *inputs)
{
    for (size_t j = 0; inputs->best_set && j < inputs->recipe->count; j++)
        if (inputs->best_set[j])
            return true;
    return false;
}

void premix_fit(cli_inputs *inputs, const cli_settings *settings)
{
    sw_error error = {0};
    sw_content water;
    if (!wants_best(inputs))
        return;
    run_blend(inputs, &water);
    sw_mix mix = inputs_mix(inputs, settings, &water, inputs->recipe);
    inputs->best_count = inputs->recipe->count;
    inputs->best = memory_array(inputs->best_count, sizeof *inputs->best);
    if (sw_premix_fit(inputs->solver, &mix, inputs->best_set, inputs->best,
                      &inputs->assumptions, &error) != SW_OK)
        leave(complain_option("dose", &error));
    for (size_t j = 0; j < inputs->best_count; j++)
        if (inputs->best_set[j])
            inputs->recipe->g_per_l[j] = inputs->best[j].g_per_l;
}

const sw_premix_rate *premix_best(const cli_inputs *inputs, size_t product)
{
    return product < inputs->best_count && inputs->best_set[product]
               ? &inputs->best[product]
               : NULL;
}

void premix_review(const cli_report *report, cli_premixes *out)
{
    sw_error error = {0};
    const cli_inputs *inputs = report->inputs;
    *out = (cli_premixes){0};
    if (!inputs->recipe || !report->assessment)
        return;
    sw_mix mix = inputs_mix(inputs, report->settings,
                            &report->assessment->water, inputs->recipe);
    out->items = memory_array(inputs->recipe->count, sizeof(sw_premix *));
    for (size_t j = 0; j < inputs->recipe->count; j++) {
        if (!(inputs->recipe->g_per_l[j] > 0.0) ||
            !sw_is_premix(&inputs->shelf->products[j]))
            continue;
        expect_ok(sw_premix_review(&mix, j, &out->items[out->count], &error),
                  &error);
        out->count++;
    }
}

void premix_free(cli_premixes *premixes)
{
    for (size_t i = 0; i < premixes->count; i++)
        sw_premix_free(premixes->items[i]);
    free(premixes->items);
    *premixes = (cli_premixes){0};
}
