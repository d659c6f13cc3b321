/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows and places from CSV in every dialect, and bounds on what is read. */
#define _GNU_SOURCE /* fopencookie: streams too large to write */
#include "suite.h"

#include "records/csv_reader.h"
#include "records/stream.h"

/* A reader over text, with the row it last read. */
typedef struct reading {
    FILE *stream;
    sw_csv_reader *csv;
    const sw_csv_row *row;
    sw_error error;
} reading;

static reading open_stream(FILE *stream)
{
    reading r = {.stream = stream};
    ck_assert_int_eq(sw_csv_open(r.stream, "t.csv", false, &r.csv, &r.error),
                     SW_OK);
    return r;
}

static reading open_text(const char *text)
{
    return open_stream(stream_of(text));
}

static void close_reading(reading *r)
{
    sw_csv_close(r->csv);
    fclose(r->stream);
}

static const sw_csv_row *next(reading *r)
{
    ck_assert_msg(sw_csv_next(r->csv, &r->row, &r->error) == SW_OK, "%s",
                  r->error.message);
    return r->row;
}

static void expect_cell(const reading *r, size_t at, const char *text,
                        unsigned long line, unsigned long column)
{
    ck_assert_ptr_nonnull(r->row);
    ck_assert_uint_lt(at, r->row->count);
    ck_assert_str_eq(r->row->cells[at].text, text);
    ck_assert_uint_eq(r->row->cells[at].line, line);
    ck_assert_uint_eq(r->row->cells[at].column, column);
}

static void expect_failure(reading *r, sw_status status, unsigned long line,
                           unsigned long column)
{
    sw_status got = SW_OK;
    do
        got = sw_csv_next(r->csv, &r->row, &r->error);
    while (got == SW_OK && r->row);
    ck_assert_int_eq(got, status);
    ck_assert_ptr_null(r->row);
    ck_assert_str_eq(r->error.file, "t.csv");
    ck_assert_msg(r->error.line == line && r->error.column == column,
                  "%lu:%lu %s", r->error.line, r->error.column,
                  r->error.message);
}

START_TEST(cells_come_with_line_and_column)
{
    reading r = open_text("a,bb,c\n1, 22 ,\n");
    next(&r);
    expect_cell(&r, 1, "bb", 1, 3);
    next(&r);
    expect_cell(&r, 0, "1", 2, 1);
    expect_cell(&r, 1, "22", 2, 4);
    expect_cell(&r, 2, "", 2, 8);
    ck_assert_ptr_null(next(&r));
    close_reading(&r);
}
END_TEST

START_TEST(the_last_line_needs_no_newline)
{
    reading r = open_text("a,b\n1,");
    next(&r);
    next(&r);
    ck_assert_uint_eq(r.row->count, 2);
    expect_cell(&r, 1, "", 2, 3);
    ck_assert_ptr_null(next(&r));
    ck_assert_ptr_null(next(&r));
    close_reading(&r);
}
END_TEST

START_TEST(columns_count_characters_not_bytes)
{
    reading r = open_text("Brunnen \xC3\x84,\xE2\x82\xAC,x\n");
    next(&r);
    expect_cell(&r, 1, "\xE2\x82\xAC", 1, 11);
    expect_cell(&r, 2, "x", 1, 13);
    close_reading(&r);
}
END_TEST

START_TEST(a_byte_order_mark_is_no_part_of_the_first_cell)
{
    reading r = open_text("\xEF\xBB\xBF"
                          "a;b\n");
    next(&r);
    expect_cell(&r, 0, "a", 1, 1);
    expect_cell(&r, 1, "b", 1, 3);
    close_reading(&r);
}
END_TEST

START_TEST_EACH(a_file_of_nothing_has_no_rows, 6)
{
    static const char *const files[] = {"",         "\xEF\xBB\xBF", "\n \n\r\n",
                                        "# only\n", ",,\n",         "  # x"};
    reading r = open_text(files[_i]);
    ck_assert_ptr_null(next(&r));
    close_reading(&r);
}
END_TEST

