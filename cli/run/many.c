/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Every sample of every water, one target and one shelf.  Amounts are rounded
 * alike in all waters, each to as few figures as keep every verdict.
 */
#include "run/many.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "io/complain.h"
#include "io/interrupt.h"
#include "io/memory.h"
#include "run/cautions.h"
#include "sentences_text.h"

/* ---- Amounts as printed -------------------------------------------------- */

static sw_status assess(const cli_many *many, size_t water,
                        const sw_recipe *recipe, sw_assessment **out,
                        sw_error *error)
{
    const sw_water *report = many->shared->waters.items[water].water;
    const double whole = 1.0;
    sw_mix mix = inputs_mix(many->shared, many->several.settings,
                            &many->shared->contents[water], recipe);
    mix.reports = &report;
    mix.shares = &whole;
    mix.report_count = 1;
    return sw_assess(&mix, out, error);
}

/* Assesses what the run of a water has in hand. */
static void judge(cli_many *many, size_t water)
{
    sw_error error = {0};
    cli_run *run = &many->several.runs[water];
    sw_assessment_free(run->assessment);
    run->assessment = NULL;
    sw_status status =
        assess(many, water, &run->mixed, &run->assessment, &error);
    run->report.assessment = run->assessment;
    expect_ok(status, &error);
}

/* The waters of a recipe, and the amounts that go into them. */
typedef struct column {
    size_t waters[SW_MANY_WATERS];
    sw_mix mixes[SW_MANY_WATERS];
    const sw_assessment *exact[SW_MANY_WATERS];
    size_t water_count;
    sw_printed *amounts; /* each once where it is in common */
    size_t count;
} column;

/* Of a water that is next in the column. */
static void add_amounts(const cli_many *many, cli_run *run, cli_way way,
                        column *to)
{
    for (size_t j = 0; j < run->mixed.count; j++) {
        bool own = many->many->own[j];
        double g_per_l = run->mixed.g_per_l[j];
        if (g_per_l <= report_least_g_per_l())
            continue;
        const cli_printed_item *item = printed_add(
            &run->report, j, g_per_l, many->several.settings->volume_l, way);
        if (!own && to->water_count > 0)
            continue;
        to->amounts = memory_grow(to->amounts, to->count, sizeof *to->amounts);
        to->amounts[to->count] = item->amount;
        to->amounts[to->count++].mix = own ? (int)to->water_count : SW_EACH_MIX;
    }
}

static column column_of(const cli_many *many, size_t recipe, cli_way way)
{
    column out = {.count = 0};
    for (size_t k = 0; k < many->several.count; k++) {
        cli_run *run = &many->several.runs[k];
        if (many->many->waters[k].recipe != recipe)
            continue;
        add_amounts(many, run, way, &out);
        out.mixes[out.water_count] = report_mix(&run->report);
        out.exact[out.water_count] = run->assessment;
        out.waters[out.water_count++] = k;
    }
    return out;
}

/* What was found, to the runs that asked for it with `way`. */
static void hand_back(const cli_many *many, const column *from, cli_way way)
{
    for (size_t k = 0; k < from->water_count; k++) {
        cli_printed *to = &many->several.runs[from->waters[k]].report.printed;
        for (size_t i = 0; i < to->count; i++)
            for (size_t a = 0; a < from->count; a++) {
                const sw_printed *amount = &from->amounts[a];
                if (to->items[i].us == way.us &&
                    to->items[i].amount.product == amount->product &&
                    (amount->mix == SW_EACH_MIX || amount->mix == (int)k))
                    to->items[i].amount = *amount;
            }
    }
}

static void round_column(const cli_many *many, size_t recipe, cli_way way)
{
    sw_error error = {0};
    column c = column_of(many, recipe, way);
    sw_status status = sw_print_amounts(c.mixes, c.exact, c.water_count,
                                        c.amounts, c.count, &error);
    hand_back(many, &c, way);
    free(c.amounts);
    expect_ok(status, &error);
}

/* Pours what is printed, in metric units, and judges that. */
static void pour(cli_many *many, size_t water)
{
    cli_run *run = &many->several.runs[water];
    for (size_t i = 0; i < run->report.printed.count; i++) {
        const cli_printed_item *item = &run->report.printed.items[i];
        if (!item->us)
            run->mixed.g_per_l[item->amount.product] =
                item->amount.value * item->amount.unit_g_per_l;
    }
    judge(many, water);
}

static void print_all(cli_many *many)
{
    bool us = many->several.settings->amounts != AMOUNTS_METRIC;
    for (size_t k = 0; k < many->several.count; k++)
        judge(many, k);
    for (size_t r = 0; r < many->many->recipe_count; r++)
        for (int way = 0; way <= us; way++)
            round_column(many, r, (cli_way){.us = way});
    for (size_t k = 0; k < many->several.count; k++)
        pour(many, k);
}

