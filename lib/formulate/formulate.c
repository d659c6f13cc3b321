/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * From problem to solution: build the model, solve it for its objective, and
 * tell the result in the caller's terms.  A solve that could not finish is an
 * outcome with a note, whatever stopped it.
 */
#include "formulate/onlooker.h"

#include "chemistry/equilibrate.h"
#include "quantity/notes.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The pH rows have settled when they say the same to this: at most 1e-3 of pH
 * in the weakest of solutions. */
static const double settled_meq_per_l = 1e-6;
enum { MOST_PH_ROUNDS = 20 };

/* About a hundred times what the largest shelf needs. */
enum { DEFAULT_PIVOTS = 200000 };

typedef struct sw_task {
    const sw_problem *problem;
    const sw_onlooker *onlooker; /* or NULL */
    sw_solution *solution;
    sw_ph_plan ph_plan;
    sw_model model;
    sw_error error;
} sw_task;

sw_outcome sw_outcome_of(sw_lp_end end)
{
    switch (end) {
    case SW_LP_OPTIMAL:
        return SW_OPTIMAL;
    case SW_LP_INFEASIBLE:
        return SW_CONFLICT;
    default:
        return SW_LIMIT;
    }
}

static void solve(sw_solver *solver, const sw_model *model, sw_fit *fit)
{
    *fit = (sw_fit){.outcome = SW_LIMIT};
    switch (model->problem->objective) {
    case SW_CLOSEST:
        sw_fit_closest(solver, model, fit);
        break;
    case SW_EVEN:
        sw_fit_even(solver, model, fit);
        break;
    case SW_CHEAPEST:
        sw_fit_cheapest(solver, model, fit);
        break;
    }
}

/* Solve, linearise at the solution, solve again, until the rows stay. */
static sw_status settle(sw_solver *solver, sw_model *model, sw_fit *fit,
                        sw_error *error)
{
    solve(solver, model, fit);
    if (!sw_model_has_ph(model))
        return SW_OK;
    for (int round = 0; round < MOST_PH_ROUNDS; round++) {
        if (fit->outcome != SW_OPTIMAL)
            return SW_OK;
        double moved = 0;
        sw_content finished;
        sw_model_content(model, fit->point.y, &finished);
        sw_status status = sw_model_set_ph(model, &finished, &moved, error);
        if (status != SW_OK || moved <= settled_meq_per_l)
            return status;
        int rounds = fit->lp_rounds;
        solve(solver, model, fit);
        fit->lp_rounds += rounds;
    }
    fit->outcome = SW_LIMIT;
    return sw_notes_add(&model->notes, SW_WARNING, "ph-unsettled",
                        "The activities behind the pH limits did not settle: "
                        "the finished pH may miss them.");
}

static sw_status solve_under(sw_solver *solver, sw_task *task, sw_ph_mode mode,
                             sw_fit *fit)
{
    task->ph_plan.mode = mode;
    sw_notes_free(&task->model.notes);
    sw_status status = sw_model_build(solver, task->problem, &task->ph_plan,
                                      &task->model, &task->error);
    return status == SW_OK ? settle(solver, &task->model, fit, &task->error)
                           : status;
}

/* pH and content of the solution found. */
static sw_status look_at(sw_task *task, const sw_fit *fit, double *ph,
                         sw_content *finished)
{
    sw_chemistry chemistry;
    sw_model_content(&task->model, fit->point.y, finished);
    sw_status status =
        sw_equilibrate_briefly(finished, &task->problem->conditions,
                               SW_CARBONATE_KEPT, &chemistry, &task->error);
    *ph = chemistry.ph;
    return status;
}

/*
 * A pH that only a brine beyond the chemistry could have is one that cannot
 * be: a conflict.
 */
static sw_status try_under(sw_solver *solver, sw_task *task, sw_ph_mode mode,
                           sw_fit *fit)
{
    sw_status status = solve_under(solver, task, mode, fit);
    if (status != SW_ERR_VALUE && status != SW_ERR_NUMERIC)
        return status;
    memset(&task->error, 0, sizeof task->error);
    fit->outcome = SW_CONFLICT;
    fit->has_point = false;
    return SW_OK;
}

