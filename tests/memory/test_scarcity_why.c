/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Reasons and fronts with their allocations failing in turn.  They solve
 * hundreds of problems, so of their thousands of allocations the first are
 * lost one by one and the later ones ever farther apart.
 */
#include "formulate/kit.h"
#include "memory/scarce.h"

/* Loses an allocation where the call solves; NULL out when it fails. */
typedef sw_status (*call)(sw_solver *solver, const sw_problem *problem,
                          bool *has_result);

static sw_status explain(sw_solver *solver, const sw_problem *problem,
                         bool *has_result)
{
    sw_conflict *conflict;
    sw_status status =
        sw_conflict_explain(solver, problem, NULL, &conflict, NULL);
    *has_result = conflict != NULL;
    sw_conflict_free(conflict);
    return status;
}

static sw_status reason(sw_solver *solver, const sw_problem *problem,
                        bool *has_result)
{
    sw_why *why;
    sw_status status = sw_why_find(solver, problem, &why, NULL);
    *has_result = why != NULL;
    sw_why_free(why);
    return status;
}

static sw_status trade(sw_solver *solver, const sw_problem *problem,
                       sw_trade against, bool *has_result)
{
    sw_front *front;
    sw_status status = sw_front_find(solver, problem, against, 3, &front, NULL);
    *has_result = front != NULL;
    sw_front_free(front);
    return status;
}

static sw_status trade_cost(sw_solver *solver, const sw_problem *problem,
                            bool *has_result)
{
    return trade(solver, problem, SW_TRADE_COST, has_result);
}

static sw_status trade_products(sw_solver *solver, const sw_problem *problem,
                                bool *has_result)
{
    return trade(solver, problem, SW_TRADE_PRODUCTS, has_result);
}

/* K and Mg, S in the way; with a min for K the limits conflict. */
static void open_problem(sw_kit *kit, bool conflict)
{
    kit_open(kit);
    kit->water[0].amount[SW_S] = 10;
    kit_row(kit, SW_K, 200, conflict ? 190 : NAN, NAN);
    kit_row(kit, SW_S, NAN, NAN, 85);
    kit_target(kit, SW_MG, 10);
    kit_product(kit, "sulfate of potash", SW_K, 400)->per_g.amount[SW_S] = 160;
    kit_product(kit, "epsom", SW_MG, 100)->per_g.amount[SW_S] = 10;
    kit->product[0].price_per_kg = 2;
    kit->product[1].price_per_kg = 1;
}

/* Whether the nth allocation was still made. */
static bool survives_loss(call of, const sw_problem *problem, unsigned long nth)
{
    bool has_result = false;
    sw_solver *solver;
    scarce_begin(nth);
    sw_status status = sw_solver_new(&solver, NULL);
    if (status == SW_OK)
        status = of(solver, problem, &has_result);
    sw_solver_free(solver);
    bool failed = scarce_end();
    ck_assert_msg(scarce_left() == 0, "allocation %lu lost: %ld leak", nth,
                  scarce_left());
    /* What the solver remembers it may lose. */
    bool forgot = failed && status == SW_OK;
    ck_assert_msg(status == (failed && !forgot ? SW_ERR_MEMORY : SW_OK),
                  "allocation %lu lost: %s", nth, sw_status_text(status));
    ck_assert(has_result == (status == SW_OK));
    return failed;
}

static void lose_some(call of, bool conflict)
{
    sw_kit kit;
    open_problem(&kit, conflict);
    unsigned long nth = 1;
    while (survives_loss(of, &kit.problem, nth))
        nth += 1 + nth / 40;
    ck_assert_uint_gt(nth, 20);
    kit_close(&kit);
}

START_TEST(a_conflict_is_explained_or_not_at_all)
{
    lose_some(explain, true);
}
END_TEST

START_TEST(reasons_are_given_or_not_at_all)
{
    lose_some(reason, false);
}
END_TEST

START_TEST(a_front_of_cost_is_found_or_not_at_all)
{
    lose_some(trade_cost, false);
}
END_TEST

START_TEST(a_front_of_products_is_found_or_not_at_all)
{
    lose_some(trade_products, false);
}
END_TEST
