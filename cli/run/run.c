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

/* ---- What is asked ------------------------------------------------------*/

sw_problem run_problem(const cli_inputs *inputs, const cli_settings *settings)
{
    return (sw_problem){.waters = inputs->contents,
                        .water_count = inputs->waters.count,
                        .fractions = inputs->fractions,
                        .most_share = inputs->most_share,
                        .target = inputs->target,
                        .shelf = inputs->shelf,
                        .objective = settings->objective,
                        .keep_bands = settings->keep_ranges,
                        .ratios_yield = true,
                        .conditions = settings->conditions};
}

sw_problem run_problem_asked(const cli_inputs *inputs,
                             const cli_settings *settings)
{
    sw_problem problem = run_problem(inputs, settings);
    problem.fewest = !inputs->bag_alone;
    problem.equal_share = settings->equal_share;
    return problem;
}

void run_blend(const cli_inputs *inputs, sw_content *water)
{
    *water = (sw_content){0};
    if (inputs->waters.count > 1 && !inputs->fractions)
        leave(complain_usage("check", SAY_WATERS_NEED_SHARE));
    sw_content_add_waters(water, inputs->contents, inputs->fractions,
                          inputs->waters.count);
}

/* Ends the program where no strength has the EC that was asked for. */
static void expect_reached(const cli_settings *settings,
                           const sw_strength *strength)
{
    sw_error error = {.status = SW_OK};
    if (strength->reached)
        return;
    snprintf(error.message, sizeof error.message, "--to-ec %.4g: %.480s",
             settings->to_ec_ms_per_cm, strength->reason);
    complain_error(&error);
    leave(EXIT_UNMET);
}

void run_scale_target(cli_inputs *inputs, const cli_settings *settings,
                      const sw_stock_setup *setup)
{
    sw_error error = {0};
    sw_strength_aim aim = {settings->to_ec_ms_per_cm, setup};
    if (isnan(aim.ec_ms_per_cm))
        return;
    sw_problem problem = run_problem(inputs, settings);
    expect_ok(sw_strength_find(inputs->solver, &problem, &aim,
                               &inputs->strength, &error),
              &error);
    expect_reached(settings, inputs->strength);
    sw_target_free(inputs->target);
    inputs->target = inputs->strength->target;
    inputs->strength->target = NULL;
}

void run_scale_recipe(cli_inputs *inputs, const cli_settings *settings,
                      const sw_content *water)
{
    sw_error error = {0};
    sw_mix mix = inputs_mix(inputs, settings, water, inputs->recipe);
    if (isnan(settings->to_ec_ms_per_cm))
        return;
    expect_ok(sw_strength_of_recipe(&mix, settings->to_ec_ms_per_cm,
                                    &inputs->strength, &error),
              &error);
    expect_reached(settings, inputs->strength);
    for (size_t j = 0; j < inputs->recipe->count; j++)
        inputs->recipe->g_per_l[j] *= inputs->strength->factor;
    inputs->recipe_scaled = true;
}

/* ---- A recipe -----------------------------------------------------------*/

void run_begin(cli_run *run, const char *command, const cli_inputs *inputs,
               const cli_settings *settings)
{
    run->report.command = command;
    run->report.inputs = inputs;
    run->report.settings = settings;
}

cli_run *run_new(const char *command, const cli_inputs *inputs,
                 const cli_settings *settings)
{
    cli_run *run = memory_kept(sizeof *run, run_free);
    run_begin(run, command, inputs, settings);
    return run;
}

void run_adopt(cli_run *run, sw_solution *solution)
{
    run->solution = solution;
    run->report.solution = solution;
    run->report.recipe = report_recipe_of(solution);
}

exit_code run_solve(cli_run *run, bool nearest, bool brief)
{
    sw_error error = {0};
    sw_solution *solution;
    const cli_inputs *inputs = run->report.inputs;
    sw_problem problem = run_problem_asked(inputs, run->report.settings);
    problem.nearest = nearest;
    problem.brief = brief;
    if (sw_formulate(inputs->solver, &problem, &solution, &error) == SW_OK) {
        run_adopt(run, solution);
        return EXIT_DONE;
    }
    if (inputs->waters.count == 1 && error.status == SW_ERR_VALUE)
        source_blame(&inputs->waters.items[0], &error);
    return complain_error(&error);
}

/* ---- What is found out of it --------------------------------------------*/

static void explain(cli_run *run)
{
    sw_error error = {0};
    const sw_solution *solution = run->report.solution;
    if (!solution ||
        (solution->outcome != SW_CONFLICT && !solution->conflict_count))
        return;
    sw_problem problem = run_problem(run->report.inputs, run->report.settings);
    problem.ratios_yield = false; /* what resolves it keeps every limit */
    expect_ok(sw_conflict_explain(run->report.inputs->solver, &problem, NULL,
                                  &run->conflict, &error),
              &error);
    run->report.conflict = run->conflict;
}

