/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The writers of a report.  Each walks its blocks; none knows what they
 * are about.  A new format is one more file here.
 */
#ifndef CLI_WRITE_WRITE_H
#define CLI_WRITE_WRITE_H

#include <stdbool.h>
#include <stdio.h>

#include "write/document.h"

/* `places`: of doc_place, whom it is for; `only`: keys of blocks, separated by
 * commas; NULL: all. */
typedef struct doc_view {
    unsigned places;
    const char *only;
} doc_view;

/* 80 columns for a person at a terminal. */
void write_text(const doc_record *report, const doc_view *view, bool colour,
                FILE *out);
/* A page to print or to read on a phone: the worker's part, the client's and
 * the evidence. */
void write_html(const doc_record *report, FILE *out);
/* Whether reports of its kind hold charts. */
bool write_has_charts(const doc_record *report);
/* Its first chart alone, as SVG; false where it has none. */
bool write_chart(const doc_record *report, const doc_view *view, FILE *out);
/* An object: fields and blocks under their keys, raw values. */
void write_json(const doc_record *report, const doc_view *view, FILE *out);
/* The same on one line. */
void write_ndjson(const doc_record *report, const doc_view *view, FILE *out);
/* RFC 4180, a value a line: section,name,quantity,value,unit.  A section is
 * the keys of blocks down to the value, a name those of their rows. */
void write_csv(const doc_record *report, const doc_view *view, FILE *out);

/*
 * A report with a block of lines, which are written while they are made: its
 * head; lines, each time those of a report of its own kind, with a comma
 * between two of these in JSON; and what else it says.  In CSV and in JSON on a
 * line each, lines are all there is; text says each lot by itself (write_text).
 */
void write_csv_head(const doc_record *report, const doc_view *view, FILE *out);
void write_csv_lines(const doc_record *report, const doc_view *view, FILE *out);
void write_ndjson_lines(const doc_record *report, const doc_view *view,
                        FILE *out);
void write_json_head(const doc_record *report, const doc_view *view, FILE *out);
void write_json_lines(const doc_record *report, const doc_view *view,
                      FILE *out);
void write_json_end(const doc_record *report, const doc_view *view, FILE *out);

#endif
