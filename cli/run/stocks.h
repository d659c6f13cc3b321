/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A recipe as concentrates in tanks, planned or as somebody has mixed them. */
#ifndef CLI_RUN_STOCKS_H
#define CLI_RUN_STOCKS_H

#include "run/run.h"
#include "run/tanks.h"

/* Formulates and plans the tanks; the volume shown is what a batch of stock is
 * enough for. */
exit_code stocks_plan(cli_run *run, const cli_inputs *inputs,
                      cli_settings *settings, const cli_tanks *tanks);
/* What the injectors make of the tanks given. */
exit_code stocks_judge(cli_run *run, const cli_options *options,
                       cli_inputs *inputs, cli_settings *settings,
                       cli_tanks *tanks);

#endif
