/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From a report to its files, each by its writer. */
#include "command/show.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "io/complain.h"
#include "io/output.h"
#include "io/safe.h"
#include "write/write.h"
#include "sentences_text.h"

enum { MOST_BLOCKS = 64, KEY_BYTES = 64 };

/* Refuses a name of no block, with those that there are. */
static exit_code refuse_block(const doc_record *report, const char *name,
                              const char *const *keys, size_t count)
{
    char list[MOST_BLOCKS * KEY_BYTES] = "";
    for (size_t i = 0; i < count; i++)
        text_join(list, sizeof list, ", ", "%s", keys[i]);
    return complain_usage(doc_text_of(report, "command"), SAY_ONLY_BLOCKS, name,
                          list, complain_near(name, keys, count).text);
}

/* Whether each of the blocks asked for is one that the report may have. */
static exit_code check_only(const doc_record *report, const char *only)
{
    const char *keys[MOST_BLOCKS];
    size_t count = doc_block_keys(report, keys, MOST_BLOCKS);
    for (const char *at = only; at; at = strchr(at, ',')) {
        char name[KEY_BYTES];
        at += at != only;
        snprintf(name, sizeof name, "%.*s", (int)strcspn(at, ","), at);
        size_t i = 0;
        while (i < count && strcmp(keys[i], name) != 0)
            i++;
        if (i == count)
            return refuse_block(report, name, keys, count);
    }
    return EXIT_DONE;
}

/* To a terminal that shows colour and wants it (https://no-color.org). */
static bool is_coloured(const cli_settings *settings)
{
    const char *refused = getenv("NO_COLOR");
    const char *terminal = getenv("TERM");
    bool capable = terminal && strcmp(terminal, "dumb") != 0;
    return settings->format == FORMAT_TEXT && !settings->output && capable &&
           !(refused && *refused) && isatty(STDOUT_FILENO);
}

static void write_format(const doc_record *report, const cli_settings *settings,
                         FILE *out)
{
    doc_view data = {DOC_DATA, settings->only};
    doc_view screen = {settings->brief ? DOC_BRIEF : DOC_SCREEN,
                       settings->only};
    switch (settings->format) {
    case FORMAT_TEXT:
        write_text(report, &screen, is_coloured(settings), out);
        break;
    case FORMAT_JSON:
        write_json(report, &data, out);
        break;
    case FORMAT_CSV:
        write_csv(report, &data, out);
        break;
    case FORMAT_NDJSON:
        write_ndjson(report, &data, out);
        break;
    }
}

static const doc_view data_view = {DOC_DATA, NULL};

void show_head(const doc_record *report, const cli_settings *settings,
               FILE *out)
{
    if (settings->format == FORMAT_CSV)
        write_csv_head(report, &data_view, out);
    else if (settings->format == FORMAT_JSON)
        write_json_head(report, &data_view, out);
}

void show_lines(const doc_record *report, const cli_settings *settings,
                FILE *out)
{
    switch (settings->format) {
    case FORMAT_TEXT:
        write_format(report, settings, out);
        break;
    case FORMAT_JSON:
        write_json_lines(report, &data_view, out);
        break;
    case FORMAT_CSV:
        write_csv_lines(report, &data_view, out);
        break;
    case FORMAT_NDJSON:
        write_ndjson_lines(report, &data_view, out);
        break;
    }
}

void show_between(const cli_settings *settings, FILE *out)
{
    if (settings->format == FORMAT_TEXT)
        fputc('\n', out);
    else if (settings->format == FORMAT_JSON)
        fputc(',', out);
}

void show_end(const doc_record *report, const cli_settings *settings, bool more,
              FILE *out)
{
    if (settings->format == FORMAT_JSON)
        write_json_end(report, &data_view, out);
    else if (settings->format == FORMAT_TEXT && more) {
        show_between(settings, out);
        write_format(report, settings, out);
    }
}

/* Its first chart, or that of block `key`. */
static exit_code write_svg(const doc_record *report, const char *key,
                           const char *file)
{
    cli_output output;
    const doc_view page = {DOC_CLIENT | DOC_EVIDENCE, key};
    if (!write_has_charts(report))
        return complain_usage(doc_text_of(report, "command"),
                              SAY_SHEET_NO_CHART, file);
    output_open(&output);
    if (write_chart(report, &page, output.stream))
        return output_deliver(&output, file);
    output_drop(&output);
    complain_file(file, SAY_NO_CHART);
    return EXIT_UNMET;
}

static exit_code write_sheet(const doc_record *report, const char *file)
{
    cli_output output;
    if (output_is_chart(file))
        return write_svg(report, NULL, file);
    output_open(&output);
    write_html(report, output.stream);
    return output_deliver(&output, file);
}

static exit_code write_result(const doc_record *report,
                              const cli_settings *settings)
{
    cli_output output;
    output_open(&output);
    write_format(report, settings, output.stream);
    if (settings->only && fflush(output.stream) == 0 && output.size == 0)
        complain_usage(doc_text_of(report, "command"), SAY_ONLY_NOTHING,
                       settings->only, settings->only);
    return output_deliver(&output, settings->output);
}

static exit_code worse(exit_code a, exit_code b)
{
    return a > b ? a : b;
}

exit_code show_report(doc_record *report, const cli_settings *settings,
                      exit_code code)
{
    exit_code written = check_only(report, settings->only);
    if (written == EXIT_DONE)
        written = write_result(report, settings);
    if (written == EXIT_DONE)
        written = code;
    if (written <= EXIT_UNMET && settings->curve)
        written =
            worse(written, write_svg(report, "trade_off", settings->curve));
    if (written <= EXIT_UNMET && settings->sheet)
        written = worse(written, write_sheet(report, settings->sheet));
    doc_free(report);
    return written;
}

exit_code show_run(const cli_run *run)
{
    const cli_report *report = &run->report;
    doc_record *record = report_begin_as("report", report->command);
    report_mixing(record, report);
    return show_report(record, report->settings, report_exit_code(report));
}

exit_code show_several(doc_record *report, const char *key,
                       const cli_several *several)
{
    doc_block *block = doc_add(report, key);
    for (size_t i = 0; i < several->count; i++) {
        doc_record *run = doc_row(block);
        doc_text(run, "name", several->names[i]);
        report_mixing(run, several->reports[i]);
    }
    return show_report(report, several->settings, several_exit_code(several));
}
