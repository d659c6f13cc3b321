/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fewest groups of columns, and of such sets the cheapest, which few groups
 * are asked for one by one and many by branch and bound: against every set
 * there is. */
#include "suite.h"

#include "solve/sets.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_rng.h>

enum { MOST_GROUPS = 9, MOST_COPIES = 2 };
#define MOST_COLUMNS (MOST_GROUPS * MOST_COPIES)

/* In each copy a sum of its columns, each of them up to an end, is enough; all
 * free ones are used by the point at hand. */
typedef struct choice {
    size_t groups, copies;
    bool common; /* the first group has one column in all copies */
    double brings[MOST_COLUMNS], most[MOST_COLUMNS], price[MOST_COLUMNS];
    double enough[MOST_COPIES];
    bool free[MOST_GROUPS];
    /* what is found */
    bool found, all, needed[MOST_GROUPS], chosen[MOST_GROUPS];
    size_t fewest;
    double y[MOST_COLUMNS];
} choice;

static size_t column_of(const choice *lot, size_t copy, size_t j)
{
    return j == 0 && lot->common ? 0 : copy * lot->groups + j;
}

static sw_form form_of(sw_solver *solver, const choice *lot, double enough)
{
    const sw_form none = {.columns = 0};
    size_t columns = lot->groups * lot->copies;
    sw_form form = sw_form_wider(solver, &none, columns, lot->copies);
    memcpy(form.high, lot->most, columns * sizeof(double));
    for (size_t i = 0; i < lot->copies; i++) {
        for (size_t j = 0; j < lot->groups; j++)
            *sw_form_at(&form, i, column_of(lot, i, j)) =
                lot->brings[i * lot->groups + j];
        form.row_low[i] = enough * lot->enough[i];
        form.row_high[i] = INFINITY;
    }
    return form;
}

/* Of half as much first: nothing of it is left. */
static sw_status find(sw_solver *solver, void *task)
{
    choice *lot = task;
    size_t columns = lot->groups * lot->copies;
    size_t column[MOST_COLUMNS];
    for (size_t k = 0; k < columns; k++)
        column[k] = column_of(lot, k / lot->groups, k % lot->groups);
    const sw_groups groups = {lot->groups, lot->copies, column, lot->groups};
    sw_sets sets = sw_sets_open(solver, groups, columns);
    sets.free = sets.used = lot->free;
    sets.price = lot->price;
    solver->pivot_limit = 100000;
    for (int half = 1; half >= 0; half--) {
        sets.form = form_of(solver, lot, half ? 0.5 : 1);
        lot->found = sw_sets_find(&sets, &lot->all);
    }
    lot->fewest = sets.fewest;
    memcpy(lot->needed, sets.needed, lot->groups * sizeof(bool));
    memcpy(lot->chosen, sets.chosen, lot->groups * sizeof(bool));
    memcpy(lot->y, sets.cheapest, columns * sizeof(double));
    return SW_OK;
}

/* What a copy that lacks so much costs at least with such groups, the best for
 * its money first; infinite where they are not enough. */
static double cost_of_copy(const choice *lot, size_t copy, const bool *chosen,
                           double lacks)
{
    double cost = 0;
    bool taken[MOST_GROUPS] = {lot->common};
    const double *price = lot->price + copy * lot->groups;
    const double *brings = lot->brings + copy * lot->groups;
    while (lacks > 1e-9) {
        size_t best = SIZE_MAX;
        for (size_t j = 0; j < lot->groups; j++)
            if (chosen[j] && !taken[j] &&
                (best == SIZE_MAX ||
                 price[j] * brings[best] < price[best] * brings[j]))
                best = j;
        if (best == SIZE_MAX)
            return INFINITY;
        double y =
            fmin(lot->most[copy * lot->groups + best], lacks / brings[best]);
        taken[best] = true;
        lacks -= y * brings[best];
        cost += y * price[best];
    }
    return cost;
}

/* All numbers are whole, and nothing brings more than 4: what is in common is a
 * multiple of 1/12 where that is best. */
static double cost_of(const choice *lot, const bool *chosen)
{
    double least = INFINITY;
    double most = lot->common && chosen[0] ? lot->most[0] : 0;
    for (double y = 0; y <= most + 1e-9; y += 1.0 / 12) {
        double cost = y * lot->price[0];
        for (size_t i = 0; i < lot->copies; i++)
            cost +=
                cost_of_copy(lot, i, chosen,
                             lot->enough[i] - y * lot->brings[i * lot->groups]);
        least = fmin(least, cost);
    }
    return least;
}

/* The least cost of the sets of the fewest, and their number; answers whether
 * there is another set than all. */
