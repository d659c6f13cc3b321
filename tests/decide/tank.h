/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tanks whose solution goes round, for the tests of a renewal. */
#ifndef TESTS_DECIDE_TANK_H
#define TESTS_DECIDE_TANK_H

#include <math.h>
#include <string.h>

#include "bench.h"
#include "tolerances.h"

/* The harbour's basil, its straights and its tank. */
typedef struct tank {
    bench mix;
    sw_waters *analyses;
    sw_content waters[2];
    sw_problem problem;
    sw_solver *solver;
    sw_renewal *renewal;
} tank;

static inline void set_up(tank *t, const char *sample)
{
    sw_notes notes = {NULL, 0};
    memset(t, 0, sizeof *t);
    bench_read(&t->mix, "town.csv", "basil.csv", "straights.csv", "recipe.csv");
    BENCH_READ(sw_waters_read, "return.csv", &t->analyses);
    for (size_t i = 0; i < t->analyses->count; i++)
        t->analyses->items[i].is_solution = true;
    ck_assert_int_eq(sw_water_complete(sw_waters_find(t->analyses, sample),
                                       &t->mix.mix.conditions, &t->waters[0],
                                       &notes, NULL),
                     SW_OK);
    sw_notes_free(&notes);
    t->waters[1] = t->mix.water;
    t->problem = (sw_problem){.waters = t->waters,
                              .water_count = 2,
                              .target = t->mix.target,
                              .shelf = t->mix.shelf,
                              .objective = SW_CLOSEST,
                              .conditions = t->mix.mix.conditions};
    ck_assert_int_eq(sw_solver_new(&t->solver, NULL), SW_OK);
}

static inline void tear_down(tank *t)
{
    sw_renewal_free(t->renewal);
    sw_solver_free(t->solver);
    sw_waters_free(t->analyses);
    bench_free(&t->mix);
}

static inline void renew(tank *t, double held)
{
    sw_error error;
    ck_assert_msg(sw_renew(t->solver, &t->problem, held, &t->renewal, &error) ==
                      SW_OK,
                  "%s", error.message);
}

/* So much more than must be is drained, of what the tank holds. */
#define LITTLE_MORE 1e-3

/* Milligrams per litre of the filled tank. */
static inline double finished(const tank *t, sw_component c)
{
    const sw_solution *s = t->renewal->solution;
    double sum = t->renewal->kept * t->waters[0].amount[c] +
                 (1.0 - t->renewal->kept) * t->waters[1].amount[c];
    for (size_t j = 0; j < s->recipe.count; j++)
        sum += s->recipe.g_per_l[j] * t->mix.shelf->products[j].per_g.amount[c];
    return sum;
}

static inline const sw_unreached *unreached(const tank *t, const char *name)
{
    for (size_t i = 0; i < t->renewal->unreached_count; i++)
        if (strncmp(t->renewal->unreached[i].limit.name, name, strlen(name)) ==
            0)
            return &t->renewal->unreached[i];
    return NULL;
}

static inline sw_target_row *row_of(const tank *t, sw_component component)
{
    for (size_t i = 0; i < t->mix.target->count; i++)
        if (t->mix.target->rows[i].kind == SW_TARGET_COMPONENT &&
            t->mix.target->rows[i].component == component)
            return &t->mix.target->rows[i];
    ck_abort_msg("the target has no such row");
    return NULL;
}

/* Turns the row of molybdenum into one that no product of the shelf serves. */
static inline sw_target_row *ask_for_silicon(tank *t)
{
    sw_target_row *row = row_of(t, SW_MO);
    row->component = SW_SI;
    snprintf(row->name, 3, "Si"); /* in the place of Mo */
    row->target = 50.0;
    return row;
}

/* A test of a tank: START_TANK_TEST(name, set_up(t, "early")). */
#define START_TANK_TEST(name, set_up)                                          \
    START_TEST_WITH(name, tank, t, set_up, tear_down(t))

#endif
