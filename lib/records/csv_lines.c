/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Lines of a stream, read up to a bound, decoded and checked before anything
 * parses them: what is no text is refused here, with a word on what it seems
 * to be and where it starts.
 *
 * A file is Windows-1252 from the first line on that is no UTF-8; what stands
 * before it must be ASCII, which is the same in both.
 */
#include "records/csv_lines.h"

#include "quantity/text.h"
#include "table_refusals.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

SW_TEXTS(sw_encoding_name, sw_encoding, "", "UTF-8", "UTF-16", "UTF-16",
         "Windows-1252")

/* ---- What is refused ---------------------------------------------------- */

/* How files that are no CSV begin. */
typedef struct signature {
    const char *bytes;
    size_t length;
    const char *what;
} signature;

static const signature signatures[] = {
    {"PK\x03\x04", 4, "a spreadsheet or another zip archive"},
    {"\xD0\xCF\x11\xE0", 4, "a spreadsheet of the old binary kind"},
    {"%PDF", 4, "a PDF"},
    {"\x1F\x8B", 2, "a gzip archive"},
    {"<!", 2, "a web page"},
    {"<?", 2, "XML"},
    {"<htm", 4, "a web page"},
};

static bool is_json(const char *text, size_t length)
{
    bool list = length > 1 && *text == '[' && text[1] &&
                strchr(" \t\r\n\"{[]", text[1]);
    return list || (length > 0 && *text == '{');
}

static sw_status check_signature(const sw_lines *lines, sw_error *error)
{
    const sw_place place = {lines->name, 1, 1};
    for (size_t i = 0; i < sizeof signatures / sizeof *signatures; i++) {
        const signature *s = &signatures[i];
        if (lines->start_length >= s->length &&
            !memcmp(lines->start, s->bytes, s->length))
            return sw_fail_at(error, &place, SW_BAD_ENCODING, s->what);
    }
    if (is_json(lines->start + lines->taken,
                lines->start_length - lines->taken))
        return sw_fail_at(error, &place, SW_BAD_ENCODING, "JSON");
    return SW_OK;
}

static bool is_wide(const sw_lines *lines)
{
    return lines->encoding == SW_UTF_16_LE || lines->encoding == SW_UTF_16_BE;
}

/* What stands at `text` is no UTF-8: a byte or, of UTF-16, half a pair of
 * surrogates. */
static sw_status fail_encoding(const sw_lines *lines, const char *text,
                               const sw_place *place, sw_error *error)
{
    const unsigned char *b = (const unsigned char *)text;
    if (is_wide(lines))
        return sw_fail_at(error, place, SW_BAD_SURROGATE,
                          0xD000U | (b[1] & 0x3FU) << 6 | (b[2] & 0x3FU));
    return sw_fail_at(error, place, SW_BAD_BYTE, b[0]);
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
        return sw_fail_at(error, place, SW_BAD_ZERO_BYTE);
    return sw_fail_at(error, place, SW_BAD_CONTROL_CHARACTER, code);
}

/* `whole` is false where the bound may have cut the last character. */
static sw_status check_text(const sw_lines *lines, size_t start, bool whole,
                            sw_error *error)
{
    sw_place place = {lines->name, lines->last, 0};
    const char *text = lines->ahead + start;
    size_t length = lines->size - start;
    for (size_t i = 0, count; i < length; i += count) {
        unsigned long code = 0;
        count = sw_utf8_next(text + i, length - i, &code);
        place.column++;
        if (count == 0 && !whole && length - i < 4)
            return SW_OK;
        if (count == 0)
            return fail_encoding(lines, text + i, &place, error);
        if (code >= 0x80 && is_control(code) &&
            lines->encoding == SW_WINDOWS_1252) /* has nothing there */
            return sw_fail_at(error, &place, SW_BAD_BYTE, (unsigned)code);
        if (is_control(code))
            return fail_control(code, &place, error);
    }
    return SW_OK;
}

static sw_status fail_length(const sw_lines *lines, size_t start,
                             sw_error *error)
{
    const sw_place place = {lines->name, lines->last, 1};
    sw_status status = check_text(lines, start, false, error);
    if (status)
        return status;
    return sw_fail_at(error, &place, SW_BAD_LINE_LONG, SW_MAX_LINE_BYTES);
}

static sw_status fail_read(const sw_lines *lines, int code, sw_error *error)
{
    const sw_place place = {lines->name, lines->last, 0};
    char reason[128];
    if (strerror_r(code, reason, sizeof reason))
        snprintf(reason, sizeof reason, "error %d", code);
    return sw_fail_at(error, &place, SW_BAD_FILE_UNREAD, reason);
}

