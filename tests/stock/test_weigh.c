/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

#include "stock/product_classes.h"

#include "invented.h"
#include "tolerances.h"

#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics.h>
#include <stdio.h>

static const sw_scale usual_scale = {
    .volume_l = 1000, .step_g = 10, .micro_step_g = 0.1, .seconds = 1};

/* The objective of a recipe straight from its definition. */
static double objective_of(const case_ *c, const double *g_per_l)
{
    sw_content finished = c->water;
    double sum = 0;
    for (size_t j = 0; j < c->shelf.count; j++)
        sw_content_add(&finished, g_per_l[j], &c->product[j].per_g);
    for (size_t i = 0; i < c->target.count; i++) {
        const sw_target_row *r = &c->row[i];
        double d = finished.amount[r->component] / r->target - 1;
        sum += r->weight * d * d;
    }
    return sum;
}

static double step_of(const case_ *c, size_t j)
{
    const double *a = c->product[j].per_g.amount;
    double trace =
        a[SW_FE] + a[SW_MN] + a[SW_ZN] + a[SW_CU] + a[SW_B] + a[SW_MO];
    return (trace > 10 ? 0.1 : 10) / 1000;
}

/* Round to the nearest step, then change one or two products by a step while
 * that helps; calculated apart from the library. */
static double best_rounding(const case_ *c)
{
    size_t n = c->shelf.count;
    double x[SHELF_COUNT] = {0}, best;
    for (size_t j = 0; j < n; j++)
        x[j] = round(c->solution->recipe.g_per_l[j] / step_of(c, j)) *
               step_of(c, j);
    best = objective_of(c, x);
    for (bool moved = true; moved;) {
        moved = false;
        for (size_t j = 0; j < n; j++)
            for (size_t k = 0; k < n; k++)
                for (int m = 0; m < 8; m++) {
                    double was_j = x[j], was_k = x[k];
                    x[j] += (m & 1 ? 1 : -1) * step_of(c, j);
                    if (k != j && m & 4)
                        x[k] += (m & 2 ? 1 : -1) * step_of(c, k);
                    double value = x[j] > -1e-12 && x[k] > -1e-12
                                       ? objective_of(c, x)
                                       : INFINITY;
                    if (value < best * (1 - 1e-12)) {
                        best = value;
                        moved = true;
                    } else {
                        x[j] = was_j;
                        x[k] = was_k;
                    }
                }
    }
    return best;
}

static void expect_whole_steps(const case_ *c, const sw_weighed *w)
{
    for (size_t j = 0; j < c->shelf.count; j++) {
        double steps = w->recipe.g_per_l[j] / step_of(c, j);
        ck_assert_double_eq_tol(steps, round(steps), 1e-6);
        ck_assert_double_ge(steps, -1e-9);
    }
}

/* The limit of time is generous: what is held to is the proof. */
START_TEST(five_hundred_recipes_are_weighed_better_than_rounded)
{
    enum { CASES = 500 };
    static double gain[CASES];
    sw_scale scale = usual_scale;
    double worst_gap = 0;
    int cases = sw_cases(CASES);
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    scale.seconds = 60;
    for (int i = 0; i < cases; i++) {
        case_ c;
        sw_weighed *w;
        draw_case(&c, rng);
        ck_assert_int_eq(
            sw_weigh(one_solver(), &c.problem, c.solution, &scale, &w, NULL),
            SW_OK);
        double f = objective_of(&c, w->recipe.g_per_l);
        ck_assert_double_eq_tol(f, w->certificate.objective,
                                TOL_STOCK_OBJECTIVE * (1e-6 + f));
        double rounding = best_rounding(&c);
        ck_assert_double_le(f, rounding * (1 + 1e-9));
        ck_assert_double_ge(f, c.solution->certificate.lower_bound - 1e-12);
        ck_assert_double_ge(w->certificate.gap, 0);
        worst_gap = fmax(worst_gap, w->certificate.gap / f);
        ck_assert_int_eq(w->outcome, SW_OPTIMAL);
        gain[i] = rounding / f;
        expect_whole_steps(&c, w);
        sw_weighed_free(w);
        sw_solution_free(c.solution);
    }
    gsl_rng_free(rng);
    gsl_sort(gain, 1, (size_t)cases);
    printf("whole steps: %d recipes, worst gap %.2g %%; local search is worse "
           "by up to %.0f %%, by %.1f %% at the median\n",
           cases, 100 * worst_gap, 100 * (gain[cases - 1] - 1),
           100 *
               (gsl_stats_median_from_sorted_data(gain, 1, (size_t)cases) - 1));
    ck_assert_double_le(worst_gap, 1e-3);
}
END_TEST

