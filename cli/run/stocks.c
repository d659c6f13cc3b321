/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From tanks to what they make of the feed. */
#include "run/stocks.h"

#include <math.h>
#include <stdio.h>

#include "io/complain.h"
#include "io/files.h"
#include "io/memory.h"
#include "sentences_text.h"

/* A setup out of its domain is a matter of the options. */
static exit_code complain(const char *command, const sw_error *error)
{
    return error->status == SW_ERR_VALUE && !error->file[0]
               ? complain_usage(command, "%s", error->message)
               : complain_error(error);
}

/* Begins a run of these tanks. */
static void begin(cli_run *run, const char *command, const cli_inputs *inputs,
                  cli_settings *settings, const cli_tanks *tanks)
{
    run_begin(run, command, inputs, settings);
    run->report.setup = &tanks->setup;
    run->report.make_up = tanks_make_up(tanks);
    settings->volume_system = tanks->system;
}

/* What is shown of the tanks is for as much feed as they make. */
static void show_stock(cli_run *run, cli_settings *settings)
{
    const sw_stock *stock = run->stock;
    run->report.stock = stock;
    if (stock && stock->feed_l > 0.0 && isfinite(stock->feed_l))
        settings->volume_l = stock->feed_l;
}

exit_code stocks_plan(cli_run *run, const cli_inputs *inputs,
                      cli_settings *settings, const cli_tanks *tanks)
{
    sw_error error;
    sw_solution *solution;
    exit_code code = EXIT_DONE;
    sw_problem problem = run_problem_asked(inputs, settings);
    begin(run, "stock", inputs, settings, tanks);
    if (sw_stock_formulate(inputs->solver, &problem, &tanks->setup, &solution,
                           &run->stock, &error) != SW_OK)
        return complain("stock", &error);
    run_adopt(run, solution);
    if (!run->stock)
        run->report.recipe = NULL;
    if (run->stock && run->stock->outcome == SW_OPTIMAL)
        code = scale_weigh(&run->report, &problem, &run->stock);
    show_stock(run, settings);
    return code == EXIT_DONE
               ? run_finish(run, &solution->water, run_depth_of(settings))
               : code;
}

/* ---- As mixed -----------------------------------------------------------*/

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
            snprintf(error.message, sizeof error.message, SAY_TANK_OVERFULL,
                     sw_tank_text((sw_tank)t), liquid ? of.l : of.kg,
                     liquid ? "L" : "kg", holds_l);
            return complain_error(&error);
        }
    return EXIT_DONE;
}

exit_code stocks_judge(cli_run *run, const cli_options *options,
                       cli_inputs *inputs, cli_settings *settings,
                       cli_tanks *tanks)
{
    sw_error error;
    sw_content source;
    exit_code code = run_blend(inputs, &source);
    begin(run, "check", inputs, settings, tanks);
    if (code == EXIT_DONE)
        code = fit(options, &tanks->setup, inputs);
    if (code != EXIT_DONE)
        return code;
    run->mixed = recipe_of(inputs, &tanks->setup);
    run->report.recipe = &run->mixed;
    sw_mix mix = inputs_mix(inputs, settings, &source, &run->mixed);
    if (sw_stock_check(inputs->solver, &mix, &tanks->setup, inputs->mixed,
                       &run->stock, &error) != SW_OK)
        return complain("check", &error);
    show_stock(run, settings);
    sw_content water = water_of(&source, run->stock, &tanks->setup);
    return run_finish(run, &water, run_depth_of(settings));
}
