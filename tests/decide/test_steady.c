/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What is shown does not hang on last bits or on the order of the shelf: the
 * harbour's basil with every number a little off, or its products shuffled,
 * is told in the same words.
 */
#include "tank.h"

#include <gsl/gsl_rng.h>
#include <stdio.h>
#include <stdlib.h>

enum { MOST_TEXT = 1 << 16, MOST_SHELF = 64 };

typedef struct story {
    char text[MOST_TEXT];
    size_t used;
} story;

static void say(story *to, const char *words)
{
    int written = snprintf(to->text + to->used, sizeof to->text - to->used,
                           "%s; ", words);
    to->used += (size_t)written;
    ck_assert(to->used < sizeof to->text);
}

static int by_text(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* Products in use, by their names; `counts`: with what is weighed. */
static void say_recipe(story *to, const sw_shelf *shelf,
                       const sw_recipe *recipe, const sw_weighed *counts)
{
    char line[MOST_SHELF][96];
    const char *lines[MOST_SHELF];
    size_t used = 0;
    for (size_t j = 0; j < recipe->count; j++) {
        if (!(recipe->g_per_l[j] > 1e-9))
            continue;
        const sw_weighing *w = counts ? &counts->items[j] : NULL;
        snprintf(line[used], sizeof line[used], "%.60s %.0f",
                 shelf->products[j].name, w ? w->amount_g / w->step_g : 0);
        lines[used] = line[used];
        used++;
    }
    qsort(lines, used, sizeof *lines, by_text);
    for (size_t i = 0; i < used; i++)
        say(to, lines[i]);
}

static void say_formulated(story *to, const tank *t, sw_problem *problem)
{
    sw_solution *solution;
    sw_weighed *weighed;
    const sw_scale scale = {
        .volume_l = 1000, .step_g = 1, .micro_step_g = 0.1, .seconds = 5};
    problem->fewest = true;
    problem->equal_share = 0.02;
    ck_assert_int_eq(sw_formulate(t->solver, problem, &solution, NULL), SW_OK);
    say_recipe(to, problem->shelf, &solution->recipe, NULL);
    say(to, sw_component_name(solution->fewer.moved));
    for (size_t i = 0; i < solution->limit_count; i++)
        say(to, solution->limits[i].name);
    ck_assert_int_eq(
        sw_weigh(t->solver, problem, solution, &scale, &weighed, NULL), SW_OK);
    say_recipe(to, problem->shelf, &weighed->recipe, weighed);
    sw_weighed_free(weighed);
    sw_solution_free(solution);
    problem->fewest = false;
    problem->equal_share = 0;
}

static void say_reasons(story *to, sw_solver *solver, const sw_problem *problem,
                        bool shelf_order)
{
    sw_why *why;
    sw_front *front;
    ck_assert_int_eq(sw_why_find(solver, problem, &why, NULL), SW_OK);
    for (size_t i = 0; i < why->miss_count; i++)
        say(to, problem->target->rows[why->misses[i].row].name);
    for (size_t i = 0; i < why->product_count && shelf_order; i++)
        say(to, problem->shelf->products[why->products[i].product].name);
    for (size_t i = 0; i < why->addition_count; i++)
        say(to, why->additions[i].name);
    sw_why_free(why);
    ck_assert_int_eq(
        sw_front_find(solver, problem, SW_TRADE_PRODUCTS, 4, &front, NULL),
        SW_OK);
    for (size_t i = 0; i < front->count; i++)
        say_recipe(to, problem->shelf, &front->points[i].recipe, NULL);
    sw_front_free(front);
}

/* Less nitrogen than the nitrate of that much calcium and potassium brings, and
 * little sulfate. */
static void say_conflict(story *to, sw_solver *solver,
                         const sw_problem *problem)
{
    sw_conflict *conflict;
    sw_target target = *problem->target;
    sw_target_row *rows = calloc(target.count, sizeof *rows);
    sw_problem tight = *problem;
    memcpy(rows, target.rows, target.count * sizeof *rows);
    for (size_t i = 0; i < target.count; i++) {
        bool is_s = rows[i].component == SW_S;
        if (rows[i].kind != SW_TARGET_COMPONENT)
            continue;
        if (rows[i].component == SW_N || is_s) {
            rows[i].max = is_s ? 70 : 80;
            rows[i].target = NAN;
        } else if (rows[i].target > 1) {
            rows[i].min = 0.9 * rows[i].target;
        }
    }
    target.rows = rows;
    tight.target = &target;
    ck_assert_int_eq(sw_conflict_explain(solver, &tight, NULL, &conflict, NULL),
                     SW_OK);
    ck_assert_ptr_nonnull(conflict);
    for (size_t i = 0; i < conflict->member_count; i++)
        say(to, conflict->members[i].limit.name);
    for (size_t i = 0; i < conflict->least_count; i++)
        say(to, conflict->least[i].limit.name);
    for (size_t i = 0; i < conflict->addition_count; i++)
        say(to, conflict->additions[i].name);
    sw_conflict_free(conflict);
    free(rows);
}

static void say_renewal(story *to, tank *t)
{
    renew(t, 0.9);
    for (size_t i = 0; i < t->renewal->forcing_count; i++)
        say(to, t->renewal->forcing[i].limit.name);
    for (size_t i = 0; i < t->renewal->unreached_count; i++)
        say(to, t->renewal->unreached[i].limit.name);
    say_recipe(to, t->mix.shelf, &t->renewal->solution->recipe, NULL);
}

static void tell(story *to, tank *t, bool shelf_order)
{
    sw_problem problem = t->problem;
    problem.waters = &t->mix.water;
    problem.water_count = 1;
    to->used = 0;
    say_formulated(to, t, &problem);
    say_reasons(to, t->solver, &problem, shelf_order);
    say_conflict(to, t->solver, &problem);
    say_renewal(to, t);
    ck_assert_uint_gt(to->used, 1000);
}

/* By up to eight units in the last place. */
static void nudge(gsl_rng *rng, double *value)
{
    *value *= 1 + ((double)gsl_rng_uniform_int(rng, 17) - 8) * 0x1p-52;
}

static void nudge_all(gsl_rng *rng, tank *t)
{
    for (int c = 0; c < SW_CARRIED_COUNT; c++) {
        for (int k = 0; k < 2; k++)
            nudge(rng, &t->waters[k].amount[c]);
        nudge(rng, &t->mix.water.amount[c]);
        for (size_t j = 0; j < t->mix.shelf->count; j++)
            nudge(rng, &t->mix.shelf->products[j].per_g.amount[c]);
    }
    for (size_t i = 0; i < t->mix.target->count; i++) {
        sw_target_row *row = &t->mix.target->rows[i];
        nudge(rng, &row->target);
        nudge(rng, &row->max);
    }
}

static void shuffle(gsl_rng *rng, sw_shelf *shelf)
{
    for (size_t i = shelf->count - 1; i > 0; i--) {
        size_t k = gsl_rng_uniform_int(rng, i + 1);
        sw_product kept = shelf->products[i];
        shelf->products[i] = shelf->products[k];
        shelf->products[k] = kept;
    }
}

/* The words from where they part, where they do. */
static void check_same(const char *one, const char *other)
{
    size_t at = 0;
    while (one[at] && one[at] == other[at])
        at++;
    at -= at < 40 ? at : 40;
    ck_assert_msg(strcmp(one, other) == 0, "%.120s\nthen %.120s", one + at,
                  other + at);
}

/* SALTWRIGHT_STEADY in the environment is how often (50 once). */
static int times(void)
{
    const char *asked = getenv("SALTWRIGHT_STEADY");
    return asked ? atoi(asked) : 1;
}

static void compare(bool shuffled)
{
    static story first, other;
    tank t;
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_taus2);
    set_up(&t, "late");
    tell(&first, &t, !shuffled);
    tear_down(&t);
    for (int i = 0; i < times(); i++) {
        set_up(&t, "late");
        if (shuffled)
            shuffle(rng, t.mix.shelf);
        else
            nudge_all(rng, &t);
        tell(&other, &t, !shuffled);
        check_same(first.text, other.text);
        tear_down(&t);
    }
    gsl_rng_free(rng);
}

START_TEST(last_bits_change_no_word)
{
    compare(false);
}
END_TEST

START_TEST(the_order_of_the_shelf_changes_no_word)
{
    compare(true);
}
END_TEST
