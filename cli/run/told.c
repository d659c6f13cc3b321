/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Readings on the command line are written as a lab report and read by the
 * same reader, so that names, units and doubts are the same in both places.
 */
#include "run/sources.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "io/command.h"
#include "io/complain.h"
#include "io/files.h"
#include "io/memory.h"
#include "io/safe.h"
#include "sentences_text.h"

/* ---- What a report leaves open ------------------------------------------ */

char *stated_of(const cli_options *options)
{
    size_t size = 0;
    char *text = NULL;
    FILE *out = memory_stream(&text, &size);
    if (options_has(options, OPT_UNITS))
        fputs(options_value(options, OPT_UNITS, 0), out);
    for (size_t i = 0; i < options_count(options, OPT_READ_AS); i++)
        if (strchr(options_value(options, OPT_READ_AS, i), '='))
            fprintf(out, ";%s", options_value(options, OPT_READ_AS, i));
    if (fclose(out) != 0)
        exit((int)complain_memory());
    return text;
}

sw_error stated_asks(const cli_options *options, const sw_water_defect *defect)
{
    sw_error asks = defect->error;
    size_t used = strlen(asks.message);
    char list[sizeof asks.message] = "";
    if (!command_takes(options->command, OPT_READ_AS))
        return asks;
    for (const char *at = defect->choices; *at;) {
        size_t length = strcspn(at, "|");
        text_join(list, sizeof list, " or ", "--read-as \"%.*s\"", (int)length,
                  at);
        at += length + (at[length] == '|');
    }
    if (*list && used + strlen(list) + 16 < sizeof asks.message)
        snprintf(asks.message + used, sizeof asks.message - used,
                 SAY_READ_AS_WHICH, list);
    return asks;
}

/* ---- Readings in place of a file ----------------------------------------- */

bool told_is(const char *text)
{
    return strchr(text, '=') && access(text, F_OK) != 0;
}

static const char *skip_blanks(const char *at)
{
    while (isspace((unsigned char)*at))
        at++;
    return at;
}

/* "<0.5mg/L" is what comes before the unit: a sign and a number. */
static const char *end_of_value(const char *at, const char *end)
{
    at = skip_blanks(at + strspn(at, "<>"));
    at += strspn(at, "+-0123456789.,");
    return at < end ? at : end;
}

/* "alkalinity=200mg/L CaCO3" as a line of a file, `bare`: or without a unit;
 * false: it is none. */
static bool put_reading(FILE *out, const char *item, size_t length, char mark,
                        bool bare)
{
    const char *equals = memchr(item, '=', length);
    if (!equals)
        return false;
    const char *value = skip_blanks(equals + 1);
    const char *end = item + length;
    const char *unit = end_of_value(value, end);
    file_put_cell(out, item, (size_t)(equals - item));
    fputc(mark, out);
    file_put_cell(out, value, (size_t)(unit - value));
    fputc(mark, out);
    file_put_cell(out, skip_blanks(unit),
                  unit < end ? (size_t)(end - skip_blanks(unit)) : 0);
    fputc('\n', out);
    return unit > value && equals > item && (bare || skip_blanks(unit) < end);
}

static bool put_rows(FILE *out, const char *text, const char *const columns[3],
                     bool bare)
{
    const char mark = strchr(text, ';') ? ';' : ',';
    const char marks[] = {mark, '\n', '\0'};
    bool good = true;
    fprintf(out, "%s%c%s%c%s\n", columns[0], mark, columns[1], mark,
            columns[2]);
    for (const char *at = text; good && *at; at += *at != '\0') {
        at = skip_blanks(at);
        size_t length = strcspn(at, marks);
        good = put_reading(out, at, length, mark, bare);
        at += length;
    }
    return good;
}

static exit_code refuse(option_id id, const char *text)
{
    return complain_usage(
        NULL, SAY_TOLD_FORM, option_spec_of(id)->name, text,
        id == OPT_TARGET_OF
            ? "products separated by commas, each with its amount and unit, "
              "such as \"potassium nitrate=0.5g/L, Epsom salt=0.4g/L\""
            : "readings separated by commas, each with its unit, such as "
              "\"Ca=80mg/L, alkalinity=200mg/L CaCO3, pH=7.4\"");
}

exit_code told_open(option_id id, const char *given,
                    const char *const columns[3], char **text, FILE **stream)
{
    size_t size = 0;
    *stream = NULL;
    *text = NULL;
    FILE *out = memory_stream(text, &size);
    bool good = put_rows(out, given, columns, id != OPT_TARGET_OF);
    memory_close(out, text);
    if (good)
        *stream = fmemopen(*text, size, "r");
    if (*stream)
        return EXIT_DONE;
    free(*text);
    *text = NULL;
    return good ? complain_memory() : refuse(id, given);
}

/* A file has more than readings; what is told here is nothing else. */
static exit_code refuse_unread(const cli_options *options, option_id id,
                               const sw_waters *waters)
{
    const char *option = option_spec_of(id)->name;
    exit_code code = EXIT_DONE;
    for (size_t i = 0; i < waters->remark_count; i++)
        code = complain_usage(NULL, SAY_TOLD_UNKNOWN, option,
                              waters->remarks[i].written);
    for (size_t i = 0; i < waters->defect_count && code == EXIT_DONE; i++) {
        sw_error error = stated_asks(options, &waters->defects[i]);
        code = complain_option(option, &error);
    }
    return code;
}

/* A reading of a command line has no line of its own: "pH 4 (as told)". */
static void drop_places(sw_notes *notes)
{
    static const char line[] = " line ";
    for (size_t i = 0; i < notes->count; i++) {
        char *at = strstr(notes->items[i].text, "(as told");
        char *from = at ? strstr(at, line) : NULL;
        char *end = from ? strchr(from, ')') : NULL;
        if (end && end < from + sizeof " line 1234567, column 1234567")
            memmove(from, end, strlen(end) + 1);
    }
}

exit_code told_read(const cli_options *options, option_id id, const char *text,
                    size_t index, sw_waters **waters)
{
    static const char *const columns[3] = {"parameter", "value", "unit"};
    sw_error error = {0};
    FILE *stream;
    char *report;
    char name[40] = "as told";
    exit_code code = told_open(id, text, columns, &report, &stream);
    if (code != EXIT_DONE)
        return code;
    if (index)
        snprintf(name, sizeof name, "as told %zu", index + 1);
    char *stated = stated_of(options);
    sw_status status = sw_waters_gather(stream, name, stated, waters, &error);
    free(stated);
    fclose(stream);
    free(report);
    if (status != SW_OK)
        return complain_option(option_spec_of(id)->name, &error);
    drop_places(&(*waters)->notes);
    code = refuse_unread(options, id, *waters);
    if (code != EXIT_DONE) {
        sw_waters_free(*waters);
        *waters = NULL;
    }
    return code;
}