/* A pipe that gives blank lines for ever would else be read for ever. */
static sw_status fail_lines(const sw_lines *lines, sw_error *error)
{
    const sw_place place = {lines->name, lines->last, 1};
    return sw_fail_at(error, &place, SW_BAD_LINES_MANY, SW_MAX_LINES);
}

static sw_status make_room(sw_lines *lines, size_t more, sw_error *error)
{
    if (lines->size + more <= lines->room)
        return SW_OK;
    size_t room = 2 * lines->room + more + 4096;
    char *ahead = realloc(lines->ahead, room);
    if (!ahead)
        return sw_fail_memory(error);
    lines->ahead = ahead;
    lines->room = room;
    return SW_OK;
}

/* ---- Characters --------------------------------------------------------- */

static int next_byte(sw_lines *s)
{
    if (s->taken < s->start_length)
        return (unsigned char)s->start[s->taken++];
    return getc(s->stream);
}

static long next_unit(sw_lines *s)
{
    int first = next_byte(s);
    int second = first == EOF ? EOF : next_byte(s);
    s->torn |= first != EOF && second == EOF;
    if (second == EOF)
        return EOF;
    return s->encoding == SW_UTF_16_LE ? second << 8 | first
                                       : first << 8 | second;
}

/* A byte, or of UTF-16 a code point: half a surrogate pair is one of its own,
 * which no UTF-8 can hold. */
static long next_code(sw_lines *s)
{
    long code = s->held;
    s->held = -1;
    if (code >= 0)
        return code;
    if (!is_wide(s))
        return next_byte(s);
    code = next_unit(s);
    if (code < 0xD800 || code >= 0xDC00)
        return code;
    long low = next_unit(s);
    return low < 0xDC00 || low >= 0xE000
               ? code
               : 0x10000 + ((code - 0xD800) << 10) + (low - 0xDC00);
}

static size_t encode(unsigned long code, char *to)
{
    if (code < 0x80)
        return to[0] = (char)code, 1;
    size_t count = code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
    for (size_t i = count; i-- > 1; code >>= 6)
        to[i] = (char)(0x80 | (code & 0x3F));
    to[0] = (char)((0xF00U >> count & 0xF0) | code);
    return count;
}

static void append(sw_lines *lines, long code)
{
    if (is_wide(lines))
        lines->size += encode((unsigned long)code, lines->ahead + lines->size);
    else
        lines->ahead[lines->size++] = (char)code;
}

/* What stands at 0x80 to 0x9F in Windows-1252; 0: nothing. */
static const unsigned short upper[32] = {
    0x20AC, 0,      0x201A, 0x0192, 0x201E, 0x2026, 0x2020, 0x2021,
    0x02C6, 0x2030, 0x0160, 0x2039, 0x0152, 0,      0x017D, 0,
    0,      0x2018, 0x2019, 0x201C, 0x201D, 0x2022, 0x2013, 0x2014,
    0x02DC, 0x2122, 0x0161, 0x203A, 0x0153, 0,      0x017E, 0x0178};

static unsigned long code_of(unsigned char byte)
{
    return byte >= 0x80 && byte < 0xA0 ? upper[byte - 0x80] : byte;
}

/* The line from `start` on, in Windows-1252, as UTF-8; a byte of no meaning
 * stays, and is refused with the text. */
static sw_status widen(sw_lines *lines, size_t start, sw_error *error)
{
    size_t length = lines->size - start;
    sw_status status = make_room(lines, 2 * length, error);
    char *copy = status ? NULL : malloc(length + 1);
    if (status || !copy)
        return status ? status : sw_fail_memory(error);
    memcpy(copy, lines->ahead + start, length);
    lines->size = start;
    for (size_t i = 0; i < length; i++) {
        unsigned long code = code_of((unsigned char)copy[i]);
        char *to = lines->ahead + lines->size;
        lines->size += encode(code ? code : (unsigned char)copy[i], to);
    }
    free(copy);
    return SW_OK;
}

/* ---- Lines -------------------------------------------------------------- */

static sw_status fail_torn(const sw_lines *lines, sw_error *error)
{
    const sw_place place = {lines->name, lines->last, 0};
    return sw_fail_at(error, &place, SW_BAD_TORN);
}

/* Appends a line as it is read, with its end. */
static sw_status read_line(sw_lines *lines, sw_error *error)
{
    size_t start = lines->size;
    long code = 0;
    errno = 0;
    while (code != '\n' && code != '\r' && (code = next_code(lines)) != EOF) {
        sw_status status = make_room(lines, 8, error);
        if (!status && lines->size - start >= SW_MAX_LINE_BYTES &&
            code != '\n' && code != '\r')
            status = fail_length(lines, start, error);
        if (status)
            return status;
        append(lines, code);
    }
    if (ferror(lines->stream))
        return fail_read(lines, errno, error);
    if (lines->torn)
        return fail_torn(lines, error);
    if (code == '\r' && (lines->held = next_code(lines)) == '\n')
        append(lines, next_code(lines));
    return SW_OK;
}