/* A run of each water, of a copy of its amounts. */
static void begin_runs(cli_many *many)
{
    for (size_t k = 0; k < many->shared->waters.count; k++) {
        const sw_recipe *exact = &many->many->waters[k].amounts;
        cli_run *run = several_add(&many->several,
                                   many->shared->waters.items[k].water->sample);
        run_begin(run, "recipes", many->shared, many->several.settings);
        leave_unless_done(run_take_water(run, many->shared, k));
        run->mixed =
            (sw_recipe){.g_per_l = memory_array(exact->count, sizeof(double)),
                        .most_g_per_l = exact->most_g_per_l, /* borrowed */
                        .count = exact->count};
        memcpy(run->mixed.g_per_l, exact->g_per_l,
               exact->count * sizeof(double));
        run->report.recipe = &run->mixed;
    }
}

/* ---- The run ------------------------------------------------------------- */

static void complete_all(cli_many *many)
{
    cli_inputs *shared = many->shared;
    shared->contents =
        memory_array(shared->waters.count, sizeof *shared->contents);
    many->noted = memory_array(shared->waters.count, sizeof *many->noted);
    for (size_t k = 0; k < shared->waters.count; k++) {
        leave_unless_done(source_complete(
            &shared->waters.items[k], &many->several.settings->conditions,
            &shared->contents[k], &shared->assumptions));
        many->noted[k] = shared->assumptions.count;
    }
}

static void solve(cli_many *many)
{
    sw_error error = {0};
    sw_solver *solver = many->shared->solver;
    sw_problem problem =
        run_problem_asked(many->shared, many->several.settings);
    problem.nearest = true;
    sw_status status =
        many->fewest ? sw_fewest_recipes(solver, &problem, &many->many, &error)
                     : sw_one_recipe(solver, &problem, &many->many, &error);
    if (status == SW_OK && many->many->recipe_count > 1)
        status = sw_one_recipe(solver, &problem, &many->one, &error);
    expect_ok(status, &error);
}

static void note_open(cli_many *many, size_t k)
{
    cli_inputs *shared = many->shared;
    size_t from = k ? many->noted[k - 1] : 0;
    many->open[many->open_count++] = (cli_open_water){
        .sample = shared->waters.items[k].water->sample,
        .doubt = shared->waters.items[k].doubts.items,
        .lacks_ph = sw_alkalinity_is_known(&shared->contents[k]),
        .notes = {shared->assumptions.items + from, many->noted[k] - from}};
}

/* What is not to be mixed yet is named; the others need not wait for it. */
static void leave_open_out(cli_many *many)
{
    cli_inputs *shared = many->shared;
    size_t count = shared->waters.count, kept = 0;
    many->open = memory_array(count, sizeof *many->open);
    for (size_t k = 0; k < count; k++)
        if (!sw_co2_is_known(&shared->contents[k]))
            note_open(many, k);
    if (many->open_count == count)
        return;
    many->left.items = memory_array(count, sizeof *many->left.items);
    for (size_t k = 0; k < count; k++) {
        const cli_source source = shared->waters.items[k];
        if (!sw_co2_is_known(&shared->contents[k])) {
            many->left.items[many->left.count++] = source;
            continue;
        }
        shared->contents[kept] = shared->contents[k];
        shared->waters.items[kept++] = source;
    }
    shared->waters.count = kept;
}

static void solve_known(cli_many *many)
{
    solve(many);
    if (many->many->recipes[0].outcome != SW_UNDETERMINED)
        return;
    leave_open_out(many);
    if (!many->left.count)
        return;
    sw_many_free(many->many);
    many->many = NULL;
    solve(many);
}

/* Salts in common are of no use for a pH alone; and as many samples as can be
 * served, each with a name of its own. */
static void check_shared(const cli_inputs *shared)
{
    size_t count = shared->waters.count;
    if (sw_target_is_ph_alone(shared->target))
        leave(complain_usage("recipes", SAY_PH_NEEDS_NO_RECIPE));
    if (count > SW_MANY_WATERS)
        leave(
            complain_usage("recipes", SAY_SAMPLES_MANY, count, SW_MANY_WATERS));
    for (size_t k = 1; k < count; k++)
        for (size_t i = 0; i < k; i++) {
            const char *sample = shared->waters.items[k].water->sample;
            if (!strcmp(sample, shared->waters.items[i].water->sample))
                leave(complain_usage("recipes", SAY_SAMPLES_ALIKE, sample));
        }
}

