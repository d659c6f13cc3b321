/* SPDX-License-Identifier: GPL-3.0-or-later */
/* --target-of: a recipe for pure water, and the target it implies. */
#include "run/inputs.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "io/command.h"
#include "io/complain.h"
#include "io/files.h"
#include "io/memory.h"
#include "run/sources.h"
#include "sentences_text.h"

static exit_code check_options(const cli_options *options)
{
    static const option_id others[] = {OPT_TARGET, OPT_STAGE, OPT_TO_EC,
                                       OPT_COUNT};
    const char *stray = options_any(options, others);
    return stray ? complain_usage(options->command->name,
                                  SAY_TARGET_OR_TARGET_OF, stray)
                 : EXIT_DONE;
}

/* A file, or amounts: "Epsom salt=0.4g/L, potassium nitrate=0.5g/L". */
static exit_code read_bag(const cli_options *options, cli_inputs *inputs)
{
    sw_error error = {0};
    FILE *stream;
    char *text = NULL;
    const char *given = options_value(options, OPT_TARGET_OF, 0);
    bool told = told_is(given);
    exit_code code =
        told ? told_open(OPT_TARGET_OF, given,
                         (const char *const[]){"product", "amount", "unit"},
                         &text, &stream)
             : file_open(OPT_TARGET_OF, given, &stream);
    if (code != EXIT_DONE)
        return code;
    sw_status status = sw_recipe_read(stream, file_shown_name(given),
                                      inputs->shelf, &inputs->bag, &error);
    file_close(stream);
    free(text);
    return status == SW_OK ? EXIT_DONE
           : told          ? complain_option("target-of", &error)
                           : complain_error(&error);
}

static bool is_called(const sw_product *product, const char *name,
                      const sw_product *found)
{
    return strcasecmp(product->name, name) == 0 ||
           (found && product->catalogue_name &&
            strcmp(product->catalogue_name, found->catalogue_name) == 0);
}

/* The product of the recipe that a value of --adjust names. */
static exit_code free_product(const cli_options *options, const char *name,
                              const cli_inputs *inputs, bool *freed)
{
    sw_product *found = NULL;
    bool any = false;
    memory_had(sw_catalogue_find(name, &found, NULL));
    for (size_t j = 0; j < inputs->bag->count; j++)
        if (inputs->bag->g_per_l[j] > 0.0 &&
            is_called(&inputs->shelf->products[j], name, found))
            freed[j] = any = true;
    sw_product_free(found);
    return any ? EXIT_DONE
               : complain_usage(options->command->name, SAY_ADJUST_UNKNOWN,
                                name);
}

static void keep_premixes(cli_inputs *inputs, const bool *freed)
{
    for (size_t j = 0; j < inputs->bag->count; j++) {
        sw_product *p = &inputs->shelf->products[j];
        if (inputs->bag->g_per_l[j] > 0.0 && !freed[j] && sw_is_premix(p))
            p->fixed_g_per_l = inputs->bag->g_per_l[j];
    }
}

static exit_code take_roles(const cli_options *options, cli_inputs *inputs)
{
    exit_code code = EXIT_DONE;
    bool *freed = memory_array(inputs->bag->count, sizeof *freed);
    for (size_t i = 0;
         code == EXIT_DONE && i < options_count(options, OPT_ADJUST); i++)
        code = free_product(options, options_value(options, OPT_ADJUST, i),
                            inputs, freed);
    if (code == EXIT_DONE)
        keep_premixes(inputs, freed);
    inputs->bag_freed = freed;
    return code;
}

exit_code implied_read(const cli_options *options, const cli_settings *settings,
                       cli_inputs *inputs)
{
    sw_error error = {0};
    exit_code code = check_options(options);
    if (code == EXIT_DONE)
        code = read_bag(options, inputs);
    if (code != EXIT_DONE)
        return code;
    if (!options_has(options, OPT_SHELF))
        sw_shelf_keep_used(inputs->shelf, inputs->bag);
    code = take_roles(options, inputs);
    return code != EXIT_DONE ? code
           : sw_target_implied(inputs->shelf, inputs->bag,
                               &settings->conditions, &inputs->target,
                               &error) == SW_OK
               ? EXIT_DONE
               : complain_error(&error);
}
