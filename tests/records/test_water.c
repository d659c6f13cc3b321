/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Waters from their files: both forms, every dialect, and what readings say. */
#include "suite.h"

#include "records/stream.h"
#include "records/water.h"
#include "tolerances.h"

#include <math.h>

DEFINE_READ_TEXT(sw_waters, sw_waters_read, "data/well.csv")

/* The only water of a long file with these rows. */
static sw_waters *read_rows(const char *rows)
{
    char text[2048];
    ck_assert_int_lt(
        snprintf(text, sizeof text, "parameter,value,unit\n%s", rows),
        (int)sizeof text);
    sw_waters *waters = read_text(text);
    ck_assert_uint_eq(waters->count, 1);
    return waters;
}

static sw_error refuse_rows(const char *rows)
{
    char text[2048];
    sw_waters *waters = NULL;
    sw_error error = {0};
    (void)snprintf(text, sizeof text, "parameter,value,unit\n%s", rows);
    FILE *stream = stream_of(text);
    ck_assert_int_ne(sw_waters_read(stream, "well.csv", &waters, &error),
                     SW_OK);
    ck_assert_ptr_null(waters);
    fclose(stream);
    return error;
}

static double amount(const sw_waters *waters, sw_component component)
{
    return waters->items[0].per_l.amount[component];
}

static void expect_note(const sw_waters *waters, const char *code,
                        const char *says)
{
    const sw_note *note = sw_notes_find(&waters->notes, code);
    ck_assert_msg(note != NULL, "no note %s", code);
    ck_assert_msg(strstr(note->text, says) != NULL, "%s", note->text);
}

static void expect_close(double value, double expected)
{
    ck_assert_double_eq_tol(value, expected, TOL_LAB_DIGITS * fabs(expected));
}

START_TEST(a_long_file_is_one_water_named_for_the_file)
{
    sw_waters *w = read_rows("Ca,104,mg/L\npH,7.3,\nEC,788,uS/cm\n");
    ck_assert_str_eq(w->items[0].sample, "well");
    ck_assert_str_eq(w->items[0].file, "data/well.csv");
    ck_assert_uint_eq(w->items[0].reading_count, 3);
    expect_close(amount(w, SW_CA), 104.0);
    expect_close(w->items[0].ph, 7.3);
    expect_close(w->items[0].ec_ms_per_cm, 0.788);
    ck_assert_double_nan(w->items[0].tds_mg_per_l);
    ck_assert(w->items[0].reported[SW_CA]);
    ck_assert(!w->items[0].reported[SW_MG]);
    sw_waters_free(w);
}
END_TEST

START_TEST(readings_stay_as_written_with_their_place)
{
    sw_waters *w = read_rows("SO4,62,mg/L\n\nB,< 20,ug/L\n");
    const sw_reading *r = w->items[0].readings;
    ck_assert_str_eq(r[0].parameter, "SO4");
    ck_assert_str_eq(r[0].unit, "mg/L");
    ck_assert_double_eq(r[0].value, 62.0);
    ck_assert_uint_eq(r[0].line, 2);
    ck_assert_uint_eq(r[0].column, 5);
    ck_assert_int_eq(r[0].component, SW_S);
    ck_assert(r[1].below_detection);
    ck_assert_double_eq(r[1].value, 20.0);
    ck_assert_uint_eq(r[1].line, 4);
    ck_assert(w->items[0].below_detection[SW_B]);
    ck_assert_double_eq(amount(w, SW_B), 0.0);
    sw_waters_free(w);
}
END_TEST

START_TEST(a_wide_file_is_a_water_a_row)
{
    sw_waters *w = read_text("sample,pH,Ca [mg/L],NO3 [mg/L]\n"
                             "well,7.3,104,18\n\"town, new\",7.8,,<0.5\n");
    ck_assert_uint_eq(w->count, 2);
    const sw_water *town = sw_waters_find(w, "town, new");
    ck_assert_ptr_eq(town, &w->items[1]);
    ck_assert(!town->reported[SW_CA]);
    ck_assert(town->below_detection[SW_NO3_N]);
    ck_assert(town->below_detection[SW_N]);
    ck_assert_uint_eq(town->readings[1].column, 18);
    /* 18 mg/L of NO3 by the atomic weights: 18 * 14.007 / 62.004 */
    expect_close(amount(w, SW_NO3_N), 4.0663);
    ck_assert_ptr_null(sw_waters_find(w, NULL));
    ck_assert_ptr_null(sw_waters_find(w, "river"));
    sw_waters_free(w);
}
END_TEST

