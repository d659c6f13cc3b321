/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Lab reports for the audit's tests: the real analyses of real_waters.csv and
 * invented ones like them, written in the many ways laboratories write, and
 * misread on purpose.
 */
#ifndef SW_TESTS_LAB_REPORTS_H
#define SW_TESTS_LAB_REPORTS_H

#include "saltwright.h"

#include <gsl/gsl_rng.h>

enum { MAX_LINES = 24 };

/* One line of a report, as the laboratory means it. */
typedef struct report_line {
    char parameter[32];
    char unit[16];
    double value;
} report_line;

typedef struct lab_report {
    report_line lines[MAX_LINES];
    int count;
} lab_report;

/* The real analyses; free with sw_waters_free. */
sw_waters *read_real_waters(void);

/* A report of `water`, whose numbers it takes as they are, in a random style
 * of names and units, with hardness and dissolved solids in some. */
lab_report write_report(const sw_water *water, gsl_rng *rng);

/*
 * A report of an invented water: ions of a real one scaled at random, closed
 * to neutrality, then analysed with 2 % error of each ion and 5 % of EC.
 */
lab_report invent_report(const sw_waters *real, gsl_rng *rng);

/* Through the reader, as a file would be; NULL when it is refused. */
sw_waters *read_report(const lab_report *report);

/* An invented water as measured: ions of a real one scaled at random, closed to
 * neutrality, with 2 % error of each ion and 5 % of EC. */
sw_water invent_water(const sw_waters *real, gsl_rng *rng);

/* Whether both hold the same, but for rounding. */
bool is_same_water(const sw_water *a, const sw_water *b);

/* One row of reference/rereadings.csv and the line it is done to. */
typedef struct misreading {
    const struct sw_rereadings_row *row;
    report_line line; /* as meant */
    char kind[64];    /* in words */
} misreading;

/* A random row; false: it does not fit this report. */
bool pick_misreading(const lab_report *report, gsl_rng *rng, misreading *out);
/* Does it to the line of that name and unit, where the report has it. */
void misread(lab_report *report, const misreading *m);

/*
 * Misreads one line (or all) the way a random row of
 * reference/rereadings.csv says, so that its re-reading is the truth.
 * `kind` gets what was done.  false: the row does not fit this report.
 */
bool misread_report(lab_report *report, gsl_rng *rng, char kind[64]);

#endif