START_TEST(blank_lines_comments_and_empty_rows_are_skipped)
{
    reading r = open_text("# head\n\na,b\n  # note, with comma\n,\n\n1,2\n");
    next(&r);
    expect_cell(&r, 0, "a", 3, 1);
    next(&r);
    expect_cell(&r, 0, "1", 7, 1);
    ck_assert_ptr_null(next(&r));
    close_reading(&r);
}
END_TEST

START_TEST(a_quoted_cell_may_start_with_a_hash)
{
    reading r = open_text("a\n\"#1\"\n");
    next(&r);
    next(&r);
    expect_cell(&r, 0, "#1", 2, 1);
    close_reading(&r);
}
END_TEST

START_TEST_EACH(lines_may_end_in_lf_crlf_or_cr, 4)
{
    static const char *const files[] = {"a,b\n1,2\n", "a,b\r\n1,2\r\n",
                                        "a,b\r1,2\r", "a,b\r1,2"};
    reading r = open_text(files[_i]);
    next(&r);
    expect_cell(&r, 1, "b", 1, 3);
    next(&r);
    expect_cell(&r, 1, "2", 2, 3);
    ck_assert_ptr_null(next(&r));
    close_reading(&r);
}
END_TEST

typedef struct separated {
    const char *text;
    const char *first; /* cell, of so many */
    size_t count;
} separated;

START_TEST_EACH(the_separator_is_the_most_frequent_one_outside_quotes, 9)
{
    static const separated cases[] = {
        {"a,b,c\n", "a", 3},           {"a;b;c\n", "a", 3},
        {"a\tb\tc\n", "a", 3},         {"a\n", "a", 1},
        {"\"a;b;c\",d\n", "a;b;c", 2}, {"a, or b;c;d\n", "a, or b", 3},
        {"a,b;c\n", "a,b", 2},         {"# x,y,z\na;b\n", "a", 2},
        {"a\tb;c\n", "a", 2},
    };
    reading r = open_text(cases[_i].text);
    next(&r);
    ck_assert_str_eq(r.row->cells[0].text, cases[_i].first);
    ck_assert_uint_eq(r.row->count, cases[_i].count);
    close_reading(&r);
}
END_TEST

START_TEST(quotes_hold_separators_newlines_and_quotes)
{
    reading r = open_text("a,b\n\"x, \"\"y\"\"\r\n# z\",2\n3,4\n");
    next(&r);
    next(&r);
    expect_cell(&r, 0, "x, \"y\"\r\n# z", 2, 1);
    expect_cell(&r, 1, "2", 3, 6);
    next(&r);
    expect_cell(&r, 0, "3", 4, 1);
    close_reading(&r);
}
END_TEST

START_TEST(spaces_and_no_break_spaces_around_a_cell_do_not_count)
{
    reading r = open_text("\"  a \", \xC2\xA0"
                          "b\xC2\xA0\t,\" \"\n");
    next(&r);
    expect_cell(&r, 0, "a", 1, 1);
    expect_cell(&r, 1, "b", 1, 9);
    expect_cell(&r, 2, "", 1, 14);
    close_reading(&r);
}
END_TEST

START_TEST(a_place_within_a_cell_counts_quotes_and_lines)
{
    reading r = open_text("a\n\" x\"\"y\nz\"\n");
    next(&r);
    next(&r);
    const sw_csv_cell *cell = &r.row->cells[0];
    ck_assert_uint_eq(sw_csv_place_in(r.csv, cell, 0).column, 1);
    ck_assert_uint_eq(sw_csv_place_in(r.csv, cell, 1).column, 3);
    ck_assert_uint_eq(sw_csv_place_in(r.csv, cell, 3).column, 6);
    ck_assert_uint_eq(sw_csv_place_in(r.csv, cell, 5).line, 3);
    ck_assert_uint_eq(sw_csv_place_in(r.csv, cell, 5).column, 1);
    close_reading(&r);
}
END_TEST

/* In each way of ending a line: the 'z' and what follows. */
START_TEST(a_place_within_a_cell_knows_every_end_of_a_line)
{
    static const char *const ends[] = {"\n", "\r\n", "\r"};
    for (size_t i = 0; i < 3; i++) {
        char text[40];
        sprintf(text, "a%s\"xy%sz!\"%s", ends[i], ends[i], ends[i]);
        reading r = open_text(text);
        next(&r);
        next(&r);
        const sw_csv_cell *cell = &r.row->cells[0];
        unsigned long at = (unsigned long)strlen(cell->text);
        sw_place place = sw_csv_place_in(r.csv, cell, at);
        ck_assert_uint_eq(place.line, 3);
        ck_assert_uint_eq(place.column, 2);
        close_reading(&r);
    }
}
END_TEST

