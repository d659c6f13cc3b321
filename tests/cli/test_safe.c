/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

#include <string.h>

#include "io/page.h"
#include "io/safe.h"

static const char *safe(const char *text)
{
    static char out[256];
    text_use_utf8();
    text_safe(out, sizeof out, text);
    return out;
}

START_TEST(plain_text_and_other_scripts_stay_as_they_are)
{
    ck_assert_str_eq(safe("Kali-Salpeter 99 %"), "Kali-Salpeter 99 %");
    ck_assert_str_eq(safe("MgSO4·7H2O é 中"), "MgSO4·7H2O é 中");
}
END_TEST

START_TEST(control_characters_are_spelled_out)
{
    ck_assert_str_eq(safe("a\033[2Jb"), "a<U+001B>[2Jb");
    ck_assert_str_eq(safe("a\tb\nc\177"), "a<U+0009>b<U+000A>c<U+007F>");
    ck_assert_str_eq(safe("\xC2\x9B"), "<U+009B>");
}
END_TEST

START_TEST(marks_that_turn_or_hide_are_spelled_out)
{
    ck_assert_str_eq(safe("10\xE2\x80\xAE"), "10<U+202E>");
    ck_assert_str_eq(safe("\xE2\x81\xA6x"), "<U+2066>x");
    ck_assert_str_eq(safe("a\xE2\x80\x8B"), "a<U+200B>");
}
END_TEST

START_TEST(bytes_that_are_no_utf8_are_spelled_out)
{
    ck_assert_str_eq(safe("a\xFF"), "a<FF>");
    ck_assert_str_eq(safe("a\xE4"), "a<E4>");
    ck_assert_str_eq(safe("\xC0\xAF"), "<C0><AF>");
}
END_TEST

START_TEST(a_character_is_as_long_as_its_bytes)
{
    text_use_utf8();
    ck_assert_uint_eq(text_character_bytes("a"), 1);
    ck_assert_uint_eq(text_character_bytes("中文"), 3);
    ck_assert_uint_eq(text_character_bytes("\xE4\xB8"), 0);
    ck_assert_uint_eq(text_character_bytes("\xFF"), 0);
}
END_TEST

START_TEST(what_does_not_fit_is_cut_at_a_character)
{
    char out[6];
    text_use_utf8();
    text_safe(out, sizeof out, "abc中d");
    ck_assert_str_eq(out, "abc");
    text_safe(out, sizeof out, "a\033");
    ck_assert_str_eq(out, "a");
}
END_TEST

START_TEST(width_counts_columns_not_bytes)
{
    text_use_utf8();
    ck_assert_uint_eq(text_width("MgSO4·7H2O"), 10);
    ck_assert_uint_eq(text_width("中文"), 4);
    ck_assert_uint_eq(text_width("e\xCC\x81"), 1);
    ck_assert_uint_eq(text_fit("中文", 3), strlen("中"));
}
END_TEST

START_TEST(lines_break_at_spaces_and_long_words_anywhere)
{
    const char *next;
    text_use_utf8();
    ck_assert_uint_eq(page_break("one two three", 8, &next), 7);
    ck_assert_str_eq(next, "three");
    ck_assert_uint_eq(page_break("abcdefgh", 3, &next), 3);
    ck_assert_str_eq(next, "defgh");
    ck_assert_uint_eq(page_break("abc", 3, &next), 3);
    ck_assert_str_eq(next, "");
}
END_TEST

START_TEST(a_wide_character_in_no_room_still_moves_on)
{
    const char *next;
    text_use_utf8();
    ck_assert_uint_gt(page_break("中", 1, &next), 0);
    ck_assert_str_eq(next, "");
}
END_TEST
