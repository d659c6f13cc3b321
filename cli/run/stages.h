/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Targets of several stages of the crop in one file. */
#ifndef CLI_RUN_STAGES_H
#define CLI_RUN_STAGES_H

#include "run/several.h"

/*
 * Takes the stage that --stage names; without it, refuses a target of several
 * where the command is not one that runs them all.
 */
exit_code stages_choose(const cli_options *options, cli_inputs *inputs);

/* Whether the target still holds several stages. */
bool stages_remain(const cli_inputs *inputs);

/* Formulates each stage; release with stages_free whatever is returned. */
exit_code stages_run(const cli_options *options, const cli_inputs *shared,
                     const cli_settings *settings, cli_several *out);
void stages_free(cli_several *stages);

#endif
