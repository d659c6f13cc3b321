/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A recipe from its problem to its report. */
#include "run/run.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "run/cautions.h"
#include "io/complain.h"
#include "io/memory.h"
#include "run/report.h"
#include "sentences_text.h"

/* Points of a curve, four for each row of its table; numbers of products. */
enum { CURVE_POINTS = 33, FEWEST_POINTS = 7 };

/* Of a recipe for pure water in another: spares a product of a few grams. */
static const double least_moved = 0.005;

static exit_code ended(sw_status status, const sw_error *error)
{
    return status == SW_OK ? EXIT_DONE : complain_error(error);
}

/* ---- What is asked ------------------------------------------------------*/

sw_problem run_problem(const cli_inputs *inputs, const cli_settings *settings)
{
    return (sw_problem){.waters = inputs->contents,
                        .water_count = inputs->waters.count,
                        .fractions = inputs->fractions,
                        .target = inputs->target,
                        .shelf = inputs->shelf,
                        .objective = settings->objective,
                        .conditions = settings->conditions};
}

sw_problem run_problem_asked(const cli_inputs *inputs,
                             const cli_settings *settings)
{
    sw_problem problem = run_problem(inputs, settings);
    problem.fewest = !inputs->bag_alone;
    problem.equal_share = settings->equal_share;
    if (inputs->bag) /* what the water brings is taken off to the gram */
        problem.equal_share =
            inputs->bag_alone ? 0.0 : fmin(least_moved, problem.equal_share);
    return problem;
}

exit_code run_blend(const cli_inputs *inputs, sw_content *water)
{
    *water = (sw_content){0};
    if (inputs->waters.count > 1 && !inputs->fractions)
        return complain_usage("check", SAY_WATERS_NEED_SHARE);
    sw_content_add_waters(water, inputs->contents, inputs->fractions,
                          inputs->waters.count);
    return EXIT_DONE;
}

static exit_code refuse_strength(const cli_settings *settings,
                                 const sw_strength *strength)
{
    sw_error error = {.status = SW_OK};
    snprintf(error.message, sizeof error.message, "--to-ec %.4g: %.480s",
             settings->to_ec_ms_per_cm, strength->reason);
    complain_error(&error);
    return EXIT_UNMET;
}

exit_code run_scale_target(cli_inputs *inputs, const cli_settings *settings,
                           const sw_stock_setup *setup)
{
    sw_error error = {0};
    sw_strength_aim aim = {settings->to_ec_ms_per_cm, setup};
    if (isnan(aim.ec_ms_per_cm))
        return EXIT_DONE;
    sw_problem problem = run_problem(inputs, settings);
    if (sw_strength_find(inputs->solver, &problem, &aim, &inputs->strength,
                         &error) != SW_OK)
        return complain_error(&error);
    if (!inputs->strength->reached)
        return refuse_strength(settings, inputs->strength);
    sw_target_free(inputs->target);
    inputs->target = inputs->strength->target;
    inputs->strength->target = NULL;
    return EXIT_DONE;
}

exit_code run_scale_recipe(cli_inputs *inputs, const cli_settings *settings,
                           const sw_content *water)
{
    sw_error error = {0};
    sw_mix mix = inputs_mix(inputs, settings, water, inputs->recipe);
    if (isnan(settings->to_ec_ms_per_cm))
        return EXIT_DONE;
    if (sw_strength_of_recipe(&mix, settings->to_ec_ms_per_cm,
                              &inputs->strength, &error) != SW_OK)
        return complain_error(&error);
    if (!inputs->strength->reached)
        return refuse_strength(settings, inputs->strength);
    for (size_t j = 0; j < inputs->recipe->count; j++)
        inputs->recipe->g_per_l[j] *= inputs->strength->factor;
    inputs->recipe_scaled = true;
    return EXIT_DONE;
}

/* ---- A recipe -----------------------------------------------------------*/

void run_begin(cli_run *run, const char *command, const cli_inputs *inputs,
               const cli_settings *settings)
{
    run->report.command = command;
    run->report.inputs = inputs;
    run->report.settings = settings;
}

void run_adopt(cli_run *run, sw_solution *solution)
{
    run->solution = solution;
    run->report.solution = solution;
    run->report.recipe = report_recipe_of(solution);
}

exit_code run_solve(cli_run *run, bool nearest)
{
    sw_error error = {0};
    sw_solution *solution;
    const cli_inputs *inputs = run->report.inputs;
    sw_problem problem = run_problem_asked(inputs, run->report.settings);
    problem.nearest = nearest;
    if (sw_formulate(inputs->solver, &problem, &solution, &error) == SW_OK) {
        run_adopt(run, solution);
        return EXIT_DONE;
    }
    if (inputs->waters.count == 1 && error.status == SW_ERR_VALUE)
        source_blame(&inputs->waters.items[0], &error);
    return complain_error(&error);
}