static bool look_at_all(const choice *lot, size_t *fewest, double *least)
{
    bool other = false;
    *fewest = lot->groups + 1;
    *least = INFINITY;
    for (unsigned set = 0; set < 1u << lot->groups; set++) {
        bool chosen[MOST_GROUPS];
        size_t count = 0;
        for (size_t j = 0; j < lot->groups; j++)
            count += chosen[j] = !lot->free[j] || set >> j & 1;
        double cost = cost_of(lot, chosen);
        if (isinf(cost) || count > *fewest)
            continue;
        *least = count < *fewest ? cost : fmin(*least, cost);
        *fewest = count;
        other |= count < lot->groups;
    }
    return other;
}

static void run(choice *lot)
{
    sw_solver *solver = NULL;
    ck_assert_int_eq(sw_solver_new(&solver, NULL), SW_OK);
    ck_assert_int_eq(sw_solver_run(solver, find, lot), SW_OK);
    sw_solver_free(solver);
}

static choice draw(gsl_rng *rng, size_t groups)
{
    unsigned long dearest = gsl_rng_uniform_int(rng, 8) ? 9 : 0;
    choice lot = {.groups = groups, .copies = 1 + gsl_rng_uniform_int(rng, 2)};
    lot.common = lot.copies > 1 && gsl_rng_uniform_int(rng, 2) > 0;
    for (size_t j = 0; j < groups; j++)
        lot.free[j] = gsl_rng_uniform_int(rng, 5) > 0;
    for (size_t i = 0; i < lot.copies; i++) {
        double most = 0;
        for (size_t k = i * groups; k < (i + 1) * groups; k++) {
            lot.brings[k] = (double)(1 + gsl_rng_uniform_int(rng, 4));
            lot.most[k] = (double)(1 + gsl_rng_uniform_int(rng, 3));
            lot.price[k] = (double)gsl_rng_uniform_int(rng, dearest + 1);
            most += lot.brings[k] * lot.most[k];
        }
        lot.enough[i] = floor(most * (0.2 + 0.75 * gsl_rng_uniform(rng)));
    }
    return lot;
}

/* Of few groups each set is asked, of many branch and bound says. */
static void check(const choice *lot, size_t fewest, double least)
{
    double cost = 0;
    bool taken[MOST_GROUPS];
    size_t count = 0, fixed = 0;
    for (size_t j = 0; j < lot->groups; j++) {
        taken[j] = !lot->free[j] || lot->chosen[j];
        fixed += !lot->free[j];
        count += taken[j];
    }
    for (size_t i = 0; i < lot->copies; i++)
        for (size_t j = 0; j < lot->groups; j++) {
            size_t k = column_of(lot, i, j);
            cost +=
                j > 0 || i == 0 || !lot->common ? lot->price[k] * lot->y[k] : 0;
            ck_assert(lot->y[k] <= 1e-9 || taken[j]);
        }
    ck_assert_uint_eq(count, fewest);
    ck_assert_uint_eq(lot->fewest, fewest - fixed);
    ck_assert_double_eq_tol(cost_of(lot, taken), least, 1e-3);
    ck_assert_double_eq_tol(cost, least, 1e-3);
}

static void check_needed(const choice *lot)
{
    for (size_t j = 0; j < lot->groups; j++) {
        bool chosen[MOST_GROUPS];
        for (size_t k = 0; k < lot->groups; k++)
            chosen[k] = k != j;
        ck_assert_int_eq(lot->needed[j],
                         lot->free[j] && isinf(cost_of(lot, chosen)));
    }
}

START_TEST(no_set_is_smaller_nor_one_as_small_cheaper)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    size_t others = 0, many = 0;
    for (int round = 0; round < sw_cases(300); round++) {
        choice lot = draw(rng, 2 + gsl_rng_uniform_int(rng, MOST_GROUPS - 1));
        size_t fewest;
        double least;
        bool other = look_at_all(&lot, &fewest, &least);
        run(&lot);
        ck_assert(lot.found);
        ck_assert_int_eq(lot.all, !other);
        check_needed(&lot);
        if (!other)
            continue;
        check(&lot, fewest, least);
        others++;
        many += lot.groups > 7;
    }
    ck_assert_int_ge((int)others, sw_cases(300) / 2);
    ck_assert_int_ge((int)many, sw_cases(300) / 10);
    gsl_rng_free(rng);
}
END_TEST

/* Two of those that cost the same, and bring 4 each of the 7 that are enough,
 * whichever way they are found. */
START_TEST(of_sets_as_cheap_the_first_groups_are_taken)
{
    for (size_t groups = 3; groups <= MOST_GROUPS; groups++)
        for (size_t dear = 0; dear < groups; dear++) {
            choice lot = {.groups = groups, .copies = 1, .enough = {7}};
            for (size_t j = 0; j < groups; j++) {
                lot.free[j] = true;
                lot.brings[j] = lot.most[j] = lot.price[j] = 2;
            }
            lot.price[dear] = 3;
            run(&lot);
            ck_assert(lot.found && !lot.all);
            for (size_t j = 0, taken = 0; j < groups; j++) {
                bool first = j != dear && taken < 2;
                ck_assert_int_eq(lot.chosen[j], first);
                taken += first;
            }
        }
}
END_TEST
