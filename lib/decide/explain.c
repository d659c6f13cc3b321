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

/* A bound is tried this far beyond where it has to stand, so that a change
 * that only just works is not lost to rounding. */
static const double beyond = 1e-6;

/* What the onlooker brings home; handles as in members and least. */
typedef struct sw_case {
    const sw_problem *problem;
    sw_conflict *conflict;
    sw_handle *handles; /* of members */
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
                              sw_elastic *elastic, sw_case *of)
{
    sw_conflict *conflict = of->conflict;
    const sw_side **sides =
        sw_take(solver, model->side_count, sizeof(sw_side *));
    size_t count = sw_find_conflict(solver, model, sides);
    conflict->members = calloc(count + 1, sizeof *conflict->members);
    of->handles = calloc(count + 1, sizeof *of->handles);
    if (!conflict->members || !of->handles)
        return SW_ERR_MEMORY;
    for (size_t i = 0; i < count; i++) {
        double share;
        double reached = sw_elastic_alone(
            elastic, (size_t)(sides[i] - model->sides), &share);
        conflict->members[i] = easing_of(model, sides[i], reached, share);
        of->handles[i] = sw_handle_of(of->problem, sides[i]);
    }
    conflict->member_count = count;
    return SW_OK;
}

static sw_status tell_least(sw_solver *solver, const sw_model *model,
                            sw_elastic *elastic, sw_conflict *conflict)
{
    double *share = sw_take_numbers(solver, model->side_count);
    double *reached = sw_take_numbers(solver, model->side_count);
    conflict->least = calloc(model->side_count + 1, sizeof *conflict->least);
    if (!conflict->least)
        return SW_ERR_MEMORY;
    conflict->total = sw_elastic_least(elastic, share, reached);
    for (size_t s = 0; s < model->side_count; s++)
        if (share[s] > 0)
            conflict->least[conflict->least_count++] =
                easing_of(model, &model->sides[s], reached[s], share[s]);
    return SW_OK;
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
    sw_elastic elastic = sw_elastic_make(solver, model);
    sw_status status = tell_members(solver, model, &elastic, of);
    return status == SW_OK ? tell_least(solver, model, &elastic, of->conflict)
                           : status;
}

/* A member that the whole problem does not follow resolves nothing alone. */
static sw_status try_member(sw_solver *solver, const sw_case *of, size_t at,
                            sw_error *error)
{
    sw_easing *member = &of->conflict->members[at];
    sw_variant variant;
    sw_solution *solution;
    bool solved;
    if (isnan(member->reached))
        return SW_OK;
    sw_status status = sw_variant_make(of->problem, &variant, error);
    if (status != SW_OK)
        return status;
    double step = beyond * (fabs(member->reached) + fabs(member->limit.bound));
    double sign = member->reached > member->limit.bound ? 1 : -1;
    sw_variant_set(&variant, of->handles[at],
                   fmax(member->reached + sign * step, 0));
    status = sw_variant_solve(solver, &variant, &solved, &solution, error);
    sw_solution_free(solution);
    sw_variant_free(&variant);
    if (!solved)
        member->reached = NAN;
    return status;
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
    qsort(conflict->additions, conflict->addition_count,
          sizeof *conflict->additions, sw_addition_order);
    return status;
}

static sw_status explain(sw_solver *solver, const sw_content *purified,
                         sw_case *of, sw_error *error)
{
    sw_status status = SW_OK;
    for (size_t i = 0; status == SW_OK && i < of->conflict->member_count; i++)
        status = try_member(solver, of, i, error);
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
    free(of.handles);
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
