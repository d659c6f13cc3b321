/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whole steps in full tanks: amounts, tanks and what the injectors deliver. */
#include "invented.h"
#include "tolerances.h"

#include "stock/step_size.h"

static const sw_scale scale = {.volume_l = 1,
                               .step_g = 100,
                               .micro_step_g = 1,
                               .concentrate_l = 1,
                               .seconds = 60};

typedef struct filled {
    case_ c;
    sw_stock_setup setup;
    sw_solution *solution;
    sw_stock *stock;
    sw_weighed *weighed;
} filled;

static void fill(filled *f, const sw_scale *with, sw_status expected)
{
    sw_filling filling = {&f->c.problem, &f->setup, f->solution, &f->stock};
    sw_error error = {0};
    sw_status status =
        sw_stock_weigh(one_solver(), &filling, with, &f->weighed, &error);
    ck_assert_msg(status == expected, "%s", error.message);
}

static void formulate(filled *f)
{
    ck_assert_int_eq(sw_stock_formulate(one_solver(), &f->c.problem, &f->setup,
                                        &f->solution, &f->stock, NULL),
                     SW_OK);
    ck_assert_int_eq(f->stock->outcome, SW_OPTIMAL);
}

/* The first invented recipe, in tanks of 200 L; `make_up` fills them. */
static void plan_at(filled *f, const sw_content *make_up, double factor)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    memset(f, 0, sizeof *f);
    draw_case(&f->c, rng);
    gsl_rng_free(rng);
    point_again(&f->c);
    f->setup = sw_stock_setup_default(200);
    f->setup.make_up = make_up;
    if (factor > 0)
        f->setup.factor = factor;
    formulate(f);
}

static void plan(filled *f, const sw_content *make_up)
{
    plan_at(f, make_up, 0); /* the usual factor */
}

static void drop(filled *f)
{
    sw_weighed_free(f->weighed);
    sw_stock_free(f->stock);
    sw_solution_free(f->solution);
    sw_solution_free(f->c.solution);
}

static void expect_steps(const filled *f)
{
    for (size_t j = 0; j < f->stock->count; j++)
        for (int t = 0; t < SW_TANKS; t++) {
            double steps =
                f->stock->placements[j].g[t] / f->weighed->items[j].step_g;
            if (f->stock->placements[j].g[t] > 0)
                ck_assert_double_eq_tol(steps, round(steps), 1e-6);
        }
}

#define START_FILLED_TEST(name)                                                \
    START_TEST_WITH(name, filled, f, plan(f, NULL), drop(f))

START_FILLED_TEST(every_amount_in_every_tank_is_whole)
{
    fill(f, &scale, SW_OK);
    ck_assert_int_eq(f->weighed->outcome, SW_OPTIMAL);
    ck_assert_uint_eq(f->weighed->recipe.count, f->c.shelf.count);
    expect_steps(f);
}
END_TEST

/* The recipe reported, the tanks and what they deliver are one story. */
START_FILLED_TEST(the_tanks_deliver_the_weighed_recipe)
{
    fill(f, &scale, SW_OK);
    sw_content expected = f->solution->water;
    for (size_t j = 0; j < f->c.shelf.count; j++)
        sw_content_add(&expected, f->weighed->recipe.g_per_l[j],
                       &f->c.product[j].per_g);
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        ck_assert_double_eq_tol(f->stock->finished.amount[i],
                                expected.amount[i],
                                TOL_STOCK_MASS * (1 + expected.amount[i]));
}
END_TEST

START_TEST(the_make_up_water_of_the_tanks_counts_once)
{
    filled f;
    static const sw_content pure = {{0}};
    plan(&f, &pure);
    fill(&f, &scale, SW_OK);
    ck_assert_double_eq_tol(f.stock->water_share, 0.98, 1e-12);
    ck_assert_double_eq_tol(f.solution->water.amount[SW_CA],
                            0.98 * f.c.water.amount[SW_CA],
                            TOL_STOCK_MASS * (1 + f.c.water.amount[SW_CA]));
    double ca = f.solution->water.amount[SW_CA];
    for (size_t j = 0; j < f.c.shelf.count; j++)
        ca += f.weighed->recipe.g_per_l[j] * f.c.product[j].per_g.amount[SW_CA];
    ck_assert_double_eq_tol(f.stock->finished.amount[SW_CA], ca,
                            TOL_STOCK_MASS * (1 + ca));
    drop(&f);
}
END_TEST

/* The tanks are filled with hard water: what is in it counts
 * as if the two had been mixed, to the last milligram of acid. */
