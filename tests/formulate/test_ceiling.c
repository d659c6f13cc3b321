/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the target does not name: how much of it products may add. */
#include "kit.h"

/* A sulfate with some manganese is the only sulfur; Mn may rise by 1 mg/L. */
static void open_manganese(sw_kit *kit)
{
    kit_open(kit);
    kit_target(kit, SW_S, 60);
    kit_product(kit, "a sulfate", SW_S, 190)->per_g.amount[SW_MN] = 150;
}

static double manganese(const sw_kit *kit)
{
    return 150 * kit_amount(kit, 0);
}

START_KIT_TEST(a_trace_is_no_source_of_sulfur, open_manganese(kit))
{
    kit_optimum(kit);
    ck_assert_double_eq_tol(manganese(kit), 1, TOL_HAND_SOLVED);
    ck_assert_uint_eq(kit->solution->limit_count, 1);
    ck_assert_ptr_nonnull(strstr(kit->solution->limits[0].name, "our ceiling"));
}
END_TEST

/* 12.67 parts of sulfur with each of manganese. */
START_TEST(what_is_held_beside_the_limits_says_for_whose_sake)
{
    static const struct {
        double sulfur, low, high, max, held;
    } cases[] = {{60, 0, 0.8, NAN, 0.8}, {60, 0, 1.8, NAN, 1.8},
                 {60, 0, 1.8, 1.7, 1.7}, /* the max is the closer one */
                 {60, 0, 0, 0, 0},       /* and none is held */
                 {5, 0.8, 0, NAN, 0.8},  {5, 1.8, 0, NAN, 1.8}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_kit kit;
        kit_open(&kit);
        kit_target(&kit, SW_S, cases[i].sulfur);
        sw_target_row *row = kit_row(&kit, SW_MN, 1, NAN, cases[i].max);
        row->weight = 0;
        row->held_low = cases[i].low;
        row->held_high = cases[i].high;
        kit_product(&kit, "a sulfate", SW_S, 190)->per_g.amount[SW_MN] = 15;
        kit_optimum(&kit);
        ck_assert_double_eq_tol(15 * kit_amount(&kit, 0), cases[i].held,
                                TOL_HAND_SOLVED);
        ck_assert_uint_eq(kit.solution->limit_count, 1);
        ck_assert_int_eq(kit.solution->limits[0].origin == SW_FOR_SULFUR,
                         isnan(cases[i].max));
        kit_close(&kit);
    }
}
END_TEST

START_KIT_TEST(what_the_water_brings_counts_not_against_it, open_manganese(kit))
{
    kit->water[0].amount[SW_MN] = 3;
    kit_optimum(kit);
    ck_assert_double_eq_tol(manganese(kit), 1, TOL_HAND_SOLVED);
}
END_TEST

START_KIT_TEST(a_water_that_is_not_used_does_not_set_it, open_manganese(kit))
{
    kit->problem.water_count = 2;
    kit->water[1].amount[SW_MN] = 5;
    kit->water[1].amount[SW_S] = 1;
    kit_optimum(kit);
    ck_assert_double_eq_tol(manganese(kit), 1, TOL_HAND_SOLVED);
}
END_TEST

/* The water has more iron than is allowed: what is a source of iron, and of a
 * tenth of that in manganese at most, adds none for the manganese's sake. */
START_TEST(a_source_is_of_what_it_holds_ten_times_more_of)
{
    static const double manganese_mg_per_g[] = {10, 10.5};
    for (int i = 0; i < 2; i++) {
        sw_kit kit;
        kit_open(&kit);
        kit.water[0].amount[SW_FE] = 3;
        kit_row(&kit, SW_FE, NAN, NAN, 2);
        kit_target(&kit, SW_MN, 0.5);
        kit_product(&kit, "mix", SW_FE, 100)->per_g.amount[SW_MN] =
            manganese_mg_per_g[i];
        kit.problem.nearest = true;
        ck_assert_int_eq(kit_solve(&kit), SW_OK);
        ck_assert_int_eq(kit_amount(&kit, 0) > 0.01, i);
        kit_close(&kit);
    }
}
END_TEST

