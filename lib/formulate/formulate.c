/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * From problem to solution: build the model, solve it for its objective, and
 * tell the result in the caller's terms.  A solve that could not finish is an
 * outcome with a note, whatever stopped it.
 */
#include "formulate/fewest.h"
#include "formulate/ease.h"
#include "formulate/fit.h"
#include "formulate/settle.h"

#include "quantity/notes.h"
#include "quantity/status.h"

#include "table_words.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* About a hundred times what the largest shelf needs. */
enum { DEFAULT_PIVOTS = 200000, MOST_TURNS = 8 };

static const sw_certificate no_certificate = {
    NAN, NAN, NAN, NAN, NAN, SW_LEVERS_AGENTS, 0};

typedef struct sw_task {
    const sw_problem *problem;
    sw_attempt attempts[SW_MOST_SETTINGS];
    sw_attempt *best;            /* of the attempts */
    const sw_onlooker *onlooker; /* or NULL */
    sw_solution *solution;
    sw_easing_state *eased; /* with all that gave way */
    sw_error error;
} sw_task;

static sw_status tell_waters(const sw_model *model, const double *y,
                             sw_solution *solution)
{
    const sw_problem *problem = model->problem;
    solution->fractions = calloc(problem->water_count, sizeof(double));
    if (!solution->fractions)
        return SW_ERR_MEMORY;
    solution->water_count = problem->water_count;
    for (size_t k = 0; k < problem->water_count; k++) {
        double given = problem->fractions ? problem->fractions[k] : 1;
        solution->fractions[k] = model->blends ? y[model->products + k] : given;
    }
    sw_content_add_waters(&solution->water, problem->waters,
                          solution->fractions, problem->water_count);
    return SW_OK;
}

/* Of the fewest products among equal recipes. */
static sw_status tell_recipe(sw_solver *solver, sw_model *model,
                             const sw_fit *fit, sw_solution *solution)
{
    sw_error unseen;
    double *y;
    const sw_block block = {1, &model, model, NULL};
    sw_recipe *recipe = &solution->recipe;
    sw_fewer *fewer = &solution->fewer;
    sw_status status = sw_find_fewest(solver, &block, fit, fewer, &y, &unseen);
    const double *taken = y ? y : fit->point.y;
    if (status == SW_OK)
        status = tell_waters(model, taken, solution);
    if (status == SW_OK)
        status = sw_block_recipe(&block, taken, recipe);
    return status == SW_OK && y ? sw_say_fewest(model->problem->shelf, fewer,
                                                recipe, &solution->notes)
                                : status;
}

/* The smallest set found, into a new array. */
static sw_status tell_conflict(sw_solver *solver, const sw_model *model,
                               sw_limit **limits, size_t *found,
                               sw_notes *notes)
{
    size_t count;
    const sw_side **sides = sw_find_conflict(solver, model, &count);
    free(*limits);
    *limits = calloc(count + 1, sizeof **limits);
    if (!*limits)
        return SW_ERR_MEMORY;
    for (size_t i = 0; i < count; i++)
        (*limits)[(*found)++] = sw_side_limit(model, sides[i], NULL);
    return count ? SW_OK : sw_notes_add(notes, SW_SAY_CONFLICT_UNNAMED);
}

sw_certificate sw_certificate_of(const sw_solver *solver, const sw_model *model,
                                 const sw_fit *fit, double ionic_strength)
{
    bool found = fit->has_point;
    return (sw_certificate){
        .objective = found ? fit->objective : NAN,
        .lower_bound = found ? fit->objective - fit->proof.slack : NAN,
        .gap = found ? fit->proof.slack : NAN,
        .kkt_residual = found ? fit->proof.kkt : NAN,
        .ionic_strength_mol_per_kg = ionic_strength,
        .levers = model->levers,
        .pivots = solver->pivots,
    };
}

/* A limit on pH that the recipe could not keep; a note tells of it. */
static bool is_missed(const sw_attempt *a, const sw_side *side)
{
    if (side->kind != SW_SIDE_PH || !a->fit.has_point)
        return false;
    double over = a->model.seen[side->aim->row->aired].at.ph - side->bound;
    return (side->end == SW_SIDE_MIN ? -over : over) > SW_PH_MISSED;
}

/* Waters that mix freely have their most in their columns. */
static void tell_most_shares(const sw_model *model, const sw_point *point,
                             sw_solution *solution)
{
    const double *most = model->problem->most_share;
    for (size_t k = 0; most && k < model->blends; k++) {
        sw_limit *limit = &solution->within[solution->within_count];
        const sw_side side = {.kind = SW_SIDE_PRODUCT,
                              .end = SW_SIDE_MAX,
                              .index = model->products + k};
        *limit = (sw_limit){.kind = SW_SIDE_WATER,
                            .end = SW_SIDE_MAX,
                            .index = k,
                            .bound = most[k],
                            .unit = "",
                            .origin = SW_OWN_SHARE,
                            .binds = point && sw_side_binds(&side, point)};
        if (limit->binds)
            limit->price = point->column_price[side.index];
        snprintf(limit->name, sizeof limit->name, SW_SAY_MOST_SHARE, k + 1,
                 most[k], sw_origin_rule(SW_OWN_SHARE));
        solution->within_count += most[k] < 1;
    }
}

