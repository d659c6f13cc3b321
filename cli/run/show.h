/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How a command ends: its report goes where the options say. */
#ifndef CLI_RUN_SHOW_H
#define CLI_RUN_SHOW_H

#include "exit_code.h"
#include "settings.h"
#include "write/document.h"

/* Writes `report`, which it releases, in the format asked for and, where one
 * is, as a page.  `code`, or EXIT_INTERNAL after a complaint. */
exit_code show_report(doc_record *report, const cli_settings *settings,
                      exit_code code);

#endif
