/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

#include "saltwright.h"
#include "tolerances.h"

#include <math.h>
#include <string.h>

/* 5 and 95 % points of the standard normal. */
static const double z95 = 1.6448536269514722;

/* Two salts in a plain water; the tests switch errors on one by one. */
typedef struct bench {
    sw_content water;
    sw_product products[2];
    sw_shelf shelf;
    double amounts[2];
    sw_recipe recipe;
    sw_target target;
    sw_mix mix;
    sw_tolerances off;
} bench;

static void set_up(bench *b)
{
    memset(b, 0, sizeof *b);
    b->water.amount[SW_CA] = 40.0;
    b->water.amount[SW_CL] = 70.8;
    b->products[0].per_g.amount[SW_K] = 387.0;
    b->products[0].per_g.amount[SW_NO3_N] = 138.6;
    b->products[0].per_g.amount[SW_N] = 138.6;
    b->products[1].per_g.amount[SW_K] = 449.0;
    b->products[1].per_g.amount[SW_S] = 184.0;
    b->amounts[0] = 0.4;
    b->amounts[1] = 0.1;
    b->shelf = (sw_shelf){.products = b->products, .count = 2};
    b->recipe = (sw_recipe){.g_per_l = b->amounts, .count = 2};
    b->mix = (sw_mix){.water = &b->water,
                      .target = &b->target,
                      .shelf = &b->shelf,
                      .recipe = &b->recipe,
                      .conditions = sw_conditions_default()};
    b->off = (sw_tolerances){.batch_l = 1000.0};
}

static sw_uncertainty find(const bench *b, sw_tolerances t)
{
    sw_uncertainty u;
    ck_assert_int_eq(sw_uncertainty_find(&b->mix, &t, &u, NULL), SW_OK);
    return u;
}

static void assert_near(double found, double exact)
{
    ck_assert_msg(fabs(found - exact) <= TOL_SAMPLED * exact,
                  "found %g, exactly %g", found, exact);
}

#define START_BENCH_TEST(name)                                                 \
    START_TEST_WITH(name, bench, b, set_up(b), (void)0)

START_BENCH_TEST(without_tolerances_nothing_spreads)
{
    sw_uncertainty u = find(b, b->off);
    ck_assert_double_eq(u.component[SW_K].p5, u.component[SW_K].p95);
    ck_assert_double_eq(u.ph.p5, u.ph.p95);
    for (int d = 0; d < SW_DOUBT_COUNT; d++)
        ck_assert_double_eq(u.component[SW_K].share[d], 0.0);
}
END_TEST

START_BENCH_TEST(a_lab_error_passes_through_as_it_is)
{
    b->water.amount[SW_B] = 0.5;
    b->off.lab = 0.05;
    sw_uncertainty u = find(b, b->off);
    assert_near(u.component[SW_CA].deviation, 0.05 * 40.0);
    assert_near(u.component[SW_B].deviation, 0.05 * 0.5);
    assert_near(u.component[SW_CA].median, 40.0);
    ck_assert_double_eq(u.component[SW_CA].share[SW_DOUBT_LAB], 1.0);
}
END_TEST

START_BENCH_TEST(nine_in_ten_lie_between_the_outer_points)
{
    b->off.lab = 0.05;
    sw_uncertainty u = find(b, b->off);
    assert_near(u.component[SW_CA].p95 - 40.0, z95 * 0.05 * 40.0);
    assert_near(40.0 - u.component[SW_CA].p5, z95 * 0.05 * 40.0);
}
END_TEST

START_BENCH_TEST(label_errors_of_two_products_add_as_squares)
{
    b->off.label = 0.03;
    sw_uncertainty u = find(b, b->off);
    assert_near(u.component[SW_K].deviation,
                0.03 * hypot(0.4 * 387.0, 0.1 * 449.0));
}
END_TEST

START_BENCH_TEST(a_drifting_head_moves_only_its_own_products)
{
    int heads[2] = {0, 1};
    b->off.injector = 0.05;
    b->off.head = heads;
    sw_uncertainty u = find(b, b->off);
    assert_near(u.component[SW_S].deviation, 0.05 * 18.4);
    assert_near(u.component[SW_K].deviation,
                0.05 * hypot(0.4 * 387.0, 0.1 * 449.0));
    b->off.head = NULL;
    u = find(b, b->off);
    assert_near(u.component[SW_K].deviation, 0.05 * (154.8 + 44.9));
}
END_TEST

