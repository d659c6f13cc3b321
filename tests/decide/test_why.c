/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reasons small enough to be checked by hand, and ranges by solving again. */
#include "bench.h"
#include "formulate/kit.h"
#include "invent.h"
#include "assess/agent.h"

#include <stdlib.h>

typedef struct sw_asked {
    sw_kit kit;
    sw_why *why;
} sw_asked;

static void ask(sw_asked *asked)
{
    sw_status status = sw_why_find(asked->kit.solver, &asked->kit.problem,
                                   &asked->why, &asked->kit.error);
    ck_assert_msg(status == SW_OK, "%s", asked->kit.error.message);
    ck_assert_ptr_nonnull(asked->why);
}

static void close_asked(sw_asked *asked)
{
    sw_why_free(asked->why);
    kit_close(&asked->kit);
}

/* K wants 200 but brings S, of which 40 may be: (S / 80 - 1)^2 is the misfit */
static void open_potash(sw_asked *asked)
{
    kit_open(&asked->kit);
    kit_target(&asked->kit, SW_K, 200);
    kit_row(&asked->kit, SW_S, NAN, NAN, 40);
    kit_product(&asked->kit, "sulfate of potash", SW_K, 400)
        ->per_g.amount[SW_S] = 160;
}

static const sw_addition *addition(const sw_asked *asked, const char *name)
{
    for (size_t i = 0; i < asked->why->addition_count; i++)
        if (strcmp(asked->why->additions[i].name, name) == 0)
            return &asked->why->additions[i];
    return NULL;
}

#define START_ASKED_TEST(name, set_up)                                         \
    START_TEST_WITH(name, sw_asked, asked, set_up, close_asked(asked))

