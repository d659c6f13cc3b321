/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Problems from what was read, and their solutions. */
#ifndef CLI_MIXING_PROBLEM_H
#define CLI_MIXING_PROBLEM_H

#include "inputs.h"
#include "settings.h"

/* A solver, to be freed with sw_solver_free. */
exit_code mixing_solver(sw_solver **solver);
/* What is to be solved, recipes near the closest counting as equal as asked;
 * it points into both. */
sw_problem mixing_asked(const cli_inputs *inputs, const cli_settings *settings);
/* The same for the closest recipe itself, at which reasons and trades begin. */
sw_problem mixing_problem(const cli_inputs *inputs,
                          const cli_settings *settings);
/* Solves for the recipe; *solution is NULL after a failure.  With `nearest`
 * limits that cannot hold give way. */
exit_code mixing_formulate(sw_solver *solver, const cli_inputs *inputs,
                           const cli_settings *settings, bool nearest,
                           sw_solution **solution);

/* The water of a run that solves for nothing: its shares must be given. */
exit_code mixing_blend(const cli_inputs *inputs, sw_content *water);

#endif