START_TEST(a_place_within_a_cell_counts_characters)
{
    reading r = open_text("a,\xC3\xA4\xC3\xB6"
                          "b\n");
    next(&r);
    ck_assert_uint_eq(sw_csv_place_in(r.csv, &r.row->cells[1], 3).column, 5);
    close_reading(&r);
}
END_TEST

typedef struct malformed {
    const char *text;
    unsigned long line;
    unsigned long column;
} malformed;

/* A header in UTF-8 beyond ASCII. */
#define U "a,\xC3\xA9\n"

START_TEST_EACH(malformed_text_is_refused_where_it_goes_wrong, 18)
{
    static const malformed cases[] = {
        {"a,b\n1,\"2\n3,4\n", 2, 3},    /* never closes */
        {"a,b\n\"1\"x,2\n", 2, 4},      /* after a closing quote */
        {"a;b\n\"1\" \"x\";2\n", 2, 5}, /* the same, a quote */
        {"a\tb\n\"1\"x\t2\n", 2, 4},    /* the same, tabs */
        {"a,b\n6\" pipe,2\n", 2, 2},    /* a quote inside */
        /* in a file that is UTF-8 before: */
        {U "1,\xE9t\xE9\n", 2, 3},        /* Latin-1 */
        {U "1,\xC0\xAF\n", 2, 3},         /* overlong */
        {U "1,\xED\xA0\x80\n", 2, 3},     /* surrogate */
        {U "1,\xF4\x90\x80\x80\n", 2, 3}, /* above U+10FFFF */
        {U "1,\xFF\n", 2, 3},             /* no lead byte */
        {U "1,x\xE2\x82", 2, 4},          /* cut short */
        {"a,b\n1,\x81\n", 2, 3},          /* nothing in Windows-1252 */
        {"a,b\n1,x\x07\n", 2, 4},         /* control */
        {"\n\x07\n", 2, 1},               /* the same below an empty line */
        {"a,b\n1,x\xC2\x9B"
         "2J\n",
         2, 4},                     /* control, C1 */
        {"PK\x03\x04xxxx\n", 1, 1}, /* zip */
        {"%PDF-1.4\n", 1, 1},
        {"{\"pH\":7}\n", 1, 1}, /* JSON */
        {"[{\"pH\":7}]\n", 1, 1},
        {"[\n {\"pH\":7}\n]\n", 1, 1},
        {"<!DOCTYPE html>\n", 1, 1},
    };
    reading r = open_text(cases[_i].text);
    expect_failure(&r, SW_ERR_SYNTAX, cases[_i].line, cases[_i].column);
    close_reading(&r);
}
END_TEST

/* As a column without a name, or in brackets. */
START_TEST(a_cell_may_begin_with_a_bracket)
{
    static const char *const texts[] = {"[1],b\n", "[,b\n"};
    for (size_t i = 0; i < 2; i++) {
        reading r = open_text(texts[i]);
        next(&r);
        expect_cell(&r, 0, i ? "[" : "[1]", 1, 1);
        close_reading(&r);
    }
}
END_TEST

START_TEST(four_byte_characters_are_text)
{
    reading r = open_text("\xF0\x9F\x8C\xB1,b\n");
    next(&r);
    expect_cell(&r, 1, "b", 1, 3);
    close_reading(&r);
}
END_TEST

START_TEST(a_zero_byte_is_refused)
{
    reading r = open_stream(stream_of_bytes("a,b\n1,\0\n", 8));
    expect_failure(&r, SW_ERR_SYNTAX, 2, 3);
    close_reading(&r);
}
END_TEST

/* A stream of one byte without end; counts what is taken. */
static ssize_t endless(void *cookie, char *buffer, size_t size)
{
    size_t *taken = cookie;
    memset(buffer, *taken == 0 ? 'a' : 'b', size);
    *taken += size;
    return (ssize_t)size;
}

