/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The nearest recipe where limits cannot hold.  What the water alone is over
 * is nobody's to change: no product adds to it, and the rest is solved.  What
 * conflicts through products gives way by the least sum of shares; what
 * products, ceilings and cost allow is kept.  The limits then stand where they
 * had to go.
 */
#include "formulate/ease.h"

#include "quantity/notes.h"
#include "records/targets.h"

#include "table_words.h"

#include <math.h>
#include <string.h>

/* Shares below it are the rounding of a simplex method. */
static const double no_share = 1e-9;
/* What a share is of where a limit is 0, in its unit, and of a pH, meq/L. */
static const double unit_size = 1.0;
/* A limit is put this far beyond where it has to stand, of itself. */
static const double beyond = 1e-7;
/* Less than this share of a target is nothing of it. */
static const double nothing = 1e-6;

sw_easing_state *sw_ease_copy(sw_solver *solver, const sw_easing_state *from)
{
    size_t count = from->target.count;
    sw_easing_state *made = sw_take(solver, 1, sizeof *made);
    *made = *from;
    made->target.rows = sw_take(solver, count, sizeof(sw_target_row));
    memcpy(made->target.rows, from->target.rows, count * sizeof(sw_target_row));
    made->problem.target = &made->target;
    made->gave = sw_take(solver, count, sizeof(sw_gave));
    memcpy(made->gave, from->gave, count * sizeof(sw_gave));
    return made;
}

sw_easing_state *sw_ease_open(sw_solver *solver, const sw_problem *problem)
{
    size_t count = problem->target->count;
    sw_gave *none = sw_take(solver, count, sizeof *none);
    for (size_t i = 0; i < count; i++)
        none[i] = (sw_gave){.min = NAN, .max = NAN};
    return sw_ease_copy(solver, &(sw_easing_state){.problem = *problem,
                                                   .target = *problem->target,
                                                   .gave = none});
}

/* A ratio that each of the waters alone breaks is no limit. */
static bool ease_ratio(sw_easing_state *state, size_t i,
                       const sw_content *waters, size_t count)
{
    sw_target_row *row = &state->target.rows[i];
    sw_band limits = sw_limits_of(&state->problem, row);
    sw_verdict is = SW_VERDICT_NONE;
    for (size_t k = 0; k < count; k++) {
        sw_verdict of =
            sw_judge_ratio_of_water(&state->target, row, &limits, &waters[k]);
        is = k == 0 || of == is ? of : SW_MET;
    }
    bool over = is == SW_OVER;
    sw_component part = over ? row->component : row->other;
    if (!sw_is_missed(is))
        return false;
    state->gave[i] = (sw_gave){.min = over ? NAN : limits.low,
                               .max = over ? limits.high : NAN,
                               .brings = waters->amount[part]};
    for (size_t k = 1; k < count; k++) /* whatever their shares */
        state->gave[i].brings =
            fmin(state->gave[i].brings, waters[k].amount[part]);
    row->target = row->min = row->max = NAN;
    return true;
}

bool sw_ease_water(sw_easing_state *state, bool ratios_alone)
{
    const sw_problem *problem = &state->problem;
    bool any = false, is_free = !problem->fractions && problem->water_count > 1;
    bool yields = problem->nearest || problem->ratios_yield;
    sw_content water = sw_problem_water(problem);
    for (size_t i = 0; i < state->target.count; i++) {
        sw_target_row *row = &state->target.rows[i];
        double brings = sw_against_max(row->component, &water);
        double most = sw_limits_of(problem, row).high;
        if (row->kind == SW_TARGET_RATIO && (yields || !ratios_alone))
            any |= ease_ratio(state, i, is_free ? problem->waters : &water,
                              is_free ? problem->water_count : 1);
        if (row->kind != SW_TARGET_COMPONENT || row->assumed || ratios_alone ||
            is_free || !(brings > most * (1 + no_share)))
            continue;
        state->gave[i] = (sw_gave){.min = NAN, .max = most, .brings = brings};
        row->max = brings;
        any = true;
    }
    return any;
}

/* ---- The least sum of shares --------------------------------------------- */

/* A usual amount of a ratio's second part. */
static double usual_of(const sw_target *target, sw_component component)
{
    const sw_target_row *row = sw_target_row_of(target, component);
    return row && sw_size_of(row) > 0 ? sw_size_of(row) : 100 * unit_size;
}

double sw_ease_size(const sw_model *model, const sw_side *side)
{
    if (side->kind == SW_SIDE_PH || !(side->bound > 0))
        return unit_size;
    return side->kind == SW_SIDE_RATIO
               ? side->bound *
                     usual_of(model->problem->target, side->target->other)
               : side->bound;
}

