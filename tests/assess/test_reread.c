/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One reading of a lab report taken as another. */
#include "suite.h"
#include "tolerances.h"

#include "saltwright.h"

#include <string.h>

static sw_waters *report(void)
{
    static const char text[] = "parameter,value,unit\n"
                               "Ca,4,mg/L\nNa,<2,mg/L\nSO4,32.06,mg/L\n"
                               "alkalinity,100,mg/L CaCO3\n"
                               "hardness,10,dH\nB,0.3,mg/L\nK,3,mmol/L\n";
    FILE *stream = fmemopen((void *)text, strlen(text), "r");
    sw_waters *waters;
    sw_error error;
    ck_assert_msg(sw_waters_read(stream, "report", &waters, &error) == SW_OK,
                  "%s", error.message);
    fclose(stream);
    return waters;
}

static sw_water *reread(const sw_waters *waters, const char *read_as)
{
    sw_water *water;
    sw_error error;
    ck_assert_msg(sw_water_reread(&waters->items[0], read_as, &water, &error) ==
                      SW_OK,
                  "%s", error.message);
    return water;
}

static sw_status refused(const char *read_as, sw_error *error)
{
    sw_waters *waters = report();
    sw_water *water;
    sw_status status =
        sw_water_reread(&waters->items[0], read_as, &water, error);
    ck_assert_ptr_null(water);
    sw_waters_free(waters);
    return status;
}

START_TEST(a_reading_can_take_another_name)
{
    sw_waters *waters = report();
    sw_water *water = reread(waters, "SO4=SO4-S");
    ck_assert_double_eq_tol(water->per_l.amount[SW_S], 32.06, 1e-9);
    ck_assert_double_eq_tol(waters->items[0].per_l.amount[SW_S], 10.70, 0.01);
    ck_assert_str_eq(water->sample, waters->items[0].sample);
    sw_water_free(water);
    sw_waters_free(waters);
}
END_TEST

START_TEST(a_reading_can_take_another_unit)
{
    sw_waters *waters = report();
    sw_water *water = reread(waters, "Ca = [meq/L]");
    ck_assert_double_eq_tol(water->per_l.amount[SW_CA], 4 * 20.04,
                            TOL_ROUNDED_WEIGHT * 80);
    sw_water_free(water);
    water = reread(waters, "hardness=[fH]");
    ck_assert_double_eq_tol(water->hardness_meq_per_l, 10 / 5.004, 1e-3);
    sw_water_free(water);
    sw_waters_free(waters);
}
END_TEST

START_TEST(a_reading_can_take_another_name_and_unit)
{
    sw_waters *waters = report();
    sw_water *water = reread(waters, "alkalinity=HCO3 [mg/L]");
    ck_assert_double_eq_tol(water->per_l.amount[SW_ALKALINITY], 100 / 61.016,
                            1e-3);
    sw_water_free(water);
    sw_waters_free(waters);
}
END_TEST

START_TEST(every_ion_in_a_unit_changes_and_nothing_else)
{
    sw_waters *waters = report();
    sw_water *water = reread(waters, "[mg/L]=[meq/L]");
    const double *was = waters->items[0].per_l.amount;
    const double *is = water->per_l.amount;
    ck_assert_double_eq_tol(is[SW_CA], 4 * 20.04, TOL_ROUNDED_WEIGHT * 80);
    ck_assert_double_eq(is[SW_K], was[SW_K]); /* was in mmol/L */
    ck_assert_double_eq(is[SW_B], was[SW_B]); /* cannot be in meq/L */
    ck_assert_double_eq(is[SW_ALKALINITY], was[SW_ALKALINITY]);
    ck_assert_double_eq(water->hardness_meq_per_l,
                        waters->items[0].hardness_meq_per_l);
    ck_assert(water->below_detection[SW_NA]);
    sw_water_free(water);
    sw_waters_free(waters);
}
END_TEST

START_TEST(what_is_no_rereading_is_refused_with_examples)
{
    static const char *const texts[] = {
        "SO4",      "=SO4-S", "SO4=",        "SO4=[",     "SO4=[]",
        "Ca=[mg/L", "=",      "[mg/L]=Ca",   "[mg/L]=",   "Ca [mg/L]=K",
        "Ca=[",     "",       "Ca=[mg/L] x", "[]=[meq/L]"};
    char longest[200];
    sw_error error;
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        ck_assert_msg(refused(texts[i], &error) == SW_ERR_SYNTAX, "%s",
                      texts[i]);
        ck_assert_ptr_nonnull(strstr(error.message, "SO4=SO4-S"));
    }
    memset(longest, 'x', sizeof longest);
    longest[100] = '=';
    longest[199] = '\0';
    ck_assert_int_eq(refused(longest, &error), SW_ERR_SYNTAX);
}
END_TEST

START_TEST(a_reading_that_is_not_there_is_refused_by_name)
{
    sw_error error;
    ck_assert_int_eq(refused("Mg=[meq/L]", &error), SW_ERR_NAME);
    ck_assert_ptr_nonnull(strstr(error.message, "Mg"));
    ck_assert_int_eq(refused("[umol/L]=[mg/L]", &error), SW_ERR_NAME);
    ck_assert_ptr_nonnull(strstr(error.message, "umol/L"));
    ck_assert_int_eq(refused("nonsense=[mg/L]", &error), SW_ERR_NAME);
    ck_assert_int_eq(refused("Ca=nonsense", &error), SW_ERR_NAME);
}
END_TEST

START_TEST(a_unit_that_does_not_fit_is_refused)
{
    ck_assert_int_eq(refused("Ca=[mS/cm]", NULL), SW_ERR_UNIT);
    ck_assert_int_eq(refused("B=[meq/L]", NULL), SW_ERR_UNIT);
}
END_TEST

START_TEST(a_rereading_that_contradicts_another_reading_is_refused)
{
    ck_assert_int_eq(refused("SO4=Ca", NULL), SW_ERR_DUPLICATE);
}
END_TEST

START_TEST(freeing_nothing_is_allowed)
{
    sw_water_free(NULL);
}
END_TEST
