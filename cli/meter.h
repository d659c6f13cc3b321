/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the meters say of a recipe, and its words. */
#ifndef CLI_METER_H
#define CLI_METER_H

#include "report.h"
#include "text/figure.h"

/* The mistakes that would explain the readings of the settings; products are
 * those of the report's shelf, `head` their tank where there are tanks. */
exit_code meter_find(const cli_report *report, sw_diagnosis **diagnosis);

typedef struct cli_words {
    char text[560];
} cli_words;

/* "potassium nitrate left out of tank A" */
cli_words meter_mistake(const cli_report *report, const sw_mistake *mistake);
/* "K in the solution", "the bag of potassium nitrate" */
cli_words meter_look(const cli_report *report, const sw_look *look);
/* "mg/L", "mS/cm", "", or "x meant" */
const char *meter_unit(const sw_look *look);

/* How much the mistakes of an entry are believed together; NaN where nothing
 * explains the readings. */
double meter_belief(const sw_diagnosis *diagnosis, size_t entry);
/* "97 %", ">99 %" at most. */
cli_figure meter_belief_words(const sw_diagnosis *diagnosis, size_t entry);

/* "3.4" or "12": how far off the readings are, in standard errors. */
cli_figure meter_distance(const sw_mistake *mistake);

/* What to think of it, in a sentence or two. */
cli_words meter_verdict(const cli_report *report);

/* Whether the entry is that of "nothing wrong". */
bool meter_is_nothing(const sw_diagnosis *diagnosis, size_t entry);

#endif