static bool is_ascii(const char *text, size_t length)
{
    for (size_t i = 0; i < length; i++)
        if ((unsigned char)text[i] >= 0x80)
            return false;
    return true;
}

static bool is_utf8(const char *text, size_t length)
{
    unsigned long code;
    for (size_t i = 0, count; i < length; i += count)
        if ((count = sw_utf8_next(text + i, length - i, &code)) == 0)
            return false;
    return true;
}

static sw_status settle_line(sw_lines *lines, size_t start, sw_error *error)
{
    const char *text = lines->ahead + start;
    size_t length = lines->size - start;
    sw_status status = SW_OK;
    if (!is_ascii(text, length)) {
        if (lines->encoding == SW_UTF_8 && !lines->beyond_ascii &&
            !is_utf8(text, length))
            lines->encoding = SW_WINDOWS_1252;
        lines->beyond_ascii = true;
        if (lines->encoding == SW_WINDOWS_1252)
            status = widen(lines, start, error);
    }
    return status ? status : check_text(lines, start, true, error);
}

/* Appends the next line to those ahead; nothing at the end. */
static sw_status add_line(sw_lines *lines, sw_error *error)
{
    size_t start = lines->size;
    lines->last++;
    sw_status status = read_line(lines, error);
    if (status)
        return status;
    if (lines->size == start) {
        lines->last--;
        return SW_OK;
    }
    return lines->last > SW_MAX_LINES && !lines->endless
               ? fail_lines(lines, error)
               : settle_line(lines, start, error);
}

/* What the first bytes tell of the encoding; a mark of it is taken. */
static void tell_encoding(sw_lines *lines)
{
    const char *b = lines->start;
    size_t length = lines->start_length;
    bool low_first = length == 4 && b[0] && !b[1] && b[2] && !b[3];
    bool high_first = length == 4 && !b[0] && b[1] && !b[2] && b[3];
    bool mark_low = length >= 2 && !memcmp(b, "\xFF\xFE", 2);
    bool mark_high = length >= 2 && !memcmp(b, "\xFE\xFF", 2);
    if (mark_low || mark_high)
        lines->taken = 2;
    if (length >= 3 && !memcmp(b, "\xEF\xBB\xBF", 3))
        lines->taken = 3;
    if (mark_low || low_first)
        lines->encoding = SW_UTF_16_LE;
    else if (mark_high || high_first)
        lines->encoding = SW_UTF_16_BE;
}

enum { AHEAD_LINES = 400, AHEAD_BYTES = 1 << 15 };

sw_status sw_lines_begin(sw_lines *lines, sw_error *error)
{
    lines->held = -1;
    lines->last = 1;
    errno = 0;
    lines->start_length =
        fread(lines->start, 1, sizeof lines->start, lines->stream);
    if (ferror(lines->stream))
        return fail_read(lines, errno, error);
    tell_encoding(lines);
    sw_status status = check_signature(lines, error);
    if (status)
        return status;
    size_t before = 0;
    lines->last = 0;
    do {
        before = lines->size;
        status = add_line(lines, &lines->fault);
    } while (!status && lines->size != before && lines->last < AHEAD_LINES &&
             lines->size < AHEAD_BYTES);
    if (status && before == 0 && error)
        *error = lines->fault;
    if (!status || before == 0)
        return status;
    lines->size = before; /* what stands before it comes first */
    lines->broken = status;
    return SW_OK;
}

bool sw_lines_look(sw_lines *lines)
{
    size_t left = lines->size - lines->next;
    size_t length = 0;
    if (left == 0)
        return false;
    const char *text = lines->ahead + lines->next;
    while (length < left && text[length] != '\n' && text[length] != '\r')
        length++;
    if (length < left)
        length++;
    if (length < left && text[length - 1] == '\r' && text[length] == '\n')
        length++;
    lines->text = text;
    lines->length = length;
    lines->next += length;
    lines->number++;
    return true;
}

sw_status sw_lines_next(sw_lines *lines, bool *got, sw_error *error)
{
    sw_status status = SW_OK;
    if (lines->next == lines->size && lines->broken) {
        status = lines->broken;
        if (error)
            *error = lines->fault;
    } else if (lines->next == lines->size) {
        lines->next = lines->size = 0;
        status = add_line(lines, error);
    }
    *got = !status && sw_lines_look(lines);
    return status;
}

void sw_lines_free(sw_lines *lines)
{
    free(lines->ahead);
    lines->ahead = NULL;
}