static void give_reasons(cli_run *run)
{
    sw_error error = {0};
    sw_problem problem = run_problem(run->report.inputs, run->report.settings);
    if (!run->report.recipe || !run->report.settings->why)
        return;
    problem.nearest = !run->conflict; /* as the recipe shown was solved */
    expect_ok(
        sw_why_find(run->report.inputs->solver, &problem, &run->why, &error),
        &error);
    run->report.why = run->why;
}

static void find_front(cli_run *run)
{
    sw_error error = {0};
    const cli_report *report = &run->report;
    const cli_settings *settings = report->settings;
    sw_problem problem = run_problem(report->inputs, settings);
    size_t count =
        settings->trade == SW_TRADE_COST ? CURVE_POINTS : FEWEST_POINTS;
    if (!report->recipe || !settings->trade_off)
        return;
    expect_ok(sw_front_find(report->inputs->solver, &problem, settings->trade,
                            count, &run->front, &error),
              &error);
    run->report.front = run->front;
}

/* Of each water's report its share of the feed; that of the water that fills
 * the tanks comes last. */
static size_t add_reports(const cli_report *report, const sw_water **reports,
                          double *shares)
{
    const cli_sources *waters = &report->inputs->waters;
    bool made_up = report->make_up && report->stock;
    double poured = made_up ? report->stock->water_share : 1.0;
    for (size_t k = 0; k < waters->count; k++) {
        reports[k] = waters->items[k].water;
        shares[k] = poured * report_share(report, k);
    }
    if (made_up) {
        reports[waters->count] = report->make_up;
        shares[waters->count] = 1.0 - poured;
    }
    return waters->count + made_up;
}

/* Into which tanks acid or base that is not sized is poured. */
static void find_pourings(cli_report *report)
{
    const sw_stock *stock = report->stock;
    free(report->pourings);
    report->pourings = NULL;
    if (!stock || stock->outcome == SW_CONFLICT || !stock->count)
        return;
    report->pourings = memory_array(stock->count, sizeof *report->pourings);
    for (size_t i = 0; i < stock->count; i++)
        report->pourings[i] = sw_stock_pouring(stock, i);
}

/* A trace element whose chelate its tank takes apart may not reach the crop. */
static void open_product(const sw_product *product, const char *tank,
                         sw_assessment *a)
{
    static const sw_component metals[] = {SW_FE, SW_MN, SW_ZN, SW_CU};
    for (size_t i = 0; i < sizeof metals / sizeof *metals; i++) {
        sw_component_row *row = &a->rows[metals[i]];
        if (!(product->per_g.amount[SW_CHELATED_FE + i] > 0.0) ||
            row->verdict == SW_VERDICT_NONE)
            continue;
        row->verdict = SW_OPEN;
        snprintf(row->reason, sizeof row->reason, SAY_CHELATE_OPEN, tank);
        a->all_met = false;
    }
}

static void open_lost(const cli_report *report, sw_assessment *a)
{
    const sw_stock *stock = report->stock;
    for (int t = 0; stock && t < SW_TANKS; t++)
        for (size_t i = 0; i < stock->count; i++)
            if (*stock->tanks[t].chelate_lost &&
                stock->placements[i].g[t] > 0.0)
                open_product(&report->inputs->shelf->products[i],
                             sw_tank_text((sw_tank)t), a);
}

/* The report's recipe in a water. */
static exit_code assess(const cli_report *report, const sw_content *water,
                        bool brief, sw_assessment **out)
{
    sw_error error = {0};
    size_t most = report->inputs->waters.count + 1;
    const sw_water **reports = memory_array(most, sizeof(const sw_water *));
    double *shares = memory_array(most, sizeof *shares);
    sw_mix mix =
        inputs_mix(report->inputs, report->settings, water, report->recipe);
    mix.reports = reports;
    mix.shares = shares;
    mix.report_count = add_reports(report, reports, shares);
    mix.brief = brief;
    mix.pourings = report->pourings;
    mix.conditions.start = report->solution ? report->solution->start : NULL;
    sw_status status = sw_assess(&mix, out, &error);
    if (status == SW_OK)
        open_lost(report, *out);
    free(reports);
    free(shares);
    return status == SW_OK ? EXIT_DONE : complain_error(&error);
}

exit_code run_judge(cli_run *run, const sw_content *water, bool brief)
{
    if (!run->report.recipe)
        return EXIT_DONE;
    find_pourings(&run->report);
    exit_code code = assess(&run->report, water, brief, &run->assessment);
    run->report.assessment = run->assessment;
    return code;
}

/* ---- Whether another meets every target ---------------------------------*/

static bool misses_some(const cli_report *report)
{
    size_t met, all;
    const sw_solution *solution = report->solution;
    if (!report->assessment || solution->outcome != SW_OPTIMAL ||
        solution->conflict_count || report->settings->keep_ranges ||
        sw_objective_facts_of(solution->objective)->kind == SW_OF_AMOUNTS)
        return false;
    sw_count_met(report->assessment, &met, &all);
    return met < all;
}

