/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

#include "invent.h"

#include <string.h>

enum { PROBLEMS = 300 };

/* The shelf turned round by `by` places, and read backward when odd. */
static void shuffle(const invention *from, invention *to, size_t by)
{
    size_t count = from->shelf.count;
    for (size_t j = 0; j < count; j++) {
        size_t at = (j + by) % count;
        to->product[by % 2 ? count - 1 - at : at] = from->product[j];
    }
}

static double amount_of(const invention *in, const sw_solution *solution,
                        const char *name)
{
    for (size_t j = 0; j < in->shelf.count; j++)
        if (strcmp(in->product[j].name, name) == 0)
            return solution->recipe.g_per_l[j];
    return -1;
}

static void expect_same(const invention *first, const sw_solution *a,
                        const invention *second, const sw_solution *b)
{
    ck_assert_int_eq(a->outcome, b->outcome);
    ck_assert_uint_eq(a->limit_count, b->limit_count);
    for (size_t j = 0; j < a->recipe.count; j++)
        ck_assert_double_eq(a->recipe.g_per_l[j],
                            amount_of(second, b, first->product[j].name));
}

static void check_objective(sw_objective objective)
{
    static invention given;
    static invention shuffled;
    sw_solver *solver = NULL;
    sw_solution *a = NULL;
    sw_solution *b = NULL;
    ck_assert_int_eq(sw_solver_new(&solver, NULL), SW_OK);
    for (unsigned long seed = 1; seed <= PROBLEMS; seed++) {
        invent(&given, seed, objective);
        invent(&shuffled, seed, objective);
        shuffle(&given, &shuffled, seed);
        ck_assert_int_eq(sw_formulate(solver, &given.problem, &a, NULL), SW_OK);
        ck_assert_int_eq(sw_formulate(solver, &shuffled.problem, &b, NULL),
                         SW_OK);
        expect_same(&given, a, &shuffled, b);
        sw_solution_free(a);
        sw_solution_free(b);
    }
    sw_solver_free(solver);
}

START_TEST(the_same_shelf_in_another_order_gives_the_same_closest_recipe)
{
    check_objective(SW_CLOSEST);
}
END_TEST

START_TEST(and_the_same_even_recipe)
{
    check_objective(SW_EVEN);
}
END_TEST

START_TEST(and_the_same_cheapest_recipe)
{
    check_objective(SW_CHEAPEST);
}
END_TEST
