/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

#include "saltwright.h"

static const char *const words[] = {"water", "share", "shelf", "target"};

START_TEST(one_wrong_letter_finds_the_word)
{
    ck_assert_str_eq(sw_nearest_word("watre", words, 4), "water");
    ck_assert_str_eq(sw_nearest_word("shel", words, 4), "shelf");
    ck_assert_str_eq(sw_nearest_word("taget", words, 4), "target");
    ck_assert_ptr_null(sw_nearest_word(NULL, words, 4));
}
END_TEST

START_TEST(the_nearest_of_several_wins)
{
    ck_assert_str_eq(sw_nearest_word("sharf", words, 4), "share");
    ck_assert_str_eq(sw_nearest_word("shelv", words, 4), "shelf");
}
END_TEST

START_TEST(a_word_that_is_far_finds_nothing)
{
    ck_assert_ptr_null(sw_nearest_word("objective", words, 4));
    ck_assert_ptr_null(sw_nearest_word("xyz", words, 4));
    ck_assert_ptr_null(
        sw_nearest_word("waterwaterwaterwaterwaterwaterwater", words, 4));
}
END_TEST
