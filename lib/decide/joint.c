/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The form of several waters.  What all waters say alike of a target, but for
 * the water, is one term: a sum of squares (a y - g)^2 is that about the mean
 * of the g and a constant; the largest deviation is about the g at the ends.
 */
#include "decide/joint.h"

#include "quantity/status.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- Members ------------------------------------------------------------ */

sw_model *sw_joint_model(sw_joint *joint, size_t at)
{
    sw_member *member = &joint->members[at];
    return &member->model[member->allowed];
}

sw_status sw_joint_build(sw_joint *joint, size_t at, sw_error *error)
{
    sw_member *member = &joint->members[at];
    sw_allowed allowed = member->allowed;
    sw_setting *setting = &member->setting[allowed];
    if (member->built[allowed])
        return SW_OK;
    *setting = sw_setting_with(joint->solver, &member->setting[SW_NO_AGENT],
                               &member->problem, allowed);
    sw_notes_free(&member->model[allowed].notes);
    member->built[allowed] = true;
    sw_status status = sw_model_build(joint->solver, &member->problem, setting,
                                      &member->model[allowed], error);
    member->model[allowed].ph_gave = member->ph_gave;
    return status;
}

/* The settings a member is solved under, and a model to begin with. */
static sw_status open_settings(sw_joint *joint, size_t at, sw_error *error)
{
    sw_member *member = &joint->members[at];
    sw_setting *none = &member->setting[SW_NO_AGENT], list[SW_MOST_SETTINGS];
    sw_status status = sw_setting_make(
        joint->solver, &member->problem,
        member->eased ? member->eased->gave : NULL, none, error);
    if (status != SW_OK)
        return status;
    member->options =
        sw_settings_list(joint->solver, none, &member->problem, list);
    for (size_t o = 0; o < member->options; o++)
        member->list[o] = list[o].allowed;
    memset(member->built, 0, sizeof member->built);
    member->allowed = SW_NO_AGENT;
    status = sw_joint_build(joint, at, error);
    member->allowed = member->options > 1 ? SW_EITHER : member->list[0];
    return status ? status : sw_joint_build(joint, at, error);
}

static sw_status open_member(sw_joint *joint, size_t at, sw_error *error)
{
    sw_member *member = &joint->members[at];
    size_t rows = sw_model_most_rows(joint->problem);
    member->problem = *joint->problem;
    member->problem.waters = &joint->problem->waters[at];
    member->problem.water_count = 1;
    member->y = sw_take_numbers(joint->solver, joint->problem->shelf->count);
    member->gave = sw_take(joint->solver, rows, sizeof *member->gave);
    member->lent = sw_take(joint->solver, rows, sizeof *member->lent);
    sw_status status = sw_model_check(&member->problem, error);
    return status ? status : open_settings(joint, at, error);
}

const sw_problem *sw_joint_undetermined(const sw_joint *joint)
{
    for (size_t k = 0; k < joint->count; k++)
        if (sw_is_undetermined(&joint->members[k].setting[SW_NO_AGENT],
                               &joint->members[k].problem))
            return &joint->members[k].problem;
    return NULL;
}

sw_status sw_joint_ease_waters(sw_joint *joint, bool *any, sw_error *error)
{
    sw_status status = SW_OK;
    *any = false;
    for (size_t k = 0; k < joint->count && status == SW_OK; k++) {
        sw_member *member = &joint->members[k];
        if (member->eased)
            continue;
        sw_easing_state *eased = sw_ease_open(joint->solver, &member->problem);
        if (!sw_ease_water(eased, false))
            continue;
        *any = true;
        member->eased = eased;
        member->problem = eased->problem;
        status = open_settings(joint, k, error);
    }
    return status;
}

/* Acids and bases that may vary have a column for each water. */
static void find_own(sw_joint *joint)
{
    const sw_model *model = sw_joint_model(joint, 0);
    joint->columns = model->form.columns;
    joint->own = sw_take(joint->solver, joint->columns, sizeof(bool));
    for (size_t j = 0; j < joint->columns; j++) {
        for (size_t k = 0; k < joint->count; k++) {
            sw_ph_role role =
                joint->members[k].setting[0].role[model->shelf_index[j]];
            joint->own[j] |= role == SW_PH_ACID || role == SW_PH_BASE;
        }
        joint->own[j] &= sw_ph_can_vary(sw_model_product(model, j));
        *(joint->own[j] ? &joint->each : &joint->common) += 1;
    }
}

/* ---- The form of all ---------------------------------------------------- */

/* The columns in common come first. */
static void place_columns(sw_joint *joint)
{
    size_t *column = joint->column;
    for (size_t i = 0, own = joint->common; i < joint->in_count; i++)
        for (size_t j = 0, common = 0; j < joint->columns; j++)
            *column++ = joint->own[j] ? own++ : common++;
}