/* The mode chosen, else the window, until one of them can be. */
static sw_status solve_with_ph(sw_solver *solver, sw_task *task, sw_fit *fit)
{
    sw_ph_plan *plan = &task->ph_plan;
    sw_status status = try_under(solver, task, plan->mode, fit);
    bool limited = isfinite(plan->low) || isfinite(plan->high);
    if (status == SW_OK && fit->outcome == SW_CONFLICT &&
        plan->mode == SW_PH_HELD && limited)
        status = try_under(solver, task, SW_PH_WINDOW, fit);
    return status;
}

/* First without acid or base: what the pH then is says what it takes. */
static sw_status solve_for_ph(sw_solver *solver, sw_task *task, sw_fit *fit)
{
    sw_ph_plan *plan = &task->ph_plan;
    double ph;
    sw_content finished;
    sw_status status = solve_under(solver, task, SW_PH_LEFT, fit);
    if (status != SW_OK || !plan->row || fit->outcome == SW_LIMIT)
        return status;
    if (fit->outcome == SW_CONFLICT) {
        if (!plan->has_acid && !plan->has_base)
            return SW_OK;
        plan->mode = isnan(plan->row->target) ? SW_PH_WINDOW : SW_PH_HELD;
        return solve_with_ph(solver, task, fit);
    }
    status = look_at(task, fit, &ph, &finished);
    if (status != SW_OK)
        return status;
    sw_ph_plan_choose(plan, task->problem->target, ph, &finished);
    if (plan->mode != SW_PH_LEFT) {
        status = solve_with_ph(solver, task, fit);
        if (status != SW_OK || fit->outcome == SW_OPTIMAL)
            return status;
        status = solve_under(solver, task, SW_PH_LEFT, fit);
    }
    return status == SW_OK ? sw_ph_plan_note(plan, ph, &task->model.notes)
                           : status;
}

static sw_status tell_recipe(const sw_model *model, const double *y,
                             sw_solution *solution)
{
    const sw_problem *problem = model->problem;
    solution->recipe.g_per_l = calloc(model->products, sizeof(double));
    solution->fractions = calloc(problem->water_count, sizeof(double));
    if (!solution->recipe.g_per_l || !solution->fractions)
        return SW_ERR_MEMORY;
    solution->recipe.count = model->products;
    solution->water_count = problem->water_count;
    for (size_t j = 0; j < model->products; j++)
        solution->recipe.g_per_l[model->shelf_index[j]] = y[j] * model->unit[j];
    for (size_t k = 0; k < problem->water_count; k++) {
        double given = problem->fractions ? problem->fractions[k] : 1;
        solution->fractions[k] = model->blends ? y[model->products + k] : given;
        sw_content_add(&solution->water, solution->fractions[k],
                       &problem->waters[k]);
    }
    return SW_OK;
}

static sw_status take_limits(const sw_model *model, sw_solution *solution)
{
    if (model->side_count == 0)
        return SW_OK;
    solution->limits = calloc(model->side_count, sizeof *solution->limits);
    return solution->limits ? SW_OK : SW_ERR_MEMORY;
}

static sw_status tell_binding(const sw_model *model, const sw_point *point,
                              sw_solution *solution)
{
    sw_status status = take_limits(model, solution);
    for (size_t i = 0; status == SW_OK && i < model->side_count; i++)
        if (sw_side_binds(&model->sides[i], point))
            solution->limits[solution->limit_count++] =
                sw_side_limit(model, &model->sides[i], point);
    return status;
}

static sw_status tell_conflict(sw_solver *solver, const sw_model *model,
                               sw_solution *solution)
{
    const sw_side **sides =
        sw_take(solver, model->side_count, sizeof(sw_side *));
    size_t count = sw_find_conflict(solver, model, sides);
    sw_status status = take_limits(model, solution);
    for (size_t i = 0; status == SW_OK && i < count; i++)
        solution->limits[solution->limit_count++] =
            sw_side_limit(model, sides[i], NULL);
    if (status == SW_OK && count == 0)
        status = sw_notes_add(&solution->notes, SW_WARNING, "conflict-unnamed",
                              "The limits cannot all hold, but which of them "
                              "conflict could not be told.");
    return status;
}

static void tell_certificate(const sw_solver *solver, const sw_fit *fit,
                             sw_solution *solution)
{
    solution->certificate = (sw_certificate){
        .objective = fit->has_point ? fit->objective : NAN,
        .lower_bound = fit->has_point ? fit->objective - fit->proof.slack : NAN,
        .gap = fit->has_point ? fit->proof.slack : NAN,
        .kkt_residual = fit->has_point ? fit->proof.kkt : NAN,
        .lp_rounds = fit->lp_rounds,
        .pivots = solver->pivots,
    };
}

