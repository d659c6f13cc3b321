/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Reading the files: at most one of them from standard input, each opened,
 * read, closed, and its notes passed on.
 */
#include "run/inputs.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "io/command.h"
#include "io/complain.h"
#include "run/doses.h"
#include "run/implied.h"
#include "run/labels.h"
#include "io/files.h"
#include "io/memory.h"
#include "io/quantities.h"
#include "run/stages.h"

static exit_code read_waters(const cli_options *options,
                             const cli_settings *settings, cli_inputs *out)
{
    exit_code code = sources_read(options, OPT_WATER, &out->waters);
    out->water_from = options_from(options, OPT_WATER);
    size_t count = out->waters.count;
    out->contents = memory_array(count, sizeof *out->contents);
    for (size_t i = 0; i < count && code == EXIT_DONE; i++)
        code = source_complete(&out->waters.items[i], &settings->conditions,
                               &out->contents[i], &out->assumptions);
    return code;
}

static exit_code refuse_share(const cli_options *options, size_t count)
{
    const char *command = options->command->name;
    if (count == 1)
        return complain_usage(command,
                              "--share parts several waters, and there "
                              "is one --water only; expected two or "
                              "more, such as --water well.csv --water "
                              "rain.csv --share 70,30");
    return complain_usage(command,
                          "--share %.80s: expected %zu percentages with the "
                          "sum 100, one per --water in its order, such as "
                          "70,30",
                          options_value(options, OPT_SHARE, 0), count);
}

static exit_code read_share(const cli_options *options,
                            const cli_settings *settings, cli_inputs *out)
{
    const char *text = options_value(options, OPT_SHARE, 0);
    size_t count = options_count(options, OPT_WATER);
    double sum = 0.0;
    (void)settings;
    if (!text)
        return EXIT_DONE;
    out->fractions = memory_array(count, sizeof *out->fractions);
    const char *at = text;
    for (size_t i = 0; i < count; i++) {
        double percent;
        const char *end = number_read(at, &percent);
        if (end && *end == '%')
            end++;
        if (!end || !(percent >= 0.0 && percent <= 100.0) ||
            *end != (i + 1 < count ? ',' : '\0'))
            return refuse_share(options, count);
        out->fractions[i] = percent / 100.0;
        sum += percent;
        at = end + 1;
    }
    for (size_t i = 0; i < count; i++)
        out->fractions[i] *= 100.0 / sum;
    return fabs(sum - 100.0) <= 0.5 ? EXIT_DONE : refuse_share(options, count);
}

static exit_code read_target_file(const char *file, sw_target **target)
{
    sw_error error;
    FILE *stream;
    exit_code code = file_open(OPT_TARGET, file, &stream);
    if (code != EXIT_DONE)
        return code;
    sw_status status =
        sw_target_read(stream, file_shown_name(file), target, &error);
    file_close(stream);
    return file_conclude(file, status,
                         status == SW_OK ? &(*target)->notes : NULL, &error);
}

/* Published targets that are built in. */
static exit_code find_target(const char *command, const char *name,
                             sw_target **target)
{
    sw_error error;
    sw_status status = sw_target_named(name, target, &error);
    if (status == SW_ERR_NAME)
        return complain_usage(command,
                              "--target: no file is called '%.60s', and %s "
                              "(all: saltwright catalogue --targets)",
                              name, error.message);
    return file_conclude(name, status,
                         status == SW_OK ? &(*target)->notes : NULL, &error);
}

/* A file of that name wins; what looks like a file is meant as one. */
exit_code inputs_find_target(const char *command, const char *name,
                             sw_target **target)
{
    bool is_file = strcmp(name, "-") == 0 || strpbrk(name, "/.") ||
                   access(name, F_OK) == 0;
    return is_file ? read_target_file(name, target)
                   : find_target(command, name, target);
}

static exit_code read_target(const cli_options *options,
                             const cli_settings *settings, cli_inputs *out)
{
    const char *text = options_value(options, OPT_TARGET, 0);
    (void)settings;
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
    sw_error error;
    bool given = options_has(options, OPT_TARGET_OF) ||
                 (command_takes(options->command, OPT_TOP_UP) &&
                  !options_has(options, OPT_TOP_UP));
    bool each = !given && sw_target_is_ph_alone(out->target);
    sw_status status = each ? sw_shelf_catalogue(&out->shelf, &error)
                            : sw_shelf_common(out->target, &out->shelf, &error);
    if (status == SW_OK && given)
        empty_shelf(out->shelf);
    out->shelf_assumed = !given && !each;
    out->shelf_from = out->shelf_assumed ? "assumed" : NULL;
    return file_conclude("", status, NULL, &error);
}