START_ASKED_TEST(a_limit_has_its_price_and_its_range, open_potash(asked))
{
    ask(asked);
    ck_assert_double_eq_tol(asked->why->objective, 0.25, TOL_HAND_SOLVED);
    ck_assert_uint_eq(asked->why->limit_count, 1);
    const sw_priced_limit *limit = &asked->why->limits[0];
    ck_assert_str_eq(limit->limit.name, "S max 40 mg/L (target.csv line 3)");
    ck_assert_double_eq_tol(limit->limit.price, -1. / 80, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(limit->low, 0, TOL_RANGE * 40);
    ck_assert_double_eq_tol(limit->high, 80, TOL_RANGE * 80);
    ck_assert_str_eq(limit->limit.unit, "mg/L");
}
END_TEST

/* (K / 200 - 1)^2 with K = 2.5 S: near the target a step of 10 in S would bring
 * more than half of it, and of 1 too from 76 on. */
START_TEST(a_step_brings_at_most_half_of_the_objective)
{
    static const struct {
        double max, moved;
    } rows[] = {{72, 1}, {75.6, 1}, {76.4, 0.1}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        sw_asked asked;
        open_potash(&asked);
        asked.kit.row[1].max = rows[i].max;
        ask(&asked);
        double miss = (rows[i].max + rows[i].moved) / 80 - 1;
        ck_assert_double_eq_tol(asked.why->limits[0].moved, rows[i].moved,
                                1e-12);
        ck_assert_double_eq_tol(asked.why->limits[0].objective, miss * miss,
                                TOL_HAND_SOLVED);
        close_asked(&asked);
    }
}
END_TEST

START_ASKED_TEST(a_target_has_its_part_in_the_misfit, open_potash(asked))
{
    kit_target(&asked->kit, SW_MG, 40);
    ask(asked);
    ck_assert_uint_eq(asked->why->miss_count, 2);
    ck_assert_uint_eq(asked->why->misses[0].row, 2);
    ck_assert_double_eq_tol(asked->why->misses[0].share, 0.8, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(asked->why->misses[0].deviation, -1,
                            TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(asked->why->misses[1].deviation, -0.5,
                            TOL_HAND_SOLVED);
}
END_TEST

START_ASKED_TEST(components_have_prices, open_potash(asked))
{
    /* K: 2 (0.5 - 1) / 200 by itself; S: what the limit takes, 1/80 */
    ask(asked);
    ck_assert_double_eq_tol(asked->why->price[SW_K], -1. / 200,
                            TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(asked->why->price[SW_S], 1. / 80, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(asked->why->price[SW_CA], 0, TOL_HAND_SOLVED);
}
END_TEST

/* The catalogue without traces that a feed of the usual pH does not hold. */
static size_t count_of_use(void)
{
    size_t count = 0;
    for (size_t i = 0; i < sw_catalogue_count(); i++) {
        sw_product *product;
        ck_assert_int_eq(sw_catalogue_get(i, &product, NULL), SW_OK);
        count += !sw_is_trace_source(product) || sw_stays_dissolved(product, 6);
        sw_product_free(product);
    }
    ck_assert_uint_lt(count, sw_catalogue_count());
    return count;
}

START_ASKED_TEST(a_product_that_closes_the_gap_is_named_and_solved_again,
                 open_potash(asked))
{
    ask(asked);
    const sw_addition *nitrate = addition(asked, "potassium nitrate");
    ck_assert_ptr_nonnull(nitrate);
    ck_assert_double_eq_tol(nitrate->objective, 0, TOL_HAND_SOLVED);
    ck_assert_double_lt(nitrate->price, 0);
    ck_assert(!nitrate->mends_ph);
    ck_assert_ptr_null(addition(asked, "potassium sulfate"));
    ck_assert_ptr_null(addition(asked, "calcium nitrate tetrahydrate"));
    ck_assert_uint_eq(asked->why->tried, count_of_use());
    ck_assert_ptr_null(addition(asked, "iron(II) sulfate heptahydrate"));
}
END_TEST

START_ASKED_TEST(a_product_is_worth_what_is_lost_without_it, open_potash(asked))
{
    kit_row(&asked->kit, SW_MG, 40, 30, NAN);
    kit_product(&asked->kit, "epsom", SW_MG, 100);
    ask(asked);
    ck_assert_uint_eq(asked->why->product_count, 2);
    ck_assert_uint_eq(asked->why->products[0].product, 1);
    ck_assert(isnan(asked->why->products[0].objective));
    ck_assert_double_eq_tol(asked->why->products[1].objective, 1,
                            TOL_HAND_SOLVED);
    ck_assert(!asked->why->products[1].loses_ph);
    ck_assert(!asked->why->products[0].spare && !asked->why->products[1].spare);
    ck_assert(isnan(asked->why->products[0].change));
    /* of 100 mg/L K to none */
    ck_assert_double_eq_tol(asked->why->products[1].change, 1, TOL_HAND_SOLVED);
}
END_TEST

/* Potash in use beside another that gives `k` mg of K for each 400. */
static void ask_with_another(sw_asked *asked, double k)
{
    kit_open(&asked->kit);
    kit_target(&asked->kit, SW_K, 200);
    kit_product(&asked->kit, "potash", SW_K, 400);
    kit_product(&asked->kit, "weaker potash", SW_K, k)->max_g_per_l = 1;
    ask(asked);
}

START_ASKED_TEST(what_another_stands_in_for_can_be_left_out,
                 ask_with_another(asked, 390))
{
    ck_assert_uint_eq(asked->why->product_count, 1);
    ck_assert_uint_eq(asked->why->products[0].product, 0);
    ck_assert(asked->why->products[0].spare);
    ck_assert_double_eq_tol(asked->why->products[0].change, 0, TOL_HAND_SOLVED);
}
END_TEST

START_ASKED_TEST(
    what_moves_a_target_by_more_than_a_thousandth_cannot_be_left_out,
    ask_with_another(asked, 199.7))
{
    /* 1 g/L at most: 199.7 of 200, and 199.9 */
    ck_assert(!asked->why->products[0].spare);
    ck_assert_double_eq_tol(asked->why->products[0].change, 0.3 / 200,
                            TOL_HAND_SOLVED);
    close_asked(asked);
    ask_with_another(asked, 199.9);
    ck_assert_double_eq_tol(asked->why->products[0].change, 0.1 / 200,
                            TOL_HAND_SOLVED);
}
END_TEST

START_ASKED_TEST(what_the_shelf_fixes_is_not_left_out, open_potash(asked))
{
    asked->kit.product[0].fixed_g_per_l = 0.2;
    ask(asked);
    ck_assert_uint_eq(asked->why->product_count, 0);
    ck_assert_uint_eq(asked->why->limit_count, 1);
    ck_assert_str_eq(asked->why->limits[0].limit.unit, "g/L");
    ck_assert_double_eq_tol(asked->why->limits[0].high, 0.25, TOL_RANGE);
}
END_TEST

START_TEST(the_most_of_a_product_has_a_range_too)
{
    /* K stays at 160 of 200, which 0.5 g/L would reach */
    sw_asked asked;
    kit_open(&asked.kit);
    kit_target(&asked.kit, SW_K, 200);
    kit_product(&asked.kit, "potash", SW_K, 400)->max_g_per_l = 0.4;
    ask(&asked);
    ck_assert_uint_eq(asked.why->limit_count, 1);
    ck_assert_double_eq_tol(asked.why->limits[0].low, 0, TOL_RANGE * 0.5);
    ck_assert_double_eq_tol(asked.why->limits[0].high, 0.5, TOL_RANGE * 0.5);
    close_asked(&asked);
}
END_TEST

/* Of the water and 0.415 g/L K is 176, 4.4 times the Mg. */
START_TEST(the_range_of_a_product_ends_where_another_limit_binds)
{
    sw_asked asked;
    kit_open(&asked.kit);
    asked.kit.water[0].amount[SW_K] = 10;
    kit_target(&asked.kit, SW_K, 200);
    kit_target(&asked.kit, SW_MG, 40);
    kit_ratio(&asked.kit, SW_K, SW_MG, NAN, 4.4);
    kit_product(&asked.kit, "potash", SW_K, 400)->max_g_per_l = 0.4;
    kit_product(&asked.kit, "epsom", SW_MG, 100);
    ask(&asked);
    ck_assert_uint_eq(asked.why->limit_count, 1);
    ck_assert_double_eq_tol(asked.why->limits[0].high, 0.415, TOL_RANGE * 0.5);
    close_asked(&asked);
}
END_TEST

START_TEST(a_ratio_has_a_range_too)
{
    /* K:Mg of at most 4 with Mg of at most 40: K stays at 160 of 200 */
    sw_asked asked;
    kit_open(&asked.kit);
    kit_target(&asked.kit, SW_K, 200);
    kit_row(&asked.kit, SW_MG, NAN, NAN, 40);
    kit_ratio(&asked.kit, SW_K, SW_MG, NAN, 4);
    kit_product(&asked.kit, "potash", SW_K, 400);
    kit_product(&asked.kit, "epsom", SW_MG, 100);
    ask(&asked);
    ck_assert_uint_eq(asked.why->limit_count, 2);
    ck_assert_double_eq_tol(asked.why->limits[1].high, 5, TOL_RANGE * 5);
    /* the ratio's price for 1 mg/L of K: 2 (0.8 - 1) / 200; Mg carries 4 */
    ck_assert_double_eq_tol(asked.why->price[SW_K], 0, TOL_HAND_SOLVED);
    close_asked(&asked);
}
END_TEST

START_TEST(the_worst_deviation_is_priced)
{
    /* K at most 160 of 200: a worst deviation of 0.2 */
    sw_asked asked;
    kit_open(&asked.kit);
    asked.kit.problem.objective = SW_EVEN;
    kit_target(&asked.kit, SW_K, 200);
    kit_product(&asked.kit, "potash", SW_K, 400)->max_g_per_l = 0.4;
    ask(&asked);
    ck_assert_double_eq_tol(asked.why->objective, 0.2, TOL_HAND_SOLVED);
    ck_assert_double_eq_tol(asked.why->price[SW_K], -1. / 200, TOL_HAND_SOLVED);
    ck_assert(isnan(asked.why->limits[0].low));
    ck_assert_ptr_nonnull(addition(&asked, "potassium nitrate"));
    ck_assert_uint_eq(asked.why->miss_count, 0);
    close_asked(&asked);
}
END_TEST

START_TEST(the_cheapest_says_what_a_kilogram_would_be_worth)
{
    /* 1 kg of potash brings 400 g of K for 2: a gram is worth 0.005 */
    sw_asked asked;
    kit_open(&asked.kit);
    asked.kit.problem.objective = SW_CHEAPEST;
    kit_row(&asked.kit, SW_K, NAN, 200, NAN);
    kit_product(&asked.kit, "potash", SW_K, 400)->price_per_kg = 2;
    ask(&asked);
    ck_assert_double_eq_tol(asked.why->objective, 1, TOL_HAND_SOLVED);
    const sw_addition *nitrate = addition(&asked, "potassium nitrate");
    ck_assert_ptr_nonnull(nitrate);
    ck_assert(isnan(nitrate->objective));
    ck_assert_double_eq_tol(nitrate->price, 386.7 * 0.005, 0.001);
    ck_assert_double_eq_tol(asked.why->limits[0].low, 0, TOL_RANGE * 200);
    ck_assert(isinf(asked.why->limits[0].high));
    close_asked(&asked);
}
END_TEST

static void ask_for_ph(sw_asked *asked)
{
    sw_target_row *ph = kit_row(&asked->kit, SW_K, 5.8, NAN, NAN);
    ph->kind = SW_TARGET_PH;
    ph->name = "pH";
    asked->kit.water[0].amount[SW_ALKALINITY] = 2;
    asked->kit.water[0].amount[SW_CARBON] = 2.2;
}

START_ASKED_TEST(an_acid_is_what_a_shelf_without_one_lacks, open_potash(asked))
{
    ask_for_ph(asked);
    ask(asked);
    const sw_addition *acid = addition(asked, "nitric acid 60 %");
    ck_assert_ptr_nonnull(acid);
    ck_assert(acid->mends_ph);
    ck_assert(isnan(acid->price));
    ck_assert(!addition(asked, "potassium nitrate")->mends_ph);
}
END_TEST

START_ASKED_TEST(without_its_acid_a_recipe_misses_the_ph, open_potash(asked))
{
    ask_for_ph(asked);
    sw_product *acid = kit_product(&asked->kit, "acid", SW_CL, 200);
    acid->per_g.amount[SW_ALKALINITY] = -5.64;
    ask(asked);
    ck_assert_uint_eq(asked->why->product_count, 2);
    for (size_t i = 0; i < 2; i++)
        ck_assert_int_eq(asked->why->products[i].loses_ph,
                         asked->why->products[i].product == 1);
    ck_assert_uint_eq(asked->why->limit_count, 1);
    ck_assert_double_eq_tol(asked->why->limits[0].limit.price, -1. / 80,
                            TOL_HAND_SOLVED);
}
END_TEST

/* An acid brings what is asked for, down to a pH that nobody set: who asks for
 * no pH is not told what a step of it would bring; who does is. */
START_TEST(a_ph_that_nobody_asked_for_is_nobodys_to_move)
{
    for (int asks = 0; asks < 2; asks++) {
        sw_asked asked;
        kit_open(&asked.kit);
        kit_target(&asked.kit, SW_CL, 200);
        if (asks)
            kit_ph_row(&asked.kit, NAN, 5.5, NAN);
        asked.kit.water[0].amount[SW_ALKALINITY] = 2;
        asked.kit.water[0].amount[SW_CARBON] = 2.2;
        sw_product *acid = kit_product(&asked.kit, "acid", SW_CL, 200);
        acid->per_g.amount[SW_ALKALINITY] = -5.64;
        ask(&asked);
        ck_assert_uint_eq(asked.why->limit_count, 1);
        ck_assert_int_eq(asked.why->limits[0].limit.kind, SW_SIDE_PH);
        ck_assert_int_eq(!isnan(asked.why->limits[0].moved), asks);
        close_asked(&asked);
    }
}
END_TEST

START_ASKED_TEST(a_conflict_has_no_reasons_of_this_kind, open_potash(asked))
{
    asked->kit.row[0].min = 180;
    ck_assert_int_eq(
        sw_why_find(asked->kit.solver, &asked->kit.problem, &asked->why, NULL),
        SW_OK);
    ck_assert_ptr_null(asked->why);
    asked->kit.target.count = 0;
    ck_assert_int_eq(
        sw_why_find(asked->kit.solver, &asked->kit.problem, &asked->why, NULL),
        SW_ERR_MISSING);
    ck_assert_ptr_null(asked->why);
}
END_TEST

/* ---- Prices with acid and pH in play, by solving again ------------------ */

static double objective_of(sw_solver *solver, const sw_problem *problem)
{
    sw_solution *solution;
    ck_assert_int_eq(sw_formulate(solver, problem, &solution, NULL), SW_OK);
    ck_assert_int_eq(solution->outcome, SW_OPTIMAL);
    double objective = solution->certificate.objective;
    sw_solution_free(solution);
    return objective;
}

/* The end of the target's row that a limit's name tells. */
static double *end_of(const sw_target *target, const sw_limit *limit)
{
    for (size_t i = 0; i < target->count; i++)
        if (target->rows[i].line == limit->line)
            return strstr(limit->name, " min ") ? &target->rows[i].min
                                                : &target->rows[i].max;
    ck_abort_msg("no row of %s", limit->name);
    return NULL;
}

/* What moving the bound a little changes, the acid and all else with it. */
static void check_price(sw_solver *solver, const sw_problem *problem,
                        const sw_limit *limit)
{
    double *end = end_of(problem->target, limit);
    double given = *end, step = 2e-4 * given;
    *end = given + step;
    double after = objective_of(solver, problem);
    *end = given - step;
    double before = objective_of(solver, problem);
    *end = given;
    double slope = (after - before) / (2 * step);
    ck_assert_msg(fabs(limit->price - slope) <= TOL_PRICE * fabs(slope),
                  "%s: %g, not %g", limit->name, limit->price, slope);
}

static void set_end(const sw_target *target, const char *name, double min,
                    double max)
{
    for (size_t i = 0; i < target->count; i++)
        if (strcmp(target->rows[i].name, name) == 0) {
            target->rows[i].min = min;
            target->rows[i].max = max;
        }
}

START_TEST(prices_are_those_of_the_solve_that_sets_the_acid)
{
    bench b;
    sw_why *why;
    sw_solver *solver;
    bool of_ph = false;
    bench_read(&b, "well.csv", "pepper.csv", "straights.csv", "recipe.csv");
    ck_assert_int_eq(sw_solver_new(&solver, NULL), SW_OK);
    set_end(b.target, "N", NAN, 191);
    set_end(b.target, "K:Ca", 1.2, 1.38);
    set_end(b.target, "Mg", NAN, 48.2);
    set_end(b.target, "pH", 5.8, NAN);
    sw_target_row *ph = &b.target->rows[b.target->count - 2];
    ck_assert_str_eq(ph->name, "pH");
    ph->target = NAN; /* its min binds: acid would bring nitrogen */
    const sw_problem problem = {.waters = &b.water,
                                .water_count = 1,
                                .target = b.target,
                                .shelf = b.shelf,
                                .conditions = b.mix.conditions};
    ck_assert_int_eq(sw_why_find(solver, &problem, &why, NULL), SW_OK);
    ck_assert_uint_ge(why->limit_count, 2);
    for (size_t i = 0; i < why->limit_count; i++) {
        of_ph = of_ph || strncmp(why->limits[i].limit.name, "pH", 2) == 0;
        check_price(solver, &problem, &why->limits[i].limit);
    }
    ck_assert(of_ph);
    sw_why_free(why);
    sw_solver_free(solver);
    bench_free(&b);
}
END_TEST

/* ---- Ranges by solving again ------------------------------------------- */

/* NULL where a limit has passed the other of its kind. */
static sw_solution *solve(sw_solver *solver, const sw_problem *problem)
{
    sw_solution *solution = NULL;
    sw_status status = sw_formulate(solver, problem, &solution, NULL);
    ck_assert(status == SW_OK || status == SW_ERR_VALUE);
    return solution;
}

/* The end of a component's row or a product that the limit's name tells. */
static double *bound_of(invention *problem, const sw_limit *limit)
{
    bool of_product = strstr(limit->name, "(s.csv") != NULL;
    size_t at = limit->line - 2;
    bool is_min = strstr(limit->name, " min ") != NULL;
    if (strstr(limit->name, " fixed "))
        return &problem->product[at].fixed_g_per_l;
    if (of_product)
        return is_min ? &problem->product[at].min_g_per_l
                      : &problem->product[at].max_g_per_l;
    return is_min ? &problem->row[at].min : &problem->row[at].max;
}

/* Same products in use, the same limits binding. */
static bool same_shape(const sw_solution *a, const sw_solution *b)
{
    if (!b || a->limit_count != b->limit_count || b->outcome != SW_OPTIMAL)
        return false;
    for (size_t j = 0; j < a->recipe.count; j++)
        if ((a->recipe.g_per_l[j] > TOL_NO_AMOUNT) !=
            (b->recipe.g_per_l[j] > TOL_NO_AMOUNT))
            return false;
    for (size_t i = 0; i < a->limit_count; i++)
        if (a->limits[i].line != b->limits[i].line)
            return false;
    return true;
}

static int check_end(sw_solver *solver, invention *problem,
                     const sw_limit *limit, double end)
{
    double *bound = bound_of(problem, limit);
    double given = *bound;
    if (isinf(end) || end == 0 || strstr(limit->name, " fixed ") ||
        strstr(limit->name, ":"))
        return 0;
    sw_solution *before = solve(solver, &problem->problem);
    *bound = given + 0.98 * (end - given);
    sw_solution *inside = solve(solver, &problem->problem);
    ck_assert_msg(same_shape(before, inside), "%s at %g", limit->name, *bound);
    *bound = given + 1.02 * (end - given) + (end > given ? 1 : -1) * 1e-5 * end;
    sw_solution *outside = solve(solver, &problem->problem);
    ck_assert_msg(!same_shape(before, outside), "%s at %g", limit->name,
                  *bound);
    *bound = given;
    sw_solution_free(before);
    sw_solution_free(inside);
    sw_solution_free(outside);
    return 1;
}

static int check_ranges(sw_solver *solver, unsigned long seed)
{
    invention *problem = calloc(1, sizeof *problem);
    sw_why *why;
    int checked = 0;
    invent(problem, seed, SW_CLOSEST);
    ck_assert_int_eq(sw_why_find(solver, &problem->problem, &why, NULL), SW_OK);
    for (size_t i = 0; why && i < why->limit_count; i++) {
        const sw_priced_limit *limit = &why->limits[i];
        if (isnan(limit->low) || problem->problem.water_count > 1)
            continue;
        checked += check_end(solver, problem, &limit->limit, limit->low);
        checked += check_end(solver, problem, &limit->limit, limit->high);
    }
    sw_why_free(why);
    free(problem);
    return checked;
}

START_TEST(ranges_end_where_the_recipe_changes_its_shape)
{
    sw_solver *solver;
    int checked = 0;
    ck_assert_int_eq(sw_solver_new(&solver, NULL), SW_OK);
    for (int seed = 1; seed <= sw_cases(250); seed++)
        checked += check_ranges(solver, (unsigned long)seed);
    ck_assert_int_gt(checked, 5);
    sw_solver_free(solver);
}
END_TEST
