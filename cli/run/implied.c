/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * No amount of a straight goes above the recipe's: what such amounts bring adds
 * up to the recipe's own contents for the recipe alone, so in pure water it
 * comes back whatever products it is made of.
 */
#include "run/implied.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "io/command.h"
#include "io/complain.h"
#include "io/files.h"
#include "io/memory.h"
#include "run/run.h"
#include "run/told.h"

static exit_code check_options(const cli_options *options)
{
    static const option_id others[] = {OPT_TARGET, OPT_STAGE, OPT_TO_EC};
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++)
        if (options_has(options, others[i]))
            return complain_usage(options->command->name,
                                  "--%s does not go with --target-of, which is "
                                  "a target already; expected one of them",
                                  option_spec_of(others[i])->name);
    return EXIT_DONE;
}

/* A file, or amounts: "Epsom salt=0.4g/L, potassium nitrate=0.5g/L". */
static exit_code read_bag(const cli_options *options, cli_inputs *inputs)
{
    sw_error error;
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
    (void)sw_catalogue_find(name, &found, NULL);
    for (size_t j = 0; j < inputs->bag->count; j++)
        if (inputs->bag->g_per_l[j] > 0.0 &&
            is_called(&inputs->shelf->products[j], name, found))
            freed[j] = any = true;
    sw_product_free(found);
    return any ? EXIT_DONE
               : complain_usage(options->command->name,
                                "--adjust %.80s: the recipe of --target-of has "
                                "no such product; expected one of its own, as "
                                "it is called there",
                                name);
}

static void give_roles(cli_inputs *inputs, const bool *freed)
{
    for (size_t j = 0; j < inputs->bag->count; j++) {
        sw_product *p = &inputs->shelf->products[j];
        double rate = inputs->bag->g_per_l[j];
        if (!(rate > 0.0) || freed[j])
            continue;
        if (sw_is_premix(p))
            p->fixed_g_per_l = rate;
        else if (isnan(p->fixed_g_per_l))
            p->max_g_per_l = fmin(p->max_g_per_l, rate);
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
        give_roles(inputs, freed);
    free(freed);
    return code;
}

exit_code implied_read(const cli_options *options, const cli_settings *settings,
                       cli_inputs *inputs)
{
    sw_error error;
    exit_code code = check_options(options);
    if (code == EXIT_DONE)
        code = read_bag(options, inputs);
    if (code != EXIT_DONE)
        return code;
    if (!options_has(options, OPT_SHELF))
        sw_shelf_keep_used(inputs->shelf, inputs->bag);
    if (sw_target_implied(inputs->shelf, inputs->bag, &settings->conditions,
                          &inputs->target, &error) != SW_OK)
        return complain_error(&error);
    return take_roles(options, inputs);
}

/* ---- What else is on the shelf ------------------------------------------ */

static bool is_bag_product(const cli_inputs *inputs, size_t j)
{
    return j < inputs->bag->count && inputs->bag->g_per_l[j] > 0.0;
}

/* Salts move a pH by little: it is sought only where something else may join
 * in, an acid above all. */
static void weigh_ph(sw_target *target, double weight)
{
    for (size_t i = 0; i < target->count; i++)
        if (target->rows[i].kind == SW_TARGET_PH)
            target->rows[i].weight = weight;
}

/* Whether a target is unmet that is sought: Na and Cl are told alone, and a pH
 * below that of feeds is the recipe's own, as long as nothing makes it so. */
static bool leaves_open(const sw_assessment *judged)
{
    for (size_t i = 0; i < sw_row_count(judged); i++) {
        sw_row row = sw_row_at(judged, i);
        bool component = row.kind == SW_TARGET_COMPONENT;
        if (component ? row.verdict > SW_MET &&
                            !sw_component_is(row.component, SW_IS_SALT)
                      : row.verdict > SW_SHORT)
            return true;
    }
    return false;
}

static exit_code try_alone(const cli_settings *settings,
                           const cli_inputs *inputs, bool *open)
{
    sw_error error;
    sw_solution *solution = NULL;
    sw_assessment *judged = NULL;
    sw_problem problem = run_problem(inputs, settings);
    sw_status status =
        sw_formulate(inputs->solver, &problem, &solution, &error);
    bool found = status == SW_OK && solution->outcome == SW_OPTIMAL;
    if (found)
        status = sw_assess(&(sw_mix){.water = &solution->water,
                                     .target = inputs->target,
                                     .shelf = inputs->shelf,
                                     .recipe = &solution->recipe,
                                     .conditions = settings->conditions,
                                     .brief = true},
                           &judged, &error);
    *open = !found || (judged && leaves_open(judged));
    sw_assessment_free(judged);
    sw_solution_free(solution);
    return status == SW_OK ? EXIT_DONE : complain_error(&error);
}

exit_code implied_settle(const cli_settings *settings, cli_inputs *inputs)
{
    bool open = false;
    size_t count = inputs->shelf->count, others = 0;
    double *max = memory_array(count, sizeof *max);
    for (size_t j = 0; j < count; j++) {
        sw_product *p = &inputs->shelf->products[j];
        max[j] = p->max_g_per_l;
        if (is_bag_product(inputs, j) || p->min_g_per_l > 0.0 ||
            !isnan(p->fixed_g_per_l))
            continue;
        p->max_g_per_l = 0.0;
        others++;
    }
    weigh_ph(inputs->target, 0.0);
    exit_code code = others ? try_alone(settings, inputs, &open) : EXIT_DONE;
    for (size_t j = 0; open && j < count; j++)
        inputs->shelf->products[j].max_g_per_l = max[j];
    if (open)
        weigh_ph(inputs->target, 1.0);
    inputs->bag_alone = !open;
    free(max);
    return code;
}
