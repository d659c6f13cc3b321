/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The same target and shelf in one water after the other. */
#ifndef CLI_RUNS_H
#define CLI_RUNS_H

#include "inputs.h"
#include "report.h"

/* One water, solved and judged; `report` shows it as a single run would. */
typedef struct cli_run {
    cli_inputs inputs; /* borrows the shared files; owns its assumptions */
    sw_content content;
    sw_solution *solution;
    sw_assessment *assessment;
    sw_conflict *conflict; /* for who explains it */
    sw_steps *steps;       /* these for a page to take to the tanks */
    sw_uncertainty spread;
    sw_tolerances off;
    cli_report report;
} cli_run;

/*
 * Solves water `index` of `shared`.  Whatever is returned, release with
 * run_free; the run must not move, since its report points into it.
 */
exit_code run_solve(const char *command, const cli_inputs *shared,
                    const cli_settings *settings, sw_solver *solver,
                    size_t index, cli_run *out);
/* The same for a solution in a mix of all the waters, which the run takes. */
exit_code run_adopt(const char *command, const cli_inputs *shared,
                    const cli_settings *settings, sw_solution *solution,
                    cli_run *out);
/* Assesses the solution of a run that has one, and fills its report. */
exit_code run_judge(const char *command, const cli_settings *settings,
                    cli_run *run);
/* What the worker's page of a run shows beside; nothing where it is not to be
 * mixed. */
exit_code run_prepare_page(cli_run *run);
void run_free(cli_run *run);

#endif