static exit_code read_shelf_file(const cli_options *options,
                                 const cli_settings *settings, cli_inputs *out)
{
    sw_error error;
    FILE *stream;
    const char *file = options_value(options, OPT_SHELF, 0);
    (void)settings;
    if (!file)
        return assume_shelf(options, out);
    out->shelf_from = options_from(options, OPT_SHELF);
    exit_code code = file_open(OPT_SHELF, file, &stream);
    if (code != EXIT_DONE)
        return code;
    sw_status status =
        sw_shelf_read(stream, file_shown_name(file), &out->shelf, &error);
    file_close(stream);
    return file_conclude(file, status,
                         status == SW_OK ? &out->shelf->notes : NULL, &error);
}

static exit_code read_shelf(const cli_options *options,
                            const cli_settings *settings, cli_inputs *out)
{
    exit_code code = read_shelf_file(options, settings, out);
    return code == EXIT_DONE ? labels_read(options, out->shelf) : code;
}

static exit_code read_recipe(const cli_options *options,
                             const cli_settings *settings, cli_inputs *out)
{
    sw_error error;
    FILE *stream;
    const char *file = options_value(options, OPT_RECIPE, 0);
    (void)settings;
    if (!file)
        return EXIT_DONE;
    exit_code code = file_open(OPT_RECIPE, file, &stream);
    if (code != EXIT_DONE)
        return code;
    sw_status status = sw_recipe_read(stream, file_shown_name(file), out->shelf,
                                      &out->recipe, &error);
    file_close(stream);
    return file_conclude(file, status, NULL, &error);
}

static exit_code read_stocks(const cli_options *options,
                             const cli_settings *settings, cli_inputs *out)
{
    sw_error error;
    FILE *stream;
    const char *file = options_value(options, OPT_STOCKS, 0);
    (void)settings;
    if (!file)
        return EXIT_DONE;
    exit_code code = file_open(OPT_STOCKS, file, &stream);
    if (code != EXIT_DONE)
        return code;
    sw_status status = sw_placements_read(stream, file_shown_name(file),
                                          out->shelf, &out->mixed, &error);
    file_close(stream);
    return file_conclude(file, status, NULL, &error);
}

static exit_code read_doses(const cli_options *options,
                            const cli_settings *settings, cli_inputs *out)
{
    (void)settings;
    return doses_read(options, out->shelf, &out->recipe, &out->best_set);
}

static exit_code begin(cli_settings *settings, cli_inputs *out)
{
    sw_error error;
    *out = (cli_inputs){0};
    if (sw_solver_new(&out->solver, &error) != SW_OK ||
        sw_tables_new(settings->conditions.temperature_c, &out->tables,
                      &error) != SW_OK)
        return complain_error(&error);
    settings->conditions.tables = out->tables;
    return EXIT_DONE;
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
        return complain_usage(options->command->name,
                              "--adjust needs --target-of: the recipe whose "
                              "product may change");
    exit_code code = implied ? EXIT_DONE : read_target(options, settings, out);
    code = first_of(code, read_shelf(options, settings, out));
    return code == EXIT_DONE && implied ? implied_read(options, settings, out)
                                        : code;
}

exit_code inputs_read_shared(const cli_options *options, cli_settings *settings,
                             cli_inputs *out)
{
    exit_code code = begin(settings, out);
    if (code != EXIT_DONE)
        return code;
    code = sources_read_all(options, OPT_WATER, false, &out->waters);
    sources_say(&out->waters);
    out->water_from = options_from(options, OPT_WATER);
    return first_of(code, read_aim(options, settings, out));
}

exit_code inputs_read(const cli_options *options, cli_settings *settings,
                      cli_inputs *out)
{
    static exit_code (*const steps[])(const struct cli_options *,
                                      const struct cli_settings *,
                                      struct cli_inputs *) = {
        read_share, read_recipe, read_doses, read_stocks};
    exit_code code = begin(settings, out);
    if (code != EXIT_DONE)
        return code;
    code = read_waters(options, settings, out);
    code = first_of(code, read_aim(options, settings, out));
    for (size_t i = 0; i < sizeof steps / sizeof steps[0] && code == EXIT_DONE;
         i++)
        code = steps[i](options, settings, out);
    return code == EXIT_DONE && out->bag ? implied_settle(settings, out) : code;
}

exit_code inputs_read_target(const cli_options *options, cli_inputs *out)
{
    return read_target(options, NULL, out);
}

void inputs_free(cli_inputs *inputs)
{
    sw_solver_free(inputs->solver);
    sw_tables_free(inputs->tables);
    sources_free(&inputs->waters);
    free(inputs->contents);
    free(inputs->fractions);
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
