/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A recipe for pure water corrected for others: who serves, and what comes of
 * it. */
#include "bench.h"
#include "solver.h"

#include <math.h>
#include <string.h>

typedef struct corrected {
    bench b;
    sw_target *target;
    bool freed[SW_MAX_PRODUCTS];
    sw_problem problem;
    sw_correction correction;
    sw_solution *solution;
} corrected;

/* The example's recipe, to be corrected for `water`. */
static void set_up(corrected *c, const sw_content *water)
{
    memset(c, 0, sizeof *c);
    bench_read(&c->b, "well.csv", "pepper.csv", "straights.csv", "recipe.csv");
    ck_assert_int_eq(sw_target_implied(c->b.shelf, c->b.recipe,
                                       &c->b.mix.conditions, &c->target, NULL),
                     SW_OK);
    c->problem = sw_problem_default();
    c->problem.waters = water ? water : &c->b.water;
    c->problem.water_count = 1;
    c->problem.conditions = c->b.mix.conditions;
    c->correction = (sw_correction){.target = c->target,
                                    .recipe = c->b.recipe,
                                    .shelf = c->b.shelf,
                                    .freed = c->freed};
}

static void correct(corrected *c)
{
    sw_error error = {0};
    ck_assert_msg(sw_recipe_correct(one_solver(), &c->problem, &c->correction,
                                    &error) == SW_OK,
                  "%s", error.message);
    c->problem.target = c->target;
    c->problem.shelf = c->b.shelf;
    ck_assert_int_eq(
        sw_formulate(one_solver(), &c->problem, &c->solution, &error), SW_OK);
    ck_assert_int_eq(c->solution->outcome, SW_OPTIMAL);
}

static void tear_down(corrected *c)
{
    sw_solution_free(c->solution);
    sw_target_free(c->target);
    bench_free(&c->b);
}

static size_t product_of(const corrected *c, const char *name)
{
    for (size_t j = 0; j < c->b.shelf->count; j++)
        if (strcmp(c->b.shelf->products[j].name, name) == 0)
            return j;
    ck_abort_msg("no product is called %s", name);
    return 0;
}

START_TEST(in_pure_water_a_recipe_comes_back)
{
    static const sw_content pure;
    corrected c;
    set_up(&c, &pure);
    correct(&c);
    ck_assert(c.correction.alone);
    for (size_t j = 0; j < c.b.recipe->count; j++) {
        double was = c.b.recipe->g_per_l[j];
        ck_assert_double_eq_tol(c.solution->recipe.g_per_l[j], was,
                                1e-3 * was + 1e-9);
    }
    tear_down(&c);
}
END_TEST

#define START_CORRECTED_TEST(name)                                             \
    START_TEST_WITH(name, corrected, c, set_up(c, NULL), tear_down(c))

START_CORRECTED_TEST(what_a_water_brings_is_taken_off_the_metals)
{
    size_t calcium = product_of(c, "calcium nitrate");
    size_t magnesium = product_of(c, "magnesium sulfate");
    double was = c->b.recipe->g_per_l[calcium];
    double epsom = c->b.recipe->g_per_l[magnesium];
    correct(c);
    const sw_product *p = &c->b.shelf->products[calcium];
    double less = c->b.water.amount[SW_CA] / p->per_g.amount[SW_CA];
    ck_assert_double_gt(less, 0.05 * was);
    ck_assert_double_eq_tol(c->solution->recipe.g_per_l[calcium], was - less,
                            0.02 * was);
    ck_assert_double_lt(c->solution->recipe.g_per_l[magnesium], epsom);
}
END_TEST

/* Where metals weigh 100 a gap has more rounding.  The water's Ca is taken off,
 * and as many charges of nitrate. */
