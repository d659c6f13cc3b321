/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

#include "io/suggest.h"

static const char *const words[] = {"water", "share", "shelf", "target"};

START_TEST(one_wrong_letter_finds_the_word)
{
    ck_assert_str_eq(suggest("watre", words, 4), "water");
    ck_assert_str_eq(suggest("shel", words, 4), "shelf");
    ck_assert_str_eq(suggest("taget", words, 4), "target");
}
END_TEST

START_TEST(the_nearest_of_several_wins)
{
    ck_assert_str_eq(suggest("sharf", words, 4), "share");
    ck_assert_str_eq(suggest("shelv", words, 4), "shelf");
}
END_TEST

START_TEST(a_word_that_is_far_finds_nothing)
{
    ck_assert_ptr_null(suggest("objective", words, 4));
    ck_assert_ptr_null(suggest("xyz", words, 4));
    ck_assert_ptr_null(
        suggest("waterwaterwaterwaterwaterwaterwater", words, 4));
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {one_wrong_letter_finds_the_word,
                                  the_nearest_of_several_wins,
                                  a_word_that_is_far_finds_nothing, NULL};
    return run_suite(suite_of("suggest", tests));
}
