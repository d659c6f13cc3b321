/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From a problem that is set to what is shown of it. */
#ifndef CLI_MIXING_H
#define CLI_MIXING_H

#include "mixing_problem.h"
#include "report.h"

/* Where the report's limits conflict, explains it; else *conflict is NULL. */
exit_code mixing_explain(const cli_report *report, sw_conflict **conflict);
/* Judges the report's recipe in `water`. */
exit_code mixing_assess(const cli_report *report, const sw_content *water,
                        sw_assessment **assessment);

/* The order in which to mix it; release with sw_steps_free. */
exit_code mixing_order(const cli_report *report, sw_steps **steps);

/* Solves for the recipe and reports it, as `command`. */
exit_code mixing_solve(const char *command, const cli_inputs *inputs,
                       const cli_settings *settings);

/*
 * Assesses the report's recipe (NULL: there is none, as after a conflict) in
 * `water`, renders everything and delivers it.  Returns how the run ends.
 */
exit_code mixing_report(cli_report *report, const sw_content *water);

#endif
