/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One target and one shelf in several waters, and a mix of them. */
#ifndef CLI_RUN_COMPARE_H
#define CLI_RUN_COMPARE_H

#include "run/several.h"

typedef struct cli_compare {
    cli_inputs shared;   /* its contents are completed for a mix */
    size_t as_they_come; /* of its waters; those behind are purified */
    cli_several several;
} cli_compare;

/* Release with compare_free whatever is returned. */
exit_code compare_run(const cli_options *options, cli_settings *settings,
                      cli_compare *out);
void compare_free(cli_compare *compare);

#endif