size_t sw_joint_row(sw_joint *joint, size_t i)
{
    size_t row = 0;
    for (size_t k = 0; k < i; k++)
        row += sw_joint_model(joint, joint->in[k])->form.rows;
    return row;
}

size_t sw_joint_aim(const sw_model *model, const sw_ph_aim *aim)
{
    return (size_t)(aim - model->setting->aim);
}

static void put_columns(sw_joint *joint, size_t i, const sw_model *model)
{
    sw_model *all = &joint->all;
    for (size_t j = 0; j < joint->columns; j++) {
        size_t to = sw_block_column(&joint->rounds.block, i, j);
        bool first = i == 0 || joint->own[j];
        double high = model->form.high[j];
        all->form.low[to] = model->form.low[j]; /* of the shelf alone */
        all->form.high[to] = first ? high : fmin(high, all->form.high[to]);
        all->unit[to] = model->unit[j];
        all->shelf_index[to] = model->shelf_index[j];
        ((double *)all->times)[to] =
            joint->own[j] ? 1 : (double)joint->in_count;
    }
}

static void put_rows(sw_joint *joint, size_t i, const sw_model *model)
{
    sw_form *form = &joint->all.form;
    const sw_give *gave = joint->members[joint->in[i]].gave;
    for (size_t r = 0; r < model->form.rows; r++) {
        size_t to = form->rows++;
        double unit = model->row_unit[r];
        sw_block_spread(&joint->rounds.block, i,
                        model->form.matrix + r * joint->columns,
                        form->matrix + to * form->columns);
        form->row_low[to] = model->form.row_low[r] - gave[r].low / unit;
        form->row_high[to] = model->form.row_high[r] + gave[r].high / unit;
        joint->all.row_unit[to] = unit;
    }
}

static void put_ph(sw_joint *joint, size_t i, size_t row, const sw_model *model)
{
    sw_form *form = &joint->all.form;
    const sw_give *gave = joint->members[joint->in[i]].ph_gave;
    for (size_t l = 0; l < model->ph_line_count; l++) {
        const sw_ph_line *line = &model->ph_lines[l];
        size_t to = row + line->index, aim = sw_joint_aim(model, line->aim);
        if (line->end == SW_SIDE_FIXED)
            continue;
        form->row_low[to] -= gave[aim].low / model->row_unit[line->index];
        form->row_high[to] += gave[aim].high / model->row_unit[line->index];
    }
}

/* ---- Terms -------------------------------------------------------------- */

static const double *term_of(sw_joint *joint, size_t i, size_t e)
{
    return sw_joint_model(joint, joint->in[i])->terms.matrix +
           e * joint->columns;
}

static double goal_of(sw_joint *joint, size_t i, size_t e)
{
    return sw_joint_model(joint, joint->in[i])->terms.goal[e];
}

/* Whether term `e` differs between the waters by its goal alone. */
static bool is_alike(sw_joint *joint, size_t e)
{
    const double *first = term_of(joint, 0, e);
    for (size_t i = 0; i < joint->in_count; i++) {
        const sw_form *form = &sw_joint_model(joint, joint->in[i])->form;
        const double *row = term_of(joint, i, e);
        for (size_t j = 0; j < joint->columns; j++)
            if (row[j] != first[j] ||
                (joint->own[j] && row[j] != 0 && form->low[j] < form->high[j]))
                return false;
    }
    return true;
}

/* Term `e` of the member at place `i`, `scale` times, with this goal. */
static void put_term(sw_joint *joint, size_t i, size_t e, double scale,
                     double goal)
{
    sw_model *all = &joint->all;
    size_t columns = all->form.columns, at = all->terms.count++;
    double *to = all->terms.matrix + at * columns;
    sw_block_spread(&joint->rounds.block, i, term_of(joint, i, e), to);
    for (size_t j = 0; j < columns; j++)
        to[j] *= scale;
    all->terms.goal[at] = scale * goal;
    all->term_row[at] = sw_joint_model(joint, joint->in[i])->term_row[e];
}

static void put_mean(sw_joint *joint, size_t e)
{
    double mean = 0, count = (double)joint->in_count;
    for (size_t i = 0; i < joint->in_count; i++)
        mean += goal_of(joint, i, e) / count;
    for (size_t i = 0; i < joint->in_count; i++) {
        double apart = goal_of(joint, i, e) - mean;
        joint->all.terms.constant += apart * apart;
    }
    put_term(joint, 0, e, sqrt(count), mean);
}

static void put_ends(sw_joint *joint, size_t e)
{
    double least = INFINITY, most = -INFINITY;
    for (size_t i = 0; i < joint->in_count; i++) {
        least = fmin(least, goal_of(joint, i, e));
        most = fmax(most, goal_of(joint, i, e));
    }
    put_term(joint, 0, e, 1, least);
    if (most > least)
        put_term(joint, 0, e, 1, most);
}

