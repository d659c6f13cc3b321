/* SPDX-License-Identifier: GPL-3.0-or-later */
/* --target-of: a recipe for pure water, corrected for this one. */
#ifndef CLI_RUN_IMPLIED_H
#define CLI_RUN_IMPLIED_H

#include "run/inputs.h"

/*
 * With the shelf read (a whole catalogue where none was named, of which it
 * keeps what the recipe uses): reads the recipe, makes its target, and gives
 * each product its role: a premix stays at its rate, straights give way.
 */
exit_code implied_read(const cli_options *options, const cli_settings *settings,
                       cli_inputs *inputs);
/* With the waters completed: what else is on the shelf joins in only where the
 * recipe's own products leave a target unmet. */
exit_code implied_settle(const cli_settings *settings, cli_inputs *inputs);

#endif
