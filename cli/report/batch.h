/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The report of many waters, a water at a time. */
#ifndef CLI_REPORT_BATCH_H
#define CLI_REPORT_BATCH_H

#include "report/blocks.h"

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
/* `report` is NULL where the water could not be solved. */
void report_batch_row(report_batch *batch, const sw_water *water,
                      const cli_report *report);
/* The report, for doc_free; the rest is released. */
doc_record *report_batch_end(report_batch *batch);

#endif
