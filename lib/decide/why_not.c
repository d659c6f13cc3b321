/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A conflict explained: which limits, how far from holding, and what single
 * change makes a recipe possible.  The model the solve ended in says where
 * each limit would have to stand; every remedy is then tried by solving the
 * changed problem as a whole, so that none is promised that does not work.
 */
#include "decide/elastic.h"
#include "decide/why.h"
#include "decide/ratios.h"
#include "quantity/status.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Digits of a bound as it is advised, rounded away from the limit: nobody
 * writes more of them into a file. */
enum { DIGITS = 3 };

/* A share of purified water is tried this far beyond, for rounding. */
static const double beyond = 1e-6;

/* What the onlooker brings home. */
typedef struct sw_case {
    const sw_problem *problem;
    sw_solver *solver;
    sw_conflict *conflict;
    sw_error *error;
} sw_case;

static sw_easing easing_of(const sw_model *model, const sw_side *side,
                           double reached, double share)
{
    return (sw_easing){.limit = sw_side_limit(model, side, NULL),
                       .reached = reached,
                       .share = share};
}

static sw_status tell_members(sw_solver *solver, const sw_model *model,
                              sw_conflict *conflict)
{
    size_t count;
    const sw_side **sides = sw_find_conflict(solver, model, &count);
    conflict->members = calloc(count + 1, sizeof *conflict->members);
    if (!conflict->members)
        return SW_ERR_MEMORY;
    for (size_t i = 0; i < count; i++) {
        double share = NAN, reached = NAN;
        if (sides[i]->kind != SW_SIDE_PH) /* that is moved for no nutrient */
            reached = sw_elastic_alone(
                solver, model, (size_t)(sides[i] - model->sides), &share);
        conflict->members[i] = easing_of(model, sides[i], reached, share);
    }
    conflict->member_count = count;
    return SW_OK;
}

/* Rates that set our ceilings: what they promise is let through. */
static bool is_rate(const sw_side *side)
{
    return side->kind == SW_SIDE_PRODUCT && side->end != SW_SIDE_MAX;
}

static sw_status tell_least(sw_solver *solver, const sw_model *model,
                            sw_conflict *conflict)
{
    double *share = sw_take_numbers(solver, model->side_count);
    double *reached = sw_take_numbers(solver, model->side_count);
    bool *gives = sw_take(solver, model->side_count, sizeof(bool));
    conflict->least = calloc(model->side_count + 1, sizeof *conflict->least);
    if (!conflict->least)
        return SW_ERR_MEMORY;
    for (size_t s = 0; s < model->side_count; s++)
        gives[s] = model->sides[s].kind != SW_SIDE_PH &&
                   (!conflict->keeps_rates || !is_rate(&model->sides[s]));
    conflict->total = sw_elastic_sum(solver, model, gives, share, reached);
    for (size_t s = 0; s < model->side_count; s++) {
        const sw_side *side = &model->sides[s];
        if (!(share[s] > 0))
            continue;
        conflict->least[conflict->least_count++] =
            easing_of(model, side, reached[s], share[s]);
    }
    return SW_OK;
}

/* Where it is looked at again, the members are told and rates are kept. */
static sw_status look(sw_solver *solver, const sw_model *model,
                      const sw_fit *fit, void *context)
{
    sw_case *of = context;
    sw_status status = SW_OK;
    if (fit->outcome != SW_CONFLICT)
        return SW_OK;
    if (!of->conflict) {
        of->conflict = calloc(1, sizeof *of->conflict);
        if (!of->conflict)
            return SW_ERR_MEMORY;
        of->conflict->purified_share = NAN;
        status = tell_members(solver, model, of->conflict);
    }
    return status == SW_OK ? tell_least(solver, model, of->conflict) : status;
}

static sw_status solve(sw_case *of)
{
    sw_solution *solution;
    sw_onlooker onlooker = {look, of};
    sw_status status = sw_formulate_before(of->solver, of->problem, &onlooker,
                                           &solution, of->error);
    sw_solution_free(solution);
    return status;
}

static double advised(const sw_easing *easing)
{
    double size = fabs(easing->reached);
    if (!(size > 0))
        return easing->reached;
    double digit = pow(10, floor(log10(size)) - DIGITS + 1);
    double steps = easing->reached / digit;
    bool up = easing->reached > easing->limit.bound;
    bool exact = fabs(steps - round(steps)) < 1e-6;
    steps = exact ? round(steps) : up ? ceil(steps) : floor(steps);
    return fmax(steps * digit, 0);
}

/* Whether there is a recipe with these limits where they are advised to be. */
static sw_status try_easings(const sw_case *of, const sw_easing *easings,
                             size_t count, bool *solved)
{
    sw_variant variant;
    *solved = false;
    sw_status status = sw_variant_make(of->problem, &variant, of->error);
    bool all = status == SW_OK && count > 0;
    for (size_t i = 0; i < count && all; i++) {
        all = !isnan(easings[i].reached);
        sw_variant_set(&variant, &easings[i].limit, advised(&easings[i]));
    }
    if (all)
        status = sw_variant_solve(of->solver, &variant, solved, of->error);
    sw_variant_free(&variant);
    return status;
}

/* A member that the whole problem does not follow resolves nothing alone. */
static sw_status try_members(const sw_case *of)
{
    sw_status status = SW_OK;
    for (size_t i = 0; status == SW_OK && i < of->conflict->member_count; i++) {
        bool solved;
        sw_easing *member = &of->conflict->members[i];
        status = try_easings(of, member, 1, &solved);
        if (!solved)
            member->reached = NAN;
    }
    return status;
}

