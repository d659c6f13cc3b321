/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * One recipe for many waters, and the fewest recipes with which every water
 * meets every target.  Whether one recipe serves a set of waters is a joint
 * solve with every accepted range a limit; what a water cannot meet even with
 * a recipe of its own is lent to it.
 */
#include "decide/cover.h"

#include "assess/verdict.h"
#include "formulate/fewest.h"
#include "quantity/notes.h"
#include "quantity/status.h"
#include "table_refusals.h"
#include "table_words.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { DEFAULT_PIVOTS = 2000000 };

/* Of a limit; the rounding to 4 figures is half of it at most. */
static const double kept_free = 1e-3;

typedef struct sw_task {
    sw_problem problem;
    bool fewest;
    bool unsure; /* whether a set is served could not be told */
    sw_many *many;
    sw_joint joint;
    sw_error error;
} sw_task;

/* ---- Telling ------------------------------------------------------------ */

/* What holds a point back, into a new array. */
static sw_status tell_binding(const sw_model *model, const sw_point *point,
                              sw_limit **limits, size_t *count)
{
    *limits = calloc(model->side_count + 1, sizeof **limits);
    if (!*limits)
        return SW_ERR_MEMORY;
    for (size_t i = 0; i < model->side_count; i++)
        if (sw_side_binds(&model->sides[i], point))
            (*limits)[(*count)++] =
                sw_side_limit(model, &model->sides[i], point);
    return SW_OK;
}

/* The member's part of the closest point and its prices, as its own model's. */
static sw_point part_point(sw_joint *joint, size_t i)
{
    const sw_model *model = sw_joint_model(joint, joint->in[i]);
    sw_point part = sw_point_take(joint->solver, &model->form);
    const sw_point *all = &joint->rounds.fit.point;
    sw_block_part(&joint->rounds.block, i, all->y, part.y);
    sw_block_part(&joint->rounds.block, i, all->column_price,
                  part.column_price);
    memcpy(part.row_price, all->row_price + sw_joint_row(joint, i),
           model->form.rows * sizeof(double));
    return part;
}

static sw_status say_gave(const sw_member *member, const sw_model *model,
                          const double *y, sw_notes *notes)
{
    static const sw_gave by_products;
    sw_status status =
        member->eased ? sw_ease_say_all(member->eased, notes) : SW_OK;
    sw_content finished;
    sw_model_content(model, y, &finished);
    for (size_t s = 0; s < model->side_count && status == SW_OK; s++) {
        const sw_side *side = &model->sides[s];
        if (side->kind != SW_SIDE_COMPONENT && side->kind != SW_SIDE_RATIO)
            continue;
        bool is_min = side->end == SW_SIDE_MIN;
        const sw_give *gave = &member->gave[side->index];
        double at = finished.amount[side->target->component];
        if (side->kind == SW_SIDE_RATIO)
            at /= finished.amount[side->target->other];
        else if (!is_min)
            at = sw_against_max(side->target->component, &finished);
        if (!((is_min ? gave->low : gave->high) > 0))
            continue;
        const char *end = is_min ? "min" : "max";
        status = side->origin == SW_BY_RANGE
                     ? sw_notes_add(notes, SW_SAY_RANGE_GAVE_WAY,
                                    side->target->name, end, side->bound, at)
                     : sw_ease_say(side->target, end, side->bound, at,
                                   &by_products, notes);
    }
    return status;
}

/* What became of the pH, and of acid or base that labels leave open. */
static sw_status tell_ph(sw_joint *joint, size_t at, sw_point point,
                         sw_in_water *to, sw_error *error)
{
    const sw_member *member = &joint->members[at];
    sw_attempt a = {.setting = member->setting[member->allowed],
                    .model = *sw_joint_model(joint, at)};
    a.model.notes = (sw_notes){0};
    a.fit.point = point;
    sw_status status = a.setting.aims ? sw_settle_look(&a, error) : SW_OK;
    if (status == SW_OK)
        status = sw_notes_append(&to->notes, &a.model.notes);
    sw_notes_free(&a.model.notes);
    if (status == SW_OK)
        status = sw_leave_unsized(&a, &to->amounts, &to->notes);
    return status;
}

