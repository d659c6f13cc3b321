/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Invented problems (by their seed) at which something simpler failed once.
 */
#include "suite.h"
#include "tolerances.h"

#include "invent.h"

static sw_solution *solve(unsigned long seed, sw_objective objective)
{
    static invention problem;
    sw_solver *solver = NULL;
    sw_solution *solution = NULL;
    invent(&problem, seed, objective);
    ck_assert_int_eq(sw_solver_new(&solver, NULL), SW_OK);
    ck_assert_int_eq(sw_formulate(solver, &problem.problem, &solution, NULL),
                     SW_OK);
    sw_solver_free(solver);
    ck_assert_int_eq(solution->outcome, SW_OPTIMAL);
    const sw_certificate *proof = &solution->certificate;
    ck_assert_double_le(proof->gap, 10 * TOL_PROOF_GAP * proof->objective);
    ck_assert_double_le(proof->kkt_residual, TOL_KKT);
    return solution;
}

START_TEST(products_nearly_alike_are_told_apart_on_foot)
{
    sw_solution_free(solve(7033, SW_CLOSEST));
}
END_TEST

START_TEST(forced_amounts_a_thousand_times_the_target)
{
    sw_solution_free(solve(8332, SW_CLOSEST));
    sw_solution_free(solve(15422, SW_CLOSEST));
}
END_TEST

START_TEST(a_limit_that_holds_by_rounding_alone)
{
    sw_solution_free(solve(349, SW_CLOSEST));
    sw_solution_free(solve(3553, SW_CLOSEST));
}
END_TEST

START_TEST(a_least_largest_deviation_that_few_recipes_have)
{
    const unsigned long seed[] = {812, 3001, 6805, 18262, 18988, 19877};
    for (size_t i = 0; i < sizeof seed / sizeof *seed; i++)
        sw_solution_free(solve(seed[i], SW_EVEN));
}
END_TEST
