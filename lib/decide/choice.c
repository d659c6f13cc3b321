/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Which water: a few figures of each, the weightiest first, and whoever is
 * behind by more than counts is out (elimination by aspects; method:
 * reference/methods.md, Decide).
 */
#include "decide/choice.h"
#include "quantity/status.h"
#include "quantity/ties.h"
#include "table_refusals.h"

#include <math.h>
#include <stdlib.h>

static bool is_in(const sw_ranking *ranking)
{
    return ranking->out_by == SW_CRITERION_COUNT;
}

/* Whether one of those left in may be given to a crop. */
static bool any_is_safe(const sw_choice *choice)
{
    for (size_t i = 0; i < choice->count; i++)
        if (is_in(&choice->rankings[i]) && !choice->rankings[i].dangerous)
            return true;
    return false;
}

/* Nothing that another does worse makes up for a danger. */
static void put_out_dangerous(sw_choice *choice)
{
    if (!any_is_safe(choice))
        return;
    for (size_t i = 0; i < choice->count; i++)
        if (is_in(&choice->rankings[i]) && choice->rankings[i].dangerous)
            choice->rankings[i].out_by = SW_BY_HARM;
}

static bool is_known(const sw_choice *choice, sw_criterion criterion)
{
    for (size_t i = 0; i < choice->count; i++)
        if (is_in(&choice->rankings[i]) &&
            isnan(choice->rankings[i].value[criterion]))
            return false;
    return true;
}

/*
 * Whether one is behind the other.  Where water has no price, what is to be
 * made of it is not weighed in money against what is there, and no acid that
 * is a nutrient is a reason to make it.
 */
static bool is_behind(const sw_candidate *candidates, const sw_choice *choice,
                      sw_criterion criterion, size_t one, size_t other)
{
    double value = choice->rankings[one].value[criterion];
    if (!choice->priced &&
        candidates[one].takes_work != candidates[other].takes_work) {
        if (criterion == SW_BY_COST)
            return false;
        if (criterion == SW_BY_ACID && candidates[other].takes_work)
            value = choice->rankings[one].idle_acid_meq_per_l;
    }
    return sw_choice_behind(criterion, value,
                            choice->rankings[other].value[criterion]);
}

static void put_out(const sw_candidate *candidates, sw_choice *choice,
                    sw_criterion criterion)
{
    if (!is_known(choice, criterion))
        return;
    for (size_t i = 0; i < choice->count; i++)
        for (size_t j = 0; j < choice->count && is_in(&choice->rankings[i]);
             j++)
            if (is_in(&choice->rankings[j]) &&
                is_behind(candidates, choice, criterion, i, j))
                choice->rankings[i].out_by = criterion;
}

/* What it leaves to the others shows as nothing: it is one of the waters. */
static const double least_share = 0.005;

static bool is_mix_of_one(const sw_candidate *candidate)
{
    const sw_solution *mix = candidate->solution;
    for (size_t k = 0; mix && mix->fractions && k < mix->water_count; k++)
        if (mix->water_count > 1 && mix->fractions[k] > 1 - least_share)
            return true;
    return false;
}

/* What takes no work before what does, a water before a mix that is no more
 * than it, then the closest, then the first. */
static bool is_better(const sw_candidate *candidates, const sw_choice *choice,
                      size_t i)
{
    size_t than = choice->chosen;
    if (!is_in(&choice->rankings[i]))
        return false;
    if (than == choice->count)
        return true;
    if (candidates[i].takes_work != candidates[than].takes_work)
        return candidates[than].takes_work;
    if (is_mix_of_one(&candidates[i]))
        return false;
    return sw_is_less(choice->rankings[i].value[SW_BY_DISTANCE],
                      choice->rankings[than].value[SW_BY_DISTANCE], SW_SOLVED);
}

