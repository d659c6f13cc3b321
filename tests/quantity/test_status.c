/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Statuses and the one way an error is filled. */
#include "suite.h"

#include "quantity/status.h"

#include <string.h>

START_TEST(every_status_has_its_own_text)
{
    static const sw_status all[] = {
#define STATUS_CODE(code, text) code,
        SW_STATUS_LIST(STATUS_CODE)
#undef STATUS_CODE
    };
    enum { COUNT = sizeof all / sizeof *all };
    for (int i = 0; i < COUNT; i++)
        for (int k = 0; k < i; k++)
            ck_assert_str_ne(sw_status_text(all[i]), sw_status_text(all[k]));
    ck_assert_str_eq(sw_status_text((sw_status)COUNT), "unknown status");
    ck_assert_uint_gt(strlen(sw_version()), 0);
}
END_TEST

START_TEST(an_error_says_what_and_where)
{
    sw_error error;
    sw_place place = {"well.csv", 3, 14};
    ck_assert_int_eq(sw_fail_at(&error, &place, SW_ERR_UNIT, "no %s", "unit"),
                     SW_ERR_UNIT);
    ck_assert_int_eq(error.status, SW_ERR_UNIT);
    ck_assert_str_eq(error.message, "no unit");
    ck_assert_str_eq(error.file, "well.csv");
    ck_assert_uint_eq(error.line, 3);
    ck_assert_uint_eq(error.column, 14);
}
END_TEST

START_TEST(an_error_without_a_file_has_an_empty_one)
{
    sw_error error;
    sw_fail_at(&error, &(sw_place){NULL, 0, 5}, SW_ERR_SYNTAX, "here");
    ck_assert_str_eq(error.file, "");
    sw_fail(&error, SW_ERR_VALUE, "anywhere");
    ck_assert_uint_eq(error.column, 0);
    ck_assert_int_eq(sw_fail_memory(&error), SW_ERR_MEMORY);
}
END_TEST

START_TEST(nobody_has_to_listen)
{
    ck_assert_int_eq(sw_fail(NULL, SW_ERR_VALUE, "unheard"), SW_ERR_VALUE);
}
END_TEST

/* A message that is cut stays UTF-8, so that it can be put into JSON. */
START_TEST(a_cut_message_ends_at_a_whole_character)
{
    char text[1000];
    for (size_t lead = 0; lead < 3; lead++) {
        sw_error error;
        memset(text, 'a', lead);
        for (size_t i = lead; i + 4 < sizeof text; i += 3)
            memcpy(text + i, "₂", 4);
        sw_fail(&error, SW_ERR_VALUE, "%s", text);
        size_t length = strlen(error.message);
        ck_assert_uint_ge(length, sizeof error.message - 6);
        ck_assert_uint_eq((length - lead) % 3, 0);
    }
    memset(text, 'a', sizeof text - 1);
    text[sizeof text - 1] = '\0';
    sw_error plain;
    sw_fail(&plain, SW_ERR_VALUE, "%s", text);
    ck_assert_uint_eq(strlen(plain.message), sizeof plain.message - 1);
}
END_TEST

START_TEST(components_have_names_up_to_their_count)
{
    ck_assert_str_eq(sw_component_name(SW_NO3_N), "NO3-N");
    ck_assert_str_eq(sw_component_name(SW_N), "N");
    ck_assert_ptr_null(sw_component_name(SW_ALKALINITY));
}
END_TEST

/* Each part that a call needs, left out in turn. */
START_TEST(what_lacks_a_part_is_not_whole)
{
    const sw_content water = {{0}};
    sw_target target = {0};
    sw_shelf shelf = {0};
    sw_recipe recipe = {0};
    const sw_mix mix = {
        .water = &water, .shelf = &shelf, .recipe = &recipe, .target = &target};
    const sw_problem problem = {
        .waters = &water, .target = &target, .shelf = &shelf};
    for (int lacks = 0; lacks <= 4; lacks++) {
        sw_mix m = mix;
        sw_problem p = problem;
        if (lacks == 0)
            m.water = p.waters = NULL;
        if (lacks == 1)
            m.target = p.target = NULL;
        if (lacks == 2)
            m.shelf = p.shelf = NULL;
        if (lacks == 3)
            m.recipe = NULL;
        ck_assert_int_eq(sw_whole_mix(&m) == &m, lacks == 1 || lacks == 4);
        ck_assert_int_eq(sw_aimed_mix(&m) == &m, lacks == 4);
        ck_assert_int_eq(sw_whole_problem(&p) == &p, lacks > 2);
    }
    ck_assert_ptr_null(sw_whole_mix(NULL));
    ck_assert_ptr_null(sw_aimed_mix(NULL));
    ck_assert_ptr_null(sw_whole_problem(NULL));
}
END_TEST
