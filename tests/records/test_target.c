/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Targets: what a row is about, its numbers, and what is improbable. */
#include "suite.h"

#include "records/stream.h"
#include "saltwright.h"
#include "tolerances.h"

#include <math.h>
#include <string.h>

DEFINE_READ_TEXT(sw_target, sw_target_read, "t.csv")

static sw_target *read_rows(const char *rows)
{
    char text[1024];
    (void)snprintf(text, sizeof text,
                   "parameter,target,min,max,weight,unit\n%s", rows);
    return read_text(text);
}

static void expect_close(double value, double expected)
{
    ck_assert_double_eq_tol(value, expected, TOL_LAB_DIGITS * fabs(expected));
}

START_TEST(a_row_holds_target_limits_and_weight)
{
    sw_target *t = read_rows("Ca,150,140,160,0.5,mg/L\nK,200,,,,\n");
    ck_assert_uint_eq(t->count, 2);
    ck_assert_str_eq(t->name, "t.csv");
    ck_assert_str_eq(t->rows[0].name, "Ca");
    ck_assert_int_eq(t->rows[0].kind, SW_TARGET_COMPONENT);
    ck_assert_int_eq(t->rows[0].component, SW_CA);
    ck_assert_double_eq(t->rows[0].target, 150.0);
    ck_assert_double_eq(t->rows[0].min, 140.0);
    ck_assert_double_eq(t->rows[0].max, 160.0);
    ck_assert_double_eq(t->rows[0].weight, 0.5);
    ck_assert_uint_eq(t->rows[0].line, 2);
    ck_assert_uint_eq(t->rows[0].column, 4); /* of its target */
    ck_assert_double_nan(t->rows[1].min);
    ck_assert_double_eq(t->rows[1].weight, 1.0);
    sw_target_free(t);
}
END_TEST

START_TEST(columns_come_in_any_order_and_most_may_lack)
{
    sw_target *t = read_text("Max;Parameter\n62,5;Na\n\n# soft\n70;Cl\n");
    ck_assert_uint_eq(t->count, 2);
    ck_assert_int_eq(t->rows[0].component, SW_NA);
    ck_assert_double_eq(t->rows[0].max, 62.5);
    ck_assert_double_nan(t->rows[0].target);
    ck_assert_uint_eq(t->rows[1].line, 5);
    sw_target_free(t);
}
END_TEST

typedef struct conversion {
    const char *row;
    sw_component component;
    double mg_per_l;
} conversion;

START_TEST_EACH(other_names_and_units_become_mg_per_l_of_the_component, 8)
{
    /* by the atomic weights, as in the handbook factors 0.2259, 0.4364 */
    static const conversion cases[] = {
        {"NO3,100,,,,mg/L\n", SW_NO3_N, 22.590},
        {"P2O5,100,,,,\n", SW_P, 43.642},
        {"K2O,100,,,,ppm\n", SW_K, 83.015},
        {"Ca,4,,,,mmol/L\n", SW_CA, 160.31},
        {"SO4,2.75,,,,meq/L\n", SW_S, 44.083},
        {"Fe,15,,,,umol/L\n", SW_FE, 0.83768},
        {"N,16,,,,mmol/L\n", SW_N, 224.11},
        {"total N,150,,,,\n", SW_N, 150.0},
    };
    sw_target *t = read_rows(cases[_i].row);
    ck_assert_int_eq(t->rows[0].kind, SW_TARGET_COMPONENT);
    ck_assert_int_eq(t->rows[0].component, cases[_i].component);
    expect_close(t->rows[0].target, cases[_i].mg_per_l);
    sw_target_free(t);
}
END_TEST

START_TEST(a_name_is_kept_as_written)
{
    sw_target *t = read_rows("NO3,100,,,,mg/L\n");
    ck_assert_str_eq(t->rows[0].name, "NO3");
    sw_target_free(t);
}
END_TEST

START_TEST(ph_and_ec_have_kinds_of_their_own)
{
    sw_target *t = read_rows("pH,5.8,5.5,6.2,,\nEC,2200,,,,uS/cm\n");
    ck_assert_int_eq(t->rows[0].kind, SW_TARGET_PH);
    ck_assert_double_eq(t->rows[0].min, 5.5);
    ck_assert_int_eq(t->rows[1].kind, SW_TARGET_EC);
    expect_close(t->rows[1].target, 2.2);
    sw_target_free(t);
}
END_TEST

START_TEST(a_ph_aired_is_another_row_than_the_ph_as_mixed)
{
    sw_target *t = read_rows("PH Aired,6.2,5.8,6.6,,\npH,5.6,,,,\n");
    ck_assert_int_eq(t->rows[0].kind, SW_TARGET_PH);
    ck_assert(t->rows[0].aired && !t->rows[1].aired);
    ck_assert_ptr_eq(sw_target_ph(t), &t->rows[1]);
    t->count = 1;
    ck_assert_ptr_eq(sw_target_ph(t), &t->rows[0]);
    t->count = 2;
    sw_target_free(t);
}
END_TEST

