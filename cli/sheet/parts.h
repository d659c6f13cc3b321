/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of the mixing sheet, from top to bottom. */
#ifndef CLI_SHEET_PARTS_H
#define CLI_SHEET_PARTS_H

#include <stdio.h>

#include "cautions.h"
#include "report.h"
#include "text/figure.h"

/* All up to the body, titled "TITLE: ABOUT"; and the end from the main on. */
void sheet_head(FILE *out, const char *title, const char *about);
void sheet_foot(FILE *out);
/* A row of the list of facts: `term` is ours, `text` may be anybody's. */
void sheet_fact(FILE *out, const char *term, const char *text);
/* What to wear, directly above what is to be weighed; and the section of
 * cautions. */
void sheet_gear(FILE *out, const cli_handled *handled);
void sheet_caution_list(FILE *out, const cli_handled *handled);

/* A list of the notes of that severity; nothing where there is none. */
void sheet_alarms(FILE *out, const cli_report *report, sw_severity severity);

extern const char html_style[];

#endif
