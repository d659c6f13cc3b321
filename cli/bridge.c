/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A subject in a report of its own, written as part of a larger one. */
#include "bridge.h"

#include "write/tree.h"

static doc_record *report_of(const cli_report *report, report_subject *subject)
{
    doc_record *record = doc_new("report");
    subject(record, report);
    return record;
}

static void put_text(const cli_page *page, const cli_report *report,
                     report_subject *subject, bool first)
{
    const doc_view view = {DOC_SCREEN, NULL};
    doc_record *record = report_of(report, subject);
    text_blocks(record, &view, first, page);
    doc_free(record);
}

void bridge_first(const cli_page *page, const cli_report *report,
                  report_subject *subject)
{
    put_text(page, report, subject, true);
}

void bridge_text(const cli_page *page, const cli_report *report,
                 report_subject *subject)
{
    put_text(page, report, subject, false);
}

void bridge_html(FILE *out, const cli_report *report, report_subject *subject)
{
    const doc_view view = {DOC_CLIENT | DOC_EVIDENCE, NULL};
    doc_record *record = report_of(report, subject);
    html_blocks(record, &view, out);
    doc_free(record);
}

void bridge_chart(FILE *out, const cli_report *report, report_subject *subject)
{
    const doc_view view = {DOC_CLIENT, NULL};
    doc_record *record = report_of(report, subject);
    write_chart(record, &view, out);
    doc_free(record);
}

void bridge_worker(FILE *out, const cli_report *report, report_subject *subject)
{
    const doc_view view = {DOC_WORKER, NULL};
    doc_record *record = report_of(report, subject);
    html_blocks(record, &view, out);
    doc_free(record);
}

void bridge_json(cli_value *root, const cli_report *report,
                 report_subject *subject)
{
    const doc_view view = {DOC_DATA, NULL};
    doc_record *record = report_of(report, subject);
    json_blocks(root, record, &view);
    doc_free(record);
}

void bridge_csv(const cli_lines *out, const cli_report *report,
                report_subject *subject)
{
    const doc_view view = {DOC_DATA, NULL};
    doc_record *record = report_of(report, subject);
    csv_blocks(out, record, &view);
    doc_free(record);
}
