/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Reading the files: at most one of them from standard input, each opened,
 * read, closed, and its notes passed on.
 */
#include "run/inputs.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <unistd.h>

#include "io/command.h"
#include "io/complain.h"
#include "io/files.h"
#include "io/memory.h"
#include "io/quantities.h"
#include "run/several.h"
#include "sentences_text.h"

/* Of a recipe for pure water in another: spares a product of a few grams. */
static const double least_moved = 0.005;

static exit_code read_waters(const cli_options *options, cli_inputs *out)
{
    out->water_from = options_from(options, OPT_WATER);
    return sources_read(options, OPT_WATER, &out->waters);
}

/* What is assumed of a water of no share is no matter. */
static void complete_waters(const cli_settings *settings, cli_inputs *out)
{
    exit_code code = EXIT_DONE;
    size_t count = out->waters.count;
    sw_notes idle = {NULL, 0};
    out->contents = memory_array(count, sizeof *out->contents);
    for (size_t i = 0; i < count && code == EXIT_DONE; i++) {
        bool used = !out->fractions || out->fractions[i] > 0.0;
        code = source_complete(&out->waters.items[i], &settings->conditions,
                               &out->contents[i],
                               used ? &out->assumptions : &idle);
    }
    sw_notes_free(&idle);
    leave_unless_done(code);
    inputs_find_most_share(out);
}

void inputs_find_most_share(cli_inputs *inputs)
{
    sw_error error = {0};
    size_t count = inputs->waters.count;
    if (inputs->fractions || inputs->most_share || count < 2)
        return;
    const sw_water **waters = memory_array(count, sizeof(const sw_water *));
    for (size_t k = 0; k < count; k++)
        waters[k] = inputs->waters.items[k].water;
    inputs->most_share = memory_array(count, sizeof *inputs->most_share);
    sw_status status =
        sw_most_shares(waters, inputs->contents, count, inputs->most_share,
                       &inputs->assumptions, &error);
    free(waters);
    expect_ok(status, &error);
}

static _Noreturn void refuse_share(const cli_options *options, size_t count)
{
    const char *command = options->command->name;
    leave(count == 1
              ? complain_usage(command, SAY_SHARE_NEEDS_WATERS)
              : complain_usage(command, SAY_SHARE_FORM,
                               options_value(options, OPT_SHARE, 0), count));
}

/* Thirds come to a little less than all; no water is more than all. */
static void check_sum(const cli_options *options, size_t count, double percent)
{
    bool fits = percent >= 99.5 && percent <= 100.0 + 1e-9;
    if (!fits && count == 1)
        refuse_share(options, count);
    if (!fits)
        leave(complain_usage(options->command->name, SAY_SHARE_SUM,
                             options_value(options, OPT_SHARE, 0), percent));
}

static void read_share(const cli_options *options, cli_inputs *out)
{
    const char *text = options_value(options, OPT_SHARE, 0);
    size_t count = options_count(options, OPT_WATER);
    double sum = 0.0;
    if (!text)
        return;
    out->fractions = memory_array(count, sizeof *out->fractions);
    const char *at = text;
    for (size_t i = 0; i < count; i++) {
        double percent;
        const char *end = number_read(at, &percent);
        if (end && *end == '%')
            end++;
        if (!end || !(percent >= 0.0 && percent <= 100.0) ||
            *end != (i + 1 < count ? ',' : '\0'))
            refuse_share(options, count);
        out->fractions[i] = percent / 100.0;
        sum += percent;
        at = end + 1;
    }
    check_sum(options, count, sum);
    for (size_t i = 0; i < count; i++)
        out->fractions[i] *= 100.0 / sum;
}

static sw_status take_target(FILE *stream, const char *name, void *context,
                             const sw_notes **notes, sw_error *error)
{
    sw_target **target = context;
    sw_status status = sw_target_read(stream, name, target, error);
    *notes = *target ? &(*target)->notes : NULL;
    return status;
}

/* "pH", "pH=5.8", "ph aired": a row of a target, not its file. */
static bool is_ph(const char *name)
{
    return strncasecmp(name, "ph", 2) == 0 && strchr(" =", name[2]);
}

/* Published targets that are built in. */
static exit_code find_target(const char *command, const char *name,
                             sw_target **target)
{
    sw_error error = {0};
    sw_status status = sw_target_named(name, target, &error);
    if (status == SW_ERR_NAME && is_ph(name))
        return complain_usage(command, SAY_TARGET_IS_PH, name);
    if (status == SW_ERR_NAME)
        return complain_usage(command, SAY_TARGET_NO_FILE, name, error.message);
    return file_conclude(name, status,
                         status == SW_OK ? &(*target)->notes : NULL, &error);
}

