/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

#include "quantity/notes.h"
#include "assess/verdict.h"

#include <math.h>

static sw_target_row component(double target, double min, double max)
{
    return (sw_target_row){.kind = SW_TARGET_COMPONENT,
                           .component = SW_K,
                           .target = target,
                           .min = min,
                           .max = max};
}

static sw_verdict judge(sw_target_row row, double value)
{
    sw_band band = sw_band_of(&row);
    return sw_band_judge(&band, value);
}

START_TEST(a_target_alone_allows_ten_per_cent_either_way)
{
    sw_target_row row = component(200, NAN, NAN);
    ck_assert_int_eq(judge(row, 181), SW_MET);
    ck_assert_int_eq(judge(row, 179), SW_SHORT);
    ck_assert_int_eq(judge(row, 219), SW_MET);
    ck_assert_int_eq(judge(row, 221), SW_OVER);
}
END_TEST

START_TEST(given_limits_replace_the_band)
{
    sw_target_row row = component(200, 100, 300);
    ck_assert_int_eq(judge(row, 101), SW_MET);
    ck_assert_int_eq(judge(row, 99), SW_SHORT);
    ck_assert_int_eq(judge(row, 299), SW_MET);
    ck_assert_int_eq(judge(row, 301), SW_OVER);
}
END_TEST

START_TEST(one_given_limit_leaves_the_other_side_of_the_band)
{
    ck_assert_int_eq(judge(component(200, 150, NAN), 160), SW_MET);
    ck_assert_int_eq(judge(component(200, 150, NAN), 221), SW_OVER);
    ck_assert_int_eq(judge(component(200, NAN, 300), 179), SW_SHORT);
    ck_assert_int_eq(judge(component(200, NAN, 300), 280), SW_MET);
}
END_TEST

START_TEST(a_limit_alone_bounds_one_side_only)
{
    ck_assert_int_eq(judge(component(NAN, NAN, 50), 0), SW_MET);
    ck_assert_int_eq(judge(component(NAN, NAN, 50), 51), SW_OVER);
    ck_assert_int_eq(judge(component(NAN, 50, NAN), 1e6), SW_MET);
    ck_assert_int_eq(judge(component(NAN, 50, NAN), 49), SW_SHORT);
}
END_TEST

START_TEST(a_limit_beyond_the_band_never_makes_it_empty)
{
    sw_target_row high = component(100, 150, NAN);
    sw_target_row low = component(100, NAN, 50);
    ck_assert_int_eq(judge(high, 150), SW_MET);
    ck_assert_int_eq(judge(low, 50), SW_MET);
}
END_TEST

START_TEST(a_bound_reached_to_within_rounding_is_met)
{
    sw_target_row row = component(NAN, 100, 200);
    ck_assert_int_eq(judge(row, 100 * (1 - 1e-8)), SW_MET);
    ck_assert_int_eq(judge(row, 200 * (1 + 1e-8)), SW_MET);
    ck_assert_int_eq(judge(row, 200 * (1 + 1e-4)), SW_OVER);
}
END_TEST

START_TEST(a_ph_target_allows_half_a_unit)
{
    sw_target_row row = {
        .kind = SW_TARGET_PH, .target = 5.8, .min = NAN, .max = NAN};
    ck_assert_int_eq(judge(row, 5.35), SW_MET);
    ck_assert_int_eq(judge(row, 5.25), SW_SHORT);
    ck_assert_int_eq(judge(row, 6.35), SW_OVER);
}
END_TEST

START_TEST(a_ratio_is_judged_as_the_linear_row_it_is)
{
    sw_band band = {0.1, 0.2};
    ck_assert_int_eq(sw_band_judge_ratio(&band, 15, 100), SW_MET);
    ck_assert_int_eq(sw_band_judge_ratio(&band, 5, 100), SW_SHORT);
    ck_assert_int_eq(sw_band_judge_ratio(&band, 25, 100), SW_OVER);
    ck_assert_int_eq(sw_band_judge_ratio(&band, 1, 0), SW_OVER);
    ck_assert_int_eq(sw_band_judge_ratio(&band, 0, 0), SW_VERDICT_NONE);
}
END_TEST

