/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A conflict explained: which limits, how far from holding, and what single
 * change makes a recipe possible.  The model the solve ended in says where
 * each limit would have to stand; every remedy is then tried by solving the
 * changed problem as a whole, so that none is promised that does not work.
 */
#include "decide/elastic.h"
#include "decide/try.h"
#include "decide/variant.h"
#include "formulate/onlooker.h"
#include "quantity/status.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Digits of a bound as it is advised, rounded away from the limit: nobody
 * writes more of them into a file. */
enum { DIGITS = 3 };

/* What the onlooker brings home. */
typedef struct sw_case {
    const sw_problem *problem;
    sw_conflict *conflict;
    sw_handle *members; /* of each */
    sw_handle *least;
} sw_case;

static sw_easing easing_of(const sw_model *model, const sw_side *side,
                           double reached, double share)
{
    sw_easing made = {.limit = sw_side_limit(model, side, NULL),
                      .reached = reached,
                      .share = share};
    snprintf(made.unit, sizeof made.unit, "%s", sw_side_unit(side));
    return made;
}

static sw_status tell_members(sw_solver *solver, const sw_model *model,
                              sw_case *of)
{
    sw_conflict *conflict = of->conflict;
    const sw_side **sides =
        sw_take(solver, model->side_count, sizeof(sw_side *));
    size_t count = sw_find_conflict(solver, model, sides);
    conflict->members = calloc(count + 1, sizeof *conflict->members);
    of->members = calloc(count + 1, sizeof *of->members);
    if (!conflict->members || !of->members)
        return SW_ERR_MEMORY;
    for (size_t i = 0; i < count; i++) {
        double share;
        double reached = sw_elastic_alone(
            solver, model, (size_t)(sides[i] - model->sides), &share);
        conflict->members[i] = easing_of(model, sides[i], reached, share);
        of->members[i] = sw_handle_of(of->problem, sides[i]);
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
                            sw_case *of)
{
    sw_conflict *conflict = of->conflict;
    double *share = sw_take_numbers(solver, model->side_count);
    double *reached = sw_take_numbers(solver, model->side_count);
    bool *gives = sw_take(solver, model->side_count, sizeof(bool));
    conflict->least = calloc(model->side_count + 1, sizeof *conflict->least);
    of->least = calloc(model->side_count + 1, sizeof *of->least);
    if (!conflict->least || !of->least)
        return SW_ERR_MEMORY;
    for (size_t s = 0; s < model->side_count; s++)
        gives[s] = !conflict->keeps_rates || !is_rate(&model->sides[s]);
    conflict->total = sw_elastic_sum(solver, model, gives, share, reached);
    for (size_t s = 0; s < model->side_count; s++) {
        const sw_side *side = &model->sides[s];
        if (!(share[s] > 0))
            continue;
        of->least[conflict->least_count] = sw_handle_of(of->problem, side);
        conflict->least[conflict->least_count++] =
            easing_of(model, side, reached[s], share[s]);
    }
    return SW_OK;
}

/* A second look, with the rates of products as they are. */
static sw_status look_again(sw_solver *solver, const sw_model *model,
                            const sw_fit *fit, void *context)
{
    return fit->outcome == SW_CONFLICT ? tell_least(solver, model, context)
                                       : SW_OK;
}

static sw_status look(sw_solver *solver, const sw_model *model,
                      const sw_fit *fit, void *context)
{
    sw_case *of = context;
    if (fit->outcome != SW_CONFLICT)
        return SW_OK;
    of->conflict = calloc(1, sizeof *of->conflict);
    if (!of->conflict)
        return SW_ERR_MEMORY;
    of->conflict->purified_share = NAN;
    sw_status status = tell_members(solver, model, of);
    return status == SW_OK ? tell_least(solver, model, of) : status;
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
static sw_status try_easings(sw_solver *solver, const sw_case *of,
                             const sw_easing *easings, const sw_handle *handles,
                             size_t count, bool *solved, sw_error *error)
{
    sw_variant variant;
    sw_solution *solution = NULL;
    *solved = false;
    sw_status status = sw_variant_make(of->problem, &variant, error);
    if (status != SW_OK)
        return status;
    bool all = count > 0;
    for (size_t i = 0; i < count; i++) {
        all = all && !isnan(easings[i].reached);
        sw_variant_set(&variant, handles[i], advised(&easings[i]));
    }
    if (all)
        status = sw_variant_solve(solver, &variant, solved, &solution, error);
    sw_solution_free(solution);
    sw_variant_free(&variant);
    return status;
}

/* A member that the whole problem does not follow resolves nothing alone. */
static sw_status try_member(sw_solver *solver, const sw_case *of, size_t at,
                            sw_error *error)
{
    sw_easing *member = &of->conflict->members[at];
    bool solved;
    sw_status status =
        try_easings(solver, of, member, &of->members[at], 1, &solved, error);
    if (!solved)
        member->reached = NAN;
    return status;
}

static sw_status try_least(sw_solver *solver, const sw_case *of, bool *solved,
                           sw_error *error)
{
    sw_conflict *conflict = of->conflict;
    sw_status status = try_easings(solver, of, conflict->least, of->least,
                                   conflict->least_count, solved, error);
    if (!*solved) {
        conflict->least_count = 0;
        conflict->total = NAN;
    }
    return status;
}

/* Our ceilings let through what fixed rates bring, and move with them: where
 * the least cannot be had for that, the rates are kept. */
static sw_status settle_least(sw_solver *solver, sw_case *of, sw_error *error)
{
    bool solved;
    sw_solution *solution = NULL;
    sw_onlooker onlooker = {look_again, of};
    sw_status status = try_least(solver, of, &solved, error);
    if (status != SW_OK || solved)
        return status;
    free(of->least);
    free(of->conflict->least);
    of->least = NULL;
    of->conflict->least = NULL;
    of->conflict->keeps_rates = true;
    status =
        sw_formulate_before(solver, of->problem, &onlooker, &solution, error);
    sw_solution_free(solution);
    return status == SW_OK ? try_least(solver, of, &solved, error) : status;
}

/* Every product of the catalogue, alone beside those of the shelf. */
static sw_status try_products(sw_solver *solver, const sw_case *of,
                              sw_error *error)
{
    sw_conflict *conflict = of->conflict;
    size_t count = sw_catalogue_count();
    conflict->additions = calloc(count, sizeof *conflict->additions);
    if (!conflict->additions)
        return sw_fail_memory(error);
    sw_status status = SW_OK;
    for (size_t i = 0; status == SW_OK && i < count; i++) {
        bool solved;
        sw_addition *next = &conflict->additions[conflict->addition_count];
        status = sw_try_product(solver, of->problem, i, &solved, next, error);
        conflict->addition_count += solved;
    }
    sw_sort_additions(conflict->additions, conflict->addition_count);
    return status;
}

static sw_status explain(sw_solver *solver, const sw_content *purified,
                         sw_case *of, sw_error *error)
{
    sw_status status = SW_OK;
    for (size_t i = 0; status == SW_OK && i < of->conflict->member_count; i++)
        status = try_member(solver, of, i, error);
    if (status == SW_OK)
        status = settle_least(solver, of, error);
    if (status == SW_OK)
        status = try_products(solver, of, error);
    if (status == SW_OK)
        status = sw_try_purified(solver, of->problem, purified,
                                 &of->conflict->purified_share, error);
    return status;
}

sw_status sw_conflict_explain(const sw_problem *problem,
                              const sw_content *purified,
                              sw_conflict **conflict, sw_error *error)
{
    sw_case of = {.problem = problem};
    sw_onlooker onlooker = {look, &of};
    sw_solver *solver;
    sw_solution *solution = NULL;
    *conflict = NULL;
    sw_status status = sw_solver_new(&solver, error);
    if (status != SW_OK)
        return status;
    status = sw_formulate_before(solver, problem, &onlooker, &solution, error);
    sw_solution_free(solution);
    if (status == SW_OK && of.conflict)
        status = explain(solver, purified, &of, error);
    free(of.members);
    free(of.least);
    sw_solver_free(solver);
    if (status != SW_OK) {
        sw_conflict_free(of.conflict);
        of.conflict = NULL;
    }
    *conflict = of.conflict;
    return status;
}

void sw_conflict_free(sw_conflict *conflict)
{
    if (!conflict)
        return;
    free(conflict->members);
    free(conflict->least);
    free(conflict->additions);
    free(conflict);
}