static sw_status tell_limit(const sw_solver *solver, const sw_fit *fit,
                            sw_solution *solution)
{
    const char *cause = solver->pivots >= solver->pivot_limit
                            ? "its steps were spent"
                            : "the numbers did not allow it";
    return sw_notes_add(&solution->notes, SW_WARNING, "solve-unfinished",
                        "The solve stopped after %d steps because %s. %s",
                        solver->pivots, cause,
                        fit->has_point ? "The recipe keeps the limits; the gap "
                                         "says how much better one may be."
                                       : "There is no recipe.");
}

static sw_status tell(sw_solver *solver, const sw_task *task, const sw_fit *fit)
{
    const sw_model *model = &task->model;
    sw_solution *solution = task->solution;
    solution->outcome = fit->outcome;
    tell_certificate(solver, fit, solution);
    sw_status status = sw_notes_append(&solution->notes, &model->notes);
    if (status == SW_OK && fit->has_point)
        status = tell_recipe(model, fit->point.y, solution);
    if (status == SW_OK && fit->has_point)
        status = tell_binding(model, &fit->point, solution);
    if (status == SW_OK && fit->outcome == SW_CONFLICT)
        status = tell_conflict(solver, model, solution);
    if (status == SW_OK && fit->outcome == SW_LIMIT)
        status = tell_limit(solver, fit, solution);
    if (status == SW_OK && fit->coarse)
        status = sw_notes_add(&solution->notes, SW_INFO, "even-coarse",
                              "The largest deviation is least, but rounding "
                              "kept the smaller ones from being made least "
                              "in turn.");
    if (status == SW_OK && task->onlooker)
        status =
            task->onlooker->look(solver, model, fit, task->onlooker->context);
    return status;
}

static sw_status work(sw_solver *solver, void *given)
{
    sw_task *task = given;
    sw_fit fit = {.outcome = SW_LIMIT};
    sw_status status = sw_model_check(task->problem, &task->error);
    if (status == SW_OK)
        status = sw_ph_plan_make(solver, task->problem, &task->ph_plan,
                                 &task->error);
    if (status == SW_OK)
        status = solve_for_ph(solver, task, &fit);
    if (status != SW_OK)
        return status;
    return tell(solver, task, &fit);
}

/* GLPK gave up inside, or the numbers overflowed: an outcome, not an error. */
static sw_status unfinished(const sw_solver *solver, sw_task *task)
{
    sw_solution *solution = task->solution;
    const char *cause =
        task->error.message[0] ? task->error.message : solver->complaint;
    solution->outcome = SW_LIMIT;
    solution->certificate = (sw_certificate){NAN, NAN, NAN, NAN, 0, 0};
    return sw_notes_add(&solution->notes, SW_WARNING, "solve-unfinished",
                        "The solver could not work with the numbers of the "
                        "problem: %.200s. There is no recipe.",
                        cause);
}

sw_status sw_formulate(sw_solver *solver, const sw_problem *problem,
                       sw_solution **solution, sw_error *error)
{
    return sw_formulate_before(solver, problem, NULL, solution, error);
}

sw_status sw_formulate_before(sw_solver *solver, const sw_problem *problem,
                              const sw_onlooker *onlooker,
                              sw_solution **solution, sw_error *error)
{
    *solution = NULL;
    sw_task task = {.problem = problem, .onlooker = onlooker};
    task.solution = calloc(1, sizeof *task.solution);
    if (!task.solution)
        return sw_fail_memory(error);
    task.solution->objective = problem->objective;
    solver->pivot_limit =
        problem->pivot_limit > 0 ? problem->pivot_limit : DEFAULT_PIVOTS;
    sw_status status = sw_solver_run(solver, work, &task);
    if (status == SW_ERR_SOLVER || status == SW_ERR_NUMERIC)
        status = unfinished(solver, &task);
    if (status == SW_ERR_MEMORY)
        sw_fail_memory(&task.error);
    sw_notes_free(&task.model.notes);
    if (status == SW_OK) {
        *solution = task.solution;
        return SW_OK;
    }
    if (error)
        *error = task.error;
    sw_solution_free(task.solution);
    return status;
}

void sw_solution_free(sw_solution *solution)
{
    if (!solution)
        return;
    free(solution->recipe.g_per_l);
    free(solution->fractions);
    free(solution->limits);
    sw_notes_free(&solution->notes);
    free(solution);
}
