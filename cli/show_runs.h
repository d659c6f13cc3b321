/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How several runs are shown: waters of a comparison, stages of a crop. */
#ifndef CLI_SHOW_RUNS_H
#define CLI_SHOW_RUNS_H

#include "comparison.h"

typedef exit_code cli_sheet_writer(const cli_comparison *comparison);

/* Renders the runs in the format asked for and, where a sheet is asked for,
 * writes that with `sheet`.  The worst of how the runs, the output and the
 * sheet ended. */
exit_code show_runs(const cli_comparison *comparison, cli_sheet_writer *sheet);

#endif