/* The records point into the case they were drawn in. */
static sw_status weigh(case_ *c, const sw_scale *scale, sw_weighed **w,
                       sw_error *error)
{
    point_again(c);
    return sw_weigh(one_solver(), &c->problem, c->solution, scale, w, error);
}

static case_ one_case(void)
{
    case_ c;
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    draw_case(&c, rng);
    gsl_rng_free(rng);
    return c;
}

#define START_CASE_TEST(name, made)                                            \
    START_TEST_WITH(name, case_, c, *c = made, sw_solution_free(c->solution))

START_CASE_TEST(when_time_is_up_the_gap_left_is_told, one_case())
{
    sw_weighed *w;
    sw_scale scale = usual_scale;
    scale.seconds = 1e-9;
    ck_assert_int_eq(weigh(c, &scale, &w, NULL), SW_OK);
    ck_assert_int_eq(w->outcome, SW_LIMIT);
    double f = w->certificate.objective, bound = w->certificate.lower_bound;
    ck_assert_double_le(f, best_rounding(c) * (1 + 1e-9));
    ck_assert_double_gt(w->certificate.gap, 1e-3 * f);
    ck_assert_double_eq_tol(w->certificate.gap, f - bound, 1e-15);
    expect_whole_steps(c, w);
    sw_weighed_free(w);
    ck_assert_int_eq(weigh(c, &usual_scale, &w, NULL), SW_OK);
    ck_assert_double_ge(w->certificate.objective, bound);
    sw_weighed_free(w);
}
END_TEST

START_CASE_TEST(micros_too_small_to_weigh_come_from_a_concentrate, one_case())
{
    sw_weighed *w;
    sw_scale scale = usual_scale;
    scale.concentrate_l = 1;
    ck_assert_int_eq(weigh(c, &scale, &w, NULL), SW_OK);
    int doses = 0;
    for (size_t j = 0; j < c->shelf.count; j++) {
        const sw_weighing *i = &w->items[j];
        if (isnan(i->dose_ml))
            continue;
        doses++;
        /* dose x strength = amount; strength is a whole number of 0.1 g */
        ck_assert_double_eq_tol(i->dose_ml * i->concentrate_g / 1000,
                                i->amount_g, 1e-9);
        double steps = i->concentrate_g / 0.1;
        ck_assert_double_eq_tol(steps, round(steps), 1e-6);
        ck_assert_double_ge(i->concentrate_g, 2 - 1e-9);
        ck_assert_double_le(i->dose_ml, 1000);
        /* a small dose is measured in tenths of a millilitre */
        if (fabs(i->dose_ml - 20) > 1)
            ck_assert_double_eq_tol(i->step_g * 1000 * i->concentrate_l /
                                        i->concentrate_g,
                                    i->dose_ml < 20 ? 0.1 : 1, 1e-9);
    }
    ck_assert_int_ge(doses, 2);
    ck_assert_uint_ge(w->notes.count, 2);
    sw_weighed_free(w);
}
END_TEST

START_CASE_TEST(whole_packs_are_whole, one_case())
{
    sw_weighed *w;
    sw_scale scale = usual_scale;
    scale.volume_l = 100000;
    scale.whole_packs = true;
    c->product[0].pack_g = 25000;
    ck_assert_int_eq(weigh(c, &scale, &w, NULL), SW_OK);
    double packs = w->items[0].amount_g / 25000;
    ck_assert_double_eq_tol(packs, round(packs), 1e-9);
    ck_assert_double_gt(packs, 0.5);
    sw_weighed_free(w);
}
END_TEST

/* 2.5 mg/L of iron in 1000 L are no pack of 5 kg of a chelate, nor none of it;
 * nor is it a whole number of packs of a gram or so. */
