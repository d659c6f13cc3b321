/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Steps that commands share once their files are read. */
#ifndef CLI_MIXING_H
#define CLI_MIXING_H

#include "report.h"

/* A solver, to be freed with sw_solver_free. */
exit_code mixing_solver(sw_solver **solver);
/* What is to be solved; it points into both. */
sw_problem mixing_problem(const cli_inputs *inputs,
                          const cli_settings *settings);
/* Solves for the recipe; *solution is NULL after a failure. */
exit_code mixing_formulate(sw_solver *solver, const cli_inputs *inputs,
                           const cli_settings *settings,
                           sw_solution **solution);
/* Where the report's limits conflict, explains it; else *conflict is NULL. */
exit_code mixing_explain(const cli_report *report, sw_conflict **conflict);
/* Judges the report's recipe in `water`. */
exit_code mixing_assess(const cli_report *report, const sw_content *water,
                        sw_assessment **assessment);

/* Solves for the recipe and reports it, as `command`. */
exit_code mixing_solve(const char *command, const cli_inputs *inputs,
                       const cli_settings *settings);

/* The water of a run that solves for nothing: its shares must be given. */
exit_code mixing_blend(const cli_inputs *inputs, sw_content *water);

/*
 * Assesses the report's recipe (NULL: there is none, as after a conflict) in
 * `water`, renders everything and delivers it.  Returns how the run ends.
 */
exit_code mixing_report(cli_report *report, const sw_content *water);

#endif
