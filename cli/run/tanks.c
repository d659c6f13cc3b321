/* SPDX-License-Identifier: GPL-3.0-or-later */
/* --tank, --factor, --head, --store and --make-up, for stock and check; the
 * plan of stocks, and the judgement of tanks as mixed. */
#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include "run/tanks.h"
#include "io/command.h"
#include "io/complain.h"
#include "io/quantities.h"
#include "io/files.h"
#include "io/memory.h"
#include "sentences_text.h"

static bool is_called(const char *name, const char *text, size_t length)
{
    return strlen(name) == length && strncmp(name, text, length) == 0;
}

/* What follows "A=" in "A=30gal", and which tank that is; the text itself and
 * SW_TANKS where there is no "="; NULL for another tank. */
static const char *after_tank(const char *text, int *tank)
{
    const char *equals = strchr(text, '=');
    if (!equals) {
        *tank = SW_TANKS;
        return text;
    }
    size_t length = (size_t)(equals - text);
    for (*tank = 0; *tank < SW_TANKS; (*tank)++)
        if (is_called(sw_tank_text((sw_tank)*tank), text, length))
            return equals + 1;
    *tank = SW_TANK_C;
    return is_called("acid", text, length) ? equals + 1 : NULL;
}

/* A third tank is planned only where it is asked for. */
static void expect_third_tank(const cli_options *options, option_id id,
                              const char *given, int tank)
{
    if (tank == SW_TANK_C && !options_has(options, OPT_STOCKS) &&
        !options_has(options, OPT_THIRD_TANK))
        leave(complain_usage(options->command->name, SAY_NEEDS_THIRD_TANK,
                             option_spec_of(id)->name, given));
}

static void read_volume(const cli_options *options, const char *given,
                        cli_tanks *out)
{
    int tank;
    double l;
    const char *text = after_tank(given, &tank);
    if (!text)
        quantity_refuse(options, OPT_TANK, given, SAY_TANK_VOLUME);
    if (sw_volume_parse(text, &l, &out->system, NULL) != SW_OK)
        quantity_refuse(options, OPT_TANK, given, VOLUME_EXPECTED);
    if (tank == SW_TANKS || !(out->setup.volume_l > 0.0))
        out->setup.volume_l = l;
    if (tank < SW_TANKS)
        out->setup.tank_l[tank] = l;
    expect_third_tank(options, OPT_TANK, given, tank);
}

/* The same tank, or that of all of them, given before. */
static void expect_once(const cli_options *options, size_t index)
{
    const char *given = options_value(options, OPT_TANK, index);
    int tank, earlier;
    (void)after_tank(given, &tank);
    for (size_t i = 0; i < index; i++) {
        (void)after_tank(options_value(options, OPT_TANK, i), &earlier);
        if (earlier == tank)
            leave(
                complain_usage(options->command->name, SAY_TANK_TWICE, given));
    }
}

static void read_volumes(const cli_options *options, cli_tanks *out)
{
    out->setup = sw_stock_setup_default(0.0);
    out->setup.third_tank = options_has(options, OPT_THIRD_TANK);
    for (size_t i = 0; i < options_count(options, OPT_TANK); i++) {
        read_volume(options, options_value(options, OPT_TANK, i), out);
        expect_once(options, i);
    }
}

/* Of a tank with contents: its own volume or that of all was given.  That of
 * another tank says nothing of it. */
static void expect_volume(const cli_options *options, int tank)
{
    const char *name = sw_tank_text((sw_tank)tank);
    int of;
    for (size_t i = 0; i < options_count(options, OPT_TANK); i++) {
        (void)after_tank(options_value(options, OPT_TANK, i), &of);
        if (of == SW_TANKS || of == tank)
            return;
    }
    leave(
        complain_usage(options->command->name, SAY_TANK_NO_VOLUME, name, name));
}

/* Stocks that are planned fill both tanks, and the third where it is. */
static void expect_volumes(const cli_options *options, const cli_tanks *tanks)
{
    int count = tanks->setup.third_tank ? SW_TANKS : SW_TANK_C;
    for (int t = 0; t < count && !options_has(options, OPT_STOCKS); t++)
        expect_volume(options, t);
}

/* Ratios that sw_stock_setup allows. */
static const double least_ratio = 4.0, most_ratio = 2000.0;