START_CASE_TEST(traces_are_weighed_whatever_their_pack, one_case())
{
    sw_scale scale = usual_scale;
    size_t traces = 0;
    scale.whole_packs = true;
    for (int small = 0; small < 2; small++) {
        sw_weighed *w;
        for (size_t j = 0; j < c->shelf.count; j++)
            if (sw_is_micro(&c->product[j]))
                c->product[j].pack_g =
                    small ? c->solution->recipe.g_per_l[j] * 1000 / 1.45 : 5000;
        ck_assert_int_eq(weigh(c, &scale, &w, NULL), SW_OK);
        for (size_t j = 0; j < c->shelf.count; j++) {
            double exact = c->solution->recipe.g_per_l[j];
            if (!sw_is_micro(&c->product[j]) || !(exact > 1e-9))
                continue;
            traces++;
            ck_assert_double_eq_tol(w->recipe.g_per_l[j], exact, 0.1 * exact);
        }
        sw_weighed_free(w);
    }
    ck_assert_uint_gt(traces, 0);
}
END_TEST

START_CASE_TEST(limits_hold_on_whole_steps, one_case())
{
    sw_weighed *w;
    double k = c->row[3].target;
    c->row[3].min = k * 0.999;
    c->row[3].max = k * 1.001;
    ck_assert_int_eq(weigh(c, &usual_scale, &w, NULL), SW_OK);
    ck_assert_int_ne(w->outcome, SW_CONFLICT);
    double found = c->water.amount[SW_K];
    for (size_t j = 0; j < c->shelf.count; j++)
        found += w->recipe.g_per_l[j] * c->product[j].per_g.amount[SW_K];
    ck_assert_double_ge(found, k * 0.999 - 1e-3);
    ck_assert_double_le(found, k * 1.001 + 1e-3);
    sw_weighed_free(w);
}
END_TEST

/* 0.29 g/L is below 29 times 0.01 by rounding, 2.2 above 220 times. */
START_TEST(a_limit_on_a_step_can_be_reached)
{
    for (int most = 0; most < 2; most++) {
        case_ c = one_case();
        sw_weighed *w;
        sw_product *product = &c.product[0];
        double free = c.solution->recipe.g_per_l[0], limit = most ? 0.29 : 2.2;
        ck_assert(most ? free > limit : free < limit);
        *(most ? &product->max_g_per_l : &product->min_g_per_l) = limit;
        ck_assert_int_eq(weigh(&c, &usual_scale, &w, NULL), SW_OK);
        ck_assert_double_eq_tol(w->recipe.g_per_l[0], limit, 1e-12);
        sw_weighed_free(w);
        sw_solution_free(c.solution);
    }
}
END_TEST

static double potassium_of(const case_ *c, const sw_recipe *recipe)
{
    double sum = c->water.amount[SW_K];
    for (size_t j = 0; j < recipe->count; j++)
        sum += recipe->g_per_l[j] * c->product[j].per_g.amount[SW_K];
    return sum;
}

/* All sources of potassium together bring less than is asked for, the most of
 * each not on a step: what they bring in steps is near enough. */
START_TEST(a_limit_that_gave_way_may_give_a_little_more_for_a_step)
{
    case_ c = one_case();
    sw_weighed *w;
    for (size_t j = 0; j < c.shelf.count; j++)
        if (c.product[j].per_g.amount[SW_K] > 0)
            c.product[j].max_g_per_l = 0.0904;
    c.row[3].min = c.row[3].target;
    point_again(&c);
    c.problem.nearest = true;
    c.problem.equal_share = 0.02;
    sw_solution_free(c.solution);
    ck_assert_int_eq(sw_formulate(one_solver(), &c.problem, &c.solution, NULL),
                     SW_OK);
    ck_assert_uint_gt(c.solution->conflict_count, 0);
    ck_assert_int_eq(weigh(&c, &usual_scale, &w, NULL), SW_OK);
    ck_assert_int_ne(w->outcome, SW_CONFLICT);
    double most = potassium_of(&c, &c.solution->recipe);
    double weighed = potassium_of(&c, &w->recipe);
    ck_assert_double_lt(weighed, most - 0.1);
    ck_assert_double_ge(weighed, most - 0.02 * c.row[3].target);
    sw_weighed_free(w);
    sw_solution_free(c.solution);
}
END_TEST

START_CASE_TEST(limits_no_step_can_keep_are_a_conflict, one_case())
{
    sw_weighed *w;
    /* molybdenum between two steps of its only source */
    double step = 0.0001 * c->product[c->shelf.count - 1].per_g.amount[SW_MO];
    for (size_t j = 0; j < c->shelf.count; j++)
        if (c->product[j].per_g.amount[SW_MO] > 0)
            step = 0.0001 * c->product[j].per_g.amount[SW_MO];
    c->row[12].min = 1.4 * step;
    c->row[12].max = 1.6 * step;
    ck_assert_int_eq(weigh(c, &usual_scale, &w, NULL), SW_OK);
    ck_assert_int_eq(w->outcome, SW_CONFLICT);
    ck_assert_str_eq(w->notes.items[0].code, "steps-conflict");
    sw_weighed_free(w);
}
END_TEST

