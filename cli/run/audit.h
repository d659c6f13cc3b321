/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One lab report, held against itself and against what it is for. */
#ifndef CLI_RUN_AUDIT_H
#define CLI_RUN_AUDIT_H

#include "io/exit_code.h"
#include "run/settings.h"
#include "run/sources.h"

typedef struct cli_audit {
    cli_sources waters, purified, feeds;
    const sw_target *target; /* of a solution; or NULL */
    const cli_source *source;
    sw_water at_25;          /* its water as it is audited; owns its readings */
    sw_audit_report *report; /* of one sample, or: */
    sw_archive *archive;     /* of all in `waters`, more than one */
    double read_ms_per_cm;   /* EC before it was taken to 25 degC; or NaN */
    double meter_c;          /* where it was read */
    double drained;          /* of a feed; NaN: not said */
} cli_audit;

/* Kept; a failure ends the program after a complaint. */
cli_audit *audit_run(const cli_options *options, const cli_settings *settings);

/* How many checks ended so. */
size_t audit_count_checks(const cli_audit *audit, sw_finding finding);
/* Whether a note keeps the water from being mixed, or its acid from being
 * poured. */
bool audit_doubts(const sw_note *note);
/* Whether it tells of gas that acid drives out. */
bool audit_gives_gas(const sw_note *note);
/* How many limits are kept so well. */
size_t audit_count_limits(const cli_audit *audit, sw_fitness fitness);

/* Whether a sample of many can be used: its report agrees with itself, and no
 * limit is exceeded. */
typedef enum audit_use {
    USE_FREE,       /* without restriction */
    USE_RESTRICTED, /* a limit is exceeded */
    USE_UNSUITABLE, /* by so much that it is unsuitable for a use */
    USE_UNCLEAR,    /* the report contradicts itself or leaves the acid open */
    USE_NONE        /* it endangers a crop */
} audit_use;
audit_use audit_use_of(const sw_sample_audit *sample);

/* Whether it is of a nutrient solution. */
bool audit_is_of_solution(const cli_audit *audit);

/* The file of which samples with defects are left out; NULL: none is. */
const sw_waters *audit_refused(const cli_audit *audit);

/* EXIT_UNMET when a check disagrees, a note doubts it or tells of gas, the
 * water is unsuitable for a use, or a solution misses its target or endangers
 * the crop. */
exit_code audit_exit_code(const cli_audit *audit);

#endif
