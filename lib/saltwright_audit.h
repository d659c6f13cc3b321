/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lab reports judged: believable, and fit for use? */
#ifndef SALTWRIGHT_AUDIT_H
#define SALTWRIGHT_AUDIT_H

#include "saltwright_assess.h"

/* clang-format off */
#ifdef __cplusplus
extern "C" {
#endif

/* ---- Audit --------------------------------------------------------------
 * Is a lab report believable, and is the water fit for use? */
typedef enum sw_finding {
    SW_NOT_CHECKED, SW_AGREES, SW_DOUBTFUL, SW_DISAGREES
} sw_finding;
SW_API const char *sw_finding_text(sw_finding finding); /* "agrees" ... */

/* One check of a report against itself; NaN where there is no number. */
typedef struct sw_check_row {
    char name[48], unit[16];     /* unit of `reported` and `reckoned` */
    double reported, reckoned;   /* the two that should agree */
    double value, low, high;     /* how they compare, what is allowed */
    char measure[32];            /* what `value` is: "reported / calculated" */
    sw_finding finding;
    char reason[160], source[192];
} sw_check_row;
/* One mistake in reading the report that would make it agree with itself. */
typedef struct sw_rereading {
    char read_as[64], text[192]; /* "SO4=SO4-S" for sw_water_reread; in words */
    double score, share; /* less is better; of belief among all tried */
} sw_rereading;
typedef struct sw_audit_report {
    sw_check_row *checks; size_t check_count;
    double score; /* sum of squares of discrepancies over their uncertainties */
    sw_rereading *rereadings; size_t rereading_count; /* best first; or none */
    sw_guideline_row *fitness; size_t fitness_count;
    sw_content per_l; sw_chemistry chemistry; /* completed; at its own pH */
    sw_notes notes; /* what is missing; shares of purified water, by use */
} sw_audit_report;
/* The report is taken as given; a re-reading is only proposed.  `purified`:
 * what the water to blend with carries; NULL: nothing.  Numbers that no
 * equilibrium has are NaN.  SW_ERR_VALUE (conditions), _NUMERIC, _MEMORY. */
SW_API sw_status sw_audit(const sw_water *water, const sw_content *purified,
                          const sw_conditions *conditions,
                          sw_audit_report **report, sw_error *error);
SW_API void sw_audit_report_free(sw_audit_report *report);
/* A copy with one reading taken as another: "SO4=SO4-S", "Ca=[mmol/L]",
 * "[mg/L]=[meq/L]" (every ion in the unit).  Free with sw_water_free.
 * SW_ERR_SYNTAX, _NAME (no such reading), _UNIT, _DUPLICATE, _MEMORY. */
SW_API sw_status sw_water_reread(const sw_water *water, const char *read_as,
                                 sw_water **reread, sw_error *error);
SW_API void sw_water_free(sw_water *water);

#ifdef __cplusplus
}
#endif

#endif
