/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Whole steps against trying every recipe there is: problems of few products
 * and coarse steps, with limits on components, ratios and products.
 */
#include "invented.h"
#include "tolerances.h"

#include <stdio.h>

enum { PICKED = 4, MOST_COUNT = 18 };

static double uniform(gsl_rng *rng, double low, double high)
{
    return low + (high - low) * gsl_rng_uniform(rng);
}

/* Four products, three to five targets, and perhaps limits. */
static void draw_small(case_ *c, gsl_rng *rng)
{
    static const int usual[] = {0, 1, 2, 4, 9, 3, 6, 10};
    case_ full;
    draw_case(&full, rng);
    sw_solution_free(full.solution);
    memset(c, 0, sizeof *c);
    c->fraction = 1;
    c->water = full.water;
    c->target.name = full.target.name;
    for (int i = 0; i < PICKED; i++) {
        size_t from = (size_t)usual[2 * i + (gsl_rng_uniform(rng) < 0.3)];
        c->product[c->shelf.count++] = full.product[from];
    }
    size_t rows = 3 + gsl_rng_uniform_int(rng, 3);
    for (size_t i = 0; i < rows; i++) {
        sw_target_row *row = &c->row[c->target.count++];
        *row = full.row[i + (i > 0)]; /* NH4-N is left out */
        if (gsl_rng_uniform(rng) < 0.3)
            row->max = row->target * uniform(rng, 0.7, 1.05);
        else if (gsl_rng_uniform(rng) < 0.2)
            row->min = row->target * uniform(rng, 0.8, 1.1);
    }
    if (gsl_rng_uniform(rng) < 0.3) {
        c->row[c->target.count] = c->row[0];
        sw_target_row *ratio = &c->row[c->target.count++];
        ratio->kind = SW_TARGET_RATIO;
        ratio->component = SW_K;
        ratio->other = SW_NO3_N;
        ratio->target = ratio->max = NAN;
        ratio->min = uniform(rng, 0.5, 1.5);
    }
    sw_product *p = &c->product[gsl_rng_uniform_int(rng, PICKED)];
    if (gsl_rng_uniform(rng) < 0.3)
        p->max_g_per_l = uniform(rng, 0.1, 0.5);
    else if (gsl_rng_uniform(rng) < 0.2)
        p->fixed_g_per_l = uniform(rng, 0.1, 0.5);
    point_again(c);
}

static bool keeps_limits(const case_ *c, const sw_content *finished)
{
    for (size_t i = 0; i < c->target.count; i++) {
        const sw_target_row *r = &c->row[i];
        double value = finished->amount[r->component];
        double low = r->min, high = r->max;
        if (r->kind == SW_TARGET_RATIO) {
            low *= finished->amount[r->other];
            high *= finished->amount[r->other];
        }
        if (value < low - 1e-9 || value > high + 1e-9)
            return false;
    }
    return true;
}

static double squares_of(const case_ *c, const sw_content *finished)
{
    double sum = 0;
    for (size_t i = 0; i < c->target.count; i++) {
        const sw_target_row *r = &c->row[i];
        double d = finished->amount[r->component] / r->target - 1;
        sum += isnan(r->target) ? 0 : d * d;
    }
    return sum;
}

/* Least objective of all recipes of whole steps, the first j settled. */
static double try_all(const case_ *c, size_t j, double step, sw_content at)
{
    if (j == c->shelf.count)
        return keeps_limits(c, &at) ? squares_of(c, &at) : INFINITY;
    const sw_product *p = &c->product[j];
    double fixed = round(p->fixed_g_per_l / step), best = INFINITY;
    for (int k = 0; k <= MOST_COUNT && !(k * step > p->max_g_per_l); k++) {
        if (isnan(fixed) || k == (int)fixed)
            best = fmin(best, try_all(c, j + 1, step, at));
        sw_content_add(&at, step, &p->per_g);
    }
    return best;
}

START_TEST(no_recipe_of_all_that_there_are_is_better)
{
    int conflicts = 0, cases = sw_cases(600);
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    for (int i = 0; i < cases; i++) {
        case_ c;
        sw_weighed *w;
        double step = uniform(rng, 0.13, 0.35);
        sw_scale scale = {
            .volume_l = 1, .step_g = step, .micro_step_g = step, .seconds = 60};
        draw_small(&c, rng);
        solve(&c);
        if (c.solution->outcome == SW_CONFLICT) {
            sw_solution_free(c.solution);
            continue;
        }
        ck_assert_int_eq(
            sw_weigh(one_solver(), &c.problem, c.solution, &scale, &w, NULL),
            SW_OK);
        double best = try_all(&c, 0, step, c.water);
        if (isinf(best))
            ck_assert_int_eq(w->outcome, SW_CONFLICT);
        else {
            ck_assert_int_eq(w->outcome, SW_OPTIMAL);
            ck_assert_double_eq_tol(w->certificate.objective, best,
                                    TOL_STOCK_MIP * (1 + best));
        }
        conflicts += isinf(best);
        sw_weighed_free(w);
        sw_solution_free(c.solution);
    }
    gsl_rng_free(rng);
    printf("whole steps: %d small problems, %d without an answer\n", cases,
           conflicts);
}
END_TEST