static void read_factor(const cli_options *options, cli_tanks *out)
{
    const quantity_option factor = {
        OPT_FACTOR,
        parse_number,
        least_ratio,
        most_ratio,
        "litres of feed from a litre of stock, from 4 to 2000, such as 100",
        offsetof(cli_tanks, setup.factor)};
    quantities_read(options, &factor, 1, out);
}

static void read_heads(const cli_options *options, cli_tanks *out)
{
    for (size_t i = 0; i < options_count(options, OPT_HEAD); i++) {
        const char *given = options_value(options, OPT_HEAD, i);
        int tank;
        const char *text = after_tank(given, &tank);
        bool known = text && tank < SW_TANKS;
        double *ratio = known ? &out->setup.ratio[tank] : NULL;
        if (known && *ratio > 0.0)
            leave(complain_usage(options->command->name, SAY_INJECTOR_TWICE,
                                 given));
        if (!known || !parse_number(text, ratio) || *ratio < least_ratio ||
            *ratio > most_ratio)
            quantity_refuse(options, OPT_HEAD, given, SAY_INJECTOR_RATIO);
        expect_third_tank(options, OPT_HEAD, given, tank);
    }
}

static void read_store(const cli_options *options, cli_tanks *out)
{
    const char *given = options_value(options, OPT_STORE, 0);
    const char *end = NULL;
    if (!given)
        return;
    const char *comma = degrees_read(given, &out->setup.temperature_c);
    if (comma && *comma == ',')
        end = degrees_read(comma + 1, &out->setup.cold_c);
    if (!end || *end || !(out->setup.cold_c >= 0.0) ||
        !(out->setup.cold_c <= out->setup.temperature_c) ||
        !(out->setup.temperature_c <= 50.0))
        quantity_refuse(options, OPT_STORE, given, SAY_STOCK_TEMPERATURES);
}

static void free_tanks(void *tanks)
{
    sources_free(&((cli_tanks *)tanks)->make_up);
}

cli_tanks *tanks_read(const cli_options *options)
{
    cli_tanks *out = memory_kept(sizeof *out, free_tanks);
    read_volumes(options, out);
    expect_volumes(options, out);
    read_factor(options, out);
    read_heads(options, out);
    read_store(options, out);
    return out;
}

/* No acid hangs on the water that tanks are filled with: what settles out in
 * them does. */
static void say_of_tanks(const sw_water *water, sw_notes *notes)
{
    for (size_t i = 0; i < notes->count; i++) {
        sw_note *note = &notes->items[i];
        if (!strcmp(note->code, "charge-contradicts") ||
            !strcmp(note->code, "nitrate-lacking"))
            snprintf(note->text, sizeof note->text, SAY_MAKE_UP_CONTRADICTS,
                     water->sample);
    }
}

static void append_notes(const sw_notes *more, sw_notes *notes)
{
    for (size_t i = 0; i < more->count; i++) {
        notes->items =
            memory_grow(notes->items, notes->count, sizeof *notes->items);
        notes->items[notes->count++] = more->items[i];
    }
}

void tanks_read_make_up(const cli_options *options,
                        const cli_settings *settings, cli_tanks *out,
                        sw_notes *notes)
{
    leave_unless_done(sources_read(options, OPT_MAKE_UP, &out->make_up));
    if (!out->make_up.count)
        return;
    cli_source *source = &out->make_up.items[0];
    sw_notes found = {0};
    sw_error error = {0};
    out->setup.make_up = &out->make_up_content;
    leave_unless_done(source_complete(source, &settings->conditions,
                                      &out->make_up_content, &found));
    say_of_tanks(source->water, &found);
    expect_ok(sw_make_up_judge(source->water, &found, &error), &error);
    append_notes(&found, notes);
    append_notes(&source->doubts, notes);
    sw_notes_free(&found);
}

void tanks_set_units(const cli_options *options, const cli_tanks *tanks,
                     cli_settings *settings)
{
    if (tanks->system == SW_US && !options_has(options, OPT_AMOUNTS))
        settings->amounts = AMOUNTS_BOTH;
}

static const sw_water *tanks_make_up(const cli_tanks *tanks)
{
    return tanks->make_up.count ? tanks->make_up.items[0].water : NULL;
}

