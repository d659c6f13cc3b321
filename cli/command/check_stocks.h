/* SPDX-License-Identifier: GPL-3.0-or-later */
/* saltwright check --stocks. */
#ifndef CLI_COMMAND_CHECK_STOCKS_H
#define CLI_COMMAND_CHECK_STOCKS_H

#include "run/inputs.h"

/* Judges the tanks of inputs->mixed. */
exit_code check_stocks(const cli_options *options, cli_settings *settings,
                       cli_inputs *inputs);

#endif
