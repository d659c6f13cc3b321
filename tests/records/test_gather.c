/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files of several waters read once, with what is wrong in them; units given
 * for a whole file; waters of what is said. */
#include "suite.h"

#include "records/stream.h"
#include "saltwright.h"
#include "tolerances.h"

#include <math.h>

static sw_waters *gather(const char *text, const char *units)
{
    FILE *stream = stream_of(text);
    sw_waters *waters = NULL;
    sw_error error = {0};
    ck_assert_msg(
        sw_waters_gather(stream, "well.csv", units, &waters, &error) == SW_OK,
        "%s", error.message);
    fclose(stream);
    return waters;
}

START_TEST(units_given_for_a_file_reach_what_has_none)
{
    sw_waters *w = gather("sample,pH,EC,Ca,Fe,Mg [mg/L]\nwell,7.1,0.8,2,10,9\n",
                          "mmol/L; EC mS/cm; Fe Mn umol/L");
    ck_assert_uint_eq(w->defect_count, 0);
    const sw_water *well = &w->items[0];
    ck_assert_double_eq_tol(well->per_l.amount[SW_CA], 80.156, 1e-3);
    ck_assert_double_eq_tol(well->per_l.amount[SW_FE], 0.55845, 1e-4);
    ck_assert_double_eq_tol(well->per_l.amount[SW_MG], 9.0, 1e-9);
    ck_assert_double_eq_tol(well->ec_ms_per_cm, 0.8, 1e-9);
    sw_waters_free(w);
}
END_TEST

START_TEST(a_unit_given_settles_an_open_name)
{
    sw_waters *w = gather("parameter,value\nnitrate,4\nalkalinity,120\n",
                          "nitrate mg/L as N; alkalinity mg/L CaCO3");
    ck_assert_uint_eq(w->defect_count, 0);
    ck_assert_double_eq_tol(w->items[0].per_l.amount[SW_NO3_N], 4.0, 1e-9);
    ck_assert_double_eq_tol(w->items[0].per_l.amount[SW_ALKALINITY], 2.398,
                            1e-3);
    sw_waters_free(w);
}
END_TEST

START_TEST(units_given_wrongly_are_refused)
{
    static const struct {
        const char *units;
        sw_status status;
    } cases[] = {{"mg/bucket", SW_ERR_UNIT},
                 {"Ca Mg", SW_ERR_UNIT},
                 {"Calcum mg/L", SW_ERR_NAME},
                 {"mg/L; mmol/L", SW_ERR_DUPLICATE}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        FILE *stream = stream_of("parameter,value\nCa,4\n");
        sw_waters *waters = NULL;
        sw_error error = {0};
        ck_assert_int_eq(
            sw_waters_gather(stream, "w", cases[i].units, &waters, &error),
            cases[i].status);
        ck_assert_ptr_null(waters);
        ck_assert(*error.message && !*error.file);
        fclose(stream);
    }
}
END_TEST

START_TEST(what_is_said_is_a_water)
{
    static const sw_said said[] = {{"Ca", "mg/L", 80, false},
                                   {"alkalinity", "mg/L CaCO3", 200, false},
                                   {"Fe", "ug/L", 50, true},
                                   {"pH", "", 7.4, false}};
    sw_notes notes = {0};
    sw_water *water = NULL;
    ck_assert_int_eq(
        sw_water_said(said, 4, "by telephone", &water, &notes, NULL), SW_OK);
    ck_assert_str_eq(water->sample, "by telephone");
    ck_assert_double_eq_tol(water->per_l.amount[SW_CA], 80, 1e-9);
    ck_assert(water->below_detection[SW_FE]);
    ck_assert_double_eq_tol(water->ph, 7.4, 1e-9);
    sw_water_free(water);
    sw_notes_free(&notes);
}
END_TEST

START_TEST(what_is_said_wrongly_is_told_by_its_number)
{
    static const sw_said said[] = {{"Ca", "mg/L", 80, false},
                                   {"nitrate", "mg/L", 20, false}};
    sw_notes notes = {0};
    sw_error error = {0};
    sw_water *water = NULL;
    ck_assert_int_eq(sw_water_said(said, 2, "x", &water, &notes, &error),
                     SW_ERR_NAME);
    ck_assert_uint_eq(error.column, 2);
    ck_assert_ptr_null(water);
    ck_assert_int_eq(sw_water_said(said, 0, "x", &water, &notes, NULL),
                     SW_ERR_MISSING);
    sw_notes_free(&notes);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("gather");
    TCase *t = tcase_create("gather");
    tcase_add_test(t, units_given_for_a_file_reach_what_has_none);
    tcase_add_test(t, a_unit_given_settles_an_open_name);
    tcase_add_test(t, units_given_wrongly_are_refused);
    tcase_add_test(t, what_is_said_is_a_water);
    tcase_add_test(t, what_is_said_wrongly_is_told_by_its_number);
    suite_add_tcase(suite, t);
    return run_suite(suite);
}