/* ---- What is found out of it --------------------------------------------*/

static exit_code explain(cli_run *run)
{
    sw_error error = {0};
    const sw_solution *solution = run->report.solution;
    if (!solution ||
        (solution->outcome != SW_CONFLICT && !solution->conflict_count))
        return EXIT_DONE;
    sw_problem problem = run_problem(run->report.inputs, run->report.settings);
    sw_status status = sw_conflict_explain(run->report.inputs->solver, &problem,
                                           NULL, &run->conflict, &error);
    run->report.conflict = run->conflict;
    return ended(status, &error);
}

static exit_code give_reasons(cli_run *run)
{
    sw_error error = {0};
    sw_problem problem = run_problem(run->report.inputs, run->report.settings);
    if (!run->report.recipe || !run->report.settings->why)
        return EXIT_DONE;
    problem.nearest = !run->conflict; /* as the recipe shown was solved */
    sw_status status =
        sw_why_find(run->report.inputs->solver, &problem, &run->why, &error);
    run->report.why = run->why;
    return ended(status, &error);
}

static exit_code find_front(cli_run *run)
{
    sw_error error = {0};
    const cli_report *report = &run->report;
    const cli_settings *settings = report->settings;
    sw_problem problem = run_problem(report->inputs, settings);
    size_t count =
        settings->trade == SW_TRADE_COST ? CURVE_POINTS : FEWEST_POINTS;
    if (!report->recipe || !settings->trade_off)
        return EXIT_DONE;
    if (sw_front_find(report->inputs->solver, &problem, settings->trade, count,
                      &run->front, &error) != SW_OK)
        return complain_error(&error);
    run->report.front = run->front;
    return EXIT_DONE;
}

static exit_code assess(cli_run *run, const sw_content *water, bool brief)
{
    sw_error error = {0};
    const cli_report *report = &run->report;
    const cli_sources *waters = &report->inputs->waters;
    if (!report->recipe)
        return EXIT_DONE;
    const sw_water **reports =
        memory_array(waters->count, sizeof(const sw_water *));
    double *shares = memory_array(waters->count, sizeof *shares);
    for (size_t k = 0; k < waters->count; k++) {
        reports[k] = waters->items[k].water;
        shares[k] = report_share(report, k);
    }
    sw_mix mix =
        inputs_mix(report->inputs, report->settings, water, report->recipe);
    mix.reports = reports;
    mix.shares = shares;
    mix.report_count = waters->count;
    mix.brief = brief;
    mix.conditions.start = run->solution ? run->solution->start : NULL;
    sw_status status = sw_assess(&mix, &run->assessment, &error);
    run->report.assessment = run->assessment;
    free(reports);
    free(shares);
    return ended(status, &error);
}

/* Of tanks in use, unless they must not be used. */
static exit_code find_heads(cli_run *run)
{
    sw_error error = {0};
    sw_content source = {{0}};
    cli_report *report = &run->report;
    const sw_stock *stock = report->stock;
    sw_mix mix = report_mix(report);
    mix.water = &source;
    report->head_count = 0;
    for (size_t i = 0; stock && i < report->inputs->waters.count; i++)
        sw_content_add(&source, report_share(report, i),
                       &report->inputs->contents[i]);
    for (int t = 0; stock && stock->outcome != SW_CONFLICT && t < SW_TANKS; t++)
        if (stock->tanks[t].volume_l > 0.0 &&
            sw_stock_head(&mix, stock, report->setup, (sw_tank)t,
                          &report->heads[report->head_count++],
                          &error) != SW_OK)
            return complain_error(&error);
    return EXIT_DONE;
}

/* Of what is to be mixed at all. */
static exit_code find_order(cli_run *run)
{
    sw_error error = {0};
    const cli_report *report = &run->report;
    sw_mix mix = report_mix(report);
    sw_mixing mixing = {.mix = &mix,
                        .stock = report->stock,
                        .setup = report->setup,
                        .weighed = report->weighed,
                        .volume_l = report->settings->volume_l};
    if (report->stock && report->stock->outcome == SW_CONFLICT)
        return EXIT_DONE;
    sw_status status = sw_mixing_order(&mixing, &run->steps, &error);
    run->report.steps = run->steps;
    return ended(status, &error);
}