static bool meets_all(const cli_report *as, const sw_solution *solution)
{
    size_t met = 0, all = 1;
    sw_assessment *assessment = NULL;
    cli_report report = *as;
    if (solution->outcome != SW_OPTIMAL || solution->misses_ph)
        return false;
    report.solution = solution;
    report.recipe = report_recipe_of(solution);
    leave_unless_done(assess(&report, &solution->water, false, &assessment));
    report.assessment = assessment;
    sw_count_met(assessment, &met, &all);
    bool harms = report_is_dangerous(&report) && !report_is_dangerous(as);
    sw_assessment_free(assessment);
    return met == all && !harms;
}

void run_try_ranges(cli_run *run)
{
    sw_error error = {0};
    const cli_report *report = &run->report;
    if (!misses_some(report))
        return;
    sw_problem problem = run_problem_asked(report->inputs, report->settings);
    problem.keep_bands = true;
    expect_ok(
        sw_formulate(report->inputs->solver, &problem, &run->in_range, &error),
        &error);
    if (meets_all(report, run->in_range))
        run->report.in_range = run->in_range;
}

/* Of tanks in use, unless they must not be used. */
static void find_heads(cli_run *run)
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
        if (stock->tanks[t].volume_l > 0.0)
            expect_ok(sw_stock_head(&mix, stock, report->setup, (sw_tank)t,
                                    &report->heads[report->head_count++],
                                    &error),
                      &error);
}

/* Of what is to be mixed at all. */
static void find_order(cli_run *run)
{
    sw_error error = {0};
    const cli_report *report = &run->report;
    sw_mix mix = report_mix(report);
    sw_mixing mixing = {.mix = &mix,
                        .stock = report->stock,
                        .setup = report->setup,
                        .weighed = report->weighed,
                        .volume_l = report->settings->volume_l,
                        .undeclared = &report->assessment->undeclared};
    if (report->renewal) {
        cli_turnover turnover = report_turnover(report);
        mixing.kept_l = turnover.kept_l;
        mixing.drained_l = turnover.drained_l;
    }
    if (report->stock && report->stock->outcome == SW_CONFLICT)
        return;
    expect_ok(sw_mixing_order(&mixing, &run->steps, &error), &error);
    run->report.steps = run->steps;
}

static void find_sure(cli_run *run)
{
    if (!run->report.settings->how_sure)
        return;
    sure_find(&run->report, &run->off, &run->sure);
    run->report.sure = &run->sure;
    run->report.off = &run->off;
}

/* How far the meters may be off, for who mixes. */
static void find_spread(cli_run *run)
{
    sw_tolerances off;
    if (!run->steps || stop_withholds(&run->report))
        return;
    if (run->report.sure)
        run->spread = run->sure;
    else
        sure_find(&run->report, &off, &run->spread);
    run->report.spread = &run->spread;
}

static void diagnose(cli_run *run)
{
    sw_tolerances off;
    if (!run->report.settings->measured)
        return;
    meter_find(&run->report, &run->diagnosis);
    run->report.diagnosis = run->diagnosis;
    if (run->diagnosis->as_meant)
        return;
    sure_find(&run->report, &off, &run->spread);
    run->report.within = report_is_within(&run->report, &run->spread);
}

/* What there is to find of a recipe that has been judged. */
static void find_extras(cli_run *run)
{
    printed_find(&run->report);
    find_heads(run);
    find_order(run);
    find_sure(run);
    diagnose(run);
    premix_review(&run->report, &run->report.premixes);
}

void run_finish(cli_run *run, const sw_content *water, run_depth depth)
{
    explain(run);
    give_reasons(run);
    find_front(run);
    leave_unless_done(run_judge(run, water, false));
    if (run->assessment)
        find_extras(run);
    if (run->report.recipe)
        cautions_of(&run->report, &run->report.cautions);
    if (depth == RUN_WITH_PAGE)
        find_spread(run);
}

run_depth run_depth_of(const cli_settings *settings)
{
    return settings->sheet ? RUN_WITH_PAGE : RUN_WHOLE;
}

cli_run *run_formulate(const char *command, cli_inputs *inputs,
                       const cli_settings *settings)
{
    run_scale_target(inputs, settings, NULL);
    cli_run *run = run_new(command, inputs, settings);
    leave_unless_done(run_solve(run, true, false));
    sw_problem problem = run_problem_asked(inputs, settings);
    scale_weigh(&run->report, &problem, NULL);
    run_finish(run, &run->solution->water, run_depth_of(settings));
    return run;
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
                    bool brief)
{
    exit_code code = run_take_water(run, shared, index);
    return code == EXIT_DONE ? run_solve(run, false, brief) : code;
}

void run_free(void *thing)
{
    cli_run *run = thing;
    premix_free(&run->report.premixes);
    printed_free(&run->report.printed);
    free(run->report.pourings);
    sw_notes_free(&run->report.cautions);
    sw_notes_free(&run->inputs.assumptions);
    sw_weighed_free(run->report.weighed);
    sw_diagnosis_free(run->diagnosis);
    sw_steps_free(run->steps);
    sw_stock_free(run->stock);
    free(run->mixed.g_per_l);
    sw_renewal_free(run->renewal);
    sw_front_free(run->front);
    sw_why_free(run->why);
    sw_conflict_free(run->conflict);
    sw_assessment_free(run->assessment);
    sw_solution_free(run->in_range);
    sw_solution_free(run->solution);
}
