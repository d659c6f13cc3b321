/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where complaints go. */
#include "suite.h"

#include <stdio.h>
#include <string.h>

#include "io/complain.h"

/* What a thread's complaints come to, one held in the other. */
START_TEST(what_is_held_waits_where_it_is_told_to)
{
    char inner[200] = "", outer[200] = "";
    FILE *to_inner = fmemopen(inner, sizeof inner, "w");
    FILE *to_outer = fmemopen(outer, sizeof outer, "w");
    ck_assert_ptr_null(complain_hold(to_outer));
    complain_file("a.csv", "first %d", 1);
    ck_assert_ptr_eq(complain_hold(to_inner), to_outer);
    complain_file("b.csv", "second");
    ck_assert_ptr_eq(complain_hold(to_outer), to_inner);
    complain_file("c.csv", "third\x1b");
    ck_assert_ptr_eq(complain_hold(NULL), to_outer);
    fclose(to_inner);
    fclose(to_outer);
    ck_assert_str_eq(inner, "b.csv: error: second\n");
    ck_assert_ptr_nonnull(strstr(outer, "a.csv: error: first 1\nc.csv: "));
    ck_assert_ptr_null(strchr(outer, '\x1b'));
}
END_TEST