START_TEST(an_ec_without_unit_is_in_ms_per_cm)
{
    sw_target *t = read_rows("EC,2.2,,,,\n");
    expect_close(t->rows[0].target, 2.2);
    sw_target_free(t);
}
END_TEST

START_TEST(a_ratio_has_two_sides)
{
    sw_target *t = read_rows("NH4-N:N,,,0.15,,\nK : Ca,1.4,1.2,1.6,,\n");
    ck_assert_int_eq(t->rows[0].kind, SW_TARGET_RATIO);
    ck_assert_int_eq(t->rows[0].component, SW_NH4_N);
    ck_assert_int_eq(t->rows[0].other, SW_N);
    ck_assert_double_eq(t->rows[0].max, 0.15);
    ck_assert_str_eq(t->rows[1].name, "K : Ca");
    ck_assert_int_eq(t->rows[1].component, SW_K);
    ck_assert_int_eq(t->rows[1].other, SW_CA);
    sw_target_free(t);
}
END_TEST

START_TEST_EACH(what_is_far_from_any_crop_gets_a_note, 6)
{
    static const char *const rows[] = {"Fe,200,,,,mg/L\n", "pH,8.2,,,,\n",
                                       "pH,4.2,,,,\n",     "K,,,20000,,\n",
                                       "K,,,1501,,\n",     "K,,,1500,,\n"};
    sw_target *t = read_rows(rows[_i]);
    ck_assert_uint_eq(t->notes.count, _i < 5);
    for (size_t i = 0; i < t->notes.count; i++) {
        ck_assert_str_eq(t->notes.items[i].code, "improbable");
        ck_assert_ptr_nonnull(strstr(t->notes.items[i].text, "t.csv line 2"));
    }
    sw_target_free(t);
}
END_TEST

/* A part of nitrogen is no more than all of it; potassium may be. */
START_TEST(no_form_of_nitrogen_is_more_than_all_of_it)
{
    static const struct {
        const char *row;
        bool reads;
    } cases[] = {
        {"NO3-N:N,,,1.01,,\n", false},  {"NH4-N:N,,,1.01,,\n", false},
        {"urea-N:N,,,1.01,,\n", false}, {"urea-N:N,,,1,,\n", true},
        {"K:N,,,1.5,,\n", true},        {"NH4-N:NO3-N,,,1.5,,\n", true}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[128];
        sw_error error = {0};
        sw_target *target = NULL;
        snprintf(text, sizeof text, "parameter,target,min,max,weight,unit\n%s",
                 cases[i].row);
        FILE *stream = stream_of(text);
        sw_status status = sw_target_read(stream, "t.csv", &target, &error);
        ck_assert_msg((status == SW_OK) == cases[i].reads, "%s: %s",
                      cases[i].row, error.message);
        fclose(stream);
        sw_target_free(target);
    }
}
END_TEST

START_TEST_EACH(the_ph_of_a_feed_is_within_4_and_8_and_a_half, 6)
{
    static const struct {
        const char *row;
        unsigned long column; /* 0: taken */
    } cases[] = {{"pH,4,,,,\n", 0},       {"pH,8,4,8.5,,\n", 0},
                 {"pH,3.99,,,,\n", 4},    {"pH,8.51,,,,\n", 4},
                 {"pH,5.8,3.9,6,,\n", 8}, {"pH,5.8,5.5,9,,\n", 12}};
    char text[128];
    sw_target *t;
    sw_error error = {0};
    snprintf(text, sizeof text, "parameter,target,min,max,weight,unit\n%s",
             cases[_i].row);
    FILE *stream = stream_of(text);
    sw_status status = sw_target_read(stream, "t.csv", &t, &error);
    ck_assert_int_eq(status, cases[_i].column ? SW_ERR_VALUE : SW_OK);
    ck_assert_uint_eq(error.column, cases[_i].column);
    fclose(stream);
    sw_target_free(t);
}
END_TEST

START_TEST(a_weight_without_target_gets_a_note)
{
    sw_target *t = read_rows("Na,,,50,2,\n");
    ck_assert_uint_eq(t->notes.count, 1);
    ck_assert_str_eq(t->notes.items[0].code, "weight-unused");
    sw_target_free(t);
}
END_TEST

START_TEST(an_ordinary_target_gets_no_note)
{
    sw_target *t = read_rows("N,190,,,,\nK,265,,,,\nFe,2.5,,,,\nCl,,,80,,\n"
                             "pH,5.8,5.5,6.2,,\nEC,2.2,,,,mS/cm\n");
    ck_assert_uint_eq(t->count, 6);
    ck_assert_uint_eq(t->notes.count, 0);
    sw_target_free(t);
}
END_TEST

