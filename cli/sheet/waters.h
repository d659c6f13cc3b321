/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet of a comparison: which water to use, with charts. */
#ifndef CLI_SHEET_WATERS_H
#define CLI_SHEET_WATERS_H

#include <stdio.h>

#include "comparison.h"

/* Writes the sheet that the settings name, a page or its first chart alone. */
exit_code sheet_write_comparison(const cli_comparison *comparison);

/* Charts; each is an svg element that can stand alone. */
void chart_decides(FILE *out, const cli_comparison *comparison);
void chart_off(FILE *out, const cli_comparison *comparison);
void chart_shares(FILE *out, const cli_comparison *comparison);

/* Tables side by side, of a comparison or of stages. */
void sheet_side_amounts(FILE *out, const cli_comparison *comparison);
void sheet_side_contents(FILE *out, const cli_comparison *comparison);
void sheet_side_facts(FILE *out, const cli_comparison *comparison);

#endif
