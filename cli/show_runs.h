/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How a command of several runs ends. */
#ifndef CLI_SHOW_RUNS_H
#define CLI_SHOW_RUNS_H

#include "report/blocks.h"

/* Adds the runs to `report`, which it releases, as its block `key`, and shows
 * it.  Returns how the run ends. */
exit_code show_runs(doc_record *report, const char *key,
                    const cli_several *several);

#endif