/* Nothing asks for molybdenum but its min, of 1.4 steps of its source. */
START_TEST(what_only_a_limit_asks_for_comes_in_whole_steps_that_keep_it)
{
    case_ c = one_case();
    sw_weighed *w;
    size_t source = 0;
    while (!(c.product[source].per_g.amount[SW_MO] > 0))
        source++;
    double step = 0.0001 * c.product[source].per_g.amount[SW_MO];
    c.row[12].weight = 0;
    c.row[12].min = 1.4 * step;
    point_again(&c);
    sw_solution_free(c.solution);
    ck_assert_int_eq(sw_formulate(one_solver(), &c.problem, &c.solution, NULL),
                     SW_OK);
    ck_assert_int_eq(weigh(&c, &usual_scale, &w, NULL), SW_OK);
    ck_assert_int_ne(w->outcome, SW_CONFLICT);
    ck_assert_double_ge(w->recipe.g_per_l[source], 0.0002 - 1e-12);
    sw_weighed_free(w);
    sw_solution_free(c.solution);
}
END_TEST

START_CASE_TEST(a_fixed_product_goes_to_its_nearest_step, one_case())
{
    sw_weighed *w;
    c->product[1].fixed_g_per_l = 0.1234;
    ck_assert_int_eq(weigh(c, &usual_scale, &w, NULL), SW_OK);
    ck_assert_double_eq_tol(w->recipe.g_per_l[1], 0.12, 1e-12);
    sw_weighed_free(w);
}
END_TEST

START_CASE_TEST(what_cannot_be_weighed_is_refused, one_case())
{
    sw_weighed *w;
    sw_error error;
    sw_scale scale = usual_scale;
    scale.step_g = 0;
    ck_assert_int_eq(weigh(c, &scale, &w, &error), SW_ERR_VALUE);
    ck_assert_ptr_null(w);
    scale.step_g = INFINITY;
    ck_assert_int_eq(weigh(c, &scale, &w, &error), SW_ERR_VALUE);
    sw_scale wrong[] = {usual_scale, usual_scale, usual_scale, usual_scale,
                        usual_scale};
    wrong[0].volume_l = NAN;
    wrong[1].micro_step_g = 0;
    wrong[2].seconds = 0;
    wrong[3].concentrate_l = -1;
    wrong[4].concentrate_l = INFINITY;
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++)
        ck_assert_int_eq(weigh(c, &wrong[i], &w, NULL), SW_ERR_VALUE);
    double batch_l[16] = {100, 0};
    for (size_t j = 2; j < 16; j++)
        batch_l[j] = 100;
    scale = usual_scale;
    scale.batch_l = batch_l;
    ck_assert_int_eq(weigh(c, &scale, &w, &error), SW_ERR_VALUE);
    c->problem.objective = SW_CHEAPEST;
    ck_assert_int_eq(weigh(c, &usual_scale, &w, &error), SW_ERR_VALUE);
    c->problem.objective = SW_CLOSEST;
    c->solution->recipe.count--;
    ck_assert_int_eq(weigh(c, &usual_scale, &w, &error), SW_ERR_VALUE);
    sw_weighed_free(NULL);
}
END_TEST

/* A double still counts 1e12 steps one by one, not 1e14. */
START_CASE_TEST(a_step_too_fine_for_its_amount_is_refused, one_case())
{
    sw_weighed *w;
    sw_error error;
    sw_scale scale = usual_scale;
    scale.step_g = 1e-12;
    ck_assert_int_eq(weigh(c, &scale, &w, &error), SW_ERR_VALUE);
    ck_assert_ptr_null(w);
    ck_assert_ptr_nonnull(strstr(error.message, "too fine"));
    scale = usual_scale;
    scale.micro_step_g = 1e-16;
    ck_assert_int_eq(weigh(c, &scale, &w, &error), SW_ERR_VALUE);
    scale = usual_scale;
    scale.whole_packs = true;
    c->product[4].pack_g = 1e-16; /* of which the recipe takes nothing */
    ck_assert_double_lt(c->solution->recipe.g_per_l[4], 1e-9);
    ck_assert_int_eq(weigh(c, &scale, &w, &error), SW_ERR_VALUE);
    c->product[4].pack_g = 1e-8;
    ck_assert_int_eq(weigh(c, &scale, &w, &error), SW_OK);
    sw_weighed_free(w);
    c->product[4].pack_g = NAN;
    scale.step_g = scale.micro_step_g = 1e-8;
    ck_assert_int_eq(weigh(c, &scale, &w, &error), SW_OK);
    sw_weighed_free(w);
}
END_TEST

