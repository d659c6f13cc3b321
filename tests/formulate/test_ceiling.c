/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the target does not name: how much of it products may add. */
#include "kit.h"

/* Manganese sulfate is the only sulfur there is; Mn may rise by 1 mg/L. */
static void open_manganese(sw_kit *kit)
{
    kit_open(kit);
    kit_target(kit, SW_S, 60);
    kit_row(kit, SW_MN, NAN, NAN, 1)->assumed = true;
    kit_product(kit, "manganese sulfate", SW_S, 190)->per_g.amount[SW_MN] = 325;
}

static double manganese(const sw_kit *kit)
{
    return 325 * kit_amount(kit, 0);
}

START_TEST(a_trace_is_no_source_of_sulfur)
{
    sw_kit kit;
    open_manganese(&kit);
    kit_optimum(&kit);
    ck_assert_double_eq_tol(manganese(&kit), 1, TOL_HAND_SOLVED);
    ck_assert_uint_eq(kit.solution->limit_count, 1);
    ck_assert_ptr_nonnull(strstr(kit.solution->limits[0].name, "to be safe"));
    kit_close(&kit);
}
END_TEST

START_TEST(what_the_water_brings_counts_not_against_it)
{
    sw_kit kit;
    open_manganese(&kit);
    kit.water[0].amount[SW_MN] = 3;
    kit_optimum(&kit);
    ck_assert_double_eq_tol(manganese(&kit), 1, TOL_HAND_SOLVED);
    kit_close(&kit);
}
END_TEST

START_TEST(in_a_blend_the_water_with_most_sets_it)
{
    sw_kit kit;
    open_manganese(&kit);
    kit.problem.water_count = 2;
    kit.water[1].amount[SW_MN] = 0.5;
    kit_optimum(&kit);
    double held = manganese(&kit) + 0.5 * kit.solution->fractions[1];
    ck_assert_double_eq_tol(held, 1.5, TOL_HAND_SOLVED);
    kit_close(&kit);
}
END_TEST

START_TEST(a_fixed_or_least_amount_is_the_users_own_word)
{
    sw_kit kit;
    open_manganese(&kit);
    kit.product[0].fixed_g_per_l = 0.02;
    kit_optimum(&kit);
    ck_assert_double_eq_tol(manganese(&kit), 6.5, TOL_HAND_SOLVED);
    kit.product[0].fixed_g_per_l = NAN;
    kit.product[0].min_g_per_l = 0.01;
    kit_optimum(&kit);
    ck_assert_double_eq_tol(manganese(&kit), 3.25, TOL_HAND_SOLVED);
    kit_close(&kit);
}
END_TEST

int main(void)
{
    const TTest *const tests[] = {a_trace_is_no_source_of_sulfur,
                                  what_the_water_brings_counts_not_against_it,
                                  in_a_blend_the_water_with_most_sets_it,
                                  a_fixed_or_least_amount_is_the_users_own_word,
                                  NULL};
    return run_suite(suite_of("ceiling", tests));
}
