/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Lines of a stream, read up to a bound and checked before anything parses
 * them: what is no UTF-8 text is refused here, with a word on what it seems
 * to be and where it starts.
 */
#include "records/csv_lines.h"

#include "records/utf8.h"

#include <errno.h>
#include <string.h>

#define SAVE_AS_CSV "save it as CSV UTF-8 from the program that made it"

/* How files that are no CSV begin. */
typedef struct signature {
    const char *bytes;
    size_t length;
    const char *what;
} signature;

static const signature signatures[] = {
    {"\xFF\xFE", 2, "UTF-16 text"},
    {"\xFE\xFF", 2, "UTF-16 text"},
    {"PK\x03\x04", 4, "a spreadsheet or another zip archive"},
    {"\xD0\xCF\x11\xE0", 4, "a spreadsheet of the old binary kind"},
    {"%PDF", 4, "a PDF"},
    {"\x1F\x8B", 2, "a gzip archive"},
};

static sw_status check_signature(const sw_lines *lines, sw_error *error)
{
    const sw_place place = {lines->name, 1, 1};
    if (lines->number > 1)
        return SW_OK;
    for (size_t i = 0; i < sizeof signatures / sizeof *signatures; i++) {
        const signature *s = &signatures[i];
        if (lines->length >= s->length &&
            !memcmp(lines->text, s->bytes, s->length))
            return sw_fail_at(
                error, SW_ERR_SYNTAX, &place,
                "this file is %s, expected CSV in UTF-8; " SAVE_AS_CSV,
                s->what);
    }
    return SW_OK;
}

static sw_status fail_encoding(unsigned char byte, const sw_place *place,
                               sw_error *error)
{
    return sw_fail_at(error, SW_ERR_SYNTAX, place,
                      "the byte 0x%02X is not valid UTF-8 (an older encoding "
                      "such as Windows-1252 perhaps), expected UTF-8 "
                      "text; " SAVE_AS_CSV,
                      byte);
}

static bool is_control(unsigned long code)
{
    return (code < 0x20 && code != '\t' && code != '\r' && code != '\n') ||
           (code >= 0x7F && code < 0xA0);
}

static sw_status fail_control(unsigned long code, const sw_place *place,
                              sw_error *error)
{
    if (code == 0)
        return sw_fail_at(
            error, SW_ERR_SYNTAX, place,
            "a zero byte stands here, so this is not a text file "
            "or it is UTF-16, expected CSV in UTF-8; " SAVE_AS_CSV);
    return sw_fail_at(
        error, SW_ERR_SYNTAX, place,
        "the control character U+%04lX stands here, expected "
        "plain text; delete it, or if this is not a CSV file " SAVE_AS_CSV,
        code);
}

/* `whole` is false where the bound may have cut the last character. */
static sw_status check_text(const sw_lines *lines, bool whole, sw_error *error)
{
    sw_place place = {lines->name, lines->number, 0};
    size_t i = 0;
    while (i < lines->length) {
        unsigned long code = 0;
        size_t count = sw_utf8_next(lines->text + i, lines->length - i, &code);
        place.column++;
        if (count == 0 && !whole && lines->length - i < 4)
            return SW_OK;
        if (count == 0)
            return fail_encoding((unsigned char)lines->text[i], &place, error);
        if (is_control(code))
            return fail_control(code, &place, error);
        i += count;
    }
    return SW_OK;
}

static sw_status fail_length(const sw_lines *lines, sw_error *error)
{
    const sw_place place = {lines->name, lines->number, 1};
    sw_status status = check_signature(lines, error);
    if (!status)
        status = check_text(lines, false, error);
    if (status)
        return status;
    return sw_fail_at(error, SW_ERR_LIMIT, &place,
                      "this line is longer than %d bytes, expected a CSV file "
                      "with a short row in each line, such as Ca,48,mg/L",
                      SW_MAX_LINE_BYTES);
}

static sw_status fail_read(const sw_lines *lines, int code, sw_error *error)
{
    const sw_place place = {lines->name, lines->number, 0};
    char reason[128];
    if (strerror_r(code, reason, sizeof reason))
        snprintf(reason, sizeof reason, "error %d", code);
    return sw_fail_at(error, SW_ERR_IO, &place,
                      "the file could not be read (%s), expected a CSV file",
                      reason);
}

/* After a CR: takes the LF of a CRLF, leaves anything else. */
static void take_lf(sw_lines *lines)
{
    int c = getc(lines->stream);
    if (c == '\n')
        lines->text[lines->length++] = '\n';
    else if (c != EOF)
        (void)ungetc(c, lines->stream);
}

static sw_status fill(sw_lines *lines, sw_error *error)
{
    int c = 0;
    errno = 0;
    while ((c = getc(lines->stream)) != EOF) {
        if (lines->length == SW_MAX_LINE_BYTES && c != '\n' && c != '\r')
            return fail_length(lines, error);
        lines->text[lines->length++] = (char)c;
        if (c == '\r')
            take_lf(lines);
        if (c == '\r' || c == '\n')
            break;
    }
    if (ferror(lines->stream))
        return fail_read(lines, errno, error);
    return SW_OK;
}

static void drop_byte_order_mark(sw_lines *lines)
{
    if (lines->number > 1 || lines->length < 3 ||
        memcmp(lines->text, "\xEF\xBB\xBF", 3) != 0)
        return;
    lines->length -= 3;
    memmove(lines->text, lines->text + 3, lines->length);
}

/* A pipe that gives blank lines for ever would else be read for ever. */
static sw_status fail_lines(const sw_lines *lines, sw_error *error)
{
    const sw_place place = {lines->name, lines->number, 1};
    return sw_fail_at(error, SW_ERR_LIMIT, &place,
                      "this file has more than %d lines, expected at most that "
                      "many, blank ones and those with # among them",
                      SW_MAX_LINES);
}

sw_status sw_lines_next(sw_lines *lines, bool *got, sw_error *error)
{
    lines->length = 0;
    lines->number++;
    sw_status status = fill(lines, error);
    *got = lines->length > 0;
    if (status)
        return status;
    if (!*got) {
        lines->number--;
        return SW_OK;
    }
    if (lines->number > SW_MAX_LINES)
        return fail_lines(lines, error);
    status = check_signature(lines, error);
    drop_byte_order_mark(lines);
    return status ? status : check_text(lines, true, error);
}
