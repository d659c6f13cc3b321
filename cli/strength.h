/* SPDX-License-Identifier: GPL-3.0-or-later */
/* --to-ec: the target, or a given recipe, at the strength of an EC. */
#ifndef CLI_STRENGTH_H
#define CLI_STRENGTH_H

#include "inputs.h"
#include "settings.h"

/*
 * Where --to-ec is given, puts the target at that strength in the place of the
 * one read; `setup`: as the stocks deliver it, or NULL.  EXIT_UNMET after a
 * complaint where that EC cannot be had.
 */
exit_code strength_scale_target(cli_inputs *inputs,
                                const cli_settings *settings,
                                const sw_stock_setup *setup);
/* The same for the amounts given, in `water`. */
exit_code strength_scale_recipe(cli_inputs *inputs,
                                const cli_settings *settings,
                                const sw_content *water);

#endif