/* A file of that name wins; what looks like a file is meant as one. */
exit_code inputs_find_target(const char *command, const char *name,
                             sw_target **target)
{
    bool is_file = strcmp(name, "-") == 0 || strpbrk(name, "/.") ||
                   access(name, F_OK) == 0;
    return is_file ? file_read(OPT_TARGET, name, take_target, target)
                   : find_target(command, name, target);
}

static exit_code read_target(const cli_options *options, cli_inputs *out)
{
    const char *text = options_value(options, OPT_TARGET, 0);
    out->target_from = options_from(options, OPT_TARGET);
    exit_code code =
        inputs_find_target(options->command->name, text, &out->target);
    return code == EXIT_DONE ? stages_choose(options, out) : code;
}

/* Nobody has more than what the recipe names, by the words it is named with. */
static void empty_shelf(sw_shelf *shelf)
{
    sw_shelf_keep_used(shelf, &(sw_recipe){0});
    free(shelf->name);
    shelf->name = memory_text("the products of the recipe");
}

/* Common straights for solving; of a pH alone, each acid and base there is. */
static exit_code assume_shelf(const cli_options *options, cli_inputs *out)
{
    sw_error error = {0};
    bool given = options_has(options, OPT_TARGET_OF) ||
                 (command_takes(options->command, OPT_TOP_UP) &&
                  !options_has(options, OPT_TOP_UP));
    bool each = !given && sw_target_is_ph_alone(out->target);
    out->two_tanks = command_takes(options->command, OPT_THIRD_TANK) &&
                     !options_has(options, OPT_THIRD_TANK);
    sw_status status = each ? sw_shelf_catalogue(&out->shelf, &error)
                            : sw_shelf_common(out->target, out->two_tanks,
                                              &out->shelf, &error);
    if (status == SW_OK && given)
        empty_shelf(out->shelf);
    out->shelf_assumed = !given && !each;
    out->shelf_from = out->shelf_assumed ? "assumed" : NULL;
    return file_conclude("", status, NULL, &error);
}

static sw_status take_shelf(FILE *stream, const char *name, void *context,
                            const sw_notes **notes, sw_error *error)
{
    cli_inputs *out = context;
    sw_status status = sw_shelf_read(stream, name, &out->shelf, error);
    *notes = out->shelf ? &out->shelf->notes : NULL;
    return status;
}

/* A label that is read, of the product called so. */
typedef struct label {
    sw_shelf *shelf;
    const char *product;
} label;

static sw_status take_label(FILE *stream, const char *name, void *context,
                            const sw_notes **notes, sw_error *error)
{
    const label *of = context;
    (void)notes;
    return sw_shelf_add_label(of->shelf, of->product, stream, name, error);
}

/* "bags/leaf.txt" is of "leaf". */
static char *name_of(const char *file)
{
    const char *slash = strrchr(file, '/');
    char *name = memory_text(slash ? slash + 1 : file);
    char *dot = strrchr(name, '.');
    if (dot && dot > name)
        *dot = '\0';
    return name;
}

/* "leaf=bags/leaf.txt", or a file alone. */
static exit_code read_label(const char *text, sw_shelf *shelf)
{
    const char *equals = strchr(text, '=');
    if (equals == text)
        return complain_usage(NULL, SAY_LABEL_NAME, text);
    char *name = equals ? memory_text(text) : name_of(text);
    if (equals)
        name[equals - text] = '\0';
    label of = {shelf, name};
    exit_code code =
        file_read(OPT_LABEL, equals ? equals + 1 : text, take_label, &of);
    free(name);
    return code;
}

/* The shelf, and with --label more products by the analysis on their bags. */
static exit_code read_shelf(const cli_options *options, cli_inputs *out)
{
    const char *file = options_value(options, OPT_SHELF, 0);
    size_t labels = options_count(options, OPT_LABEL);
    if (file)
        out->shelf_from = options_from(options, OPT_SHELF);
    exit_code code = file ? file_read(OPT_SHELF, file, take_shelf, out)
                          : assume_shelf(options, out);
    for (size_t i = 0; code == EXIT_DONE && i < labels; i++)
        code = read_label(options_value(options, OPT_LABEL, i), out->shelf);
    return code;
}

/* What reading it adds to the notes of the shelf is said of this file. */
static sw_status take_recipe(FILE *stream, const char *name, void *context,
                             const sw_notes **notes, sw_error *error)
{
    cli_inputs *out = context;
    const sw_notes *all = &out->shelf->notes;
    size_t before = all->count;
    (void)notes;
    sw_status status =
        sw_recipe_read(stream, name, out->shelf, &out->recipe, error);
    if (status != SW_OK || all->count == before)
        return status;
    const sw_notes added = {all->items + before, all->count - before};
    complain_notes(name, &added);
    return SW_OK;
}

static sw_status take_stocks(FILE *stream, const char *name, void *context,
                             const sw_notes **notes, sw_error *error)
{
    cli_inputs *out = context;
    (void)notes;
    return sw_placements_read(stream, name, out->shelf, &out->mixed, error);
}

