/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One table as it is saved in several encodings: the same table. */
#include "records/stream.h"
#include "suite.h"

#include "saltwright.h"

#include <string.h>

enum { MOST_BYTES = 1024 };

typedef enum encoding {
    UTF_8,
    UTF_8_MARKED,
    LOW_FIRST, /* UTF-16 */
    LOW_FIRST_MARKED,
    HIGH_FIRST,
    HIGH_FIRST_MARKED,
    ENCODINGS
} encoding;

/* "é" is one unit of UTF-16, the seedling two. */
static const unsigned table[] = {
    's', 'a', 'm', 'p',  'l', 'e',  ',', 'C',     'a', ' ', '[', 'm', 'g',
    '/', 'L', ']', '\n', 'P', 0xE9, ' ', 0x1F331, ',', '4', '8', '\n'};
enum { CODES = sizeof table / sizeof *table };

static size_t put_unit(unsigned unit, encoding as, char *to)
{
    bool low = as == LOW_FIRST || as == LOW_FIRST_MARKED;
    to[low ? 0 : 1] = (char)(unit & 0xFF);
    to[low ? 1 : 0] = (char)(unit >> 8);
    return 2;
}

static size_t put_utf8(unsigned code, char *to)
{
    if (code < 0x80)
        return to[0] = (char)code, 1;
    if (code < 0x800) {
        to[0] = (char)(0xC0 | code >> 6);
        to[1] = (char)(0x80 | (code & 0x3F));
        return 2;
    }
    to[0] = (char)(0xF0 | code >> 18);
    for (int i = 1; i < 4; i++)
        to[i] = (char)(0x80 | (code >> (18 - 6 * i) & 0x3F));
    return 4;
}

static size_t put(unsigned code, encoding as, char *to)
{
    if (as <= UTF_8_MARKED)
        return put_utf8(code, to);
    if (code < 0x10000)
        return put_unit(code, as, to);
    put_unit(0xD800 + ((code - 0x10000) >> 10), as, to);
    put_unit(0xDC00 + ((code - 0x10000) & 0x3FF), as, to + 2);
    return 4;
}

static size_t save(encoding as, char *to)
{
    static const char mark[] = {(char)0xEF, (char)0xBB, (char)0xBF};
    size_t size = 0;
    if (as == UTF_8_MARKED) {
        memcpy(to, mark, sizeof mark);
        size = sizeof mark;
    } else if (as == LOW_FIRST_MARKED || as == HIGH_FIRST_MARKED) {
        size = put_unit(0xFEFF, as, to);
    }
    for (size_t i = 0; i < CODES; i++)
        size += put(table[i], as, to + size);
    return size;
}

static sw_waters *read_bytes(char *bytes, size_t size, sw_error *error)
{
    sw_waters *waters = NULL;
    FILE *stream = fmemopen(bytes, size, "r");
    ck_assert_ptr_nonnull(stream);
    (void)sw_waters_read(stream, "saved.csv", &waters, error);
    fclose(stream);
    return waters;
}

START_TEST_EACH(a_table_reads_the_same_in_every_encoding, ENCODINGS)
{
    char bytes[MOST_BYTES];
    sw_error error = {0};
    sw_waters *waters = read_bytes(bytes, save((encoding)_i, bytes), &error);
    ck_assert_msg(waters, "%d: %s", _i, error.message);
    ck_assert_uint_eq(waters->count, 1);
    ck_assert_str_eq(waters->items[0].sample, "P\xC3\xA9 \xF0\x9F\x8C\xB1");
    ck_assert_double_eq(waters->items[0].per_l.amount[SW_CA], 48);
    sw_waters_free(waters);
}
END_TEST

/* Half a pair, by itself, before another character, and at the end. */
START_TEST_EACH(half_a_pair_is_no_character, ENCODINGS - LOW_FIRST)
{
    static const unsigned halves[] = {0xD83C, 0xDF31};
    for (size_t h = 0; h < 2; h++)
        for (size_t at = 8; at <= CODES; at += CODES - 8) {
            char bytes[MOST_BYTES];
            sw_error error = {0};
            size_t size = save(LOW_FIRST + (encoding)_i, bytes);
            size_t from = at < CODES ? size - 2 * (CODES + 1 - at) : size;
            put_unit(halves[h], LOW_FIRST + (encoding)_i, bytes + from);
            ck_assert_ptr_null(
                read_bytes(bytes, from == size ? size + 2 : size, &error));
            ck_assert_int_eq(error.status, SW_ERR_SYNTAX);
            ck_assert_uint_gt(error.line, 0);
            ck_assert_ptr_nonnull(
                strstr(error.message, h ? "0xDF31" : "0xD83C"));
        }
}
END_TEST

START_TEST_EACH(a_file_cut_within_a_character_is_refused, ENCODINGS - LOW_FIRST)
{
    char bytes[MOST_BYTES];
    sw_error error = {0};
    size_t size = save(LOW_FIRST + (encoding)_i, bytes);
    ck_assert_ptr_null(read_bytes(bytes, size - 1, &error));
    ck_assert_int_eq(error.status, SW_ERR_SYNTAX);
    ck_assert_ptr_nonnull(strstr(error.message, "within a character"));
}
END_TEST
