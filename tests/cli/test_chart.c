/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

#include <string.h>

#include "write/chart.h"
#include "io/safe.h"

START_TEST(a_label_that_fits_stays_whole)
{
    ck_assert_uint_eq(chart_fit("3 purified", 106.0), strlen("3 purified"));
    ck_assert_uint_eq(chart_fit("", 106.0), 0);
}
END_TEST

START_TEST(wide_letters_leave_room_for_fewer)
{
    /* 7.8 + 5 + 7 x 12 = 96.8; another W would make 108.8 */
    ck_assert_uint_eq(chart_fit("1 WWWWWWWWWW", 106.0), strlen("1 WWWWWWW"));
    ck_assert_uint_gt(chart_fit("1 iiiiiiiiiiiiiiiiii", 106.0),
                      strlen("1 WWWWWWW"));
}
END_TEST

START_TEST(a_label_is_cut_at_a_character)
{
    text_use_utf8();
    ck_assert_uint_eq(chart_fit("中文中文", 25.0), strlen("中文"));
}
END_TEST
