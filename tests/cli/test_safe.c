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

/* A term of 4 columns has room beside its text, one of 6 has not. */
START_TEST(a_term_as_wide_as_its_column_has_a_line_of_its_own)
{
    static const struct {
        const char *term, *lines;
    } cases[] = {{"abcd", "  abcd  text\n"},
                 {"abcde", "  abcde text\n"},
                 {"abcdef", "  abcdef\n        text\n"},
                 {"abcdefg", "  abcdefg\n        text\n"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char *out = NULL;
        size_t size;
        FILE *stream = open_memstream(&out, &size);
        ck_assert_ptr_nonnull(stream);
        const cli_page page = {stream, false};
        page_entry(&page, 4, cases[i].term, "%s", "text");
        fclose(stream);
        ck_assert_str_eq(out, cases[i].lines);
        free(out);
    }
}
END_TEST

/* Lines after the first have an indent of their own. */
START_TEST(a_paragraph_hangs_and_keeps_a_number_with_its_per_cent)
{
    char *out = NULL, words[80];
    size_t size;
    FILE *stream = open_memstream(&out, &size);
    ck_assert_ptr_nonnull(stream);
    const cli_page page = {stream, false};
    memset(words, 'a', 72);
    words[72] = '\0';
    page_paragraph(&page, 2, 4, "%s 12 %%", words); /* 2 + 72 + 5 = 79 */
    page_paragraph(&page, 2, 4, "%sbb 12 %%", words);
    fclose(stream);
    char *second = strchr(out, '\n') + 1;
    ck_assert_int_eq(second - out, 80);
    ck_assert_str_eq(strchr(second, '\n'), "\n    12 %\n");
    free(out);
}
END_TEST
