/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What is tried for advice, failing in turn for want of numbers: the acid or
 * base needed, what the shelf lacks, other tanks, other sources.  None of it
 * may take the result along.  The linker puts the functions below before those
 * of the library (-Wl,--wrap).
 */
#include "formulate/kit.h"

#include "assess/ph_dose.h"
#include "chemistry/equilibrate.h"
#include "stock/tank_plan.h"

/* The nth call from now on fails, or none. */
static unsigned long to_go;

static bool fails(void)
{
    return to_go > 0 && --to_go == 0;
}

#define TRIAL(name, parameters, arguments, out)                                \
    sw_status __real_##name parameters;                                        \
    sw_status __wrap_##name parameters;                                        \
    sw_status __wrap_##name parameters                                         \
    {                                                                          \
        if (!fails())                                                          \
            return __real_##name arguments;                                    \
        out;                                                                   \
        return sw_fail(error, SW_ERR_NUMERIC, "no numbers");                   \
    }

TRIAL(sw_formulate,
      (sw_solver * solver, const sw_problem *problem, sw_solution **solution,
       sw_error *error),
      (solver, problem, solution, error), *solution = NULL)
TRIAL(sw_assess,
      (const sw_mix *mix, sw_assessment **assessment, sw_error *error),
      (mix, assessment, error), *assessment = NULL)
TRIAL(sw_stock_try,
      (sw_solver * solver, const sw_mix *mix, const sw_stock_setup *setup,
       sw_stock **stock, sw_error *error),
      (solver, mix, setup, stock, error), *stock = NULL)
TRIAL(sw_ph_missing,
      (const sw_ph_goal *goal, double *acid_meq_per_l, sw_error *error),
      (goal, acid_meq_per_l, error), *acid_meq_per_l = (double)NAN)
TRIAL(sw_ph_dose,
      (const sw_ph_goal *goal, const sw_product *product, sw_ph_amount *amount,
       sw_error *error),
      (goal, product, amount, error), *amount = (sw_ph_amount){0})

/* Calls with every trial failing in turn, the later ones
 * farther apart, until none is left to fail; `skipped`
 * are what the result itself is made of. */
typedef bool (*call)(sw_kit *kit);

static void fail_each(call of, sw_kit *kit, unsigned long skipped,
                      unsigned long at_least)
{
    unsigned long nth = skipped;
    do {
        nth += 1 + nth / 8;
        to_go = nth;
        ck_assert_msg(of(kit), "trial %lu: %s", nth, kit->error.message);
    } while (to_go == 0);
    ck_assert_uint_gt(nth, skipped + at_least);
    to_go = 0;
}

/* ---- Why ------------------------------------------------------------------
 */

/* K and Mg with S in the way. */
static void open_problem(sw_kit *kit, double least_k)
{
    kit_open(kit);
    kit->water[0].amount[SW_S] = 10;
    kit_row(kit, SW_K, 200, least_k, NAN);
    kit_row(kit, SW_S, NAN, NAN, 85);
    kit_target(kit, SW_MG, 10);
    kit_product(kit, "sulfate of potash", SW_K, 400)->per_g.amount[SW_S] = 160;
    kit_product(kit, "epsom", SW_MG, 100)->per_g.amount[SW_S] = 10;
}

static bool reason(sw_kit *kit)
{
    sw_why *why;
    sw_status status =
        sw_why_find(kit->solver, &kit->problem, &why, &kit->error);
    sw_why_free(why);
    return status == SW_OK && why;
}

static bool explain(sw_kit *kit)
{
    sw_conflict *conflict;
    sw_status status = sw_conflict_explain(kit->solver, &kit->problem, NULL,
                                           &conflict, &kit->error);
    sw_conflict_free(conflict);
    return status == SW_OK && conflict;
}

START_KIT_TEST(reasons_outlive_each_of_their_trials, open_problem(kit, NAN))
{
    fail_each(reason, kit, 0, 5);
}
END_TEST

START_KIT_TEST(an_explanation_outlives_each_of_its_trials,
               open_problem(kit, 190))
{
    fail_each(explain, kit, 0, 5);
}
END_TEST

/* ---- pH -------------------------------------------------------------------
 */

/* Hard water with a pH asked for that it does not have. */
static bool assess(sw_kit *kit)
{
    double none[] = {0};
    sw_recipe recipe = {.g_per_l = none, .count = 1};
    sw_assessment *assessment;
    sw_mix mix = {.water = &kit->water[0],
                  .target = &kit->target,
                  .shelf = &kit->shelf,
                  .recipe = &recipe,
                  .conditions = kit->problem.conditions};
    sw_status status = sw_assess(&mix, &assessment, &kit->error);
    sw_assessment_free(assessment);
    return status == SW_OK;
}

START_KIT_TEST(an_assessment_outlives_advice_on_its_ph, kit_open(kit))
{
    kit->water[0].amount[SW_CA] = 80;
    kit->water[0].amount[SW_ALKALINITY] = 4;
    *kit_target(kit, SW_K, 5.8) = (sw_target_row){.kind = SW_TARGET_PH,
                                                  .name = "pH",
                                                  .target = 5.8,
                                                  .min = 5.5,
                                                  .max = 6.2,
                                                  .weight = 1};
    kit_product(kit, "potash", SW_K, 400);
    fail_each(assess, kit, 1, 1);
}
END_TEST

/* ---- Tanks ----------------------------------------------------------------
 */

/* Of more potassium sulfate than any tank dissolves. */
static bool formulate(sw_kit *kit)
{
    sw_stock *stock;
    sw_stock_setup setup = sw_stock_setup_default(100);
    setup.factor = 1000;
    sw_solution_free(kit->solution);
    sw_status status = sw_stock_formulate(kit->solver, &kit->problem, &setup,
                                          &kit->solution, &stock, &kit->error);
    bool conflict = stock && stock->outcome == SW_CONFLICT;
    sw_stock_free(stock);
    return status == SW_OK && conflict;
}

START_KIT_TEST(tanks_outlive_each_of_their_remedies, kit_open(kit))
{
    sw_shelf *shelf;
    static char text[] =
        "product,formula\npotassium sulfate,K2SO4\n"
        "calcium nitrate,Ca(NO3)2.4H2O\npotassium nitrate,KNO3\n";
    FILE *stream = fmemopen(text, sizeof text - 1, "r");
    kit_target(kit, SW_K, 200);
    kit_target(kit, SW_S, 60);
    kit_target(kit, SW_CA, 150);
    ck_assert_int_eq(sw_shelf_read(stream, "shelf.csv", &shelf, NULL), SW_OK);
    fclose(stream);
    kit->problem.shelf = shelf;
    fail_each(formulate, kit, 1, 5);
    sw_shelf_free(shelf);
}
END_TEST
