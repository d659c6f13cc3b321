/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How sure a recipe's result is. */
#ifndef CLI_RUN_SURE_H
#define CLI_RUN_SURE_H

#include "run/report.h"

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
