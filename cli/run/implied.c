/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * First no amount of a straight goes above the recipe's: what such amounts
 * bring adds up to the recipe's own contents for the recipe alone, so in pure
 * water it comes back whatever products it is made of.  What the water leaves
 * open then may be closed by its other straights (potassium nitrate where
 * potassium sulfate gave way to the water's sulfur), and last by the shelf.
 */
#include "run/inputs.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "io/command.h"
#include "io/complain.h"
#include "io/files.h"
#include "io/memory.h"
#include "run/run.h"
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

/* ---- Who serves ----------------------------------------------------------*/

/* Tried in this order, until nothing is left open. */
typedef enum serving {
    SERVES_AS_GIVEN, /* the recipe's products, at its amounts at the most */
    SERVES_FREELY,   /* the same; but none brings more Na or Cl than it did */
    SERVES_ALL       /* and what else is on the shelf, of what the recipe has
                        alone, in a usual pH */
} serving;

/* Of the recipe's amount, what is off by less is not open. */
static const double closed_share = 0.001;
/* Less of Na or Cl comes with a chelate or a trace salt. */
static const double salty_share = 0.3;

static bool is_salty(const sw_product *p)
{
    double mg_per_g = 0.0;
    for (int c = 0; c < SW_N; c++)
        if (sw_component_is((sw_component)c, SW_IS_SALT))
            mg_per_g += p->per_g.amount[c];
    return mg_per_g > 1000.0 * salty_share;
}

static bool may_join(const cli_inputs *inputs, const sw_product *p)
{
    bool has[SW_COMPONENT_COUNT] = {false};
    for (size_t i = 0; i < inputs->target->count; i++)
        if (inputs->target->rows[i].kind == SW_TARGET_COMPONENT)
            has[inputs->target->rows[i].component] = true;
    if (is_salty(p) || sw_is_premix(p))
        return false;
    for (int c = 0; c < SW_N; c++)
        if (p->per_g.amount[c] > 0.0 && !has[c] &&
            sw_component_is((sw_component)c, SW_IS_MAIN | SW_IS_FORM))
            return false;
    return true;
}

static bool is_own(const cli_inputs *inputs, size_t j)
{
    return j < inputs->bag->count && inputs->bag->g_per_l[j] > 0.0;
}

static bool is_kept(const sw_product *p)
{
    return p->min_g_per_l > 0.0 || !isnan(p->fixed_g_per_l);
}

/* How much of a product may serve; `most`: what its shelf says. */
static double most_of(const cli_inputs *inputs, size_t j, double most,
                      serving who)
{
    const sw_product *p = &inputs->shelf->products[j];
    bool own = is_own(inputs, j);
    if (is_kept(p) || (own && inputs->bag_freed[j]))
        return most;
    if (own && (who == SERVES_AS_GIVEN || is_salty(p)))
        return fmin(most, inputs->bag->g_per_l[j]);
    return own || (who == SERVES_ALL && may_join(inputs, p)) ? most : 0.0;
}

static void let_serve(cli_inputs *inputs, const double *most, serving who)
{
    for (size_t j = 0; j < inputs->shelf->count; j++)
        inputs->shelf->products[j].max_g_per_l =
            most_of(inputs, j, most[j], who);
}

/* The last row of what sw_target_implied makes. */
static sw_target_row *ph_of(sw_target *target)
{
    return &target->rows[target->count - 1];
}

/* Whether a target is unmet that is sought: Na and Cl are told alone, and a pH
 * below that of feeds is the recipe's own, as long as nothing makes it so. */
static bool is_open(const sw_row *row, serving who)
{
    if (row->kind != SW_TARGET_COMPONENT)
        return who != SERVES_AS_GIVEN && row->verdict > SW_SHORT;
    if (sw_component_is(row->component, SW_IS_SALT))
        return false;
    return who == SERVES_AS_GIVEN
               ? fabs(row->finished - row->target) > closed_share * row->target
               : row->verdict > SW_MET;
}

/* What comes of it, judged; NULL where there is no recipe. */
static exit_code solve(const cli_settings *settings, const cli_inputs *inputs,
                       sw_assessment **judged)
{
    sw_error error = {0};
    sw_solution *solution = NULL;
    sw_problem problem = run_problem(inputs, settings);
    sw_status status =
        sw_formulate(inputs->solver, &problem, &solution, &error);
    *judged = NULL;
    if (status == SW_OK && solution->recipe.count)
        status = sw_assess(&(sw_mix){.water = &solution->water,
                                     .target = inputs->target,
                                     .shelf = inputs->shelf,
                                     .recipe = &solution->recipe,
                                     .conditions = settings->conditions,
                                     .brief = true},
                           judged, &error);
    sw_solution_free(solution);
    return status == SW_OK ? EXIT_DONE : complain_error(&error);
}

static exit_code try_serving(const cli_settings *settings,
                             const cli_inputs *inputs, serving who, bool *open)
{
    sw_assessment *judged;
    exit_code code = solve(settings, inputs, &judged);
    *open = !judged;
    for (size_t i = 0; judged && i < sw_row_count(judged) && !*open; i++) {
        sw_row row = sw_row_at(judged, i);
        *open = is_open(&row, who);
    }
    sw_assessment_free(judged);
    return code;
}

/* ---- What sulfur may cost ------------------------------------------------*/

/* Of what is as near as can be, for the solver; and what sw_target_implied
 * weighs neither as metals nor as sulfur with. */
static const double held_slack = 1e-6, least_weight = 1e-4;

static sw_target_row *row_of(sw_target *target, sw_component c)
{
    for (size_t i = 0; i < target->count; i++)
        if (target->rows[i].kind == SW_TARGET_COMPONENT &&
            target->rows[i].component == c)
            return &target->rows[i];
    return NULL;
}

/* Within its accepted range, or no farther off than it is.  A form of nitrogen
 * may be off by what all of it may. */
static void hold(sw_target_row *held, const sw_component_row *row,
                 double nitrogen_mg_per_l)
{
    double room = row->high_mg_per_l - row->target_mg_per_l;
    if (sw_component_is(held->component, SW_IS_FORM))
        room = fmax(room, nitrogen_mg_per_l);
    double at = row->finished_mg_per_l, slack = held_slack * at;
    held->held_low = fmin(held->target - room, at - slack);
    held->held_high = fmax(held->target + room, at + slack);
}

static void hold_within(sw_target *target, const sw_component_row *rows,
                        double sulfur_weight)
{
    for (size_t i = 0; i < target->count; i++) {
        sw_target_row *row = &target->rows[i];
        if (row->kind == SW_TARGET_COMPONENT && row->weight < sulfur_weight &&
            sw_component_is(row->component, SW_IS_MAIN | SW_IS_FORM))
            hold(row, &rows[row->component],
                 rows[SW_N].high_mg_per_l - rows[SW_N].target_mg_per_l);
    }
}

/* What comes of it where sulfur counts so much; the others are held there. */
static exit_code hold_beside(const cli_settings *settings, cli_inputs *inputs,
                             sw_target_row *sulfur, double counts, bool *short_)
{
    sw_assessment *judged;
    const double weight = sulfur->weight;
    sulfur->weight = counts;
    exit_code code = solve(settings, inputs, &judged);
    sulfur->weight = weight;
    if (judged)
        hold_within(inputs->target, judged->rows, weight);
    *short_ = judged && judged->rows[SW_S].verdict == SW_SHORT;
    sw_assessment_free(judged);
    return code;
}

/* Too much sulfur does little harm: what is not a metal either is solved for
 * without it first, and then gives up its place for sulfur's only as far as it
 * may move.  Where too little would be left, sulfur counts as the rest does:
 * that may fall for it, and goes no higher. */
static exit_code hold_others(const cli_settings *settings, cli_inputs *inputs)
{
    sw_target *target = inputs->target;
    sw_target_row *sulfur = row_of(target, SW_S);
    bool too_little;
    if (!sulfur)
        return EXIT_DONE;
    for (size_t i = 0; i < target->count; i++)
        target->rows[i].held_low = target->rows[i].held_high = 0.0;
    exit_code code = hold_beside(settings, inputs, sulfur, 0.0, &too_little);
    for (size_t i = 0; i < target->count && too_little; i++)
        target->rows[i].held_low = 0.0;
    return code == EXIT_DONE && too_little
               ? hold_beside(settings, inputs, sulfur, least_weight,
                             &too_little)
               : code;
}

exit_code implied_settle(const cli_settings *settings, cli_inputs *inputs)
{
    exit_code code = EXIT_DONE;
    bool open = true, others = false;
    sw_target_row *ph = ph_of(inputs->target);
    const double ph_weight = ph->weight;
    /* Salts move a pH by little: it is sought only where something else may
     * join in, an acid above all. */
    ph->weight = 0.0;
    size_t count = inputs->shelf->count;
    double *most = memory_array(count, sizeof *most);
    for (size_t j = 0; j < count; j++) {
        const sw_product *p = &inputs->shelf->products[j];
        most[j] = p->max_g_per_l;
        others = others ||
                 !(is_own(inputs, j) || is_kept(p) || !may_join(inputs, p));
    }
    for (int who = SERVES_AS_GIVEN;
         who < SERVES_ALL && code == EXIT_DONE && open; who++) {
        let_serve(inputs, most, (serving)who);
        if (who != SERVES_AS_GIVEN)
            code = hold_others(settings, inputs);
        if (code == EXIT_DONE)
            code = try_serving(settings, inputs, (serving)who, &open);
    }
    if (code == EXIT_DONE && open && others) {
        let_serve(inputs, most, SERVES_ALL);
        ph->weight = ph_weight;
        code = hold_others(settings, inputs);
    }
    inputs->bag_alone = !(open && others);
    free(most);
    return code;
}
