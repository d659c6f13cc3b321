/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Readings on the command line are written as a lab report and read by the
 * same reader, so that names, units and doubts are the same in both places.
 */
#include "run/told.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "io/complain.h"
#include "io/files.h"

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
static size_t length_of_value(const char *at)
{
    const char *start = at;
    at = skip_blanks(at + strspn(at, "<>"));
    at += strspn(at, "+-0123456789.,");
    return (size_t)(at - start);
}

/* "alkalinity=200mg/L CaCO3" as a line of a report; false: it is none. */
static bool put_reading(FILE *out, const char *item, size_t length, char mark)
{
    const char *equals = memchr(item, '=', length);
    if (!equals)
        return false;
    const char *value = skip_blanks(equals + 1);
    const char *unit = value + length_of_value(value);
    file_put_cell(out, item, (size_t)(equals - item));
    fputc(mark, out);
    file_put_cell(out, value, (size_t)(unit - value));
    fputc(mark, out);
    unit = skip_blanks(unit);
    file_put_cell(out, unit,
                  unit < item + length ? (size_t)(item + length - unit) : 0);
    fputc('\n', out);
    return unit > value && equals > item;
}

static bool put_report(FILE *out, const char *text)
{
    const char mark = strchr(text, ';') ? ';' : ',';
    const char marks[] = {mark, '\n', '\0'};
    bool good = true;
    fprintf(out, "parameter%cvalue%cunit\n", mark, mark);
    for (const char *at = text; good && *at; at += *at != '\0') {
        at = skip_blanks(at);
        size_t length = strcspn(at, marks);
        good = put_reading(out, at, length, mark);
        at += length;
    }
    return good;
}

static exit_code refuse(option_id id, const char *text)
{
    return complain_usage(NULL,
                          "--%s %.200s: expected readings separated by commas, "
                          "each with its unit, such as \"Ca=80mg/L, "
                          "alkalinity=200mg/L CaCO3, pH=7.4\"; with decimal "
                          "commas separated by semicolons",
                          option_spec_of(id)->name, text);
}

exit_code told_read(option_id id, const char *text, size_t index,
                    sw_waters **waters)
{
    sw_error error;
    char name[40] = "as told";
    char *report = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&report, &size);
    if (!out)
        return complain_memory();
    bool good = put_report(out, text);
    FILE *in = fclose(out) == 0 && good ? fmemopen(report, size, "r") : NULL;
    sw_status status = SW_OK;
    if (index)
        snprintf(name, sizeof name, "as told %zu", index + 1);
    if (in) {
        status = sw_waters_read(in, name, waters, &error);
        fclose(in);
    }
    free(report);
    if (!good)
        return refuse(id, text);
    if (!in)
        return complain_memory();
    return status == SW_OK ? EXIT_DONE
                           : complain_option(option_spec_of(id)->name, &error);
}
