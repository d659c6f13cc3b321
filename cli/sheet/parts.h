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
    const sw_chemistry *water;    /* of the source water as blended */
    const size_t *turn; /* of each product, from 1 in order of mixing; or 0 */
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

/* STOP, why, and what to change, instead of all that says how to mix it. */
void sheet_stop(FILE *out, const cli_report *report);

/* A list of the notes of that severity; nothing where there is none. */
void sheet_alarms(FILE *out, const cli_report *report, sw_severity severity);

/* Text that travels by value: the letter a product has in the charts. */
cli_figure sheet_letter(const cli_sheet *sheet, size_t product);
/* The product mixed as number `turn`, from 1; the shelf's count if none. */
size_t sheet_product_at(const cli_sheet *sheet, size_t turn);
/* "50 gal (189 L)", in the units that were asked for. */
cli_figure sheet_volume(const cli_sheet *sheet, double volume_l);
/* As figure_band, or "". */
cli_figure sheet_band(double low, double high, int decimals);

void sheet_opening(const cli_sheet *sheet);
void sheet_cautions(const cli_sheet *sheet);
void sheet_meters(const cli_sheet *sheet);
void sheet_contents(const cli_sheet *sheet);
void sheet_water(const cli_sheet *sheet);
void sheet_closing(const cli_sheet *sheet);

/* Charts; each is an svg element that can stand alone. */
void chart_components(const cli_sheet *sheet);
void chart_ions(const cli_sheet *sheet);

/* An ion of the water: its name, charge as an amount, and side. */
typedef struct cli_ion {
    const char *name;
    double meq_per_l;
} cli_ion;
enum { MOST_IONS = 8 };
/* Cations or anions of the water, the rest of the sum last as "other". */
size_t sheet_ions(const cli_sheet *sheet, bool cations, cli_ion ions[]);

extern const char sheet_style[];

#endif