static bool may_yield(const sw_side *side, sw_yielding what)
{
    if (side->kind == SW_SIDE_PH)
        return true;
    return sw_ease_may_give(side) &&
           (what == SW_YIELD_ALL ||
            (what == SW_YIELD_RANGES &&
             (side->origin == SW_BY_RANGE || side->origin == SW_FOR_SULFUR)));
}

sw_yield sw_yield_of(const sw_model *model, const sw_side *side, bool low_end)
{
    return (sw_yield){.side = side,
                      .low_end = low_end,
                      .row = side->index,
                      .whole = sw_ease_size(model, side) /
                               sw_side_unit_size(model, side),
                      .cost = side->kind == SW_SIDE_PH ? SW_PH_COUNTS : 1};
}

sw_yield *sw_yields_list(sw_solver *solver, const sw_block *block,
                         sw_yielding what, size_t *found)
{
    size_t sides = 0, first = 0;
    for (size_t i = 0; i < block->count; i++)
        sides += block->model[i]->side_count;
    sw_yield *yield = sw_take(solver, sides, sizeof *yield);
    *found = 0;
    for (size_t i = 0; i < block->count; i++) {
        const sw_model *model = block->model[i];
        for (size_t s = 0; s < model->side_count; s++) {
            const sw_side *side = &model->sides[s];
            if (!may_yield(side, what))
                continue;
            sw_yield *to = &yield[(*found)++];
            *to = sw_yield_of(model, side, side->end == SW_SIDE_MIN);
            to->row += first;
            to->water = i;
        }
        first += model->form.rows;
    }
    return yield;
}

/* ---- Through products --------------------------------------------------- */

bool sw_ease_may_give(const sw_side *side)
{
    return (side->kind == SW_SIDE_COMPONENT || side->kind == SW_SIDE_RATIO) &&
           side->origin != SW_OWN_CEILING;
}

/* An end that cannot stand where it is `given` stands where a recipe is. */
static void stand_at(sw_easing_state *state, size_t i, bool low, double given,
                     double stand, double room)
{
    sw_target_row *row = &state->target.rows[i];
    double *was = low ? &state->gave[i].min : &state->gave[i].max;
    room = fmax(room, beyond * (1 + stand));
    *was = isnan(*was) ? given : *was;
    if (low)
        row->min = fmax(0, stand - room);
    else
        row->max = stand + room;
}

bool sw_ease_pours(const sw_model *model, const double *y)
{
    for (size_t j = 0; j < model->products; j++)
        if (sw_model_is_agent(model, j) && y[j] > model->form.low[j])
            return true;
    return false;
}

bool sw_ease_overdoes(const sw_model *model, const sw_side *side)
{
    sw_allowed allowed = model->setting->allowed;
    return side->kind == SW_SIDE_PH &&
           allowed == (side->end == SW_SIDE_MIN ? SW_ACIDS : SW_BASES);
}

/* The ends that give way in one setting, and where. */
typedef struct least {
    const sw_model *model;
    sw_yield *yield;
    size_t count;
    sw_point point;
    double sum; /* infinite: none found */
} least;

/* With no end of a pH but, at the activities of the point `y`, those that acid
 * or base would be poured beyond. */
static least find_least(sw_solver *solver, sw_model *model, const double *y)
{
    double moved;
    const sw_block alone = {1, &model, model, NULL};
    model->levers = SW_LEVERS_AGENTS;
    bool none = !y || sw_model_set_ph(model, y, &moved, NULL); /* a brine */
    sw_form form = sw_form_wider(solver, &model->form, 0, 0);
    sw_active active = sw_active_take(solver, &form);
    least l = {.model = model, .point = sw_point_take(solver, &form)};
    l.yield = sw_yields_list(solver, &alone, SW_YIELD_ALL, &l.count);
    for (size_t i = 0; i < l.count; i++)
        if (l.yield[i].side->kind == SW_SIDE_PH &&
            (none || !sw_ease_overdoes(model, l.yield[i].side)))
            sw_yield_let_go(&form, &l.yield[i]);
    l.sum = sw_yields_least(solver, &form, l.yield, l.count, &l.point, &active);
    return l;
}

sw_easing_state *sw_ease_least(sw_solver *solver, sw_attempt *tried,
                               const double *y, const sw_easing_state *from)
{
    least l = {.sum = INFINITY};
    sw_easing_state *state = sw_ease_copy(solver, from);
    bool any = false;
    for (size_t i = 0; i < SW_MOST_SETTINGS; i++) {
        if (!tried[i].model.problem || tried[i].fit.has_point)
            continue;
        least found = find_least(solver, &tried[i].model, y);
        if (found.sum < l.sum * (1 - no_share))
            l = found;
    }
    for (size_t i = 0; i < l.count; i++) {
        const sw_side *side = l.yield[i].side;
        double stand = sw_side_stand(l.model, side, l.point.y);
        bool later = side->kind == SW_SIDE_PH; /* is come near to */
        if (!(l.yield[i].by > 0) || !isfinite(stand) || later)
            continue;
        stand_at(state, (size_t)(side->target - l.model->problem->target->rows),
                 l.yield[i].low_end, side->bound, stand, 0);
        any = true;
    }
    return any ? state : NULL;
}