START_TEST(a_recipe_is_proved_though_metals_weigh_a_hundred)
{
    sw_content water = {{0}};
    corrected c;
    water.amount[SW_CA] = 20.039;
    water.amount[SW_NO3_N] = 14.007;
    set_up(&c, &water);
    size_t calcium = product_of(&c, "calcium nitrate");
    double was = c.b.recipe->g_per_l[calcium];
    double less = 20.039 / c.b.shelf->products[calcium].per_g.amount[SW_CA];
    correct(&c);
    ck_assert_double_eq_tol(c.solution->recipe.g_per_l[calcium], was - less,
                            1e-3 * was);
    tear_down(&c);
}
END_TEST

/* Acid stands on the shelf and nitrogen is open: it may join in. */
START_TEST(
    the_rest_of_the_shelf_joins_in_where_the_recipe_leaves_something_open)
{
    corrected c;
    set_up(&c, NULL);
    size_t acid = product_of(&c, "nitric acid 38 %");
    correct(&c);
    ck_assert(!c.correction.alone);
    ck_assert_double_gt(c.solution->recipe.g_per_l[acid], 0.0);
    tear_down(&c);
}
END_TEST

/* Of what a water brings only calcium is sought: nitrate may come from what is
 * the recipe's own.  A pH is none of that unless its alkalinity makes it so. */
START_TEST(its_own_products_are_enough_unless_a_water_lacks_acid)
{
    for (int alkaline = 0; alkaline < 2; alkaline++) {
        sw_content water = {{0}};
        corrected c;
        water.amount[SW_CA] = 10.02;
        water.amount[SW_CL] = alkaline ? 0 : 17.73;
        water.amount[SW_ALKALINITY] = alkaline ? 0.5 : 0;
        water.amount[SW_CARBON] = alkaline ? 0.55 : 0;
        set_up(&c, &water);
        size_t nitrate = product_of(&c, "potassium nitrate");
        double was = c.b.recipe->g_per_l[nitrate];
        correct(&c);
        ck_assert_int_eq(c.correction.alone, !alkaline);
        if (!alkaline)
            ck_assert_double_gt(c.solution->recipe.g_per_l[nitrate], was);
        tear_down(&c);
    }
}
END_TEST

START_CORRECTED_TEST(nothing_joins_in_where_nothing_else_is_there)
{
    sw_shelf_keep_used(c->b.shelf, c->b.recipe);
    correct(c);
    ck_assert(c->correction.alone);
}
END_TEST

START_CORRECTED_TEST(a_product_that_is_kept_or_freed_has_the_most_of_its_shelf)
{
    size_t freed = product_of(c, "potassium nitrate");
    size_t fixed = product_of(c, "boric acid");
    c->freed[freed] = true;
    c->b.shelf->products[freed].max_g_per_l = 7.5;
    c->b.shelf->products[fixed].fixed_g_per_l = 0.002;
    double most = c->b.shelf->products[fixed].max_g_per_l;
    correct(c);
    ck_assert_double_eq(c->b.shelf->products[freed].max_g_per_l, 7.5);
    ck_assert(c->b.shelf->products[fixed].max_g_per_l == most ||
              (isnan(most) && isnan(c->b.shelf->products[fixed].max_g_per_l)));
}
END_TEST

/* A target of somebody else's may have no pH. */
START_CORRECTED_TEST(a_target_without_ph_is_served_as_well)
{
    sw_target all = *c->target;
    ck_assert_int_eq(all.rows[all.count - 1].kind, SW_TARGET_PH);
    all.count--;
    c->correction.target = &all;
    sw_error error = {0};
    ck_assert_msg(sw_recipe_correct(one_solver(), &c->problem, &c->correction,
                                    &error) == SW_OK,
                  "%s", error.message);
}
END_TEST

START_CORRECTED_TEST(a_failure_inside_is_told)
{
    sw_error error = {0};
    c->problem.conditions.temperature_c = 400;
    ck_assert_int_eq(
        sw_recipe_correct(one_solver(), &c->problem, &c->correction, &error),
        SW_ERR_VALUE);
    ck_assert(error.message[0]);
}
END_TEST