/* Whether there is a recipe for every water. */
static bool is_solved(const cli_many *many)
{
    for (size_t k = 0; k < many->many->water_count; k++)
        if (!many->many->waters[k].amounts.count)
            return false;
    return true;
}

static void free_many(void *thing)
{
    cli_many *many = thing;
    several_free(&many->several);
    sw_many_free(many->many);
    sw_many_free(many->one);
    free(many->noted);
    free(many->open);
    sources_free(&many->left);
}

cli_many *many_run(const cli_options *options, cli_settings *settings)
{
    cli_inputs *shared = inputs_read_shared(options, settings);
    cli_many *out = memory_kept(sizeof *out, free_many);
    out->fewest = !options_has(options, OPT_ONE_RECIPE);
    out->shared = shared;
    several_new(&out->several, shared->waters.count, shared, settings);
    out->several.one_target = true;
    check_shared(shared);
    interrupt_say_nothing();
    complete_all(out);
    solve_known(out);
    if (is_solved(out)) {
        begin_runs(out);
        print_all(out);
    }
    return out;
}

/* ---- What is missed ------------------------------------------------------ */

static void add_miss(cli_misses *to, const cli_miss *miss, double value,
                     double low, double high)
{
    if (miss->verdict != SW_SHORT && miss->verdict != SW_OVER)
        return;
    double end = miss->verdict == SW_SHORT ? low : high;
    to->items = memory_grow(to->items, to->count, sizeof *to->items);
    cli_miss *item = &to->items[to->count++];
    *item = *miss;
    item->by = fabs(value - end);
    item->share = item->by / (fabs(end) > 0.0 ? fabs(end) : 1.0);
}

cli_misses many_misses(const sw_assessment *assessment, size_t water)
{
    cli_misses out = {NULL, 0};
    for (size_t i = 0; i < sw_row_count(assessment); i++) {
        sw_row row = sw_row_at(assessment, i);
        cli_miss miss = {
            .water = water, .unit = row.unit, .verdict = row.verdict};
        snprintf(miss.name, sizeof miss.name, "%s", row.name);
        add_miss(&out, &miss, row.finished, row.low, row.high);
    }
    return out;
}

/* Two misses that no laboratory tells apart (common practice, no source). */
static const double alike = 0.1;

/* Whether the water's own recipe misses the same about as much. */
static bool is_missed_anyway(const cli_many *many, const cli_miss *miss)
{
    bool found = false;
    cli_misses own =
        many_misses(many->several.runs[miss->water].assessment, miss->water);
    for (size_t i = 0; i < own.count; i++)
        found |= !strcmp(own.items[i].name, miss->name) &&
                 own.items[i].verdict == miss->verdict &&
                 own.items[i].by >= (1.0 - alike) * miss->by;
    free(own.items);
    return found;
}

static void take_worst(const cli_many *many, const sw_assessment *assessment,
                       size_t water, cli_miss *worst)
{
    cli_misses misses = many_misses(assessment, water);
    for (size_t i = 0; i < misses.count; i++)
        if (misses.items[i].share > worst->share &&
            !(many->one && is_missed_anyway(many, &misses.items[i])))
            *worst = misses.items[i];
    free(misses.items);
}

bool many_worst_of_one(const cli_many *many, cli_miss *worst)
{
    *worst = (cli_miss){0};
    const sw_many *one = many->one ? many->one : many->many;
    for (size_t k = 0; k < one->water_count; k++) {
        sw_assessment *found;
        if (!one->waters[k].amounts.count ||
            memory_had(assess(many, k, &one->waters[k].amounts, &found, NULL)))
            continue;
        take_worst(many, found, k, worst);
        sw_assessment_free(found);
    }
    return worst->share > 0.0;
}

/* How many waters meet every target, as printed. */
static size_t count_all_met(const cli_many *many)
{
    size_t all = 0;
    for (size_t k = 0; k < many->several.count; k++)
        all += many->several.runs[k].assessment->all_met;
    return all;
}

bool many_is_stopped(const cli_many *many)
{
    for (size_t k = 0; k < many->several.count; k++)
        if (stop_is_asked(many->several.reports[k]))
            return true;
    return false;
}

exit_code many_exit_code(const cli_many *many)
{
    bool sound =
        count_all_met(many) == many->shared->waters.count && !many->open_count;
    for (size_t k = 0; k < many->several.count; k++)
        sound = sound && !report_is_doubted(many->several.reports[k]) &&
                !report_gives_gas(many->several.reports[k]);
    return sound && !many_is_stopped(many) ? EXIT_DONE : EXIT_UNMET;
}