START_BENCH_TEST(a_scale_step_spreads_evenly)
{
    b->off.scale_step_g = 50.0;
    sw_uncertainty u = find(b, b->off);
    /* 90 % of an even spread of 0.05 g/L times 184 mg/g */
    assert_near(u.component[SW_S].p95 - u.component[SW_S].p5, 0.9 * 9.2);
}
END_TEST

START_BENCH_TEST(shares_follow_the_exact_variances)
{
    b->off.label = 0.03;
    b->off.fill = 0.02;
    sw_uncertainty u = find(b, b->off);
    double label = 0.03 * 0.03, fill = 0.02 * 0.02;
    assert_near(u.component[SW_S].share[SW_DOUBT_LABEL],
                label / (label + fill));
    assert_near(u.component[SW_S].share[SW_DOUBT_FILL], fill / (label + fill));
}
END_TEST

START_BENCH_TEST(the_same_mix_gives_the_same_digits)
{
    sw_uncertainty first = find(b, sw_tolerances_default(1000.0));
    sw_uncertainty again = find(b, sw_tolerances_default(1000.0));
    ck_assert_mem_eq(&first, &again, sizeof first);
    ck_assert(first.ec_ms_per_cm.p5 < first.ec_ms_per_cm.median);
}
END_TEST

START_BENCH_TEST(an_acid_water_read_wrong_moves_the_ph)
{
    b->water.amount[SW_ALKALINITY] = 1.0;
    b->water.amount[SW_CARBON] = 1.5;
    b->off.lab_ph = 0.1;
    sw_uncertainty u = find(b, b->off);
    assert_near(u.ph.deviation, 0.1);
    ck_assert_double_eq(u.component[SW_CA].p5, u.component[SW_CA].p95);
}
END_TEST

/* 0.02 meq/L, of 0.02 mmol/L of carbon: half a pH and more either way. */
START_BENCH_TEST(a_water_without_alkalinity_may_have_some_unseen)
{
    b->water.amount[SW_CARBON] = 0.02;
    b->off.lab = 0.05;
    sw_uncertainty u = find(b, b->off);
    ck_assert_double_lt(u.ph.p5, u.ph.median - 0.5);
    ck_assert_double_gt(u.ph.p95, u.ph.median + 0.5);
}
END_TEST

/* Evenly between nothing and the limit. */
START_BENCH_TEST(what_a_limit_of_detection_hides_spreads)
{
    sw_reading below = {.kind = SW_READS_COMPONENT,
                        .component = SW_FE,
                        .below_detection = true,
                        .amount = 0.5};
    sw_water report = {.readings = &below, .reading_count = 1};
    const sw_water *reports[] = {&report};
    const double share = 1.0;
    report.below_detection[SW_FE] = true;
    b->mix.reports = reports;
    b->mix.shares = &share;
    b->mix.report_count = 1;
    sw_tolerances t = b->off;
    ck_assert_double_eq(find(b, t).component[SW_FE].p95, 0.0);
    t.lab = 0.05;
    sw_uncertainty u = find(b, t);
    assert_near(u.component[SW_FE].p95, 0.95 * 0.5);
    assert_near(u.component[SW_FE].median, 0.5 * 0.5);
    ck_assert_double_eq(u.component[SW_FE].share[SW_DOUBT_LAB], 1.0);
}
END_TEST

START_BENCH_TEST(tolerances_out_of_range_are_refused)
{
    int heads[2] = {0, 8};
    sw_uncertainty u;
    sw_error error;
    sw_tolerances bad[] = {b->off, b->off, b->off, b->off,
                           b->off, b->off, b->off, b->off};
    bad[0].lab = -0.1;
    bad[1].label = 0.6;
    bad[2].fill = NAN;
    bad[3].lab_ph = 3.0;
    bad[4].batch_l = 0.0;
    bad[5].head = heads;
    bad[6].scale_step_g = INFINITY;
    bad[7].batch_l = INFINITY;
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        ck_assert_int_eq(sw_uncertainty_find(&b->mix, &bad[i], &u, &error),
                         SW_ERR_VALUE);
}
END_TEST
