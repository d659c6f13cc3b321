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
    sw_notes cautions;      /* of all that are named */
} cli_ph_alone;

/* Finds it for the inputs, which must outlive the result; what the shelf fixes
 * is in the water already.  Release with ph_alone_free whatever is returned. */
exit_code ph_alone_run(const cli_options *options, const cli_settings *settings,
                       cli_inputs *inputs, cli_ph_alone *out);
void ph_alone_free(cli_ph_alone *out);

/* EXIT_UNMET where some tank needs what nothing brings about, or what nobody
 * can size, or where there are no options. */
exit_code ph_alone_exit_code(const cli_ph_alone *alone);

#endif
