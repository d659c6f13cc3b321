/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Whole steps by the least move: invented recipes on a scale of 1 g and on one
 * too coarse for most, each against a search written here: all nearest steps,
 * then every recipe with one amount moved, or two.  Half of them are of the
 * fewest products, at the edge of what is equal to the closest.
 */
#include "invented.h"

#include "records/feed_limits.h"

#include <stdio.h>

static const double share = 0.02;

typedef struct trial {
    case_ c;
    double was[SW_COMPONENT_COUNT]; /* finished content of the hand */
    double step[SHELF_COUNT], hand[SHELF_COUNT], nearest[SHELF_COUNT]; /* g/L */
} trial;

static void finish(const case_ *c, const double *g_per_l, sw_content *out)
{
    *out = c->water;
    for (size_t j = 0; j < c->shelf.count; j++)
        sw_content_add(out, g_per_l[j], &c->product[j].per_g);
}

/* The share of `of`, or what the coarsest step of what is used brings. */
static double apart(const trial *t, sw_component component, double of)
{
    double most = share * of;
    for (size_t j = 0; j < t->c.shelf.count; j++)
        if (t->hand[j] > 0)
            most = fmax(most,
                        t->step[j] * t->c.product[j].per_g.amount[component]);
    return most;
}

/* So near in every target, and within its accepted range. */
static bool is_equal_so_far(const trial *t, const sw_content *finished)
{
    for (size_t i = 0; i < t->c.target.count; i++) {
        const sw_target_row *r = &t->c.row[i];
        double at = finished->amount[r->component] / r->target;
        double was = t->was[r->component] / r->target;
        double by = apart(t, r->component, r->target) / r->target;
        if (fabs(at - was) > by + 1e-9)
            return false;
        if (fabs(was - 1) <= 0.1 && fabs(at - 1) > 0.1 + 1e-9)
            return false;
    }
    return true;
}

/* What the target does not name, and the pH, in full. */
static bool is_equal(const trial *t, const double *g_per_l, double ph_apart)
{
    static const sw_component unnamed[] = {SW_UREA_N, SW_CL, SW_NA, SW_SI};
    sw_content finished, before;
    sw_chemistry now, then;
    finish(&t->c, g_per_l, &finished);
    if (!is_equal_so_far(t, &finished))
        return false;
    for (size_t i = 0; i < sizeof unnamed / sizeof *unnamed; i++) {
        double was = t->was[unnamed[i]];
        double of = unnamed[i] == SW_UREA_N
                        ? t->was[SW_N]
                        : fmax(was, sw_feed_ceiling_mg_per_l(unnamed[i]));
        if (finished.amount[unnamed[i]] > was + apart(t, unnamed[i], of) + 1e-9)
            return false;
    }
    finish(&t->c, t->hand, &before);
    ck_assert_int_eq(sw_equilibrate(&finished, &t->c.problem.conditions,
                                    SW_CARBONATE_KEPT, &now, NULL),
                     SW_OK);
    ck_assert_int_eq(sw_equilibrate(&before, &t->c.problem.conditions,
                                    SW_CARBONATE_KEPT, &then, NULL),
                     SW_OK);
    return fabs(now.ph - then.ph) < ph_apart;
}

/* Whether an equal recipe has but `left` amounts away from the nearest step,
 * of the columns from `from` on. */
static bool has_moved(const trial *t, double *x, size_t from, int left)
{
    if (left == 0)
        return is_equal(t, x, 0.08);
    for (size_t j = from; j < t->c.shelf.count; j++) {
        double was = x[j];
        double reach = fmax(0.05 * was, 8 * t->step[j]);
        bool found = false;
        for (double by = t->step[j]; by <= reach && !found; by += t->step[j]) {
            x[j] = was + by;
            found = has_moved(t, x, j + 1, left - 1);
            x[j] = was - by;
            found =
                found || (x[j] > -1e-12 && has_moved(t, x, j + 1, left - 1));
        }
        x[j] = was;
        if (found)
            return true;
    }
    return false;
}

static void open_trial(trial *t, gsl_rng *rng, const sw_scale *scale,
                       bool fewest)
{
    sw_content finished;
    draw_case(&t->c, rng);
    t->c.problem.fewest = fewest;
    t->c.problem.equal_share = share;
    if (fewest) {
        sw_solution_free(t->c.solution);
        ck_assert_int_eq(
            sw_formulate(one_solver(), &t->c.problem, &t->c.solution, NULL),
            SW_OK);
    }
    for (size_t j = 0; j < t->c.shelf.count; j++) {
        const double *a = t->c.product[j].per_g.amount;
        double trace =
            a[SW_FE] + a[SW_MN] + a[SW_ZN] + a[SW_CU] + a[SW_B] + a[SW_MO];
        t->step[j] = (trace > 10 ? scale->micro_step_g : scale->step_g) /
                     scale->volume_l;
        t->hand[j] = t->c.solution->recipe.g_per_l[j];
        t->nearest[j] = round(t->hand[j] / t->step[j]) * t->step[j];
    }
    finish(&t->c, t->hand, &finished);
    memcpy(t->was, finished.amount, sizeof t->was);
}

/* SALTWRIGHT_STEPS in the environment is the number of recipes (500 before a
 * release), and then pairs of moves are tried, too. */
static int cases_asked(int *most_moves)
{
    const char *asked = getenv("SALTWRIGHT_STEPS");
    *most_moves = asked ? 2 : 1;
    return asked ? atoi(asked) : 40;
}

typedef struct tally {
    int could, nearest, moved[8], of_steps; /* could: be at the nearest steps */
    double most;
} tally;

