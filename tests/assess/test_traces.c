/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Notes on trace elements: unasked, past what feeds get, or the water's. */
#include "feed.h"

START_TEST(a_trace_that_nobody_asked_for_is_told_by_how_much)
{
    static const double mg_per_l[] = {3, 6, 60}; /* MnSO4.H2O, 32.5 % Mn */
    for (int i = 0; i < 3; i++) {
        bench b;
        set_up(&b);
        add(&b, "MnSO4.H2O", mg_per_l[i]);
        sw_target_row *row = aim(&b, SW_TARGET_COMPONENT, NAN);
        row->component = SW_MN;
        row->max = 1;
        row->assumed = true;
        sw_assessment *a = assess(&b);
        const sw_note *said = note(a, "unasked");
        ck_assert_int_eq(said != NULL, i > 0);
        if (said)
            ck_assert_int_eq(said->severity, i == 1 ? SW_WARNING : SW_DANGER);
        ck_assert_int_eq(a->rows[SW_MN].verdict, SW_VERDICT_NONE);
        sw_assessment_free(a);
    }
}
END_TEST

START_TEST(a_trace_of_the_water_is_told_by_how_much)
{
    static const double mg_per_l[] = {0.6, 1.5, 6};
    for (int i = 0; i < 3; i++) {
        bench b;
        set_up(&b);
        b.water.amount[SW_B] = mg_per_l[i];
        sw_target_row *row = aim(&b, SW_TARGET_COMPONENT, NAN);
        row->component = SW_B;
        row->max = 0.7;
        row->assumed = true;
        sw_assessment *a = assess(&b);
        const sw_note *said = note(a, "unasked");
        ck_assert_int_eq(said != NULL, i > 0);
        if (said) {
            ck_assert_int_eq(said->severity, i == 1 ? SW_WARNING : SW_DANGER);
            ck_assert_ptr_nonnull(strstr(said->text, "from the water"));
        }
        sw_assessment_free(a);
    }
}
END_TEST

/* mg/L of copper from its sulfate, its target and what is said of them. */
START_TEST(a_named_trace_past_its_ceiling_is_told)
{
    static const struct {
        double sulfate, target;
        int severity; /* -1: nothing */
        bool slip;
    } rows[] = {
        {7.86, 0.05, SW_DANGER, false}, {1.96, 0.05, SW_DANGER, true},
        {2.2, 0.05, SW_DANGER, true},   {0.9, 0.2, SW_WARNING, false},
        {0.7, 0.05, -1, false},         {3.9, 1.0, -1, false},
        {39.3, 0.1, SW_DANGER, true},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        bench b;
        set_up(&b);
        add(&b, "KNO3", 500);
        add(&b, "CuSO4.5H2O", rows[i].sulfate);
        aim_at(&b, SW_CU, rows[i].target);
        b.water.amount[SW_CU] = 0.01;
        sw_assessment *a = assess(&b);
        const sw_note *said = note(a, "trace-overdose");
        ck_assert_int_eq(said ? (int)said->severity : -1, rows[i].severity);
        if (said) {
            ck_assert_ptr_nonnull(strstr(said->text, "at most 0.2"));
            ck_assert_ptr_nonnull(strstr(said->text, "CuSO4.5H2O brings"));
            ck_assert_int_eq(strstr(said->text, "slipped") != NULL,
                             rows[i].slip);
        }
        sw_assessment_free(a);
    }
}
END_TEST

START_TEST(a_named_trace_of_the_water_is_no_slip)
{
    bench b;
    set_up(&b);
    add(&b, "KNO3", 500);
    aim_at(&b, SW_B, 0.3);
    b.water.amount[SW_B] = 3;
    sw_assessment *a = assess(&b);
    const sw_note *said = note(a, "trace-overdose");
    ck_assert_ptr_nonnull(said);
    ck_assert_int_eq(said->severity, SW_DANGER);
    ck_assert_ptr_nonnull(strstr(said->text, "The water brings 3"));
    ck_assert_ptr_null(strstr(said->text, "slipped"));
    sw_assessment_free(a);
}
END_TEST

START_TEST(iron_of_the_water_is_not_counted_on)
{
    static const struct {
        double water, target;
        bool told;
    } rows[] = {{1.9, 1.8, true},
                {0.2, 1.8, true},
                {0.02, 1.8, false},
                {1.9, NAN, false},
                {0.0, 1.8, false}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        bench b;
        set_up(&b);
        add(&b, "KNO3", 500);
        add(&b, "FeSO4.7H2O", 2.5); /* 0.5 mg/L Fe */
        aim_at(&b, SW_FE, rows[i].target);
        b.water.amount[SW_FE] = rows[i].water;
        sw_assessment *a = assess(&b);
        const sw_note *said = note(a, "water-iron");
        ck_assert_int_eq(said != NULL, rows[i].told);
        if (said)
            ck_assert_int_eq(said->severity, SW_WARNING);
        sw_assessment_free(a);
    }
}
END_TEST

/* Iron hydroxide is told; the pH below 5 that would hold it is no advice. */
START_TEST(no_feed_is_told_to_be_as_acid_as_iron_needs)
{
    bench b;
    set_up(&b);
    add(&b, "KNO3", 500);
    b.water.amount[SW_FE] = 2;
    b.water.amount[SW_ALKALINITY] = b.water.amount[SW_CARBON] = 1;
    b.water.amount[SW_CA] = 20;
    sw_assessment *a = assess(&b);
    const sw_note *said = note(a, "may-precipitate");
    ck_assert_ptr_nonnull(said);
    ck_assert_ptr_nonnull(strstr(said->text, "iron"));
    ck_assert_ptr_null(strstr(said->text, "stays clear below"));
    sw_assessment_free(a);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {
        a_trace_that_nobody_asked_for_is_told_by_how_much,
        a_trace_of_the_water_is_told_by_how_much,
        a_named_trace_past_its_ceiling_is_told,
        a_named_trace_of_the_water_is_no_slip,
        iron_of_the_water_is_not_counted_on,
        no_feed_is_told_to_be_as_acid_as_iron_needs,
        NULL,
    };
    return run_suite(suite_of("traces", tests));
}
