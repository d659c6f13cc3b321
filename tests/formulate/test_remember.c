/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The waters of a shelf and target one after another: the solver that tries the
 * active sets, corners and proofs of earlier waters, in either order, gives the
 * recipes of one that forgets them, to the last digit, and their gaps but for
 * rounding.
 * SALTWRIGHT_SHELVES (40) invented shelves and targets, half of them with a pH;
 * 1,250 make 10,000 waters.
 */
#include "suite.h"

#include "solve/solver.h"
#include "invent.h"
#include "tolerances.h"

#include <math.h>
#include <stdlib.h>

enum { WATERS = 8, ABSURD = 1000 };

static sw_solution *solve(sw_solver *solver, invention *in, unsigned long seed,
                          int k)
{
    sw_solution *solution = NULL;
    sw_content water = invent_water(in, seed, k);
    in->problem.waters = &water;
    in->problem.water_count = 1;
    in->problem.fractions = NULL;
    in->problem.nearest = seed % 4 < 2;
    in->problem.fewest = seed % 3;
    in->problem.equal_share = seed % 3 == 1 ? 0.02 : 0;
    ck_assert_int_eq(sw_formulate(solver, &in->problem, &solution, NULL),
                     SW_OK);
    return solution;
}

static void expect_same(const sw_solution *a, const sw_solution *b)
{
    ck_assert_int_eq(a->outcome, b->outcome);
    ck_assert_uint_eq(a->limit_count, b->limit_count);
    ck_assert_uint_eq(a->notes.count, b->notes.count);
    ck_assert_uint_eq(a->recipe.count, b->recipe.count);
    ck_assert_int_eq(a->fewer.proved, b->fewer.proved);
    ck_assert_uint_eq(a->fewer.products, b->fewer.products);
    if (!a->recipe.count)
        return;
    /* what a fixed product is thousands of times too much of leaves no digits
     * to the rest */
    double objective = a->certificate.objective;
    double off = objective < ABSURD ? 0 : TOL_ABSURD;
    for (size_t j = 0; j < a->recipe.count; j++)
        ck_assert_double_le(fabs(a->recipe.g_per_l[j] - b->recipe.g_per_l[j]),
                            off * (1 + a->recipe.g_per_l[j]));
    ck_assert_double_le(fabs(objective - b->certificate.objective),
                        off * objective);
    ck_assert_double_le(fabs(a->certificate.gap - b->certificate.gap),
                        TOL_SAME_GAP * (1 + objective));
}

static void check_shelf(unsigned long seed, int *recalled)
{
    static invention in;
    sw_solver *forgetful, *forward, *backward;
    sw_solution *expected[WATERS], *found;
    invent(&in, seed, SW_CLOSEST);
    if (seed % 2)
        invent_ph(&in, seed);
    ck_assert_int_eq(sw_solver_new(&forgetful, NULL), SW_OK);
    ck_assert_int_eq(sw_solver_new(&forward, NULL), SW_OK);
    ck_assert_int_eq(sw_solver_new(&backward, NULL), SW_OK);
    forgetful->forgets = true;
    for (int k = 0; k < WATERS; k++) {
        expected[k] = solve(forgetful, &in, seed, k);
        found = solve(forward, &in, seed, k);
        *recalled +=
            found->certificate.pivots < expected[k]->certificate.pivots;
        expect_same(expected[k], found);
        sw_solution_free(found);
    }
    for (int k = WATERS; k-- > 0;) {
        found = solve(backward, &in, seed, k);
        expect_same(expected[k], found);
        sw_solution_free(found);
        sw_solution_free(expected[k]);
    }
    sw_solver_free(forgetful);
    sw_solver_free(forward);
    sw_solver_free(backward);
}

START_TEST(what_is_remembered_changes_no_digit)
{
    int recalled = 0;
    const char *asked = getenv("SALTWRIGHT_SHELVES");
    int shelves = asked ? atoi(asked) : 40;
    for (int i = 1; i <= shelves; i++)
        check_shelf((unsigned long)i, &recalled);
    ck_assert_int_gt(recalled, shelves);
}
END_TEST
