/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Texts cut for messages: within their room, between characters. */
#include "suite.h"

#include "quantity/text.h"

#include <string.h>

/* `count` times `unit` into `to`. */
static void repeat(const char *unit, int count, char *to)
{
    *to = '\0';
    for (int i = 0; i < count; i++)
        strcat(to, unit);
}

/* Room for what is shown, and a byte behind it that must stay. */
typedef struct guarded {
    char shown[SW_SHOWN_BYTES];
    char guard;
} guarded;

START_TEST_EACH(a_text_of_any_length_fits, 256)
{
    static const char *const units[] = {"x", "\xC3\xA4", "\xE2\x82\xAC",
                                        "\xF0\x9F\x8C\xB1"};
    char text[512];
    guarded g = {.guard = '!'};
    repeat(units[_i % 4], _i / 4, text);
    sw_shorten(text, g.shown);
    size_t length = strlen(g.shown);
    ck_assert_int_eq(g.guard, '!');
    ck_assert_uint_lt(length, SW_SHOWN_BYTES);
    if (strlen(text) < SW_SHOWN_BYTES) {
        ck_assert_str_eq(g.shown, text);
    } else {
        ck_assert_str_eq(g.shown + length - 3, "...");
        ck_assert_uint_eq((length - 3) % strlen(units[_i % 4]), 0);
    }
}
END_TEST

START_TEST(a_text_is_shown_on_one_line)
{
    char shown[SW_SHOWN_BYTES];
    sw_shorten("a\nb\tc", shown);
    ck_assert_str_eq(shown, "a b c");
}
END_TEST

/* No character begins there: nothing of it can be shown. */
START_TEST(a_text_of_no_characters_is_cut_to_none)
{
    char before_and_text[SW_SHOWN_BYTES + 12] = "x";
    guarded g = {.guard = '!'};
    memset(before_and_text + 1, 0xA4, SW_SHOWN_BYTES + 10);
    sw_shorten(before_and_text + 1, g.shown);
    ck_assert_str_eq(g.shown, "...");
    ck_assert_int_eq(g.guard, '!');
}
END_TEST

START_TEST(characters_are_told_from_what_is_none)
{
    unsigned long code = 0;
    ck_assert_uint_eq(sw_utf8_next("A", 1, &code), 1);
    ck_assert_uint_eq(code, 'A');
    ck_assert_uint_eq(sw_utf8_next("\xF4\x8F\xBF\xBF", 4, &code), 4);
    ck_assert_uint_eq(code, 0x10FFFF);
    static const struct {
        const char *first, *before; /* of its length; a byte less than that */
        unsigned long code;
    } ends[] = {{"\xC2\x80", "\xC1\xBF", 0x80},
                {"\xDF\xBF", "\xC0\x80", 0x7FF},
                {"\xE0\xA0\x80", "\xE0\x9F\xBF", 0x800},
                {"\xEF\xBF\xBD", "\xED\xA0\x80", 0xFFFD},
                {"\xED\x9F\xBF", "\xED\xBF\xBF", 0xD7FF},
                {"\xEE\x80\x80", "\xEE\x80", 0xE000},
                {"\xF0\x90\x80\x80", "\xF0\x8F\xBF\xBF", 0x10000},
                {"\xF4\x8F\xBF\xBF", "\xF4\x90\x80\x80", 0x10FFFF}};
    for (size_t i = 0; i < sizeof ends / sizeof *ends; i++) {
        size_t length = strlen(ends[i].first);
        ck_assert_uint_eq(sw_utf8_next(ends[i].first, length, &code), length);
        ck_assert_uint_eq(code, ends[i].code);
        ck_assert_uint_eq(
            sw_utf8_next(ends[i].before, strlen(ends[i].before), &code), 0);
    }
    ck_assert_uint_eq(sw_utf8_next("\xE2\x82\xAC", 2, &code), 0);
    ck_assert_uint_eq(sw_utf8_next("\xE0\x80\x80", 3, &code), 0);
    ck_assert_uint_eq(sw_utf8_next("\xF0\x80\x80\x80", 4, &code), 0);
    ck_assert_uint_eq(sw_utf8_next("\x80", 1, &code), 0);
    ck_assert_uint_eq(sw_utf8_next("\xF8\x88\x80\x80", 4, &code), 0);
    ck_assert_uint_eq(sw_utf8_next("\xF8\x90\x80\x80", 4, &code), 0);
}
END_TEST
