/* SPDX-License-Identifier: GPL-3.0-or-later */
/* --doubt SOURCE=SPREAD: how far lab, labels, scale and the rest may be off,
 * and how sure a recipe's result is by that. */
#ifndef CLI_RUN_DOUBTS_H
#define CLI_RUN_DOUBTS_H

#include "io/options.h"
#include "saltwright.h"

/* NaN: not given, the default counts. */
typedef struct cli_doubts {
    double lab, lab_ph;        /* relative; in pH */
    double label, fill;        /* relative */
    double injector;           /* relative */
    double scale_g, micro_g;   /* steps */
    double meter_ec, meter_ph; /* relative; in pH */
} cli_doubts;

/* Ends the program where one is not understood, or more than can be of a scale
 * that weighs for `batch_l`. */
void doubts_read(const cli_options *options, double batch_l, cli_doubts *out);

typedef struct cli_report cli_report;

/*
 * Of the recipe assessed in `report`, with the doubts of its settings; products
 * in stock tanks each on the head of their tank.  *off has no heads.
 */
void sure_find(const cli_report *report, sw_tolerances *off,
               sw_uncertainty *sure);

/* The mistakes that would explain the readings of the settings; products are
 * those of the report's shelf, `head` their tank where there are tanks. */
void meter_find(const cli_report *report, sw_diagnosis **diagnosis);

#endif
