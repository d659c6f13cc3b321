/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The mixing sheet: the page taken to the tanks. */
#ifndef CLI_SHEET_SHEET_H
#define CLI_SHEET_SHEET_H

#include "report.h"

/*
 * Writes the sheet that the settings name: a whole page, or the chart of the
 * components alone under a name in .svg.  Of a recipe that is not to be mixed
 * the page says STOP and holds no amounts.  Without a recipe, or where no stock
 * can be made, nothing is written, which is said, and EXIT_UNMET.
 */
exit_code sheet_write(const cli_report *report);

/* Weights and order of mixing of a report without stocks, into a page. */
exit_code sheet_put_mixing(const cli_report *report, FILE *out);

#endif