START_TEST(the_unit_of_a_column_may_stand_in_parentheses)
{
    sw_waters *w = read_text("sample,Ca (mg/L),Si(OH)4 (mg/L),Mg [meq/L]\n"
                             "well,80,9.611,2\n");
    expect_close(amount(w, SW_CA), 80);
    /* 9.611 mg/L of Si(OH)4 by the atomic weights: 9.611 * 28.085 / 96.113 */
    expect_close(amount(w, SW_SI), 2.8084);
    expect_close(amount(w, SW_MG), 24.305);
    sw_waters_free(w);
}
END_TEST

START_TEST(alkalinity_is_the_sum_of_its_parts)
{
    /* 244 mg/L of HCO3 and 30 of CO3 are 4.0 and 1.0 meq/L */
    sw_waters *w = read_rows("HCO3,244.06,mg/L\nCO3,30.004,mg/L\n");
    expect_close(amount(w, SW_ALKALINITY), 5.0);
    ck_assert(w->items[0].alkalinity_reported);
    sw_waters_free(w);
}
END_TEST

/* From pH 8.3 on some of it is carbonate. */
START_TEST(bicarbonate_alone_is_doubted_from_a_ph_on)
{
    static const char *const ph[] = {"8.25", "8.3", "9"};
    for (int i = 0; i < 3; i++) {
        char rows[80];
        snprintf(rows, sizeof rows, "HCO3,244.06,mg/L\npH,%s,\n", ph[i]);
        sw_waters *w = read_rows(rows);
        ck_assert_int_eq(
            sw_notes_find(&w->notes, "carbonate-unreported") != NULL, i > 0);
        sw_waters_free(w);
    }
}
END_TEST

START_TEST(readings_that_agree_are_taken_once_with_a_note)
{
    sw_waters *w = read_rows("NO3,18,mg/L\nNO3-N,4.07,mg/L\n");
    expect_close(amount(w, SW_NO3_N), 4.07); /* the finer of the two */
    expect_close(amount(w, SW_N), 4.07);
    expect_note(w, "given-twice", "NO3-N 4.07 mg/L is used");
    sw_waters_free(w);
}
END_TEST

START_TEST_EACH(readings_that_contradict_are_refused, 8)
{
    static const char *const rows[] = {
        "NO3,18,mg/L\nNO3-N,18,mg/L\n",
        "Ca,104,mg/L\nCa,104,mg/L\n",
        "pH,7.2,\npH,7.4,pH\n",
        "alkalinity,200,mg/L CaCO3\nHCO3,200,mg/L\n",
        "NO3-N,<0.05,mg/L\nNO3,18,mg/L\n",
        "alkalinity,5.1,meq/L\nHCO3,0.12,meq/L\npH,8.6,\n",
        "alkalinity,5.1,meq/L\nHCO3,4.02,meq/L\nCO3,0.02,meq/L\npH,9.2,\n",
        "alkalinity,4.02,meq/L\nHCO3,5.12,meq/L\npH,9.2,\n",
    };
    sw_error error = refuse_rows(rows[_i]);
    ck_assert_int_eq(error.status, SW_ERR_DUPLICATE);
}
END_TEST

START_TEST(hardness_gives_what_is_missing)
{
    /* 100 mg/L CaCO3 are 1.9983 meq/L: 40.04 mg of Ca or 24.28 of Mg */
    sw_waters *w = read_rows("hardness,200,mg/L CaCO3\n"
                             "Ca hardness,100,mg/L CaCO3\n");
    expect_close(amount(w, SW_CA), 40.045);
    expect_close(amount(w, SW_MG), 24.284);
    expect_note(w, "from-hardness", "Ca is not reported");
    sw_waters_free(w);
}
END_TEST

START_TEST(a_water_is_rebuilt_from_changed_readings)
{
    sw_waters *w = read_rows("NO3-N,40,mg/L\nCa,104,mg/L\n");
    sw_water copy;
    ck_assert_int_eq(sw_water_copy(&w->items[0], &copy, NULL), SW_OK);
    sw_notes notes = {0};
    char no3[] = "NO3";
    copy.alkalinity_reported = copy.reported[SW_K] =
        copy.below_detection[SW_K] = true; /* as nothing of it says */
    copy.per_l.amount[SW_K] = 5;
    copy.readings[0].parameter = no3;
    ck_assert_int_eq(sw_water_from_readings(&copy, &notes, NULL), SW_OK);
    expect_close(copy.per_l.amount[SW_NO3_N], 9.0362);
    ck_assert(!copy.alkalinity_reported && !copy.reported[SW_K]);
    ck_assert(!copy.below_detection[SW_K] && copy.per_l.amount[SW_K] == 0);
    expect_close(amount(w, SW_NO3_N), 40.0);
    sw_notes_free(&notes);
    sw_water_clear(&copy);
    sw_waters_free(w);
}
END_TEST