bool tanks_differ(const sw_stock_setup *setup, const sw_stock *stock)
{
    int first = -1;
    bool differ = false;
    for (int t = 0; t < SW_TANKS; t++) {
        if (!(stock->tanks[t].volume_l > 0.0))
            continue;
        first = first < 0 ? t : first;
        differ = differ ||
                 sw_stock_ratio(setup, (sw_tank)t) !=
                     sw_stock_ratio(setup, (sw_tank)first) ||
                 sw_stock_volume_l(setup, (sw_tank)t) !=
                     sw_stock_volume_l(setup, (sw_tank)first);
    }
    return differ;
}

/* ---- The run of stocks ---------------------------------------------- */

/* A setup out of its domain is a matter of the options. */
static _Noreturn void refuse(const char *command, const sw_error *error)
{
    leave(error->status == SW_ERR_VALUE && !error->file[0]
              ? complain_usage(command, "%s", error->message)
              : complain_error(error));
}

/* Begins a run of these tanks. */
static cli_run *begin(const char *command, const cli_inputs *inputs,
                      cli_settings *settings, const cli_tanks *tanks)
{
    cli_run *run = run_new(command, inputs, settings);
    run->report.setup = &tanks->setup;
    run->report.make_up = tanks_make_up(tanks);
    settings->volume_system = tanks->system;
    return run;
}

/* What is shown of the tanks is for as much feed as they make. */
static void show_stock(cli_run *run, cli_settings *settings)
{
    const sw_stock *stock = run->stock;
    run->report.stock = stock;
    if (stock && stock->feed_l > 0.0 && isfinite(stock->feed_l))
        settings->volume_l = stock->feed_l;
}

cli_run *stocks_plan(const cli_inputs *inputs, cli_settings *settings,
                     const cli_tanks *tanks)
{
    sw_error error = {0};
    sw_solution *solution;
    sw_problem problem = run_problem_asked(inputs, settings);
    cli_run *run = begin("stock", inputs, settings, tanks);
    if (sw_stock_formulate(inputs->solver, &problem, &tanks->setup, &solution,
                           &run->stock, &error) != SW_OK)
        refuse("stock", &error);
    run_adopt(run, solution);
    if (!run->stock)
        run->report.recipe = NULL;
    if (run->stock && run->stock->outcome == SW_OPTIMAL)
        scale_weigh(&run->report, &problem, &run->stock);
    show_stock(run, settings);
    run_finish(run, &solution->water, run_depth_of(settings));
    return run;
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

static void expect_fit(const cli_options *options, const sw_stock_setup *setup,
                       const cli_inputs *inputs)
{
    static const double slack = 1 + 1e-9; /* of rounding */
    for (int t = 0; t < SW_TANKS; t++)
        for (int liquid = 0; liquid < 2; liquid++) {
            load of = load_of(inputs, t, liquid);
            double holds_l = sw_stock_volume_l(setup, (sw_tank)t);
            if (of.l > 0)
                expect_volume(options, t);
            if (of.l <= holds_l * slack)
                continue;
            sw_error error = {.status = SW_ERR_VALUE, .line = of.line};
            const char *file = options_value(options, OPT_STOCKS, 0);
            snprintf(error.file, sizeof error.file, "%s",
                     file_shown_name(file));
            snprintf(error.message, sizeof error.message, SAY_TANK_OVERFULL,
                     sw_tank_text((sw_tank)t), liquid ? of.l : of.kg,
                     liquid ? "L" : "kg", holds_l);
            leave(complain_error(&error));
        }
}

cli_run *stocks_judge(const cli_options *options, cli_inputs *inputs,
                      cli_settings *settings, cli_tanks *tanks)
{
    sw_error error = {0};
    sw_content source;
    run_blend(inputs, &source);
    cli_run *run = begin("check", inputs, settings, tanks);
    expect_fit(options, &tanks->setup, inputs);
    run->mixed = recipe_of(inputs, &tanks->setup);
    run->report.recipe = &run->mixed;
    sw_mix mix = inputs_mix(inputs, settings, &source, &run->mixed);
    if (sw_stock_check(inputs->solver, &mix, &tanks->setup, inputs->mixed,
                       &run->stock, &error) != SW_OK)
        refuse("check", &error);
    show_stock(run, settings);
    sw_content water = water_of(&source, run->stock, &tanks->setup);
    run_finish(run, &water, run_depth_of(settings));
    return run;
}