/* Whether nothing but money, closeness, the air and acid parts the two. */
static bool is_as_sound(const sw_choice *choice, size_t one, size_t other)
{
    const sw_ranking *a = &choice->rankings[one], *b = &choice->rankings[other];
    static const sw_criterion sound[] = {SW_BY_REPORT, SW_BY_RECIPE, SW_BY_HARM,
                                         SW_BY_MISSES, SW_BY_DEPOSITS};
    if (a->dangerous || b->dangerous)
        return false;
    for (size_t k = 0; k < sizeof sound / sizeof *sound; k++)
        if (a->value[sound[k]] != b->value[sound[k]])
            return false;
    return true;
}

/* The price of a water to be made at which it costs what the cheapest of those
 * that are there does, its acid and base included. */
static void find_break_even(const sw_candidate *candidates, sw_choice *choice,
                            size_t index)
{
    sw_ranking *ranking = &choice->rankings[index];
    double least = INFINITY;
    ranking->pays_below_per_m3 = NAN;
    ranking->pays_against = choice->count;
    if (!candidates[index].takes_work || !candidates[index].assessment ||
        candidates[index].solution->water_count > 1)
        return;
    for (size_t i = 0; i < choice->count; i++) {
        if (candidates[i].takes_work || !is_as_sound(choice, i, index) ||
            !sw_is_less(choice->rankings[i].value[SW_BY_COST], least,
                        SW_SOLVED))
            continue;
        least = choice->rankings[i].value[SW_BY_COST];
        ranking->pays_against = i;
        ranking->pays_below_per_m3 =
            least - candidates[index].assessment->cost_per_m3;
    }
}

/* In a water that can be judged. */
static bool any_has_recipe(const sw_choice *choice)
{
    for (size_t i = 0; i < choice->count; i++)
        if (sw_is_judged(&choice->rankings[i]) &&
            choice->rankings[i].value[SW_BY_RECIPE] == 0.0)
            return true;
    return false;
}

static void choose(const sw_candidate *candidates, sw_choice *choice)
{
    choice->chosen = choice->count;
    if (!any_has_recipe(choice))
        return;
    for (const sw_criterion *c = choice->order; *c != SW_CRITERION_COUNT; c++) {
        if (*c == SW_BY_HARM)
            put_out_dangerous(choice);
        put_out(candidates, choice, *c);
    }
    choice->usable = any_is_safe(choice);
    for (size_t i = 0; i < choice->count; i++)
        if (is_better(candidates, choice, i))
            choice->chosen = i;
    for (size_t i = 0; i < choice->count; i++)
        find_break_even(candidates, choice, i);
}

/* Money is only comparable where it is all of it. */
static bool are_priced(const sw_candidate *candidates, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (isnan(candidates[i].water_price_per_m3) ||
            (candidates[i].assessment &&
             isnan(candidates[i].assessment->cost_per_m3)))
            return false;
    return true;
}

sw_status sw_choose(const sw_candidate *candidates, size_t count,
                    sw_choice **choice, sw_error *error)
{
    SW_REQUIRE_FOR(choice, error, candidates);
    if (count == 0)
        return sw_fail(error, SW_BAD_NO_CHOICE);
    for (size_t i = 0; i < count; i++)
        SW_REQUIRE(error, candidates[i].name, candidates[i].target,
                   candidates[i].shelf, candidates[i].solution);
    sw_choice *made = calloc(1, sizeof *made);
    if (!made)
        return sw_fail_memory(error);
    made->rankings = calloc(count, sizeof *made->rankings);
    if (!made->rankings) {
        free(made);
        return sw_fail_memory(error);
    }
    sw_status status = SW_OK;
    made->count = count;
    made->priced = are_priced(candidates, count);
    made->order =
        sw_criterion_order(candidates[0].solution->objective, made->priced);
    for (size_t i = 0; i < count && status == SW_OK; i++)
        status =
            sw_candidate_measure(&candidates[i], &made->rankings[i], error);
    if (status != SW_OK) {
        sw_choice_free(made);
        return status;
    }
    choose(candidates, made);
    sw_choice_tell(candidates, made);
    *choice = made;
    return SW_OK;
}

void sw_choice_free(sw_choice *choice)
{
    if (choice)
        SW_FREE(choice->rankings, choice);
}