static sw_status tell_start(const sw_model *model, sw_solution *solution)
{
    sw_start room;
    const sw_start *start = sw_model_start(model, &room);
    if (!start)
        return SW_OK;
    solution->start = malloc(sizeof room);
    if (!solution->start)
        return SW_ERR_MEMORY;
    *solution->start = *start;
    return SW_OK;
}

/* What the certificate is under: every limit, those that hold the recipe back
 * once more, and what was left out. */
static sw_status tell_terms(const sw_attempt *a, sw_solution *solution)
{
    const sw_model *model = &a->model;
    size_t products = model->problem->shelf->count;
    const sw_point *point = a->fit.has_point ? &a->fit.point : NULL;
    size_t size = (model->side_count + model->blends + 1) * sizeof(sw_limit);
    solution->within = calloc(1, size);
    solution->limits = calloc(1, size);
    solution->left_out = calloc(products, sizeof *solution->left_out);
    if (!solution->within || !solution->limits || !solution->left_out)
        return SW_ERR_MEMORY;
    for (size_t i = 0; i < model->side_count && !model->problem->brief; i++) {
        sw_limit *limit = &solution->within[solution->within_count++];
        *limit = sw_side_limit(model, &model->sides[i], point);
        if (limit->binds)
            solution->limits[solution->limit_count++] = *limit;
        limit->binds |= a->reached.is_held &&
                        sw_side_binds(&model->sides[i], &a->reached.held);
        limit->missed = is_missed(a, &model->sides[i]);
    }
    if (!model->problem->brief)
        tell_most_shares(model, point, solution);
    for (size_t j = 0; j < products; j++)
        solution->left_out[j] = a->setting.shut[j];
    return SW_OK;
}

static sw_status tell_limit(const sw_solver *solver, const sw_fit *fit,
                            sw_solution *solution)
{
    const char *cause = solver->pivots >= solver->pivot_limit
                            ? "its steps were spent"
                            : "the numbers did not allow it";
    return sw_notes_add(&solution->notes, SW_SAY_SOLVE_UNFINISHED,
                        solver->pivots, cause,
                        fit->has_point ? "The recipe keeps the limits; the gap "
                                         "says how much better one may be."
                                       : "There is no recipe.");
}

static sw_status tell(sw_solver *solver, sw_task *task)
{
    sw_attempt *a = task->best;
    sw_model *model = &a->model;
    const sw_fit *fit = &a->fit;
    sw_solution *solution = task->solution;
    sw_fit_drop_residue(solver, model, &a->fit);
    solution->outcome = fit->outcome;
    if (fit->outcome == SW_UNDETERMINED) {
        solution->certificate = no_certificate;
        return sw_note_undetermined(task->problem, &solution->notes);
    }
    solution->misses_ph = a->misses_ph;
    solution->certificate =
        sw_certificate_of(solver, model, fit, a->ionic_strength);
    sw_status status = sw_notes_append(&solution->notes, &model->notes);
    if (status == SW_OK)
        status = tell_terms(a, solution);
    if (status == SW_OK && fit->has_point)
        status = tell_start(model, solution);
    if (status == SW_OK && fit->outcome == SW_CONFLICT)
        status = tell_conflict(solver, model, &solution->limits,
                               &solution->limit_count, &solution->notes);
    if (status == SW_OK && fit->outcome == SW_LIMIT)
        status = tell_limit(solver, fit, solution);
    if (status == SW_OK && fit->has_point)
        status = tell_recipe(solver, model, fit, solution);
    if (status == SW_OK && task->onlooker)
        status =
            task->onlooker->look(solver, model, fit, task->onlooker->context);
    if (status == SW_OK)
        status = sw_leave_unsized(a, &solution->recipe, &solution->notes);
    return status;
}

static void clear_attempts(sw_task *task)
{
    for (size_t i = 0; i < SW_MOST_SETTINGS; i++)
        sw_notes_free(&task->attempts[i].model.notes);
    memset(task->attempts, 0, sizeof task->attempts);
}

static sw_status settle(sw_solver *solver, sw_task *task)
{
    clear_attempts(task);
    return sw_settle_best(solver, &task->eased->problem, task->eased->gave,
                          task->attempts, &task->best, &task->error);
}

/* Or acid or base is poured for a nutrient's limit beyond the end of the pH. */
static bool must_ease(const sw_task *task)
{
    const sw_attempt *a = task->best;
    for (size_t s = 0; s < a->model.side_count; s++)
        if (sw_ease_overdoes(&a->model, &a->model.sides[s]) &&
            is_missed(a, &a->model.sides[s]))
            return sw_ease_pours(&a->model, a->fit.point.y);
    return a->fit.outcome == SW_CONFLICT;
}