START_TEST(hard_make_up_water_is_formulated_with)
{
    filled f;
    sw_content hard = {{0}};
    hard.amount[SW_CA] = 120;
    hard.amount[SW_MG] = 30;
    hard.amount[SW_S] = 40;
    hard.amount[SW_ALKALINITY] = hard.amount[SW_CARBON] = 6;
    plan_at(&f, &hard, 50);
    ck_assert_double_eq_tol(f.stock->water_share, 0.96, 1e-12);
    sw_content mixed = {{0}};
    sw_content_add(&mixed, 0.96, &f.c.water);
    sw_content_add(&mixed, 0.04, &hard);
    sw_content delivered = mixed;
    sw_problem problem = f.c.problem;
    problem.waters = &mixed;
    sw_solution *alone;
    ck_assert_int_eq(sw_formulate(one_solver(), &problem, &alone, NULL), SW_OK);
    for (size_t j = 0; j < f.c.shelf.count; j++) {
        double g = alone->recipe.g_per_l[j];
        ck_assert_double_eq_tol(f.solution->recipe.g_per_l[j], g,
                                TOL_STOCK_MASS * (0.001 + g));
        sw_content_add(&delivered, g, &f.c.product[j].per_g);
    }
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        ck_assert_double_eq_tol(
            f.stock->finished.amount[i], delivered.amount[i],
            TOL_STOCK_MASS * (1 + fabs(delivered.amount[i])));
    sw_solution_free(alone);
    drop(&f);
}
END_TEST

/* It is a limit on both tanks together. */
START_FILLED_TEST(whole_steps_keep_the_max_of_a_product_in_two_tanks)
{
    size_t split = f->stock->count;
    for (size_t j = 0; j < f->stock->count; j++)
        if (f->stock->placements[j].g[SW_TANK_A] > 0 &&
            f->stock->placements[j].g[SW_TANK_B] > 0)
            split = j;
    ck_assert_uint_lt(split, f->stock->count);
    double most = 0.9999 * f->solution->recipe.g_per_l[split];
    f->c.product[split].max_g_per_l = most;
    sw_stock_free(f->stock);
    sw_solution_free(f->solution);
    formulate(f);
    ck_assert_double_gt(f->stock->placements[split].g[SW_TANK_A], 0);
    ck_assert_double_gt(f->stock->placements[split].g[SW_TANK_B], 0);
    fill(f, &scale, SW_OK);
    ck_assert_int_eq(f->weighed->outcome, SW_OPTIMAL);
    ck_assert_double_le(f->weighed->recipe.g_per_l[split],
                        most * (1 + TOL_STOCK_MASS));
    ck_assert_double_gt(f->weighed->recipe.g_per_l[split], 0.8 * most);
    expect_steps(f);
}
END_TEST

START_FILLED_TEST(a_product_in_two_tanks_keeps_its_shares_to_the_step)
{
    sw_stock *stock = f->stock;
    size_t split = stock->count;
    for (size_t j = 0; j < stock->count; j++)
        if (stock->placements[j].g[SW_TANK_A] > 0 &&
            stock->placements[j].g[SW_TANK_B] > 0)
            split = j;
    ck_assert_uint_lt(split, stock->count);
    double before_g = stock->placements[split].g[SW_TANK_A];
    fill(f, &scale, SW_OK);
    ck_assert_double_eq_tol(f->stock->placements[split].g[SW_TANK_A], before_g,
                            50 + 1e-9);
}
END_TEST

START_FILLED_TEST(tanks_stay_where_no_steps_keep_the_limits)
{
    sw_stock *before = f->stock;
    sw_scale coarse = scale;
    coarse.step_g = 1e6;
    for (size_t i = 0; i < f->c.target.count; i++)
        if (f->c.row[i].component == SW_K)
            f->c.row[i].min = f->c.row[i].max = f->c.row[i].target;
    fill(f, &coarse, SW_OK);
    ck_assert_int_eq(f->weighed->outcome, SW_CONFLICT);
    ck_assert_uint_eq(f->weighed->recipe.count, 0);
    ck_assert_ptr_eq(f->stock, before);
}
END_TEST

START_FILLED_TEST(a_scale_of_no_step_is_refused)
{
    sw_scale none = scale;
    none.step_g = 0;
    fill(f, &none, SW_ERR_VALUE);
    ck_assert_ptr_null(f->weighed);
}
END_TEST

/* ---- One step ---- */

static sw_weighing measure(const sw_scale *with, const char *formula,
                           double density, double amount_g)
{
    static sw_measure m;
    sw_weighing w;
    sw_product p = {.density_g_per_ml = density, .pack_g = 25000};
    ck_assert_int_eq(sw_formula_content(formula, 1, &p.per_g, NULL, NULL),
                     SW_OK);
    sw_measure_start(with, &m);
    sw_measure_choose(&m, &p, amount_g, &w);
    return w;
}

START_TEST(liquids_are_measured_to_three_figures_of_their_volume)
{
    sw_weighing w = measure(&scale, "HNO3", 1.25, 534.125);
    ck_assert_double_eq_tol(w.step_g, 1.25, 1e-12); /* 427.3 mL: to 1 mL */
    ck_assert(isnan(w.dose_ml));
    w = measure(&scale, "HNO3", 1.25, 0);
    ck_assert_double_eq_tol(w.step_g, 1.25, 1e-12);
}
END_TEST