/* With what the recipe at `y` gives in a water; prices are of the closest. */
static sw_status tell_water(sw_task *task, size_t i, size_t recipe,
                            const double *y)
{
    sw_joint *joint = &task->joint;
    size_t at = joint->in[i];
    sw_model *model = sw_joint_model(joint, at);
    const sw_block alone = {1, &model, model, NULL};
    sw_in_water *to = &task->many->waters[at];
    to->recipe = recipe;
    to->objective = NAN;
    if (!joint->found)
        return SW_OK;
    sw_point point = part_point(joint, i);
    sw_status status =
        tell_binding(model, &point, &to->limits, &to->limit_count);
    sw_block_part(&joint->rounds.block, i, y, point.y);
    to->objective = sw_objective_at(joint->solver, model, point.y);
    if (status == SW_OK)
        status = sw_block_recipe(&alone, point.y, &to->amounts);
    if (status == SW_OK)
        status = say_gave(&joint->members[at], model, point.y, &to->notes);
    if (status == SW_OK)
        status = tell_ph(joint, at, point, to, &task->error);
    return status;
}

/* The fewest products among recipes equal to the closest for the members in
 * force; *y is the point taken. */
static sw_status take_fewest(sw_task *task, sw_common *common, const double **y)
{
    sw_joint *joint = &task->joint;
    const sw_block *block = &joint->rounds.block;
    double *found;
    sw_recipe taken = {0};
    sw_joint_assemble(joint);
    sw_status status = sw_find_fewest(joint->solver, block, &joint->rounds.fit,
                                      &common->fewer, &found, &task->error);
    if (status != SW_OK || !found)
        return status;
    *y = found;
    status = sw_block_recipe(block, found, &taken);
    if (status == SW_OK)
        status = sw_say_fewest(task->problem.shelf, &common->fewer, &taken,
                               &common->notes);
    free(taken.g_per_l);
    return status;
}

/* The best recipe for the members in force, and what it gives in each. */
static sw_status tell_recipe(sw_task *task)
{
    sw_joint *joint = &task->joint;
    sw_fit_drop_residue(joint->solver, &joint->all, &joint->rounds.fit);
    sw_fit fit = joint->rounds.fit;
    size_t recipe = task->many->recipe_count++;
    sw_common *to = &task->many->recipes[recipe];
    const double *y = fit.point.y;
    fit.has_point = joint->found;
    *to = (sw_common){
        .outcome = fit.outcome,
        .proved = joint->proved,
        .certificate = sw_certificate_of(
            joint->solver, sw_joint_model(joint, joint->in[0]), &fit, NAN)};
    sw_status status = joint->found ? take_fewest(task, to, &y) : SW_OK;
    for (size_t i = 0; i < joint->in_count && status == SW_OK; i++)
        status = tell_water(task, i, recipe, y);
    return status;
}

static void tell_own(sw_task *task)
{
    const sw_joint *joint = &task->joint;
    const sw_model *model = sw_joint_model(&task->joint, 0);
    for (size_t j = 0; j < joint->columns; j++)
        task->many->own[model->shelf_index[j]] = joint->own[j];
}

/* ---- Fewest ------------------------------------------------------------- */

/* A range that is missed anyway may be missed by as much more: no laboratory
 * tells the analyses of two such feeds apart (as a verdict's range; common
 * practice, no source).  A limit that was given is not. */
static const double untold = 0.1;

static void lend_untold(sw_joint *joint, size_t at)
{
    const sw_model *model = sw_joint_model(joint, at);
    for (size_t s = 0; s < model->side_count; s++) {
        const sw_side *side = &model->sides[s];
        if (side->origin != SW_BY_RANGE || side->kind == SW_SIDE_PH ||
            !sw_ease_may_give(side))
            continue;
        double size = sw_ease_size(model, side);
        sw_give *lent = &joint->members[at].lent[side->index];
        double *end = side->end == SW_SIDE_MIN ? &lent->low : &lent->high;
        if (*end > kept_free * size)
            *end += untold * size;
    }
}

