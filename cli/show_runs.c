/* SPDX-License-Identifier: GPL-3.0-or-later */
/* While a single report is put together by the renderers, so are those of
 * several runs; the rest is written as any report. */
#include "show_runs.h"

#include <string.h>

#include "complain.h"
#include "csv/parts.h"
#include "json/parts.h"
#include "output.h"
#include "render.h"
#include "sheet/name.h"
#include "stop.h"
#include "write/grid.h"
#include "write/tree.h"
#include "write/write.h"

static const doc_view data = {DOC_DATA, NULL};

static void write_json_runs(const doc_record *report, const char *key,
                            const cli_several *several, FILE *out)
{
    cli_value *root = doc_run(several->reports[0]->command);
    cli_value *array = value_array();
    json_blocks(root, report, &data);
    for (size_t i = 0; i < several->count; i++) {
        cli_value *run = value_add_object(array);
        value_put_text(run, "name", several->names[i]);
        doc_put_report(run, several->reports[i]);
    }
    value_put(root, key, array);
    value_write(root, out);
}

static void write_csv_runs(const doc_record *report, const char *key,
                           const cli_several *several, FILE *out)
{
    cli_lines lines = {out, ""};
    line_header(&lines, fields_find(report->kind, key)->words);
    csv_blocks(&lines, report, &data);
    for (size_t i = 0; i < several->count; i++) {
        lines.water = several->names[i];
        lines_put_report(&lines, several->reports[i]);
    }
}

static exit_code write_result(const doc_record *report, const char *key,
                              const cli_several *several)
{
    const cli_settings *settings = several->settings;
    const doc_view screen = {DOC_SCREEN, NULL};
    cli_output output;
    output_open(&output);
    switch (settings->format) {
    case FORMAT_TEXT:
        write_text(report, &screen, render_in_colour(settings), output.stream);
        break;
    case FORMAT_JSON:
        write_json_runs(report, key, several, output.stream);
        break;
    case FORMAT_CSV:
        write_csv_runs(report, key, several, output.stream);
        break;
    }
    return output_deliver(&output, settings->output);
}

/* A chart alone is that of the criteria. */
static exit_code put_chart(const doc_record *report, const char *file)
{
    const doc_view page = {DOC_CLIENT, NULL};
    cli_output output;
    const doc_block *block = report->blocks;
    while (block && strcmp(block->field->key, "criteria") != 0)
        block = block->next;
    if (!block) {
        complain_file(file, "no sheet is written: a chart is of one stage: "
                            "choose it with --stage");
        return EXIT_UNMET;
    }
    output_open(&output);
    svg_grid(output.stream, &page, block);
    return output_deliver(&output, file);
}

static void add_runs(doc_record *report, const char *key,
                     const cli_several *several)
{
    doc_block *block = doc_add(report, key);
    for (size_t i = 0; i < several->count; i++) {
        doc_record *run = doc_row(block);
        doc_text(run, "name", several->names[i]);
        report_stop(run, several->reports[i]);
        if (several->reports[i]->steps)
            report_worker(run, several->reports[i]);
    }
}

static exit_code write_sheet(doc_record *report, const char *key,
                             const cli_several *several)
{
    const char *file = several->settings->sheet;
    cli_output output;
    if (sheet_is_chart(file))
        return put_chart(report, file);
    add_runs(report, key, several);
    output_open(&output);
    write_html(report, output.stream);
    return output_deliver(&output, file);
}

exit_code show_runs(doc_record *report, const char *key,
                    const cli_several *several)
{
    exit_code code = write_result(report, key, several);
    if (code == EXIT_DONE)
        code = several_exit_code(several);
    exit_code written = several->settings->sheet
                            ? write_sheet(report, key, several)
                            : EXIT_DONE;
    doc_free(report);
    return written > code ? written : code;
}
