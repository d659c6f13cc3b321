/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One lab report, weighed against itself and against what it is for. */
#ifndef CLI_AUDIT_H
#define CLI_AUDIT_H

#include "exit_code.h"
#include "sources.h"

typedef struct cli_audit {
    const cli_source *source;
    const sw_audit_report *report;
    double read_ms_per_cm; /* EC before it was reckoned to 25 degC; or NaN */
    double meter_c;        /* where it was read */
} cli_audit;

/* How many checks ended so. */
size_t audit_count_checks(const cli_audit *audit, sw_finding finding);
/* How many limits are kept so well. */
size_t audit_count_limits(const cli_audit *audit, sw_fitness fitness);

/* EXIT_UNMET when a check disagrees or the water is unfit for some use. */
exit_code audit_exit_code(const cli_audit *audit);

#endif