/* What each water cannot meet with a recipe of its own is lent to it. */
static sw_status lend_each(sw_task *task)
{
    sw_joint *joint = &task->joint;
    sw_status status = SW_OK;
    for (size_t k = 0; k < joint->count && status == SW_OK; k++) {
        sw_member *member = &joint->members[k];
        sw_joint_choose(joint, (sw_water_set)1 << k);
        joint->solver->pivots = 0;
        status = sw_joint_settle(joint, &task->error);
        memcpy(member->lent, member->gave,
               sw_joint_model(joint, k)->form.rows * sizeof *member->lent);
        lend_untold(joint, k);
        memcpy(member->ph_lent, member->ph_gave, sizeof member->ph_lent);
    }
    return status;
}

static sw_status serves(void *context, sw_water_set set, bool *yes)
{
    sw_task *task = context;
    sw_joint_choose(&task->joint, set);
    task->joint.solver->pivots = 0;
    sw_status status = sw_joint_settle(&task->joint, &task->error);
    *yes = status == SW_OK && task->joint.found;
    task->unsure |= !*yes && !task->joint.proved;
    return status;
}

static sw_status tell_apart(const sw_cover *cover, sw_many *many)
{
    many->changes = cover->changes;
    many->fewest_proved = cover->proved;
    many->apart = calloc(cover->apart_count + 1, sizeof *many->apart);
    for (size_t a = 0; many->apart && a < cover->apart_count; a++) {
        sw_waters_apart *to = &many->apart[many->apart_count++];
        to->waters = calloc(cover->count, sizeof(size_t));
        for (size_t k = 0; to->waters && k < cover->count; k++)
            if (cover->apart[a] >> k & 1)
                to->waters[to->count++] = k;
        if (!to->waters)
            return SW_ERR_MEMORY;
    }
    return many->apart ? SW_OK : SW_ERR_MEMORY;
}

/* Keeps a member so much inside the ends of its ranges, as a share of each, or
 * lets it go to them again. */
static void keep_inside(sw_joint *joint, size_t at, double share)
{
    const sw_model *model = sw_joint_model(joint, at);
    for (size_t s = 0; s < model->side_count; s++) {
        const sw_side *side = &model->sides[s];
        if (!sw_ease_may_give(side))
            continue;
        sw_give *lent = &joint->members[at].lent[side->index];
        double *end = side->end == SW_SIDE_MIN ? &lent->low : &lent->high;
        if (*end <= 0)
            *end = -share * sw_ease_size(model, side);
    }
}

/* The recipe of a group, a little inside its ranges where there is one, so that
 * whoever rounds its amounts gets every verdict. */
static sw_status settle_group(sw_task *task, sw_water_set group)
{
    sw_joint *joint = &task->joint;
    bool found = false;
    for (int inside = 1; inside >= 0 && !found; inside--) {
        for (size_t k = 0; k < joint->count; k++)
            if (group >> k & 1)
                keep_inside(joint, k, inside * kept_free);
        sw_status status = serves(task, group, &found);
        if (status != SW_OK)
            return status;
    }
    return SW_OK;
}

static sw_status tell_fewest(sw_task *task)
{
    sw_joint *joint = &task->joint;
    sw_status status = lend_each(task);
    sw_cover *cover = sw_take(joint->solver, 1, sizeof *cover);
    *cover =
        (sw_cover){.count = joint->count, .together = serves, .context = task};
    joint->rounds.keeps = true;
    if (status == SW_OK)
        status = sw_cover_find(cover);
    if (status == SW_OK)
        status = tell_apart(cover, task->many);
    task->many->fewest_proved &= !task->unsure;
    for (size_t g = 0; g < cover->groups && status == SW_OK; g++) {
        status = settle_group(task, cover->group[g]);
        if (status == SW_OK)
            status = tell_recipe(task);
    }
    return status;
}

/* ---- From problem to result --------------------------------------------- */