START_TEST(a_ratio_bounded_on_one_side_is_free_on_the_other)
{
    sw_band most = {-INFINITY, 0.15};
    sw_band least = {1.2, INFINITY};
    ck_assert_int_eq(sw_band_judge_ratio(&most, 0, 100), SW_MET);
    ck_assert_int_eq(sw_band_judge_ratio(&least, 1, 0), SW_MET);
}
END_TEST

START_TEST(every_verdict_has_a_word_and_none_has_none)
{
    ck_assert_str_eq(sw_verdict_text(SW_MET), "met");
    ck_assert_str_eq(sw_verdict_text(SW_SHORT), "short");
    ck_assert_str_eq(sw_verdict_text(SW_OVER), "over");
    ck_assert_str_eq(sw_verdict_text(SW_VERDICT_NONE), "");
}
END_TEST

START_TEST(what_is_met_is_counted_among_what_has_a_verdict)
{
    sw_row measures[] = {{.verdict = SW_MET},
                         {.verdict = SW_OVER},
                         {.verdict = SW_VERDICT_NONE}};
    sw_assessment a = {.measures = measures, .measure_count = 3};
    size_t met, all;
    a.rows[SW_K].verdict = a.rows[SW_N].verdict = SW_MET;
    a.rows[SW_CA].verdict = SW_SHORT;
    sw_count_met(&a, &met, &all);
    ck_assert_uint_eq(met, 3);
    ck_assert_uint_eq(all, 5);
}
END_TEST

START_TEST(one_list_holds_components_and_measures)
{
    sw_row ph = {.kind = SW_TARGET_PH,
                 .name = "pH",
                 .unit = "",
                 .finished = 7,
                 .verdict = SW_OVER};
    sw_assessment a = {.measures = &ph, .measure_count = 1};
    for (size_t c = 0; c < SW_COMPONENT_COUNT; c++)
        a.rows[c].component = (sw_component)c;
    a.rows[SW_K].finished_mg_per_l = 150;
    a.rows[SW_K].low_mg_per_l = 180;
    a.rows[SW_K].verdict = SW_SHORT;
    ck_assert_uint_eq(sw_row_count(&a), SW_COMPONENT_COUNT + 1);
    sw_row k = sw_row_at(&a, SW_K);
    ck_assert_int_eq(k.kind, SW_TARGET_COMPONENT);
    ck_assert_int_eq(k.component, SW_K);
    ck_assert_str_eq(k.name, "K");
    ck_assert_str_eq(k.unit, "mg/L");
    ck_assert_double_eq(k.finished, 150);
    ck_assert_double_eq(k.low, 180);
    ck_assert_str_eq(sw_row_at(&a, SW_COMPONENT_COUNT).name, "pH");
    ck_assert(sw_is_missed(k.verdict) && sw_is_missed(ph.verdict));
    ck_assert(!sw_is_missed(SW_MET) && !sw_is_missed(SW_OPEN) &&
              !sw_is_missed(SW_VERDICT_NONE));
}
END_TEST

START_TEST(figures_keep_three_digits_and_no_exponent)
{
    char text[SW_FIGURE_BYTES];
    ck_assert_str_eq(sw_figure(1234.4, text), "1234");
    ck_assert_str_eq(sw_figure(21.24, text), "21.2");
    ck_assert_str_eq(sw_figure(2.124, text), "2.12");
    ck_assert_str_eq(sw_figure(0.0451, text), "0.045");
}
END_TEST

START_TEST(every_fitness_has_a_word)
{
    ck_assert_str_eq(sw_fitness_text(SW_FIT), "suitable");
    ck_assert_str_eq(sw_fitness_text(SW_NOT_REPORTED), "not reported");
    ck_assert_str_eq(sw_fitness_text(SW_NOT_SEEN), "below detection");
    ck_assert_str_eq(sw_fitness_text(SW_CARE), "restricted");
    ck_assert_str_eq(sw_fitness_text(SW_UNFIT), "unsuitable");
    ck_assert_str_eq(sw_fitness_text((sw_fitness)9), "unknown");
}
END_TEST
