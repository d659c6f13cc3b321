/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How a command ends: its report goes where the options say. */
#ifndef CLI_COMMAND_SHOW_H
#define CLI_COMMAND_SHOW_H

#include "report/blocks.h"

/* Writes `report`, which it releases, in the format asked for and, where one
 * is, as a page.  `code`, or EXIT_INTERNAL after a complaint. */
exit_code show_report(doc_record *report, const cli_settings *settings,
                      exit_code code);

/* A report with a block of lines, in lots: what is before them; a lot, as a
 * report of its own that says nothing else; what is between two; and, where
 * there is `more`, what is after. */
void show_head(const doc_record *report, const cli_settings *settings,
               FILE *out);
void show_lines(const doc_record *report, const cli_settings *settings,
                FILE *out);
void show_between(const cli_settings *settings, FILE *out);
void show_end(const doc_record *report, const cli_settings *settings, bool more,
              FILE *out);

exit_code show_run(const cli_run *run);
/* Shows `report` with the runs in its block `key`. */
exit_code show_several(doc_record *report, const char *key,
                       const cli_several *several);

#endif
