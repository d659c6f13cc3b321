/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Mixes of a dozen products, where each source of error alone is linear in
 * the components and the variance can be written down.
 */
#include "bench.h"
#include "tolerances.h"

#include <math.h>

/* Reads nothing twice: the mix of the pepper recipe in the hill's well. */
static void set_up(bench *b)
{
    bench_read(b, "well.csv", "pepper.csv", "straights.csv", "recipe.csv");
}

static sw_uncertainty find(const bench *b, const sw_tolerances *t)
{
    sw_uncertainty u;
    ck_assert_int_eq(sw_uncertainty_find(&b->mix, t, &u, NULL), SW_OK);
    return u;
}

static double brought(const bench *b, size_t product, int component)
{
    return b->recipe->g_per_l[product] *
           b->shelf->products[product].per_g.amount[component];
}

static void assert_variance(const sw_uncertainty *u, int component,
                            double exact)
{
    double deviation = u->component[component].deviation;
    ck_assert_msg(fabs(deviation * deviation - exact) <= TOL_SAMPLED * exact,
                  "%s: variance %g, exactly %g",
                  sw_component_name((sw_component)component),
                  deviation * deviation, exact);
}

START_BENCH_TEST(label_errors_of_a_dozen_products_have_the_exact_variance)
{
    sw_uncertainty u =
        find(b, &(sw_tolerances){.label = 0.02, .batch_l = 1000.0});
    for (int c = 0; c < SW_COMPONENT_COUNT; c++) {
        double exact = 0.0;
        for (size_t j = 0; j < b->shelf->count; j++)
            exact += pow(0.02 * brought(b, j, c), 2.0);
        assert_variance(&u, c, exact);
    }
}
END_TEST

START_BENCH_TEST(a_lab_report_read_off_has_the_exact_variance)
{
    sw_uncertainty u =
        find(b, &(sw_tolerances){.lab = 0.05, .batch_l = 1000.0});
    for (int c = 0; c < SW_N; c++)
        assert_variance(&u, c, pow(0.05 * b->water.amount[c], 2.0));
}
END_TEST

START_BENCH_TEST(steps_of_the_scale_have_the_exact_variance)
{
    /* an even spread of width w has the variance w^2 / 12; iron and below are
     * weighed on the finer scale here */
    sw_uncertainty u = find(b, &(sw_tolerances){.scale_step_g = 20.0,
                                                .micro_step_g = 0.05,
                                                .batch_l = 1000.0});
    for (int c = 0; c < SW_COMPONENT_COUNT; c++) {
        double exact = 0.0;
        for (size_t j = 0; j < b->shelf->count; j++) {
            const double *per_g = b->shelf->products[j].per_g.amount;
            double step = j < 7 ? 0.020 : 0.00005;
            if (b->recipe->g_per_l[j] > 0.0)
                exact += pow(step * per_g[c], 2.0) / 12.0;
        }
        assert_variance(&u, c, exact);
    }
}
END_TEST

/* Zinc sulfate in 20 L is 2.68 steps of 0.01 g: 0.27 g of it are dissolved in a
 * litre, of which 100 mL are taken to the mL; nitric acid to 0.1 mL, as its
 * 12.3 mL are told. */
START_BENCH_TEST(what_is_dissolved_or_poured_is_off_by_the_step_of_that)
{
    size_t zinc = 0, acid = 0;
    while (!(brought(b, zinc, SW_ZN) > 0))
        zinc++;
    while (!(b->shelf->products[acid].density_g_per_ml > 0))
        acid++;
    const sw_tolerances t = {.scale_step_g = 5,
                             .micro_step_g = 0.01,
                             .trace_solution_l = 1,
                             .batch_l = 20};
    b->recipe->g_per_l[zinc] = 0.0268 / t.batch_l;
    double dose = 0.00027 / t.batch_l / b->recipe->g_per_l[zinc];
    sw_uncertainty u = find(b, &t);
    assert_variance(&u, SW_ZN,
                    (pow(0.01 / 0.27, 2) + dose * dose) / 12 *
                        pow(brought(b, zinc, SW_ZN), 2));
    for (size_t j = 0; j < b->shelf->count; j++)
        b->recipe->g_per_l[j] = 0;
    const sw_product *p = &b->shelf->products[acid];
    b->recipe->g_per_l[acid] = 12.3 * p->density_g_per_ml / t.batch_l;
    u = find(b, &t);
    assert_variance(&u, SW_NO3_N,
                    pow(0.1 / 12.3 * brought(b, acid, SW_NO3_N), 2) / 12);
}
END_TEST

START_BENCH_TEST(heads_that_drift_have_the_exact_variance)
{
    enum { PRODUCTS = 13, HEADS = 3 };
    int head[PRODUCTS];
    ck_assert_uint_eq(b->shelf->count, PRODUCTS);
    for (int j = 0; j < PRODUCTS; j++)
        head[j] = j % HEADS;
    sw_uncertainty u = find(
        b, &(sw_tolerances){.injector = 0.05, .head = head, .batch_l = 1000.0});
    for (int c = 0; c < SW_COMPONENT_COUNT; c++) {
        double sum[HEADS] = {0.0};
        for (size_t j = 0; j < PRODUCTS; j++)
            sum[head[j]] += 0.05 * brought(b, j, c);
        assert_variance(&u, c,
                        sum[0] * sum[0] + sum[1] * sum[1] + sum[2] * sum[2]);
    }
}
END_TEST

START_BENCH_TEST(sources_together_have_the_sum_of_their_variances)
{
    sw_uncertainty u = find(b, &(sw_tolerances){.lab = 0.05,
                                                .label = 0.02,
                                                .scale_step_g = 20.0,
                                                .batch_l = 1000.0});
    for (int c = 0; c < SW_N; c++) {
        double exact = pow(0.05 * b->water.amount[c], 2.0);
        for (size_t j = 0; j < b->shelf->count; j++) {
            const double *per_g = b->shelf->products[j].per_g.amount;
            exact += pow(0.02 * brought(b, j, c), 2.0);
            if (j < 7 && b->recipe->g_per_l[j] > 0.0)
                exact += pow(0.020 * per_g[c], 2.0) / 12.0 * (1.0 + 4e-4);
        }
        assert_variance(&u, c, exact);
    }
}
END_TEST