static exit_code find_sure(cli_run *run)
{
    if (!run->report.settings->how_sure)
        return EXIT_DONE;
    exit_code code = sure_find(&run->report, &run->off, &run->sure);
    run->report.sure = &run->sure;
    run->report.off = &run->off;
    return code;
}

/* How far the meters may be off, for who mixes. */
static exit_code find_spread(cli_run *run)
{
    sw_tolerances off;
    if (!run->steps || stop_withholds(&run->report))
        return EXIT_DONE;
    run->report.spread = &run->spread;
    if (!run->report.sure)
        return sure_find(&run->report, &off, &run->spread);
    run->spread = run->sure;
    return EXIT_DONE;
}

static exit_code diagnose(cli_run *run)
{
    if (!run->report.settings->measured)
        return EXIT_DONE;
    exit_code code = meter_find(&run->report, &run->diagnosis);
    run->report.diagnosis = run->diagnosis;
    return code;
}

static exit_code review(cli_run *run)
{
    return premix_review(&run->report, &run->report.premixes);
}

/* What there is to find of a recipe that has been judged, in order. */
static exit_code find_extras(cli_run *run)
{
    static exit_code (*const steps[])(cli_run *) = {
        find_heads, find_order, find_sure, diagnose, review};
    exit_code code = EXIT_DONE;
    for (size_t i = 0; i < sizeof steps / sizeof *steps && code == EXIT_DONE;
         i++)
        code = steps[i](run);
    return code;
}

exit_code run_finish(cli_run *run, const sw_content *water, run_depth depth)
{
    exit_code code = depth == RUN_JUDGED ? EXIT_DONE : explain(run);
    if (code == EXIT_DONE)
        code = give_reasons(run);
    if (code == EXIT_DONE)
        code = find_front(run);
    if (code == EXIT_DONE)
        code = assess(run, water, depth == RUN_JUDGED);
    if (code == EXIT_DONE && run->assessment && depth != RUN_JUDGED)
        code = printed_find(&run->report);
    if (code == EXIT_DONE && run->assessment && depth != RUN_JUDGED)
        code = find_extras(run);
    if (run->report.recipe && depth != RUN_JUDGED)
        cautions_of(&run->report, &run->report.cautions);
    return code == EXIT_DONE && depth == RUN_WITH_PAGE ? find_spread(run)
                                                       : code;
}

run_depth run_depth_of(const cli_settings *settings)
{
    return settings->sheet ? RUN_WITH_PAGE : RUN_WHOLE;
}

exit_code run_formulate(cli_run *run, const char *command, cli_inputs *inputs,
                        const cli_settings *settings)
{
    exit_code code = run_scale_target(inputs, settings, NULL);
    if (code != EXIT_DONE)
        return code;
    run_begin(run, command, inputs, settings);
    code = run_solve(run, true);
    sw_problem problem = run_problem_asked(inputs, settings);
    if (code == EXIT_DONE)
        code = scale_weigh(&run->report, &problem, NULL);
    return code == EXIT_DONE
               ? run_finish(run, &run->solution->water, run_depth_of(settings))
               : code;
}

exit_code run_take_water(cli_run *run, const cli_inputs *shared, size_t index)
{
    cli_inputs *inputs = &run->inputs;
    inputs->solver = shared->solver;
    inputs->waters = (cli_sources){&shared->waters.items[index], 1};
    inputs->contents = &run->content;
    inputs->target = shared->target;
    inputs->shelf = shared->shelf;
    run->report.inputs = inputs;
    return source_complete(&inputs->waters.items[0],
                           &run->report.settings->conditions, &run->content,
                           &inputs->assumptions);
}

exit_code run_water(cli_run *run, const cli_inputs *shared, size_t index,
                    run_depth depth)
{
    exit_code code = run_take_water(run, shared, index);
    if (code == EXIT_DONE)
        code = run_solve(run, false);
    return code == EXIT_DONE ? run_finish(run, &run->solution->water, depth)
                             : code;
}

void run_free(cli_run *run)
{
    premix_free(&run->report.premixes);
    printed_free(&run->report.printed);
    sw_notes_free(&run->report.cautions);
    sw_notes_free(&run->inputs.assumptions);
    sw_weighed_free(run->report.weighed);
    sw_diagnosis_free(run->diagnosis);
    sw_steps_free(run->steps);
    sw_stock_free(run->stock);
    free(run->mixed.g_per_l);
    sw_front_free(run->front);
    sw_why_free(run->why);
    sw_conflict_free(run->conflict);
    sw_assessment_free(run->assessment);
    sw_solution_free(run->solution);
}