START_TEST(waters_left_free_are_weighed_in_the_blend_found)
{
    case_ c = one_case();
    sw_weighed *blended, *given;
    sw_content waters[2] = {c.water, {{0}}};
    point_again(&c);
    sw_solution_free(c.solution);
    solve(&c);
    c.problem.waters = waters;
    c.problem.water_count = 2;
    c.problem.fractions = NULL;
    c.row[4].target = c.row[4].max = 0.6 * c.water.amount[SW_CA];
    sw_solver *solver;
    sw_solution_free(c.solution);
    ck_assert_int_eq(sw_solver_new(&solver, NULL), SW_OK);
    ck_assert_int_eq(sw_formulate(solver, &c.problem, &c.solution, NULL),
                     SW_OK);
    sw_solver_free(solver);
    ck_assert_double_lt(c.solution->fractions[0], 0.7);
    ck_assert_int_eq(sw_weigh(one_solver(), &c.problem, c.solution,
                              &usual_scale, &blended, NULL),
                     SW_OK);
    c.problem.waters = &c.solution->water;
    c.problem.water_count = 1;
    ck_assert_int_eq(sw_weigh(one_solver(), &c.problem, c.solution,
                              &usual_scale, &given, NULL),
                     SW_OK);
    ck_assert_double_eq(blended->certificate.objective,
                        given->certificate.objective);
    for (size_t j = 0; j < c.shelf.count; j++)
        ck_assert_double_eq(blended->recipe.g_per_l[j],
                            given->recipe.g_per_l[j]);
    sw_weighed_free(blended);
    sw_weighed_free(given);
    sw_solution_free(c.solution);
}
END_TEST

/* The first case in alkaline water (invented), nitric acid on its shelf. */
static case_ acid_case(double ph, double min, double max)
{
    case_ c = one_case();
    point_again(&c);
    sw_solution_free(c.solution);
    c.water.amount[SW_ALKALINITY] = 3;
    c.water.amount[SW_CARBON] = 3.3;
    c.row[12] = (sw_target_row){.kind = SW_TARGET_PH,
                                .name = (char *)(uintptr_t) "pH",
                                .target = ph,
                                .min = min,
                                .max = max,
                                .weight = 1};
    c.product[9].name = (char *)(uintptr_t) "acid";
    ck_assert_int_eq(
        sw_formula_content("HNO3", 0.6, &c.product[9].per_g, NULL, NULL),
        SW_OK);
    solve(&c);
    ck_assert_double_gt(c.solution->recipe.g_per_l[9], 0.1);
    return c;
}

static double ph_of(const case_ *c, const sw_weighed *w)
{
    sw_content finished = c->solution->water;
    sw_chemistry chemistry;
    sw_content_add_recipe(&finished, 1, &c->shelf, &w->recipe);
    ck_assert_int_eq(sw_equilibrate(&finished, &c->problem.conditions,
                                    SW_CARBONATE_KEPT, &chemistry, NULL),
                     SW_OK);
    return chemistry.ph;
}

START_TEST(limits_of_the_ph_hold_on_whole_steps_and_no_narrower_ones)
{
    case_ c = acid_case(NAN, 5.6, 5.8);
    sw_weighed *w;
    ck_assert_int_eq(weigh(&c, &usual_scale, &w, NULL), SW_OK);
    ck_assert_int_ne(w->outcome, SW_CONFLICT);
    ck_assert_double_ge(ph_of(&c, w), 5.6 - TOL_STEPS_PH);
    ck_assert_double_le(ph_of(&c, w), 5.8 + TOL_STEPS_PH);
    ck_assert(!sw_notes_find(&w->notes, "steps-ph"));
    sw_weighed_free(w);
    sw_solution_free(c.solution);
}
END_TEST