START_TEST(a_component_without_a_unit_among_others_with_one_gets_a_note)
{
    sw_target *t = read_rows("N,150,,,,\nK,265,,,,mg/L\nB,,,0.5,,\n"
                             "NH4-N:N,,,0.1,,\npH,5.8,5.5,6.2,,\n");
    ck_assert_uint_eq(t->notes.count, 1);
    ck_assert_str_eq(t->notes.items[0].code, "target-no-unit");
    ck_assert_ptr_nonnull(strstr(t->notes.items[0].text, "mg/L: N, B."));
    sw_target_free(t);
}
END_TEST

START_TEST(many_rows_fit)
{
    char rows[1024] = "";
    static const char *const forms[] = {"NO3-N", "NH4-N", "P", "K",
                                        "Ca",    "Mg",    "S", "Cl"};
    for (int i = 0; i < 8; i++)
        for (int k = i + 1; k < 8; k++)
            (void)sprintf(rows + strlen(rows), "%s:%s,1,,,,\n", forms[i],
                          forms[k]);
    sw_target *t = read_rows(rows);
    ck_assert_uint_eq(t->count, 28);
    sw_target_free(t);
}
END_TEST

START_TEST(the_row_on_ph_is_found_where_there_is_one)
{
    sw_target *t = read_rows("N,190,,,,\npH,5.8,5.5,6.2,,\nEC,2,,,,\n");
    ck_assert_ptr_eq(sw_target_ph(t), &t->rows[1]);
    sw_target_free(t);
    t = read_rows("N,190,,,,\n");
    ck_assert_ptr_null(sw_target_ph(t));
    sw_target_free(t);
    ck_assert_ptr_null(sw_target_ph(NULL));
}
END_TEST

START_TEST(an_error_may_be_left_unasked)
{
    FILE *stream = stream_of("parameter,target\nXx,1\n");
    sw_target *t = NULL;
    ck_assert_int_eq(sw_target_read(stream, "t.csv", &t, NULL), SW_ERR_NAME);
    ck_assert_ptr_null(t);
    fclose(stream);
    sw_target_free(NULL);
}
END_TEST

/* N is the sum of its forms: what they ask for is within it. */
static const struct {
    const char *rows, *said; /* "": taken */
} nitrogen[] = {
    {"N,150,,,,\nNO3-N,170,,,,\n", "asks for 170 mg/L"},
    {"NO3-N,170,,,,\nN,150,,,,\n", "N for 150 mg/L"},
    {"N,150,,,,\nNO3-N,140,,,,\nNH4-N,20,,,,\n", "ask for 160 mg/L"},
    {"N,,,150,,\nNO3-N,,160,,,\n", "asks for 160 mg/L"},
    {"N,,,150,,\nNO3-N,170,,,,\n", "asks for 170 mg/L"},
    {"N,150,,,,\nNO3-N,,,170,,\n", ""}, /* a limit that nothing reaches */
    {"N,150,,,,\nNO3-N,130,,,,\nNH4-N,20,,,,\n", ""},
    {"N,150,,,,\nNO3-N,151,,,,\n", ""},               /* a rounding */
    {"N,150,,,,\nNO3-N,100,,,,\nNH4-N,20,,,,\n", ""}, /* urea */
    {"N,150,,,,\nNO3-N,100,,,,\nNH4-N,20,,,,\nurea-N,,,10,,\n",
     "at most 130 mg/L"},
    {"N,150,,,,\nNO3-N,100,,,,\nNH4-N,20,,,,\nurea-N,,,40,,\n", ""},
    {"N,10,,,,mmol/L\nNO3,700,,,,mg/L\n", "asks for 158.1 mg/L"},
};

START_TEST_EACH(forms_of_nitrogen_are_within_n,
                sizeof nitrogen / sizeof *nitrogen)
{
    char text[300];
    sw_target *t = NULL;
    sw_error error = {.message = ""};
    (void)snprintf(text, sizeof text,
                   "parameter,target,min,max,weight,unit\n%s",
                   nitrogen[_i].rows);
    FILE *stream = stream_of(text);
    if (sw_target_read(stream, "t.csv", &t, &error) == SW_OK)
        error.message[0] = '\0';
    fclose(stream);
    ck_assert_msg(*nitrogen[_i].said
                      ? strstr(error.message, nitrogen[_i].said) != NULL
                      : !*error.message,
                  "%s: %s", nitrogen[_i].rows, error.message);
    ck_assert(!*error.message || (error.line >= 3 && error.column == 1));
    sw_target_free(t);
}
END_TEST

START_TEST(forms_of_nitrogen_are_held_against_n_of_their_stage)
{
    sw_target *t = read_text("parameter,target,stage\nN,150,young\nN,220,old\n"
                             "NO3-N,140,young\nNO3-N,200,old\n");
    ck_assert_uint_eq(t->count, 4);
    sw_target_free(t);
    sw_error error = {0};
    FILE *stream = stream_of("parameter,target,stage\nN,150,young\n"
                             "N,220,old\nNO3-N,200,\n");
    ck_assert_int_eq(sw_target_read(stream, "t.csv", &t, &error), SW_ERR_VALUE);
    fclose(stream);
    ck_assert_uint_eq(error.line, 4);
}
END_TEST