/* ---- Ratios of nothing ------------------------------------------------- */

bool sw_ease_lift(sw_easing_state *state, const sw_content *finished, size_t at)
{
    bool any = false;
    for (size_t i = 0; i < state->target.count; i++) {
        sw_target_row *row = &state->target.rows[i];
        bool chosen = at == i || at == state->target.count;
        const sw_target_row *other =
            sw_target_row_of(&state->target, row->other);
        if (!chosen || row->kind != SW_TARGET_RATIO ||
            (isnan(row->min) && isnan(row->max)) || !other ||
            !(other->target > 0) ||
            !sw_shelf_brings(state->problem.shelf, row->other) ||
            finished->amount[row->other] > nothing * other->target)
            continue;
        row->min = row->max = NAN;
        any = true;
    }
    return any;
}

void sw_ease_lower(sw_easing_state *state, const sw_target_row *rows,
                   const sw_content *finished)
{
    for (size_t i = 0; i < state->target.count; i++) {
        sw_target_row *row = &state->target.rows[i];
        double at =
            finished->amount[row->component] / finished->amount[row->other];
        bool low = isnan(row->min) && at < rows[i].min;
        bool high = isnan(row->max) && at > rows[i].max;
        if (row->kind != SW_TARGET_RATIO)
            continue;
        row->min = rows[i].min;
        row->max = rows[i].max;
        if (!low && !high)
            continue;
        state->gave[i] = (sw_gave){.min = NAN, .max = NAN, .lifted = true};
        stand_at(state, i, low, low ? row->min : row->max, at, 0);
    }
}

void sw_ease_to(sw_easing_state *state, const sw_content *finished,
                double share)
{
    for (size_t i = 0; i < state->target.count; i++) {
        const sw_target_row *row = &state->target.rows[i];
        double at = finished->amount[row->component], above;
        sw_band limits = sw_limits_of(&state->problem, row);
        double room = share * fmax(0, sw_size_of(row));
        if (row->kind == SW_TARGET_RATIO)
            at = above = at / finished->amount[row->other];
        else if (row->kind == SW_TARGET_COMPONENT)
            above = sw_against_max(row->component, finished);
        else
            continue;
        if (row->assumed || state->gave[i].brings > 0 || !isfinite(at))
            continue;
        if (at < limits.low)
            stand_at(state, i, true, limits.low, at, room);
        if (above > limits.high)
            stand_at(state, i, false, limits.high, above, room);
    }
}

sw_status sw_ease_say(const sw_target_row *row, const char *end, double given,
                      double stands, const sw_gave *gave, sw_notes *notes)
{
    if (isnan(given))
        return SW_OK;
    if (gave->lifted)
        return sw_notes_add(notes, SW_SAY_RATIO_GAVE_WAY, row->name, end, given,
                            sw_component_name(row->other), stands);
    bool over = isnan(gave->min);
    if (gave->brings > 0 && row->kind == SW_TARGET_RATIO)
        return sw_notes_add(
            notes, SW_SAY_RATIO_OVER_BY_WATER, row->name, end, given,
            gave->brings, sw_component_name(over ? row->component : row->other),
            sw_component_name(over ? row->other : row->component));
    if (gave->brings > 0)
        return sw_notes_add(notes, SW_SAY_LIMIT_OVER_BY_WATER, row->name, end,
                            given, gave->brings);
    if (row->kind == SW_TARGET_RATIO) /* by what its first part does */
        return sw_notes_add(notes, SW_SAY_RATIO_GAVE, row->name, end, given,
                            stands);
    return sw_notes_add(notes, SW_SAY_LIMIT_GAVE_WAY, row->name, end, given,
                        stands);
}

sw_status sw_ease_say_all(const sw_easing_state *state, sw_notes *notes)
{
    sw_status status = SW_OK;
    for (size_t i = 0; status == SW_OK && i < state->target.count; i++) {
        const sw_target_row *row = &state->target.rows[i];
        const sw_gave *gave = &state->gave[i];
        status = sw_ease_say(row, "min", gave->min, row->min, gave, notes);
        if (status == SW_OK)
            status = sw_ease_say(row, "max", gave->max, row->max, gave, notes);
    }
    return status;
}