/* A recipe, doses, or tanks as mixed. */
static void read_amounts(const cli_options *options, cli_inputs *out)
{
    const char *recipe = options_value(options, OPT_RECIPE, 0);
    const char *stocks = options_value(options, OPT_STOCKS, 0);
    if (recipe)
        leave_unless_done(file_read(OPT_RECIPE, recipe, take_recipe, out));
    leave_unless_done(
        doses_read(options, out->shelf, &out->recipe, &out->best_set));
    if (stocks)
        leave_unless_done(file_read(OPT_STOCKS, stocks, take_stocks, out));
}

static void free_inputs(void *thing)
{
    cli_inputs *inputs = thing;
    sw_solver_free(inputs->solver);
    sw_tables_free(inputs->tables);
    sources_free(&inputs->waters);
    free(inputs->contents);
    free(inputs->fractions);
    free(inputs->most_share);
    sw_target_free(inputs->target);
    sw_shelf_free(inputs->shelf);
    sw_recipe_free(inputs->recipe);
    sw_recipe_free(inputs->bag);
    free(inputs->bag_freed);
    free(inputs->best_set);
    free(inputs->best);
    sw_placements_free(inputs->mixed);
    sw_notes_free(&inputs->assumptions);
    sw_strength_free(inputs->strength);
}

static cli_inputs *begin(cli_settings *settings)
{
    sw_error error = {0};
    cli_inputs *out = memory_kept(sizeof *out, free_inputs);
    expect_ok(sw_solver_new(&out->solver, &error), &error);
    expect_ok(
        sw_tables_new(settings->conditions.temperature_c, &out->tables, &error),
        &error);
    settings->conditions.tables = out->tables;
    return out;
}

/* Of files that do not need each other, each says what is wrong with it. */
static exit_code first_of(exit_code a, exit_code b)
{
    return a != EXIT_DONE ? a : b;
}

/* Target and shelf; or the shelf, and the target that a recipe implies. */
static exit_code read_aim(const cli_options *options,
                          const cli_settings *settings, cli_inputs *out)
{
    bool implied = options_has(options, OPT_TARGET_OF);
    if (!implied && options_has(options, OPT_ADJUST))
        return complain_usage(options->command->name, SAY_ADJUST_NEEDS);
    exit_code code = implied ? EXIT_DONE : read_target(options, out);
    code = first_of(code, read_shelf(options, out));
    return code == EXIT_DONE && implied ? implied_read(options, settings, out)
                                        : code;
}

cli_inputs *inputs_read_shared(const cli_options *options,
                               cli_settings *settings)
{
    cli_inputs *out = begin(settings);
    exit_code code = sources_read_all(options, OPT_WATER, false, &out->waters);
    sources_say(&out->waters);
    out->water_from = options_from(options, OPT_WATER);
    leave_unless_done(first_of(code, read_aim(options, settings, out)));
    return out;
}

cli_inputs *inputs_read_aim(const cli_options *options, cli_settings *settings,
                            exit_code waters)
{
    cli_inputs *out = begin(settings);
    leave_unless_done(first_of(waters, read_aim(options, settings, out)));
    return out;
}

/* The waters being completed.  What they bring is taken off to the gram. */
static void correct_bag(cli_settings *settings, cli_inputs *out)
{
    sw_error error = {0};
    sw_problem problem = run_problem(out, settings);
    sw_correction correction = {.target = out->target,
                                .recipe = out->bag,
                                .shelf = out->shelf,
                                .freed = out->bag_freed};
    expect_ok(sw_recipe_correct(out->solver, &problem, &correction, &error),
              &error);
    out->bag_alone = correction.alone;
    settings->equal_share =
        out->bag_alone ? 0.0 : fmin(least_moved, settings->equal_share);
}

cli_inputs *inputs_read(const cli_options *options, cli_settings *settings)
{
    cli_inputs *out = begin(settings);
    exit_code code = read_waters(options, out);
    leave_unless_done(first_of(code, read_aim(options, settings, out)));
    read_share(options, out);
    complete_waters(settings, out);
    read_amounts(options, out);
    if (out->bag)
        correct_bag(settings, out);
    return out;
}

cli_inputs *inputs_read_target(const cli_options *options)
{
    cli_inputs *out = memory_kept(sizeof *out, free_inputs);
    leave_unless_done(read_target(options, out));
    return out;
}

sw_mix inputs_mix(const cli_inputs *inputs, const cli_settings *settings,
                  const sw_content *water, const sw_recipe *recipe)
{
    return (sw_mix){.water = water,
                    .target = inputs->target,
                    .shelf = inputs->shelf,
                    .recipe = recipe,
                    .conditions = settings->conditions,
                    .volume_l =
                        settings->fills_vessel ? settings->volume_l : 0.0};
}