START_TEST(a_ph_at_its_limit_stays_within_it_on_whole_steps)
{
    case_ c = acid_case(5.8, 5.5, 5.8);
    sw_weighed *w;
    ck_assert_int_eq(weigh(&c, &usual_scale, &w, NULL), SW_OK);
    ck_assert_int_ne(w->outcome, SW_CONFLICT);
    ck_assert_double_le(ph_of(&c, w), 5.8 + TOL_STEPS_PH);
    sw_weighed_free(w);
    sw_solution_free(c.solution);
}
END_TEST

/* A pack of acid is 1.5 meq/L, and the salts' steps are too coarse to help. */
START_TEST(limits_of_the_ph_no_step_can_keep_are_a_conflict)
{
    case_ c = acid_case(5.8, NAN, NAN);
    sw_weighed *w;
    sw_scale scale = usual_scale;
    c.product[9].pack_g = 160;
    scale.whole_packs = true;
    scale.step_g = 100;
    ck_assert_int_eq(weigh(&c, &scale, &w, NULL), SW_OK);
    ck_assert(sw_notes_find(&w->notes, "steps-ph"));
    ck_assert_double_ge(ph_of(&c, w), 5.48 - TOL_STEPS_PH);
    ck_assert_double_le(ph_of(&c, w), 6.52 + TOL_STEPS_PH);
    sw_weighed_free(w);
    c.row[12].min = 5.7;
    c.row[12].max = 5.9;
    scale.seconds = 60; /* what is shown is the conflict, not its speed */
    ck_assert_int_eq(weigh(&c, &scale, &w, NULL), SW_OK);
    ck_assert_int_eq(w->outcome, SW_CONFLICT);
    ck_assert(
        sw_notes_find(&w->notes, "packs-conflict")); /* no scale is to blame */
    ck_assert(!sw_notes_find(&w->notes, "steps-conflict"));
    sw_weighed_free(w);
    sw_solution_free(c.solution);
}
END_TEST

/* An acid water and lye, which no acid on the shelf makes up for. */
START_TEST(lye_that_the_recipe_takes_is_weighed_as_acid_is)
{
    case_ c = acid_case(5.8, 5.5, 6.0);
    sw_weighed *w;
    sw_solution_free(c.solution);
    c.water.amount[SW_ALKALINITY] = 0;
    c.product[8] = c.product[9];
    c.product[9].name = (char *)(uintptr_t) "lye";
    ck_assert_int_eq(
        sw_formula_content("KOH", 0.5, &c.product[9].per_g, NULL, NULL), SW_OK);
    point_again(&c);
    solve(&c);
    ck_assert_double_gt(c.solution->recipe.g_per_l[9], 0.01);
    ck_assert_int_eq(weigh(&c, &usual_scale, &w, NULL), SW_OK);
    ck_assert_int_ne(w->outcome, SW_CONFLICT);
    ck_assert_double_gt(w->recipe.g_per_l[9], 0.01);
    ck_assert_double_eq(w->recipe.g_per_l[8], 0);
    ck_assert_double_ge(ph_of(&c, w), 5.5 - TOL_STEPS_PH);
    ck_assert_double_le(ph_of(&c, w), 6.0 + TOL_STEPS_PH);
    sw_weighed_free(w);
    sw_solution_free(c.solution);
}
END_TEST

/* Hydrochloric acid could be weighed finer; the recipe does without it. */
START_TEST(an_acid_the_recipe_does_without_is_not_poured_for_a_step)
{
    case_ c = acid_case(5.8, NAN, NAN);
    sw_weighed *w;
    sw_scale scale = usual_scale;
    sw_product *other = &c.product[8];
    other->name = (char *)(uintptr_t) "other acid";
    other->max_g_per_l = 0;
    ck_assert_int_eq(sw_formula_content("HCl", 0.03, &other->per_g, NULL, NULL),
                     SW_OK);
    sw_solution_free(c.solution);
    point_again(&c);
    solve(&c);
    other->max_g_per_l = NAN;
    c.product[9].pack_g = 160;
    scale.whole_packs = true;
    scale.step_g = 100;
    ck_assert_int_eq(weigh(&c, &scale, &w, NULL), SW_OK);
    ck_assert(sw_notes_find(&w->notes, "steps-ph"));
    ck_assert_double_eq(w->recipe.g_per_l[8], 0);
    sw_weighed_free(w);
    sw_solution_free(c.solution);
}
END_TEST
