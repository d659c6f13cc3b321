/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One mixing sheet for all stages of a crop. */
#ifndef CLI_SHEET_STAGES_H
#define CLI_SHEET_STAGES_H

#include "comparison.h"

/*
 * Writes the page that the settings name: the stages side by side, then each
 * with its weights and order of mixing.  EXIT_UNMET after a complaint where a
 * stage has no recipe, or a chart alone is asked for.
 */
exit_code sheet_write_stages(const cli_comparison *comparison);

#endif
