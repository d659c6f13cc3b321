/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How sure a recipe's result is. */
#ifndef CLI_SURE_H
#define CLI_SURE_H

#include "report.h"

/* A recipe for the decisions of the library: as it is or, with stock tanks, a
 * row for each product in each tank. */
typedef struct cli_parts {
    sw_mix mix;
    sw_tolerances off; /* its heads are the tanks; or NULL */
    sw_shelf shelf;    /* the rest is for stock tanks only */
    sw_recipe recipe;
    int *head;
    size_t *product; /* of the report's shelf, by row */
} cli_parts;

/* The parts point into each other and into the report: leave them in place. */
void sure_take_apart(const cli_report *report, cli_parts *out);
void sure_release(cli_parts *parts);

/*
 * Of the recipe assessed in `report`, with the doubts of its settings; products
 * in stock tanks each on the head of their tank.  *off has no heads.
 */
exit_code sure_find(const cli_report *report, sw_tolerances *off,
                    sw_uncertainty *sure);

/* The mistakes that would explain the readings of the settings; products are
 * those of the report's shelf, `head` their tank where there are tanks. */
exit_code meter_find(const cli_report *report, sw_diagnosis **diagnosis);

#endif