static sw_status try_least(const sw_case *of, bool *solved)
{
    sw_conflict *conflict = of->conflict;
    sw_status status =
        try_easings(of, conflict->least, conflict->least_count, solved);
    if (!*solved) {
        conflict->least_count = 0;
        conflict->total = NAN;
    }
    return status;
}

/* Our ceilings let through what fixed rates bring, and move with them: where
 * the least cannot be had for that, the rates are kept. */
static sw_status settle_least(sw_case *of)
{
    bool solved;
    sw_status status = try_least(of, &solved);
    if (status != SW_OK || solved)
        return status;
    free(of->conflict->least);
    of->conflict->least = NULL;
    of->conflict->keeps_rates = true;
    status = solve(of);
    return status == SW_OK ? try_least(of, &solved) : status;
}

static sw_status consider(void *context, const sw_product *product,
                          sw_addition *addition, bool *kept)
{
    const sw_case *of = context;
    return sw_try_product(of->solver, of->problem, product, addition, kept,
                          of->error);
}

/* ---- Purified water ----------------------------------------------------- */

/* The share of the last water, made least over all recipes. */
static sw_status least_of_last(sw_solver *solver, const sw_model *model,
                               const sw_fit *fit, void *context)
{
    double *least = context;
    size_t last = model->products + model->blends - 1;
    if (!fit->has_point)
        return SW_OK;
    sw_lp *lp = sw_lp_new(solver, &model->form);
    sw_lp_set_cost(lp, last, 1);
    if (sw_lp_solve(lp, SW_LP_DUAL) == SW_LP_OPTIMAL)
        *least = sw_lp_value(lp, last);
    sw_lp_free(lp);
    return SW_OK;
}

/* The waters of the problem, or their given blend, and the purified last. */
static size_t gather_waters(const sw_problem *problem,
                            const sw_content *purified, sw_content *waters)
{
    size_t count = problem->fractions ? 1 : problem->water_count;
    if (problem->fractions)
        sw_content_add_waters(&waters[0], problem->waters, problem->fractions,
                              problem->water_count);
    else
        memcpy(waters, problem->waters, count * sizeof *waters);
    if (purified)
        waters[count] = *purified;
    return count + 1;
}

/* Of these, what may be taken of each. */
static void gather_most(const sw_problem *problem, size_t count, double *most)
{
    const double *given = problem->fractions ? NULL : problem->most_share;
    for (size_t k = 0; k < count; k++)
        most[k] = given && k + 1 < count ? given[k] : 1.0;
}

/* With the blend as it would be, every limit and the pH solved for. */
static sw_status confirm(const sw_case *of, sw_problem *blend, double *share)
{
    double wanted = fmin(*share + beyond, 1);
    const double fractions[] = {1 - wanted, wanted};
    sw_solution *solution;
    if (blend->water_count == 2)
        blend->fractions = fractions;
    sw_status status = sw_formulate(of->solver, blend, &solution, of->error);
    if (blend->water_count == 2)
        blend->fractions = NULL;
    if (status != SW_OK || solution->recipe.count == 0)
        *share = NAN;
    sw_solution_free(solution);
    return sw_of_trial(status);
}

/* The least share of `purified` (NULL: water that carries nothing) in the water
 * that gives the problem a recipe; NaN when none does. */
static sw_status try_purified(const sw_case *of, const sw_content *purified,
                              double *share)
{
    sw_onlooker onlooker = {least_of_last, share};
    sw_solution *solution;
    sw_problem blend = *of->problem;
    sw_content *waters = calloc(blend.water_count + 1, sizeof *waters);
    double *most = calloc(blend.water_count + 1, sizeof *most);
    if (!waters || !most) {
        SW_FREE(waters, most);
        return sw_fail_memory(of->error);
    }
    blend.waters = waters;
    blend.water_count = gather_waters(of->problem, purified, waters);
    gather_most(of->problem, blend.water_count, most);
    blend.fractions = NULL;
    blend.most_share = most;
    sw_status status = sw_formulate_before(of->solver, &blend, &onlooker,
                                           &solution, of->error);
    sw_solution_free(solution);
    status = sw_of_trial(status);
    if (status == SW_OK && !isnan(*share))
        status = confirm(of, &blend, share);
    SW_FREE(waters, most);
    return status;
}

/* ---- All of it ---------------------------------------------------------- */

static sw_status explain(sw_case *of, const sw_content *purified)
{
    sw_conflict *conflict = of->conflict;
    sw_status status = try_members(of);
    if (status == SW_OK)
        status = settle_least(of);
    if (status == SW_OK)
        status =
            sw_additions_find(of->problem, consider, of, &conflict->additions,
                              &conflict->addition_count, of->error);
    if (status == SW_OK)
        status = try_purified(of, purified, &conflict->purified_share);
    return status;
}

sw_status sw_conflict_explain(sw_solver *solver, const sw_problem *problem,
                              const sw_content *purified,
                              sw_conflict **conflict, sw_error *error)
{
    SW_REQUIRE_FOR(conflict, error, solver, sw_whole_problem(problem));
    sw_case of = {.solver = solver, .problem = problem, .error = error};
    sw_status status = solve(&of);
    if (status == SW_OK && of.conflict)
        status = explain(&of, purified);
    SW_GIVE(status, conflict, of.conflict, sw_conflict_free);
}

void sw_conflict_free(sw_conflict *conflict)
{
    if (conflict)
        SW_FREE(conflict->members, conflict->least, conflict->additions,
                conflict);
}
