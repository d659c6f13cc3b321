/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Stock tanks and their injectors as the options describe them. */
#ifndef CLI_RUN_TANKS_H
#define CLI_RUN_TANKS_H

#include "run/inputs.h"
#include "run/run.h"

typedef struct cli_tanks {
    sw_stock_setup setup;
    sw_unit_system system; /* of the tanks' volume */
    cli_sources make_up;   /* the water that fills them, or none */
    sw_content make_up_content;
} cli_tanks;

/* Volumes, factor, heads and temperatures; opens no file.  Kept.  What is wrong
 * with them is complained about and ends the program, here and below. */
cli_tanks *tanks_read(const cli_options *options);
/* The make-up water; what had to be assumed of it goes to *notes. */
void tanks_read_make_up(const cli_options *options,
                        const cli_settings *settings, cli_tanks *out,
                        sw_notes *notes);

/* Amounts in both units where the tanks are in gallons, unless asked. */
void tanks_set_units(const cli_options *options, const cli_tanks *tanks,
                     cli_settings *settings);

/* Whether some tank in use differs from the others in ratio or volume. */
bool tanks_differ(const sw_stock_setup *setup, const sw_stock *stock);

/* Formulates and plans the tanks; the volume shown is what a batch of stock is
 * enough for. */
cli_run *stocks_plan(const cli_inputs *inputs, cli_settings *settings,
                     const cli_tanks *tanks);
/* What the injectors make of the tanks given. */
cli_run *stocks_judge(const cli_options *options, cli_inputs *inputs,
                      cli_settings *settings, cli_tanks *tanks);

#endif