START_TEST(an_endless_line_is_read_only_up_to_the_bound)
{
    size_t taken = 0;
    cookie_io_functions_t calls = {.read = endless};
    reading r = open_stream(fopencookie(&taken, "r", calls));
    expect_failure(&r, SW_ERR_LIMIT, 1, 1);
    ck_assert_uint_lt(taken, 2 * SW_MAX_LINE_BYTES);
    close_reading(&r);
}
END_TEST

/* The bound may cut the last character, of two to four bytes. */
START_TEST(a_line_above_the_bound_is_long_whatever_character_it_cuts)
{
    static const char *const units[] = {"\xC3\xA9", "\xE2\x82\xAC",
                                        "\xF0\x9F\x8C\xB1"};
    for (size_t i = 0; i < 12; i++) {
        const char *unit = units[i / 4];
        const size_t torn = SW_MAX_LINE_BYTES - 20;
        char *text = calloc(SW_MAX_LINE_BYTES + 16, 1);
        ck_assert_ptr_nonnull(text);
        memset(text, 'a', i % 4);
        for (size_t at = i % 4; at <= SW_MAX_LINE_BYTES; at += strlen(unit))
            memcpy(text + at, unit, strlen(unit));
        reading r = open_stream(stream_of_bytes(text, strlen(text)));
        expect_failure(&r, SW_ERR_LIMIT, 1, 1);
        close_reading(&r);
        text[torn] = '\xFF';
        r = open_stream(stream_of_bytes(text, strlen(text)));
        expect_failure(&r, SW_ERR_SYNTAX, 1,
                       i % 4 + (torn - i % 4) / strlen(unit) + 1);
        close_reading(&r);
        free(text);
    }
}
END_TEST

static ssize_t endless_binary(void *cookie, char *buffer, size_t size)
{
    (void)cookie;
    memset(buffer, 0xE9, size);
    return (ssize_t)size;
}

START_TEST(an_endless_binary_is_called_what_it_is)
{
    cookie_io_functions_t calls = {.read = endless_binary};
    reading r = open_stream(fopencookie(NULL, "r", calls));
    expect_failure(&r, SW_ERR_SYNTAX, 1, 1);
    close_reading(&r);
}
END_TEST

/* `head`, then `count` times `unit`, then `tail`. */
static FILE *repeated(const char *head, const char *unit, size_t count,
                      const char *tail)
{
    FILE *stream = tmpfile();
    ck_assert_ptr_nonnull(stream);
    fputs(head, stream);
    for (size_t i = 0; i < count; i++)
        fputs(unit, stream);
    fputs(tail, stream);
    rewind(stream);
    return stream;
}

START_TEST(a_cell_may_have_its_bound_and_not_one_byte_more)
{
    reading r =
        open_stream(repeated("a\n\"", "x", SW_MAX_FIELD_BYTES, "\",b\n"));
    next(&r);
    next(&r);
    ck_assert_uint_eq(strlen(r.row->cells[0].text), SW_MAX_FIELD_BYTES);
    close_reading(&r);
    r = open_stream(repeated("a\nb,", "x", SW_MAX_FIELD_BYTES + 4, "\n"));
    expect_failure(&r, SW_ERR_LIMIT, 2, 3);
    close_reading(&r);
}
END_TEST

START_TEST(a_quote_that_swallows_the_file_is_refused_where_it_opens)
{
    reading r = open_stream(repeated("a\nb,\"", "x,y\n", 5000, ""));
    expect_failure(&r, SW_ERR_LIMIT, 2, 3);
    close_reading(&r);
}
END_TEST

START_TEST(a_line_of_the_bound_is_read)
{
    reading r = open_stream(repeated("", "x         ", 6553, "abcdef\r\na\n"));
    sw_status status = sw_csv_next(r.csv, &r.row, &r.error);
    ck_assert_int_eq(status, SW_ERR_LIMIT); /* as a cell, not as a line */
    ck_assert_str_eq(r.error.message,
                     "this cell is longer than 4096 bytes, expected a name or "
                     "a number such as 12.5");
    close_reading(&r);
}
END_TEST

