/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tanks as somebody has mixed them: what the injectors make of them. */
#include "command/check_stocks.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "io/complain.h"
#include "io/files.h"
#include "io/memory.h"
#include "command/show.h"
#include "run/tanks.h"

/* Grams of each product in a litre of feed. */
static sw_recipe recipe_of(const cli_inputs *inputs,
                           const sw_stock_setup *setup)
{
    size_t count = inputs->shelf->count;
    sw_recipe out = {.g_per_l = memory_array(count, sizeof *out.g_per_l),
                     .count = count};
    for (size_t j = 0; j < count; j++)
        for (int t = 0; t < SW_TANKS; t++)
            out.g_per_l[j] +=
                inputs->mixed[j].g[t] / (sw_stock_ratio(setup, (sw_tank)t) *
                                         sw_stock_volume_l(setup, (sw_tank)t));
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

/* Kilograms of solids that no litre takes: generous, since what dissolves is
 * judged by its saturation. */
static const double most_kg_per_l = 1.5;

/* What a tank is to hold of liquids, or of solids, and the row with most. */
typedef struct load {
    double l, kg, most;
    unsigned long line;
} load;

static load load_of(const cli_inputs *inputs, int tank, bool liquid)
{
    load out = {0};
    for (size_t j = 0; j < inputs->shelf->count; j++) {
        double density = inputs->shelf->products[j].density_g_per_ml;
        double kg = inputs->mixed[j].g[tank] / 1000.0;
        if (isnan(density) == liquid || !(kg > 0.0))
            continue;
        out.kg += kg;
        out.l += liquid ? kg / density : kg / most_kg_per_l;
        if (kg > out.most)
            out.line = inputs->mixed[j].line[tank];
        out.most = fmax(out.most, kg);
    }
    return out;
}

static exit_code fit(const cli_options *options, const sw_stock_setup *setup,
                     const cli_inputs *inputs)
{
    static const double slack = 1 + 1e-9; /* of rounding */
    for (int t = 0; t < SW_TANKS; t++)
        for (int liquid = 0; liquid < 2; liquid++) {
            load of = load_of(inputs, t, liquid);
            double holds_l = sw_stock_volume_l(setup, (sw_tank)t);
            if (of.l <= holds_l * slack)
                continue;
            sw_error error = {.status = SW_ERR_VALUE, .line = of.line};
            const char *file = options_value(options, OPT_STOCKS, 0);
            snprintf(error.file, sizeof error.file, "%s",
                     file_shown_name(file));
            snprintf(error.message, sizeof error.message,
                     "tank %s: %.4g %s does not fit into %.4g L, expected "
                     "what is in one full tank",
                     sw_tank_text((sw_tank)t), liquid ? of.l : of.kg,
                     liquid ? "L" : "kg", holds_l);
            return complain_error(&error);
        }
    return EXIT_DONE;
}

/* A setup out of its domain is a matter of the options. */
static exit_code complain(const sw_error *error)
{
    return error->status == SW_ERR_MEMORY || error->status == SW_ERR_NUMERIC
               ? complain_error(error)
               : complain_usage("check", "%s", error->message);
}

static exit_code judge(cli_run *run, cli_settings *settings,
                       const sw_content *source)
{
    const cli_inputs *inputs = run->report.inputs;
    const sw_stock_setup *setup = run->report.setup;
    sw_error error;
    sw_stock *stock;
    sw_recipe recipe = recipe_of(inputs, setup);
    sw_mix mix = {.water = source,
                  .target = inputs->target,
                  .shelf = inputs->shelf,
                  .recipe = &recipe,
                  .conditions = settings->conditions};
    exit_code code = EXIT_DONE;
    if (sw_stock_check(&mix, setup, inputs->mixed, &stock, &error) != SW_OK)
        code = complain(&error);
    if (code == EXIT_DONE) {
        sw_content water = water_of(source, stock, setup);
        run->report.recipe = &recipe;
        run->report.stock = stock;
        if (stock->feed_l > 0.0)
            settings->volume_l = stock->feed_l;
        code = run_finish(run, &water, run_depth_of(settings));
    }
    code = show_run(run, code);
    sw_stock_free(stock);
    free(recipe.g_per_l);
    return code;
}

exit_code check_stocks(const cli_options *options, cli_settings *settings,
                       cli_inputs *inputs)
{
    sw_content source;
    cli_tanks tanks = {0};
    cli_run run = {.report = {.setup = &tanks.setup}};
    run_begin(&run, "check", inputs, settings);
    exit_code code = run_blend(inputs, &source);
    if (code == EXIT_DONE)
        code = tanks_read(options, &tanks);
    if (code == EXIT_DONE)
        code =
            tanks_read_make_up(options, settings, &tanks, &inputs->assumptions);
    if (code == EXIT_DONE)
        code = fit(options, &tanks.setup, inputs);
    run.report.make_up = tanks_make_up(&tanks);
    settings->volume_system = tanks.system;
    if (tanks.system == SW_US && !options_has(options, OPT_AMOUNTS))
        settings->amounts = AMOUNTS_BOTH;
    if (code == EXIT_DONE)
        code = judge(&run, settings, &source);
    sources_free(&tanks.make_up);
    return code;
}