/* In the setting in which that is least, until acid and base keep to the pH at
 * the activities of the recipe. */
static sw_status ease_least(sw_solver *solver, sw_task *task)
{
    sw_attempt before[SW_MOST_SETTINGS];
    const sw_easing_state *from = task->eased;
    sw_status status = SW_OK;
    memcpy(before, task->attempts, sizeof before);
    before[task->best - task->attempts].fit.has_point = false;
    for (int turn = 0; turn < MOST_TURNS && status == SW_OK && must_ease(task);
         turn++) {
        const sw_fit *fit = &task->best->fit;
        sw_easing_state *eased = sw_ease_least(
            solver, before, fit->has_point ? fit->point.y : NULL, from);
        if (!eased)
            break;
        task->eased = eased;
        status = settle(solver, task);
    }
    return status;
}

/* The recipe in which the least gives way. */
static sw_status ease(sw_solver *solver, sw_task *task)
{
    sw_status status =
        tell_conflict(solver, &task->best->model, &task->solution->conflict,
                      &task->solution->conflict_count, &task->solution->notes);
    if (status == SW_OK && sw_ease_water(task->eased, false))
        status = settle(solver, task);
    return status == SW_OK ? ease_least(solver, task) : status;
}

/* Ratios that only a solution without their second part would keep: one is
 * given up where that will do, in the order of the file; else all. */
static sw_status ease_ratios(sw_solver *solver, sw_task *task)
{
    sw_easing_state *from = task->eased;
    size_t count = from->target.count;
    bool any = false;
    sw_content finished, now;
    sw_model_content(&task->best->model, task->best->fit.point.y, &finished);
    for (size_t i = 0; i <= count; i++) {
        sw_easing_state *state = sw_ease_copy(solver, from);
        if (!sw_ease_lift(state, &finished, i))
            continue;
        any = true;
        task->eased = state;
        sw_status status = settle(solver, task);
        if (status != SW_OK)
            return status;
        if (!task->best->fit.has_point)
            continue;
        sw_model_content(&task->best->model, task->best->fit.point.y, &now);
        sw_ease_lower(state, from->target.rows, &now);
        if (!sw_ease_lift(sw_ease_copy(solver, state), &now, count))
            return settle(solver, task);
    }
    task->eased = from;
    return any ? settle(solver, task) : SW_OK;
}

static sw_status work(sw_solver *solver, void *given)
{
    sw_task *task = given;
    task->eased = sw_ease_open(solver, task->problem);
    sw_ease_water(task->eased, true);
    sw_status status = settle(solver, task);
    if (status == SW_OK && must_ease(task) && task->problem->nearest)
        status = ease(solver, task);
    else if (status == SW_OK && must_ease(task))
        task->best->fit = (sw_fit){.outcome = SW_CONFLICT};
    if (status == SW_OK && task->problem->nearest && task->best->fit.has_point)
        status = ease_ratios(solver, task);
    if (status == SW_OK && task->best->fit.outcome != SW_CONFLICT)
        status = sw_ease_say_all(task->eased, &task->solution->notes);
    return status == SW_OK ? tell(solver, task) : status;
}

/* GLPK gave up inside, or the numbers overflowed: an outcome, not an error. */
static sw_status unfinished(const sw_solver *solver, sw_task *task)
{
    sw_solution *solution = task->solution;
    const char *message = task->error.message;
    const char *cause = message[0] ? message : solver->complaint;
    solution->outcome = SW_LIMIT;
    solution->certificate = no_certificate;
    return sw_notes_add(&solution->notes, SW_SAY_SOLVE_IMPOSSIBLE, cause);
}

sw_status sw_formulate_once(sw_solver *solver, const sw_problem *problem,
                            const sw_onlooker *onlooker, sw_solution **solution,
                            sw_error *error)
{
    *solution = NULL;
    sw_task task = {.problem = problem, .onlooker = onlooker};
    task.solution = calloc(1, sizeof *task.solution);
    if (!task.solution)
        return sw_fail_memory(error);
    task.solution->objective = problem->objective;
    task.solution->ratios_judged = problem->ratios_judged;
    solver->pivot_limit =
        problem->pivot_limit > 0 ? problem->pivot_limit : DEFAULT_PIVOTS;
    sw_status status = sw_solver_run(solver, work, &task);
    if (status == SW_ERR_SOLVER || status == SW_ERR_NUMERIC)
        status = unfinished(solver, &task);
    if (status == SW_ERR_MEMORY)
        sw_fail_memory(&task.error);
    clear_attempts(&task);
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
    sw_notes_free(&solution->notes);
    SW_FREE(solution->recipe.g_per_l, solution->recipe.most_g_per_l,
            solution->fewer.closest.g_per_l, solution->fractions,
            solution->start, solution->limits, solution->within,
            solution->conflict, solution->left_out, solution);
}
