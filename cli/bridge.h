/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * While the subjects of a recipe's report move to report/, one after another:
 * each renderer shows those that have moved through the writer of its format,
 * in the place where its own part was.  When the last has moved this goes, and
 * the renderers with it.
 */
#ifndef CLI_BRIDGE_H
#define CLI_BRIDGE_H

#include "csv/line.h"
#include "json/value.h"
#include "report.h"
#include "text/page.h"
#include "write/document.h"

/* Adds the blocks of a subject; declared in report/blocks.h. */
typedef void report_subject(doc_record *record, const cli_report *report);

/* The same without an empty line above it. */
void bridge_first(const cli_page *page, const cli_report *report,
                  report_subject *subject);
void bridge_text(const cli_page *page, const cli_report *report,
                 report_subject *subject);
void bridge_html(FILE *out, const cli_report *report, report_subject *subject);
/* Its chart alone. */
void bridge_chart(FILE *out, const cli_report *report, report_subject *subject);
/* For the page taken to the scale. */
void bridge_worker(FILE *out, const cli_report *report,
                   report_subject *subject);
void bridge_json(cli_value *root, const cli_report *report,
                 report_subject *subject);
void bridge_csv(const cli_lines *out, const cli_report *report,
                report_subject *subject);

#endif
