/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Writes invented problems whose limits cannot all hold, each with the
 * library's explanation, as raw doubles for verify_conflicts.py:
 *     conflicts FIRST COUNT FILE
 * COUNT problems in conflict, from seed FIRST on; seeds without one are passed
 * over.
 */
#include "write.h"
#include "solver.h"

#include "assess/agent.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_TRIALS = 100 };

/* Product or row, its place in its file, and which end. */
static void put_easing(sw_record *to, const sw_easing *easing)
{
    record_put(to, strstr(easing->limit.name, "(s.csv") ? 1 : 0);
    record_put(to, (double)easing->limit.line - 2);
    record_put(to, strstr(easing->limit.name, " min ")   ? 0
                   : strstr(easing->limit.name, " max ") ? 1
                                                         : 2);
    record_put(to, easing->limit.bound);
    record_put(to, easing->reached);
    record_put(to, easing->share);
}

static void put_easings(sw_record *to, const sw_easing *easings, size_t count)
{
    record_put(to, (double)count);
    for (size_t i = 0; i < count; i++)
        put_easing(to, &easings[i]);
}

static sw_product *product_of(size_t index)
{
    sw_product *product = NULL;
    if (sw_catalogue_get(index, &product, NULL) != SW_OK)
        abort();
    return product;
}

/* A catalogue product, and whether it is said to resolve the conflict. */
static void put_trial(sw_record *to, const sw_conflict *conflict, size_t index)
{
    sw_product *product = product_of(index);
    bool resolves = false;
    for (size_t i = 0; i < conflict->addition_count; i++)
        resolves = resolves || conflict->additions[i].index == index;
    for (int c = 0; c < SW_COMPONENT_COUNT; c++)
        record_put(to, product->per_g.amount[c]);
    record_put(to, product->per_g.amount[SW_ALKALINITY]);
    record_put(to, product->per_g.amount[SW_CARBON]);
    record_put(to, product->per_g.amount[SW_CITRATE]);
    record_put(to, resolves);
    sw_product_free(product);
}

/* One that a seed names, or the next: traces that the pH of the feed takes out
 * of solution are advised to nobody. */
static size_t advised(const sw_target *target, unsigned long seed)
{
    size_t index = seed % sw_catalogue_count();
    sw_product *product = product_of(index);
    bool is = !sw_is_trace_source(product) ||
              sw_stays_dissolved(product, sw_feed_ph_of(target));
    sw_product_free(product);
    return is ? index : advised(target, seed + 1);
}

/* The best of those that resolve it, if any, any other, and whatever an acid
 * or a base may be. */
static void put_trials(sw_record *to, const sw_conflict *conflict,
                       const sw_target *target, unsigned long seed)
{
    size_t count = 0, of[MOST_TRIALS];
    of[count++] = conflict->addition_count ? conflict->additions[0].index : 0;
    of[count++] = advised(target, seed);
    for (size_t i = 0; i < sw_catalogue_count() && count < MOST_TRIALS; i++) {
        sw_product *product = product_of(i);
        if (sw_is_agent(product))
            of[count++] = i;
        sw_product_free(product);
    }
    record_put(to, (double)count);
    for (size_t i = 0; i < count; i++)
        put_trial(to, conflict, of[i]);
}

static void put_explanation(sw_record *to, const sw_conflict *conflict,
                            const sw_target *target, unsigned long seed)
{
    put_easings(to, conflict->members, conflict->member_count);
    put_easings(to, conflict->least, conflict->least_count);
    record_put(to, conflict->keeps_rates);
    record_put(to, conflict->total);
    record_put(to, conflict->purified_share);
    put_trials(to, conflict, target, seed);
}

/* Limits around some targets, so that several conflict at once. */
static void tighten(invention *problem, unsigned long seed)
{
    for (size_t i = 0; i < problem->target.count; i++) {
        sw_target_row *row = &problem->row[i];
        if (!(row->target > 0) || (seed + i * i) % 3 == 0)
            continue;
        if (isnan(row->min))
            row->min = 0.9 * fmin(row->target, row->max);
        if (isnan(row->max))
            row->max = 1.1 * fmax(row->target, row->min);
    }
}

/* Whether the problem is in conflict. */
static bool answer(void *unused, unsigned long seed, sw_record *to)
{
    (void)unused;
    static invention problem;
    sw_conflict *conflict;
    sw_error error;
    invent(&problem, seed, SW_CLOSEST);
    if (seed % 4)
        tighten(&problem, seed);
    record_put(to, (double)seed);
    record_problem(to, &problem);
    if (sw_conflict_explain(one_solver(), &problem.problem, NULL, &conflict,
                            &error) != SW_OK)
        abort();
    bool found = conflict != NULL;
    if (found)
        put_explanation(to, conflict, &problem.target, seed);
    sw_conflict_free(conflict);
    return found;
}

int main(int argc, char **argv)
{
    const sw_writer writer = {.answer = answer};
    return argc == 4 ? write_answers(&writer, argv + 1) : EXIT_FAILURE;
}