static void put_terms(sw_joint *joint)
{
    size_t terms = sw_joint_model(joint, joint->in[0])->terms.count;
    for (size_t e = 0; e < terms; e++) {
        if (!is_alike(joint, e))
            for (size_t i = 0; i < joint->in_count; i++)
                put_term(joint, i, e, 1, goal_of(joint, i, e));
        else if (joint->problem->objective == SW_CLOSEST)
            put_mean(joint, e);
        else
            put_ends(joint, e);
    }
}

void sw_joint_assemble(sw_joint *joint)
{
    sw_model *all = &joint->all;
    place_columns(joint);
    const sw_model *first = sw_joint_model(joint, joint->in[0]);
    all->setting = first->setting;
    all->priced = first->priced;
    all->products = all->form.columns =
        joint->common + joint->in_count * joint->each;
    all->form.rows = all->terms.count = 0;
    joint->all.terms.constant = 0;
    for (size_t i = 0; i < joint->in_count; i++)
        put_columns(joint, i, sw_joint_model(joint, joint->in[i]));
    for (size_t i = 0; i < joint->in_count; i++) {
        size_t row = all->form.rows;
        put_rows(joint, i, sw_joint_model(joint, joint->in[i]));
        put_ph(joint, i, row, sw_joint_model(joint, joint->in[i]));
    }
    put_terms(joint);
}

/* ---- From a problem on -------------------------------------------------- */

/* For every solve the pH gives way anew, from what is lent to it. */
static void assemble(void *context)
{
    sw_joint *joint = context;
    for (size_t i = 0; i < joint->in_count; i++) {
        sw_member *member = &joint->members[joint->in[i]];
        memcpy(member->ph_gave, member->ph_lent, sizeof member->ph_gave);
    }
    sw_joint_assemble(joint);
}

static void take_all(sw_joint *joint)
{
    sw_solver *solver = joint->solver;
    sw_model *all = &joint->all;
    size_t columns = joint->common + joint->count * joint->each;
    size_t rows = joint->count * sw_model_most_rows(joint->problem);
    size_t terms =
        joint->count * (joint->problem->target->count + SW_MOST_AIMS);
    double *times = sw_take_numbers(solver, columns);
    *all = (sw_model){.problem = joint->problem, .times = times};
    joint->column =
        sw_take(solver, joint->count * joint->columns, sizeof(size_t));
    all->form.matrix = sw_take_numbers(solver, rows * columns);
    all->form.low = sw_take_numbers(solver, columns);
    all->form.high = sw_take_numbers(solver, columns);
    all->form.row_low = sw_take_numbers(solver, rows);
    all->form.row_high = sw_take_numbers(solver, rows);
    all->row_unit = sw_take_numbers(solver, rows);
    all->unit = sw_take_numbers(solver, columns);
    all->shelf_index = sw_take(solver, columns, sizeof(size_t));
    all->terms.matrix = sw_take_numbers(solver, terms * columns);
    all->terms.goal = sw_take_numbers(solver, terms);
    all->term_row = sw_take(solver, terms, sizeof(sw_target_row *));
    joint->rounds = (sw_rounds){
        .solver = solver,
        .block = {.model = joint->model, .all = all, .column = joint->column},
        .y = joint->y,
        .assemble = assemble,
        .context = joint};
    sw_rounds_open(&joint->rounds, columns, rows, terms);
}

sw_status sw_joint_open(sw_solver *solver, const sw_problem *problem,
                        sw_joint *joint, sw_error *error)
{
    *joint = (sw_joint){
        .solver = solver, .problem = problem, .count = problem->water_count};
    /* not of the solver: their notes are freed when its memory is gone */
    joint->members = calloc(joint->count, sizeof(sw_member));
    if (!joint->members)
        sw_solver_drop(solver, SW_ERR_MEMORY);
    joint->in = sw_take(solver, joint->count, sizeof(size_t));
    for (size_t k = 0; k < joint->count; k++) {
        sw_status status = open_member(joint, k, error);
        if (status != SW_OK)
            return status;
        joint->in[joint->in_count++] = k;
    }
    find_own(joint);
    take_all(joint);
    return SW_OK;
}

void sw_joint_close(sw_joint *joint)
{
    for (size_t k = 0; joint->members && k < joint->count; k++)
        for (size_t a = 0; a < SW_ALLOWED_KINDS; a++)
            sw_notes_free(&joint->members[k].model[a].notes);
    free(joint->members);
}

void sw_joint_choose(sw_joint *joint, sw_water_set set)
{
    joint->in_count = 0;
    for (size_t k = 0; k < joint->count; k++) {
        sw_member *member = &joint->members[k];
        if (!(set >> k & 1))
            continue;
        member->allowed = member->options > 1 ? SW_EITHER : member->list[0];
        joint->in[joint->in_count++] = k;
    }
}
