/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sums of contents, and names of components. */
#include "suite.h"

#include "quantity/components.h"
#include "saltwright.h"

static const sw_content hard = {.amount = {[SW_CA] = 120, [SW_ALKALINITY] = 4}};
static const sw_content soft = {.amount = {[SW_CA] = 20, [SW_NA] = 8}};

START_TEST(waters_are_blended_by_their_fractions_onto_what_is_there)
{
    const sw_content waters[] = {hard, soft};
    const double fractions[] = {0.25, 0.75};
    sw_content to = {.amount = {[SW_K] = 3, [SW_CA] = 1}};
    sw_content_add_waters(&to, waters, fractions, 2);
    ck_assert_double_eq(to.amount[SW_CA], 1 + 30 + 15);
    ck_assert_double_eq(to.amount[SW_NA], 6);
    ck_assert_double_eq(to.amount[SW_ALKALINITY], 1);
    ck_assert_double_eq(to.amount[SW_K], 3);
}
END_TEST

START_TEST(waters_without_fractions_count_whole_and_none_adds_nothing)
{
    const sw_content waters[] = {hard, soft};
    sw_content to = {{0}};
    sw_content_add_waters(&to, waters, NULL, 2);
    ck_assert_double_eq(to.amount[SW_CA], 140);
    sw_content_add_waters(&to, NULL, NULL, 0);
    ck_assert_double_eq(to.amount[SW_CA], 140);
}
END_TEST

START_TEST(components_are_named_up_to_the_last_on_screen)
{
    ck_assert_str_eq(sw_component_name(SW_NO3_N), "NO3-N");
    ck_assert_str_eq(sw_component_name(SW_N), "N");
    ck_assert_ptr_null(sw_component_name(SW_ALKALINITY));
    ck_assert(!sw_component_is(SW_ALKALINITY, ~0u));
    ck_assert_int_eq(sw_chelated_charge(SW_ALKALINITY), 0);
}
END_TEST