START_KIT_TEST(without_ceilings_it_may_rise_without_end, open_manganese(kit))
{
    kit->problem.no_ceilings = true;
    kit_optimum(kit);
    ck_assert_double_eq_tol(manganese(kit), 60 / 190.0 * 150, 1e-9);
}
END_TEST

/* A liquid of so little K that a litre of it, undiluted, falls short of the
 * target: the bound is its density, and is named. */
START_TEST(a_litre_of_a_weak_product_is_a_limit_with_a_name)
{
    static const double density[] = {1.24, NAN}; /* NaN: a dry product */
    for (int i = 0; i < 2; i++) {
        sw_kit kit;
        kit_open(&kit);
        kit_target(&kit, SW_K, 200);
        kit_product(&kit, "weak", SW_K, 0.1)->density_g_per_ml = density[i];
        kit_optimum(&kit);
        double most = i ? 1000 : 1240;
        ck_assert_double_eq_tol(kit_amount(&kit, 0), most, 1e-6 * most);
        ck_assert_uint_eq(kit.solution->limit_count, 1);
        ck_assert_int_eq(kit.solution->limits[0].origin, SW_OWN_LITRE);
        ck_assert_ptr_nonnull(
            strstr(kit.solution->limits[0].name,
                   i ? "weak max 1000 g/L (our limit: no litre holds more"
                     : "weak max 1240 g/L (our limit: no litre holds more"));
        kit_close(&kit);
    }
}
END_TEST

START_KIT_TEST(what_no_litre_holds_may_be_what_conflicts, kit_open(kit))
{
    kit_row(kit, SW_K, 200, 200, NAN);
    kit_product(kit, "weak", SW_K, 0.1);
    ck_assert_int_eq(kit_solve(kit), SW_OK);
    ck_assert_int_eq(kit->solution->outcome, SW_CONFLICT);
    ck_assert_uint_eq(kit->solution->limit_count, 2);
}
END_TEST

START_KIT_TEST(a_row_written_for_the_ceiling_is_the_same, open_manganese(kit))
{
    kit_row(kit, SW_MN, NAN, NAN, 0.5)->assumed = true;
    kit_optimum(kit);
    ck_assert_double_eq_tol(manganese(kit), 0.5, TOL_HAND_SOLVED);
}
END_TEST

START_KIT_TEST(a_trace_source_serves_what_the_target_asks_for_alone,
               kit_open(kit))
{
    kit_target(kit, SW_S, 60);
    kit_product(kit, "manganese sulfate", SW_S, 190)->per_g.amount[SW_MN] = 325;
    kit_optimum(kit);
    ck_assert_double_eq(kit_amount(kit, 0), 0);
    ck_assert_int_eq(kit->solution->left_out[0], SW_LEFT_TRACE);
    kit_target(kit, SW_MN, 0.5);
    kit_optimum(kit);
    ck_assert_double_gt(kit_amount(kit, 0), 0.5 / 325);
    ck_assert_int_eq(kit->solution->left_out[0], SW_IN_USE);
}
END_TEST

static bool lists(const sw_kit *kit, const char *start)
{
    for (size_t i = 0; i < kit->solution->within_count; i++)
        if (strncmp(kit->solution->within[i].name, start, strlen(start)) == 0)
            return true;
    return false;
}

START_KIT_TEST(a_fixed_or_least_amount_is_the_users_own_word,
               open_manganese(kit))
{
    kit->product[0].fixed_g_per_l = 0.02;
    kit_optimum(kit);
    ck_assert_double_eq_tol(manganese(kit), 3, TOL_HAND_SOLVED);
    ck_assert(lists(kit, "Mn from products max 3 mg/L (our ceiling, raised to "
                         "what fixed and least amounts bring: "));
    kit->product[0].fixed_g_per_l = NAN;
    kit->product[0].min_g_per_l = 0.01;
    kit_optimum(kit);
    ck_assert_double_eq_tol(manganese(kit), 1.5, TOL_HAND_SOLVED);
    ck_assert(
        lists(kit, "Mn from products max 1.5 mg/L (our ceiling, raised "));
    kit->product[0].min_g_per_l = 0;
    kit_optimum(kit);
    ck_assert(lists(kit, "Mn from products max 1 mg/L (our ceiling: "));
}
END_TEST
