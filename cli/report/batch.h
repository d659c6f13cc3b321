/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The report of many waters, a lot of them at a time. */
#ifndef CLI_REPORT_BATCH_H
#define CLI_REPORT_BATCH_H

#include "report/blocks.h"

/* Of all waters, or of a lot; lots may be made at once, each by a thread. */
typedef struct report_batch {
    doc_record *report;
    doc_block *rows;
    const sw_shelf *shelf;
    double *least_g_per_l, *most_g_per_l; /* of each product */
    size_t mixed;                         /* waters whose recipe may be mixed */
    cli_handled handled;
} report_batch;

void report_batch_begin(report_batch *batch, const cli_inputs *shared,
                        const cli_settings *settings);
/* A water with its recipe; `purified`: the share of purified water with which
 * every target is met, NaN where that is not known. */
void report_batch_row(report_batch *batch, const cli_report *report,
                      double purified);
/* A water that could not be used, and why. */
void report_batch_failed(report_batch *batch, const char *sample,
                         const char *reason);
/* What a lot comes to, its rows left out. */
void report_batch_add(report_batch *all, const report_batch *lot);
/* Says what all of them come to. */
void report_batch_end(report_batch *batch);
void report_batch_free(report_batch *batch);

#endif