START_TEST(only_trace_elements_of_few_steps_are_dosed_from_a_solution)
{
    sw_scale with = scale;
    ck_assert(isnan(measure(&scale, "KNO3", NAN, 150).dose_ml));
    ck_assert(isnan(measure(&scale, "CuSO4.5H2O", NAN, 20).dose_ml));
    sw_weighing w = measure(&scale, "CuSO4.5H2O", NAN, 5.3);
    /* 53 g to a litre: 100 mL hold 5.3 g */
    ck_assert_double_eq_tol(w.concentrate_g, 53, 1e-9);
    ck_assert_double_eq_tol(w.concentrate_l, 1, 1e-12);
    ck_assert_double_eq_tol(w.dose_ml, 1, 1e-12);
    ck_assert_double_eq_tol(w.step_g, 0.053, 1e-12);
    with.concentrate_l = 0;
    ck_assert(isnan(measure(&with, "CuSO4.5H2O", NAN, 5.3).dose_ml));
}
END_TEST

START_TEST(small_doses_are_measured_to_a_tenth_of_a_millilitre)
{
    sw_weighing w = measure(&scale, "Na2MoO4.2H2O", NAN, 0.1);
    ck_assert_double_eq_tol(w.concentrate_g, 20, 1e-9);
    ck_assert_double_eq_tol(w.dose_ml, 0.1, 1e-12); /* 5 mL */
}
END_TEST

/* From 20 steps of the scale no less than 2 mL is measured out, of a solution
 * in as much more water as that takes; where a bucket will not do, it is
 * coarse. */
START_TEST(a_solution_is_made_weak_enough_to_be_measured)
{
    static const struct {
        double amount_g, l, ml;
        bool coarse;
    } cases[] = {{0.05, 1, 2.5, false},    {0.03, 2, 3, false},
                 {0.01, 5, 2.5, false},    {0.0028, 20, 2.8, false},
                 {0.0015, 20, 1.5, false}, {0.0004, 20, 0.4, true}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sw_weighing w = measure(&scale, "CuSO4.5H2O", NAN, cases[i].amount_g);
        ck_assert_double_eq_tol(w.concentrate_g, 20, 1e-9);
        ck_assert_double_eq_tol(w.concentrate_l, cases[i].l, 1e-12);
        ck_assert_double_eq_tol(w.dose_ml, 0.1, 1e-12);
        w.amount_g = cases[i].amount_g;
        w.dose_ml = w.amount_g / w.step_g * w.dose_ml;
        ck_assert_double_eq_tol(w.dose_ml, cases[i].ml, 1e-9);
        ck_assert_int_eq(sw_measure_is_coarse(&w), cases[i].coarse);
        w.amount_g = w.dose_ml = 0;
        ck_assert(!sw_measure_is_coarse(&w));
    }
}
END_TEST

/* Boric acid: 50 g/L at 20 degC (CRC Handbook; value from memory). */
START_TEST(no_solution_is_stronger_than_half_of_what_dissolves)
{
    sw_weighing w = measure(&scale, "H3BO3", NAN, 15);
    ck_assert_double_gt(w.concentrate_g, 15);
    ck_assert_double_lt(w.concentrate_g, 26);
    /* in a litre 2 steps of 10 g would dissolve, in ten litres 20 */
    sw_scale coarse = scale;
    coarse.micro_step_g = 10;
    w = measure(&coarse, "H3BO3", NAN, 2.5);
    ck_assert_double_ge(w.concentrate_g, 200);
    ck_assert_double_eq_tol(w.concentrate_l, 10, 1e-12);
    /* a solution of the five steps that dissolve is less than the six asked */
    coarse.micro_step_g = 100;
    w = measure(&coarse, "H3BO3", NAN, 600);
    ck_assert(isnan(w.dose_ml));
    ck_assert_double_eq_tol(w.step_g, 100, 1e-12);
    /* no bucket dissolves as much as one such step */
    coarse.micro_step_g = 1000;
    w = measure(&coarse, "H3BO3", NAN, 25);
    ck_assert(isnan(w.dose_ml));
    ck_assert_double_eq_tol(w.step_g, 1000, 1e-12);
}
END_TEST

/* Five steps of 100 g are what a bucket dissolves of boric acid. */
START_TEST(a_solution_weighed_in_few_steps_is_told)
{
    sw_scale coarse = scale;
    sw_measure measure_of;
    for (int few = 0; few < 2; few++) {
        sw_notes notes = {0};
        coarse.micro_step_g = few ? 100 : 10;
        sw_weighing w = measure(&coarse, "H3BO3", NAN, 25);
        w.amount_g = 25;
        sw_measure_start(&coarse, &measure_of);
        sw_measure_note(&measure_of, "boric acid", &w, &notes);
        ck_assert_int_eq(notes.count == 2 &&
                             !strcmp(notes.items[1].code, "micro-coarse"),
                         few);
        sw_notes_free(&notes);
    }
}
END_TEST

START_TEST(packs_are_whole_where_asked_for)
{
    sw_scale with = scale;
    with.whole_packs = true;
    ck_assert_double_eq_tol(measure(&with, "KNO3", NAN, 150).step_g, 25000,
                            1e-9);
}
END_TEST
