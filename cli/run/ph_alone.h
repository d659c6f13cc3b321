/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A target of pH alone: how much acid, or base, a water takes. */
#ifndef CLI_RUN_PH_ALONE_H
#define CLI_RUN_PH_ALONE_H

#include "io/exit_code.h"
#include "run/inputs.h"
#include "io/options.h"
#include "saltwright.h"
#include "run/settings.h"

typedef struct cli_ph_alone {
    const cli_inputs *inputs;
    double volume_l; /* asked for; NaN: none */
    sw_unit_system system;
    sw_ph_options *options; /* NULL: the water is not to be mixed yet, or: */
    sw_notes dangers;       /* whatever its pH, no crop should get it */
    sw_notes doubts;        /* of the water's report */
    sw_notes cautions;      /* of all that are named */
} cli_ph_alone;

/* Finds it for the inputs; what the shelf fixes is in the water already.  Kept;
 * a failure ends the program after a complaint. */
cli_ph_alone *ph_alone_run(const cli_options *options,
                           const cli_settings *settings, cli_inputs *inputs);

/* EXIT_UNMET where some tank needs what nothing brings about, or what nobody
 * can size, or where there are no options. */
exit_code ph_alone_exit_code(const cli_ph_alone *alone);

#endif
