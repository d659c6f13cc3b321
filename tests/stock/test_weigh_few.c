/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whole steps of a few products, against all counts of them. */
#include "suite.h"

#include "invented.h"

static const sw_scale scale = {
    .volume_l = 1000, .step_g = 10, .micro_step_g = 10, .seconds = 60};
static const double step_g_per_l = 0.01;

enum { FEW = 5, MOST_STEPS = 11 };

/* Five products for five targets, of a few steps each. */
static void draw_few(case_ *c, gsl_rng *rng)
{
    static const sw_component of[FEW] = {SW_K, SW_P, SW_MG, SW_CA, SW_S};
    c->water = (sw_content){{0}};
    c->shelf.count = c->target.count = FEW;
    for (size_t j = 0; j < FEW; j++) {
        c->product[j].per_g = (sw_content){{0}};
        for (size_t i = 0; i < FEW; i++)
            c->product[j].per_g.amount[of[i]] = 60 + 200 * gsl_rng_uniform(rng);
        c->row[j].component = of[j];
        c->row[j].name = (char *)(uintptr_t)sw_component_name(of[j]);
        c->row[j].target = 2 + 4 * gsl_rng_uniform(rng);
    }
    solve(c);
}

/* The least objective of all counts of steps, from product j on. */
static double best_from(const case_ *c, size_t j, const double *before)
{
    double best = INFINITY, at[FEW], sum = 0;
    for (size_t i = 0; i < FEW; i++)
        sum += (before[i] - 1) * (before[i] - 1);
    for (int n = 0; j < FEW && n < MOST_STEPS; n++) {
        for (size_t i = 0; i < FEW; i++)
            at[i] =
                before[i] + n * step_g_per_l / c->row[i].target *
                                c->product[j].per_g.amount[c->row[i].component];
        best = fmin(best, best_from(c, j + 1, at));
    }
    return j == FEW ? sum : best;
}

START_TEST(no_other_count_of_steps_is_better)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    for (int i = 0; i < 100; i++) {
        case_ c;
        sw_weighed *w;
        draw_case(&c, rng);
        sw_solution_free(c.solution);
        draw_few(&c, rng);
        ck_assert_int_eq(
            sw_weigh(one_solver(), &c.problem, c.solution, &scale, &w, NULL),
            SW_OK);
        ck_assert_int_eq(w->outcome, SW_OPTIMAL);
        double best = best_from(&c, 0, (double[FEW]){0});
        ck_assert_double_le(fabs(w->certificate.objective - best), 1e-3 * best);
        sw_weighed_free(w);
        sw_solution_free(c.solution);
    }
    gsl_rng_free(rng);
}
END_TEST
