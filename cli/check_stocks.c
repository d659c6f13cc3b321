/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tanks as somebody has mixed them: what the injectors make of them. */
#include "check_stocks.h"

#include <math.h>
#include <stdlib.h>

#include "complain.h"
#include "memory.h"
#include "mixing.h"
#include "tanks.h"

/* Grams of each product in a litre of feed. */
static sw_recipe recipe_of(const cli_inputs *inputs,
                           const sw_stock_setup *setup)
{
    size_t count = inputs->shelf->count;
    sw_recipe out = {memory_array(count, sizeof *out.g_per_l), count};
    for (size_t j = 0; j < count; j++)
        for (int t = 0; t < SW_TANKS; t++)
            out.g_per_l[j] +=
                inputs->mixed[j].g[t] / (tanks_ratio(setup, (sw_tank)t) *
                                         tanks_volume_l(setup, (sw_tank)t));
    return out;
}

/* What the feed would be with nothing in the tanks but their water. */
static sw_content water_of(const sw_content *source, const sw_stock *stock,
                           const sw_stock_setup *setup)
{
    sw_content out = {{0}};
    sw_content_add(&out, stock->water_share, source);
    if (setup->make_up)
        sw_content_add(&out, 1.0 - stock->water_share, setup->make_up);
    return out;
}

static exit_code show(cli_report *report, cli_settings *settings,
                      const sw_content *source)
{
    const cli_inputs *inputs = report->inputs;
    sw_error error;
    sw_stock *stock;
    sw_recipe recipe = recipe_of(inputs, report->setup);
    sw_mix mix = {.water = source,
                  .target = inputs->target,
                  .shelf = inputs->shelf,
                  .recipe = &recipe,
                  .conditions = settings->conditions};
    exit_code code = EXIT_DONE;
    if (sw_stock_check(&mix, report->setup, inputs->mixed, &stock, &error) !=
        SW_OK)
        code = complain_usage("check", "%s", error.message);
    if (code == EXIT_DONE) {
        sw_content water = water_of(source, stock, report->setup);
        report->recipe = &recipe;
        report->stock = stock;
        if (stock->feed_l > 0.0)
            settings->volume_l = stock->feed_l;
        code = mixing_report(report, &water);
    }
    sw_stock_free(stock);
    free(recipe.g_per_l);
    return code;
}

exit_code check_stocks(const cli_options *options, cli_settings *settings,
                       cli_inputs *inputs)
{
    sw_content source;
    cli_tanks tanks = {0};
    cli_report report = {.command = "check",
                         .settings = settings,
                         .inputs = inputs,
                         .setup = &tanks.setup};
    exit_code code = mixing_blend(inputs, &source);
    if (code == EXIT_DONE)
        code = tanks_read(options, &tanks);
    if (code == EXIT_DONE)
        code =
            tanks_read_make_up(options, settings, &tanks, &inputs->assumptions);
    settings->volume_system = tanks.system;
    if (tanks.system == SW_US && !options_has(options, OPT_AMOUNTS))
        settings->amounts = AMOUNTS_BOTH;
    if (code == EXIT_DONE)
        code = show(&report, settings, &source);
    sources_free(&tanks.make_up);
    return code;
}
