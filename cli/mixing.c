/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Recipe to assessment, report to output. */
#include "mixing.h"

#include <stdlib.h>

#include "cautions.h"
#include "complain.h"
#include "memory.h"
#include "premix.h"
#include "report/blocks.h"
#include "run/show.h"
#include "scale.h"
#include "sure.h"

exit_code mixing_explain(const cli_report *report, sw_conflict **conflict)
{
    sw_error error;
    *conflict = NULL;
    const sw_solution *solution = report->solution;
    if (!solution ||
        (solution->outcome != SW_CONFLICT && !solution->conflict_count))
        return EXIT_DONE;
    sw_problem problem = mixing_problem(report->inputs, report->settings);
    return sw_conflict_explain(&problem, NULL, conflict, &error) == SW_OK
               ? EXIT_DONE
               : complain_error(&error);
}

exit_code mixing_assess(const cli_report *report, const sw_content *water,
                        sw_assessment **assessment)
{
    sw_error error;
    const cli_sources *waters = &report->inputs->waters;
    const sw_water **reports =
        memory_array(waters->count, sizeof(const sw_water *));
    double *shares = memory_array(waters->count, sizeof *shares);
    for (size_t k = 0; k < waters->count; k++) {
        reports[k] = waters->items[k].water;
        shares[k] = report_share(report, k);
    }
    sw_mix mix = {.water = water,
                  .target = report->inputs->target,
                  .shelf = report->inputs->shelf,
                  .recipe = report->recipe,
                  .conditions = report->settings->conditions,
                  .reports = reports,
                  .shares = shares,
                  .report_count = waters->count};
    sw_status status = sw_assess(&mix, assessment, &error);
    free(reports);
    free(shares);
    return status == SW_OK ? EXIT_DONE : complain_error(&error);
}

/* Writes what is known by now. */
static exit_code deliver(cli_report *report)
{
    if (report->recipe)
        cautions_of(report, &report->cautions);
    doc_record *record = report_begin_as("report", report->command);
    report_mixing(record, report);
    exit_code code =
        show_report(record, report->settings, report_exit_code(report));
    sw_notes_free(&report->cautions);
    return code;
}

static exit_code give_reasons(const cli_report *report, sw_why **why)
{
    sw_error error;
    sw_problem problem = mixing_problem(report->inputs, report->settings);
    problem.nearest = !report->conflict; /* as the recipe shown was solved */
    return sw_why_find(&problem, why, &error) == SW_OK ? EXIT_DONE
                                                       : complain_error(&error);
}

/* Of tanks in use, unless they must not be used. */
static exit_code find_heads(cli_report *report)
{
    sw_error error;
    sw_content source = {{0}};
    const sw_stock *stock = report->stock;
    sw_mix mix = report_mix(report);
    mix.water = &source;
    report->head_count = 0;
    for (size_t i = 0; i < report->inputs->waters.count; i++)
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

/* Points of a curve, four for each row of its table; numbers of products. */
enum { CURVE_POINTS = 33, FEWEST_POINTS = 7 };

/* NULL where there is none, which is said then. */
static exit_code find_front(const cli_report *report, sw_front **front)
{
    sw_error error;
    const cli_settings *settings = report->settings;
    sw_problem problem = mixing_problem(report->inputs, settings);
    size_t count =
        settings->trade == SW_TRADE_COST ? CURVE_POINTS : FEWEST_POINTS;
    if (sw_front_find(&problem, settings->trade, count, front, &error) != SW_OK)
        return complain_error(&error);
    if (!*front)
        complain_file(report->inputs->target->name,
                      "no trade-off: no recipe from this shelf keeps the "
                      "ranges of all targets; --objective cheapest says why");
    return EXIT_DONE;
}

exit_code mixing_order(const cli_report *report, sw_steps **steps)
{
    sw_error error;
    sw_mix mix = report_mix(report);
    sw_mixing mixing = {.mix = &mix,
                        .stock = report->stock,
                        .setup = report->setup,
                        .weighed = report->weighed,
                        .volume_l = report->settings->volume_l};
    *steps = NULL;
    return sw_mixing_order(&mixing, steps, &error) == SW_OK
               ? EXIT_DONE
               : complain_error(&error);
}

/* Of what is to be mixed at all. */
static exit_code find_order(const cli_report *report, sw_steps **steps)
{
    bool fails = report->stock && report->stock->outcome == SW_CONFLICT;
    *steps = NULL;
    return fails ? EXIT_DONE : mixing_order(report, steps);
}

exit_code mixing_report(cli_report *report, const sw_content *water)
{
    sw_assessment *assessment = NULL;
    sw_uncertainty sure;
    sw_tolerances off;
    sw_conflict *conflict;
    sw_why *why = NULL;
    sw_front *front = NULL;
    sw_steps *steps = NULL;
    exit_code code = mixing_explain(report, &conflict);
    report->conflict = conflict;
    if (code == EXIT_DONE && report->recipe && report->settings->why)
        code = give_reasons(report, &why);
    report->why = why;
    if (code == EXIT_DONE && report->recipe && report->settings->trade_off)
        code = find_front(report, &front);
    report->front = front;
    if (code == EXIT_DONE && report->recipe)
        code = mixing_assess(report, water, &assessment);
    report->assessment = assessment;
    if (code == EXIT_DONE && assessment)
        code = printed_find(report);
    if (code == EXIT_DONE && assessment)
        code = find_heads(report);
    if (code == EXIT_DONE && assessment)
        code = find_order(report, &steps);
    report->steps = steps;
    const cli_settings *settings = report->settings;
    bool page = settings->sheet && steps;
    if (code == EXIT_DONE && assessment && (settings->how_sure || page)) {
        code = sure_find(report, &off, &sure);
        report->sure = settings->how_sure ? &sure : NULL;
        report->spread = page ? &sure : NULL;
        report->off = &off;
    }
    sw_diagnosis *diagnosis = NULL;
    if (code == EXIT_DONE && assessment && report->settings->measured)
        code = meter_find(report, &diagnosis);
    report->diagnosis = diagnosis;
    if (code == EXIT_DONE)
        code = premix_review(report, &report->premixes);
    if (code == EXIT_DONE)
        code = deliver(report);
    sw_diagnosis_free(diagnosis);
    premix_free(&report->premixes);
    printed_free(&report->printed);
    sw_assessment_free(assessment);
    sw_conflict_free(conflict);
    sw_why_free(why);
    sw_front_free(front);
    sw_steps_free(steps);
    report->assessment = NULL;
    report->steps = NULL;
    report->sure = NULL;
    report->spread = NULL;
    report->diagnosis = NULL;
    report->conflict = NULL;
    report->why = NULL;
    report->front = NULL;
    return code;
}

exit_code mixing_solve(const char *command, const cli_inputs *inputs,
                       const cli_settings *settings)
{
    sw_solver *solver;
    sw_solution *solution;
    exit_code code = mixing_solver(&solver);
    if (code != EXIT_DONE)
        return code;
    code = mixing_formulate(solver, inputs, settings, true, &solution);
    sw_solver_free(solver);
    if (!solution)
        return code;
    cli_report report = {.command = command,
                         .settings = settings,
                         .inputs = inputs,
                         .solution = solution,
                         .recipe = report_recipe_of(solution)};
    sw_problem problem = mixing_asked(inputs, settings);
    code = scale_weigh(&report, &problem, NULL);
    if (code == EXIT_DONE)
        code = mixing_report(&report, &solution->water);
    sw_weighed_free(report.weighed);
    sw_solution_free(solution);
    return code;
}