static void weigh_one(trial *t, const sw_scale *scale, tally *sum)
{
    sw_weighed *w;
    ck_assert_int_eq(
        sw_weigh(one_solver(), &t->c.problem, t->c.solution, scale, &w, NULL),
        SW_OK);
    ck_assert(w->recipe.count > 0);
    size_t moved = 0;
    for (size_t j = 0; j < w->recipe.count; j++)
        moved += fabs(w->recipe.g_per_l[j] - t->nearest[j]) > t->step[j] / 2;
    ck_assert_uint_eq(w->moved, moved);
    sum->of_steps += w->of_steps;
    if (is_equal(t, t->nearest, 0.08)) {
        ck_assert(w->equal && !w->of_steps && moved == 0);
        sum->could++;
    }
    if (w->equal && !w->of_steps) {
        double x[SHELF_COUNT];
        ck_assert(is_equal(t, w->recipe.g_per_l, 0.12));
        ck_assert_int_eq(w->outcome, SW_OPTIMAL);
        memcpy(x, t->nearest, sizeof x);
        int most;
        (void)cases_asked(&most);
        for (int k = 1; k < (int)moved && k <= most; k++)
            ck_assert(!has_moved(t, x, 0, k));
        sum->nearest += moved == 0;
        sum->moved[moved < 7 ? moved : 7]++;
        sum->most = fmax(sum->most, w->most_moved);
    }
    sw_weighed_free(w);
}

static void try_scale(const sw_scale *scale, int cases, tally *sum)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_taus2);
    gsl_rng_set(rng, 7);
    for (int i = 0; i < cases; i++) {
        trial t;
        open_trial(&t, rng, scale, i % 2);
        weigh_one(&t, scale, sum);
        sw_solution_free(t.c.solution);
    }
    gsl_rng_free(rng);
    printf("steps of %g and %g g in %g L, %d recipes: %d at their nearest "
           "steps; moved 1 to 7: %d %d %d %d %d %d %d; none equal: %d; largest "
           "change %.1f %%\n",
           scale->step_g, scale->micro_step_g, scale->volume_l, cases,
           sum->nearest, sum->moved[1], sum->moved[2], sum->moved[3],
           sum->moved[4], sum->moved[5], sum->moved[6], sum->moved[7],
           sum->of_steps, 100 * sum->most);
}

START_TEST(a_fine_scale_leaves_every_amount_at_its_nearest_step)
{
    int most;
    tally sum = {0};
    sw_scale scale = {
        .volume_l = 1000, .step_g = 1, .micro_step_g = 0.001, .seconds = 1};
    int cases = cases_asked(&most);
    try_scale(&scale, cases, &sum);
    /* in a few a target stands at the end of its range, and must not leave it
     */
    ck_assert_int_eq(sum.nearest, sum.could);
    ck_assert_int_ge(sum.nearest, cases - cases / 50);
}
END_TEST

START_TEST(a_coarse_scale_moves_as_few_amounts_as_can_be)
{
    int most;
    tally sum = {0};
    sw_scale scale = {
        .volume_l = 200, .step_g = 2, .micro_step_g = 0.0002, .seconds = 1};
    int cases = cases_asked(&most);
    try_scale(&scale, cases, &sum);
    ck_assert_int_gt(sum.moved[1], 0);
    ck_assert_int_gt(sum.nearest, 0);
}
END_TEST

static int met_by(const case_ *c, const sw_weighed *w)
{
    int met = 0;
    sw_content finished;
    finish(c, w->recipe.g_per_l, &finished);
    for (size_t i = 0; i < c->target.count; i++)
        met += fabs(finished.amount[c->row[i].component] / c->row[i].target -
                    1) <= 0.1 + 1e-9;
    return met;
}

/* With no other products fewer targets are met. */
static void check_others(trial *t, const sw_weighed *w, const sw_scale *scale)
{
    sw_weighed *own;
    bool others = false;
    for (size_t j = 0; j < w->recipe.count; j++) {
        others |= t->hand[j] <= 0 && w->recipe.g_per_l[j] > 0;
        if (t->hand[j] <= 0)
            t->c.product[j].max_g_per_l = 0;
    }
    if (!others)
        return;
    ck_assert_int_eq(
        sw_weigh(one_solver(), &t->c.problem, t->c.solution, scale, &own, NULL),
        SW_OK);
    ck_assert_int_lt(met_by(&t->c, own), met_by(&t->c, w));
    sw_weighed_free(own);
}

/* Half an ounce in 190 L. */
START_TEST(steps_too_coarse_for_the_recipe_keep_its_products_and_are_told)
{
    int most, coarse = 0;
    sw_scale scale = {
        .volume_l = 190, .step_g = 14.17, .micro_step_g = 0.2, .seconds = 1};
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_taus2);
    for (int i = cases_asked(&most); i > 0; i--) {
        trial t;
        sw_weighed *w;
        open_trial(&t, rng, &scale, true);
        ck_assert_int_eq(sw_weigh(one_solver(), &t.c.problem, t.c.solution,
                                  &scale, &w, NULL),
                         SW_OK);
        bool kept = w->equal && !w->of_steps;
        ck_assert_int_eq(sw_notes_find(&w->notes, "steps-coarse") != NULL,
                         !kept);
        if (!kept)
            check_others(&t, w, &scale);
        coarse += !kept;
        sw_weighed_free(w);
        sw_solution_free(t.c.solution);
    }
    gsl_rng_free(rng);
    ck_assert_int_gt(coarse, 0);
}
END_TEST
