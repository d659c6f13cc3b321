/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The one way from inputs to what is shown of a recipe in a water:
 *
 *     run_begin, run_solve or a recipe that is given, run_finish
 */
#ifndef CLI_RUN_RUN_H
#define CLI_RUN_RUN_H

#include "run/report.h"

/* Owns what was found; its report points into it, so leave it in place. */
typedef struct cli_run {
    cli_report report;
    cli_inputs inputs;     /* of one of several runs: borrows the shared files,
                              owns its assumptions */
    sw_content content;    /* of the only water of these inputs */
    sw_solution *solution; /* each of these may be NULL */
    sw_solution *in_range;
    sw_assessment *assessment;
    sw_conflict *conflict;
    sw_why *why;
    sw_front *front;
    sw_steps *steps;
    sw_stock *stock;
    sw_diagnosis *diagnosis;
    sw_renewal *renewal;
    sw_uncertainty sure, spread;
    sw_tolerances off;
    sw_recipe mixed; /* of tanks as they are; or of no product */
} cli_run;

/* How much is found out of a recipe: all that the settings ask for; and what
 * the page taken to the tanks shows beside. */
typedef enum run_depth { RUN_WHOLE, RUN_WITH_PAGE } run_depth;

/* A run that is kept, begun. */
cli_run *run_new(const char *command, const cli_inputs *inputs,
                 const cli_settings *settings);
void run_begin(cli_run *run, const char *command, const cli_inputs *inputs,
               const cli_settings *settings);
void run_free(void *run);
/* Solves for the recipe; `nearest`: of conflicting limits some give way;
 * `brief`: for a row, which does not show the limits. */
exit_code run_solve(cli_run *run, bool nearest, bool brief);
/* Takes a solution, which the run then owns. */
void run_adopt(cli_run *run, sw_solution *solution);
/* Assesses the recipe, where there is one, in `water`: whether it will do, or
 * all that is to be told of it. */
exit_code run_judge(cli_run *run, const sw_content *water, bool brief);
/* The same and the rest; a failure ends the program, as from here on. */
void run_finish(cli_run *run, const sw_content *water, run_depth depth);
/* Of a recipe that misses targets: whether one meets them all, at a price in
 * closeness.  To be asked for with --keep-ranges. */
void run_try_ranges(cli_run *run);
/* As deep as the settings ask for. */
run_depth run_depth_of(const cli_settings *settings);
/* All of it: scales the target, solves, weighs, and finds the rest. */
cli_run *run_formulate(const char *command, cli_inputs *inputs,
                       const cli_settings *settings);

/* Takes water `index` of `shared` for its own, and completes it. */
exit_code run_take_water(cli_run *run, const cli_inputs *shared, size_t index);
/* One of several waters: completes water `index` of `shared` and solves.
 * Release with run_free whatever is returned. */
exit_code run_water(cli_run *run, const cli_inputs *shared, size_t index,
                    bool brief);

/* ---- What is asked ------------------------------------------------------*/

sw_problem run_problem(const cli_inputs *inputs, const cli_settings *settings);
/* The same with --equal-within: for the recipe, not for what is told of it. */
sw_problem run_problem_asked(const cli_inputs *inputs,
                             const cli_settings *settings);
/* The waters in the shares given, which a check needs. */
void run_blend(const cli_inputs *inputs, sw_content *water);
/* With --to-ec: scales the target, diluted as stocks are where `setup` is not
 * NULL; or the recipe that was given. */
void run_scale_target(cli_inputs *inputs, const cli_settings *settings,
                      const sw_stock_setup *setup);
void run_scale_recipe(cli_inputs *inputs, const cli_settings *settings,
                      const sw_content *water);

#endif
