/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of the mixing sheet, from top to bottom. */
#ifndef CLI_SHEET_PARTS_H
#define CLI_SHEET_PARTS_H

#include <stdio.h>

#include "cautions.h"
#include "report.h"
#include "text/figure.h"

/* What every part writes from, and where to. */
typedef struct cli_sheet {
    FILE *out;
    const cli_report *report;
    const sw_uncertainty *spread; /* NULL for a chart alone */
} cli_sheet;

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

/* "50 gal (189 L)", in the units that were asked for. */
cli_figure sheet_volume(const cli_sheet *sheet, double volume_l);

void sheet_opening(const cli_sheet *sheet);
void sheet_closing(const cli_sheet *sheet);

extern const char sheet_style[];

#endif