static sw_status work(sw_solver *solver, void *given)
{
    bool any;
    sw_task *task = given;
    sw_joint *joint = &task->joint;
    sw_status status =
        sw_joint_open(solver, &task->problem, joint, &task->error);
    const sw_problem *open = status ? NULL : sw_joint_undetermined(joint);
    if (open) {
        task->many->recipe_count = 1;
        task->many->recipes[0].outcome = SW_UNDETERMINED;
        return sw_note_undetermined(open, &task->many->notes);
    }
    if (status == SW_OK && task->problem.nearest)
        status = sw_joint_ease_waters(joint, &any, &task->error);
    if (status != SW_OK)
        return status;
    tell_own(task);
    status =
        sw_notes_append(&task->many->notes, &sw_joint_model(joint, 0)->notes);
    if (status != SW_OK || task->fewest)
        return status ? status : tell_fewest(task);
    status = sw_joint_settle(joint, &task->error);
    return status ? status : tell_recipe(task);
}

static sw_status check(const sw_problem *problem, sw_error *error)
{
    if (problem->fractions)
        return sw_fail(error, SW_BAD_LONE_SHARES);
    if (problem->water_count == 0 || problem->water_count > SW_MOST_JOINT)
        return sw_fail(error, SW_BAD_WATER_COUNT, SW_MOST_JOINT,
                       problem->water_count);
    return SW_OK;
}

static sw_status take_many(sw_task *task)
{
    sw_many *many = calloc(1, sizeof *many);
    task->many = many;
    if (!many)
        return SW_ERR_MEMORY;
    many->product_count = task->problem.shelf->count;
    many->water_count = task->problem.water_count;
    many->own = calloc(many->product_count + 1, sizeof *many->own);
    many->recipes = calloc(many->water_count, sizeof *many->recipes);
    many->waters = calloc(many->water_count, sizeof *many->waters);
    return many->own && many->recipes && many->waters ? SW_OK : SW_ERR_MEMORY;
}

/* GLPK gave up inside, or the numbers overflowed. */
static sw_status unfinished(const sw_solver *solver, sw_task *task)
{
    const char *message = task->error.message;
    return sw_fail(&task->error, SW_BAD_PROBLEM_NUMBERS,
                   message[0] ? message : solver->complaint);
}

static sw_status solve(sw_solver *solver, sw_task *task, sw_many **many,
                       sw_error *error)
{
    *many = NULL;
    sw_status status = check(&task->problem, error);
    if (status != SW_OK)
        return status;
    task->problem.ratios_judged = true;
    int limit = task->problem.pivot_limit;
    solver->pivot_limit = limit > 0 ? limit : DEFAULT_PIVOTS;
    status = take_many(task);
    if (status == SW_OK)
        status = sw_solver_run(solver, work, task);
    sw_joint_close(&task->joint);
    if (status == SW_ERR_SOLVER || status == SW_ERR_NUMERIC)
        status = unfinished(solver, task);
    if (status == SW_ERR_MEMORY)
        sw_fail_memory(&task->error);
    if (status == SW_OK) {
        *many = task->many;
        return SW_OK;
    }
    if (error)
        *error = task->error;
    sw_many_free(task->many);
    return status;
}

sw_status sw_one_recipe(sw_solver *solver, const sw_problem *problem,
                        sw_many **many, sw_error *error)
{
    SW_REQUIRE_FOR(many, error, solver, sw_whole_problem(problem));
    sw_task task = {.problem = *problem};
    return solve(solver, &task, many, error);
}

sw_status sw_fewest_recipes(sw_solver *solver, const sw_problem *problem,
                            sw_many **many, sw_error *error)
{
    SW_REQUIRE_FOR(many, error, solver, sw_whole_problem(problem));
    sw_task task = {.problem = *problem, .fewest = true};
    task.problem.keep_bands = task.problem.nearest = true;
    return solve(solver, &task, many, error);
}

void sw_many_free(sw_many *many)
{
    if (!many)
        return;
    for (size_t k = 0; many->waters && k < many->water_count; k++) {
        sw_notes_free(&many->waters[k].notes);
        SW_FREE(many->waters[k].amounts.g_per_l,
                many->waters[k].amounts.most_g_per_l, many->waters[k].limits);
    }
    for (size_t r = 0; r < many->recipe_count; r++) {
        free(many->recipes[r].fewer.closest.g_per_l);
        sw_notes_free(&many->recipes[r].notes);
    }
    for (size_t a = 0; a < many->apart_count; a++)
        free(many->apart[a].waters);
    sw_notes_free(&many->notes);
    SW_FREE(many->own, many->recipes, many->waters, many->apart, many);
}