START_TEST(a_row_over_many_lines_has_the_bound_of_a_line)
{
    reading r = open_stream(repeated("", "\"a\n\",", 14000, "\n"));
    expect_failure(&r, SW_ERR_LIMIT, 513, 3);
    close_reading(&r);
    FILE *stream = tmpfile();
    for (int i = 0; i < 20; i++) {
        fputc('"', stream);
        for (int k = 0; k < 4090; k++)
            fputc(k % 100 ? 'x' : '\n', stream);
        fputs("\",", stream);
    }
    rewind(stream);
    r = open_stream(stream);
    expect_failure(&r, SW_ERR_LIMIT, 658, 1);
    close_reading(&r);
}
END_TEST

START_TEST(cells_in_a_row_are_bounded)
{
    reading r = open_stream(repeated("", ",", SW_MAX_COLUMNS - 1, "x\n"));
    next(&r);
    ck_assert_uint_eq(r.row->count, SW_MAX_COLUMNS);
    close_reading(&r);
    r = open_stream(repeated("", ",", SW_MAX_COLUMNS, "x\n"));
    expect_failure(&r, SW_ERR_LIMIT, 1, SW_MAX_COLUMNS + 1);
    close_reading(&r);
}
END_TEST

START_TEST(rows_are_bounded_and_the_header_is_not_one_of_them)
{
    reading r = open_stream(repeated("a\n", "1\n", SW_MAX_ROWS, ""));
    size_t rows = 0;
    while (next(&r))
        rows++;
    ck_assert_uint_eq(rows, SW_MAX_ROWS + 1);
    close_reading(&r);
    r = open_stream(repeated("a\n", "1\n", SW_MAX_ROWS + 1, ""));
    expect_failure(&r, SW_ERR_LIMIT, SW_MAX_ROWS + 2, 1);
    close_reading(&r);
}
END_TEST

START_TEST(lines_are_bounded_blank_or_not)
{
    reading r = open_stream(repeated("a\n", "\n", SW_MAX_LINES - 2, "1\n"));
    ck_assert(next(&r));
    ck_assert(next(&r));
    ck_assert(!next(&r));
    close_reading(&r);
    r = open_stream(repeated("", "#\n", SW_MAX_LINES, "#\n"));
    expect_failure(&r, SW_ERR_LIMIT, SW_MAX_LINES + 1, 1);
    close_reading(&r);
}
END_TEST

START_TEST(a_stream_that_cannot_be_read_says_so)
{
    FILE *folder = fopen(SW_SOURCE_DIR, "r");
    ck_assert_ptr_nonnull(folder);
    reading r = open_stream(folder);
    expect_failure(&r, SW_ERR_IO, 1, 0);
    ck_assert_ptr_nonnull(strstr(r.error.message, "directory"));
    close_reading(&r);
}
END_TEST

typedef struct width_case {
    const char *text;
    sw_status status;
    unsigned long column;
} width_case;

START_TEST_EACH(a_row_must_fit_its_header, 10)
{
    static const width_case cases[] = {
        {"a,b,c\n1,2,3\n", SW_OK, 0},
        {"a,b,c\n1,2,3,,\n", SW_OK, 0},
        {"a,b,c\nx\n", SW_OK, 0},
        {"a,b,c\nx,1.5\n", SW_OK, 0},
        {"a,b,c\nx,1,2,3\n", SW_ERR_SYNTAX, 7},
        {"a;b\nx;1;2\n", SW_ERR_SYNTAX, 5},
        {"a,b,c,d\nx,150,5\n", SW_ERR_SYNTAX, 3},
        {"a,b,c,d,e\n01.05.2024,150,5\n", SW_ERR_SYNTAX, 12},
        {"a,b,c,d,e\nx,7.3,150,5\n", SW_OK, 0},
        {"a;b;c;d\nx;150;5\n", SW_OK, 0},
    };
    reading r = open_text(cases[_i].text);
    size_t width = next(&r)->count;
    next(&r);
    r.error.column = 0;
    ck_assert_int_eq(
        sw_csv_check_width(r.csv, r.row->cells, r.row->count, width, &r.error),
        cases[_i].status);
    ck_assert_uint_eq(r.error.column, cases[_i].column);
    close_reading(&r);
}
END_TEST

START_TEST(closing_nothing_is_allowed)
{
    sw_csv_close(NULL);
}
END_TEST
