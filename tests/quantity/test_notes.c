/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

#include "quantity/notes.h"

START_TEST(a_note_keeps_its_severity_code_and_text)
{
    sw_notes notes = {0};
    ck_assert_int_eq(sw_notes_add(&notes, SW_WARNING, "high-ca", "Ca %d", 4000),
                     SW_OK);
    ck_assert_uint_eq(notes.count, 1);
    ck_assert_int_eq(notes.items[0].severity, SW_WARNING);
    ck_assert_str_eq(notes.items[0].code, "high-ca");
    ck_assert_str_eq(notes.items[0].text, "Ca 4000");
    sw_notes_free(&notes);
    ck_assert_uint_eq(notes.count, 0);
}
END_TEST

START_TEST(a_note_too_long_says_that_it_is_cut)
{
    sw_notes notes = {0};
    enum { ROOM = sizeof notes.items->text };
    sw_notes_add(&notes, SW_INFO, "fits", "%0*d", ROOM - 1, 1);
    sw_notes_add(&notes, SW_INFO, "cut", "%0*d", ROOM, 1);
    ck_assert_str_eq(notes.items[0].text + ROOM - 4, "001");
    ck_assert_str_eq(notes.items[1].text + ROOM - 5, "0...");
    sw_notes_free(&notes);
}
END_TEST

START_TEST(appending_copies_every_note_in_order)
{
    sw_notes from = {0};
    sw_notes to = {0};
    sw_notes_add(&from, SW_INFO, "one", "first");
    sw_notes_add(&from, SW_DANGER, "two", "second");
    ck_assert_int_eq(sw_notes_append(&to, &from), SW_OK);
    sw_notes_free(&from);
    ck_assert_uint_eq(to.count, 2);
    ck_assert_str_eq(to.items[1].text, "second");
    sw_notes_free(&to);
    sw_notes_free(NULL);
}
END_TEST

START_TEST(every_severity_and_status_has_a_text)
{
    ck_assert_str_eq(sw_severity_text(SW_DANGER), "danger");
    ck_assert_str_eq(sw_status_text(SW_OK), "ok");
    ck_assert_str_eq(sw_status_text((sw_status)999), "unknown status");
}
END_TEST

/* Three figures, and no more than three decimals; by what would be shown. */
START_TEST(a_figure_has_as_many_decimals_as_it_needs)
{
    static const struct {
        double value;
        const char *text;
    } cases[] = {{0.0994, "0.099"}, {0.9994, "0.999"}, {0.9996, "1.00"},
                 {9.994, "9.99"},   {9.995, "10.0"},   {9.996, "10.0"},
                 {99.94, "99.9"},   {99.96, "100"},    {-9.996, "-10.0"},
                 {-0.5, "-0.500"},  {1234.5, "1234"}};
    char text[SW_FIGURE_BYTES];
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        ck_assert_str_eq(sw_figure(cases[i].value, text), cases[i].text);
}
END_TEST
