/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * One recipe for the waters in force.  Where limits cannot all hold, those of
 * nutrients give way by the least sum of shares of themselves, then those of
 * the pH by the least sum of meq/L.  Whether acid or base serves in a water is
 * branched on (Land & Doig 1960).
 */
#include "decide/joint.h"

#include <math.h>
#include <string.h>

enum { EASING_TURNS = 8 };

/* A limit is put this far beyond where it has to stand; less than no_share gave
 * way is rounding. */
static const double beyond = 1e-10, no_share = 1e-9;
/* A column's amount to this is there. */
static const double no_amount = 1e-9;
static const double better = 1e-9;
/* Too much P or Si spoils a feed: its max gives way after a pH, of which 1
 * meq/L costs 100. */
static const double after_ph = 1e4;

/* Of the branching; most often the first dive is the last. */
enum { MOST_NODES = 400, MOST_PASSES = 20 };

/* ---- The least that gives way ------------------------------------------- */

static bool misses_ph(const sw_joint *joint)
{
    return joint->rounds.reached.miss_meq_per_l > SW_SAME_MEQ_PER_L;
}

static void lend(sw_joint *joint)
{
    joint->share = 0;
    for (size_t i = 0; i < joint->in_count; i++) {
        sw_member *member = &joint->members[joint->in[i]];
        memcpy(member->gave, member->lent,
               joint->model[i]->form.rows * sizeof *member->gave);
    }
}

/* A limit to where it has to stand; that of a pH when the others stand. */
static void take_yield(sw_joint *joint, const sw_yield *yield)
{
    sw_member *member = &joint->members[joint->in[yield->water]];
    sw_give *gave = &member->gave[yield->side->index];
    double *end = yield->low_end ? &gave->low : &gave->high;
    if (yield->side->kind == SW_SIDE_PH || !(yield->by > 0))
        return;
    *end +=
        (yield->by + beyond) * yield->whole * joint->all.row_unit[yield->row];
    joint->share += yield->by;
}

static bool is_max_of_buffer(const sw_side *side)
{
    return side->kind == SW_SIDE_COMPONENT && side->end == SW_SIDE_MAX &&
           sw_component_is(side->target->component, SW_IS_BUFFER);
}

/* Of limits other than the pH's, with the pH only where nothing else helps;
 * `overdone`: none gives way for want of acid or base. */
static void give_way(sw_joint *joint, sw_yielding what, bool overdone)
{
    sw_solver *solver = joint->solver;
    sw_mark mark = sw_solver_mark(solver);
    const sw_form *form = &joint->all.form;
    sw_point point = sw_point_take(solver, form);
    sw_active active = sw_active_take(solver, form);
    size_t count;
    sw_yield *yield =
        sw_yields_list(solver, &joint->rounds.block, what, &count);
    for (size_t i = 0; i < count; i++)
        if (overdone && yield[i].side->kind == SW_SIDE_PH &&
            !sw_ease_overdoes(joint->model[yield[i].water], yield[i].side))
            sw_yield_let_go(form, &yield[i]);
        else if (is_max_of_buffer(yield[i].side) && joint->problem->keep_bands)
            yield[i].cost = after_ph;
    if (isfinite(sw_yields_least(solver, form, yield, count, &point, &active)))
        for (size_t i = 0; i < count; i++)
            take_yield(joint, &yield[i]);
    sw_solver_release(solver, mark);
}

/* Lets limits other than the pH's give way, at the activities now known;
 * *any: they did, by another sum than before. */
static sw_status ease(sw_joint *joint, sw_yielding what, bool overdone,
                      bool *any, sw_error *error)
{
    double before = joint->share;
    sw_status status = SW_OK;
    *any = false;
    lend(joint);
    for (size_t i = 0; i < joint->in_count && status == SW_OK; i++) {
        double moved;
        joint->model[i]->levers = SW_LEVERS_AGENTS;
        status = sw_forgive_brine(
            sw_model_set_ph(joint->model[i], joint->y[i], &moved, error),
            error);
    }
    if (status != SW_OK)
        return status;
    joint->rounds.assemble(joint);
    give_way(joint, what, overdone);
    *any = joint->share > 0 && fabs(joint->share - before) > no_share;
    return SW_OK;
}

static sw_status run_rounds(sw_joint *joint, sw_error *error)
{
    return sw_forgive_brine(sw_rounds_run(&joint->rounds, error), error);
}

/* Acid or base is poured for a nutrient's limit beyond the end of a pH. */
static bool overdoes_ph(const sw_joint *joint)
{
    for (size_t i = 0; i < joint->in_count; i++) {
        const sw_model *model = joint->model[i];
        const sw_member *member = &joint->members[joint->in[i]];
        for (size_t s = 0; s < model->side_count; s++) {
            const sw_side *side = &model->sides[s];
            if (!sw_ease_overdoes(model, side))
                continue;
            size_t aim = sw_joint_aim(model, side->aim);
            double by =
                side->end == SW_SIDE_MIN
                    ? member->ph_gave[aim].low - member->ph_lent[aim].low
                    : member->ph_gave[aim].high - member->ph_lent[aim].high;
            if (by > SW_SAME_MEQ_PER_L && sw_ease_pours(model, joint->y[i]))
                return true;
        }
    }
    return false;
}

/* Until the sum of what gave way stands at the activities it is found at. */
static sw_status ease_in_turns(sw_joint *joint, sw_error *error)
{
    sw_status status = run_rounds(joint, error);
    bool conflict = joint->rounds.fit.outcome == SW_CONFLICT;
    bool open = !joint->rounds.keeps && joint->problem->nearest &&
                (conflict || (joint->rounds.fit.has_point && misses_ph(joint)));
    bool overdone = false;
    for (int turn = 0; turn < EASING_TURNS && open && status == SW_OK; turn++) {
        bool any;
        overdone = overdone || (!conflict && overdoes_ph(joint));
        status =
            ease(joint, conflict || overdone ? SW_YIELD_ALL : SW_YIELD_RANGES,
                 overdone, &any, error);
        /* also the last time, as easing leaves the rows of acids alone */
        if (status == SW_OK && (any || joint->rounds.fit.has_point))
            status = run_rounds(joint, error);
        open = any;
    }
    return status;
}

/* The members in force, each with what is now allowed to it; from the point in
 * hand of each where there is one. */
static sw_status settle_once(sw_joint *joint, sw_error *error)
{
    sw_status status = SW_OK;
    bool known = true;
    joint->rounds.block.count = joint->in_count;
    for (size_t i = 0; i < joint->in_count && status == SW_OK; i++) {
        sw_member *member = &joint->members[joint->in[i]];
        status = sw_joint_build(joint, joint->in[i], error);
        joint->model[i] = sw_joint_model(joint, joint->in[i]);
        joint->y[i] = member->y;
        known &= member->known;
        member->known = true;
    }
    if (status != SW_OK)
        return status;
    lend(joint);
    if (!known)
        sw_rounds_guess(&joint->rounds);
    return ease_in_turns(joint, error);
}

/* ---- Acid or base ------------------------------------------------------- */

typedef struct sw_branching {
    sw_joint *joint;
    sw_allowed *best; /* of each member in force */
    double share, meq_per_l, objective;
    bool found;
    int nodes;
    sw_error *error;
} sw_branching;

static bool is_solved(const sw_joint *joint)
{
    return joint->rounds.fit.has_point &&
           joint->rounds.fit.outcome != SW_CONFLICT &&
           !(joint->rounds.keeps &&
             joint->rounds.reached.miss_meq_per_l > SW_SAME_MEQ_PER_L);
}

static double apart(double is, double was)
{
    return fabs(is - was) > SW_SAME_MEQ_PER_L ? is - was : 0;
}

/* Whether what was just solved is better than the best so far: by what gives
 * way, with a pH as it counts there, then by the objective. */
static bool is_better(const sw_branching *b)
{
    const sw_joint *joint = b->joint;
    if (!is_solved(joint) || !b->found)
        return is_solved(joint);
    double more = apart(joint->share, b->share) +
                  SW_PH_COUNTS *
                      apart(joint->rounds.reached.miss_meq_per_l, b->meq_per_l);
    if (fabs(more) > 0)
        return more < 0;
    return joint->rounds.fit.objective <
           b->objective - better * fabs(b->objective);
}

static bool is_within(double at, double low, double high, double by)
{
    return at >= low - by && at <= high + by;
}

/* Whether its point keeps what `allowed` brings: no acid, or no base, and our
 * limit on the pH. */
static sw_status keeps_to(sw_joint *joint, size_t at, sw_allowed allowed,
                          bool *keeps, sw_error *error)
{
    double moved;
    sw_member *member = &joint->members[at];
    sw_allowed was = member->allowed;
    member->allowed = allowed;
    sw_status status = sw_joint_build(joint, at, error);
    sw_model *model = sw_joint_model(joint, at);
    member->allowed = was;
    if (status == SW_OK)
        status = sw_forgive_brine(
            sw_model_set_ph(model, member->y, &moved, error), error);
    *keeps = status == SW_OK;
    for (size_t j = 0; *keeps && j < joint->columns; j++)
        *keeps = is_within(member->y[j], model->form.low[j],
                           model->form.high[j], no_amount);
    for (size_t l = 0; *keeps && l < model->ph_line_count; l++) {
        const sw_ph_line *line = &model->ph_lines[l];
        const sw_give *gave = &member->ph_gave[sw_joint_aim(model, line->aim)];
        size_t row = line->index;
        if (line->end != SW_SIDE_FIXED)
            *keeps =
                is_within(sw_row_value(model->form.matrix, row, joint->columns,
                                       member->y),
                          model->form.row_low[row] - gave->low / line->unit,
                          model->form.row_high[row] + gave->high / line->unit,
                          SW_SAME_MEQ_PER_L);
    }
    return status;
}

/* The first of the member's settings that its point keeps to; SW_EITHER: it
 * keeps to none. */
static sw_status setting_of(sw_joint *joint, size_t at, sw_allowed *kept,
                            sw_error *error)
{
    sw_status status = SW_OK;
    const sw_member *member = &joint->members[at];
    *kept = member->allowed;
    for (size_t o = 0; member->allowed == SW_EITHER && o < member->options;
         o++) {
        bool keeps;
        status = keeps_to(joint, at, member->list[o], &keeps, error);
        if (status == SW_OK && !keeps)
            continue;
        *kept = member->list[o];
        break;
    }
    return status;
}

/* Notes the setting of each member; *at is the first of none, or in_count. */
static sw_status find_unsettled(sw_branching *b, sw_allowed *kept, size_t *at)
{
    sw_status status = SW_OK;
    const sw_joint *joint = b->joint;
    for (*at = 0; *at < joint->in_count; (*at)++) {
        status = setting_of(b->joint, joint->in[*at], &kept[*at], b->error);
        if (status != SW_OK || kept[*at] == SW_EITHER)
            break;
    }
    return status;
}

static void keep_best(sw_branching *b, const sw_allowed *kept)
{
    const sw_joint *joint = b->joint;
    memcpy(b->best, kept, joint->in_count * sizeof *kept);
    b->found = true;
    b->share = joint->share;
    b->meq_per_l = joint->rounds.reached.miss_meq_per_l;
    b->objective = joint->rounds.fit.objective;
}

/* The search has taken too long; with joint->rounds.keeps one recipe will do.
 */
static bool is_over(const sw_branching *b)
{
    sw_joint *joint = b->joint;
    const sw_solver *solver = joint->solver;
    if (b->found && joint->rounds.keeps)
        return true;
    bool over =
        (b->found || joint->rounds.keeps) &&
        (b->nodes >= MOST_NODES || solver->pivots > solver->pivot_limit / 2);
    joint->proved &= !over;
    return over;
}

/* More of acid than of base is poured in: the likelier setting comes first. */
static bool is_acid_first(const sw_joint *joint, size_t at)
{
    double more = 0;
    const sw_member *member = &joint->members[at];
    const sw_model *model = &member->model[member->allowed];
    for (size_t j = 0; j < joint->columns; j++) {
        sw_ph_role role = member->setting[0].role[model->shelf_index[j]];
        double g_per_l = member->y[j] * model->unit[j];
        if (joint->own[j])
            more += role == SW_PH_ACID ? g_per_l : -g_per_l;
    }
    return more >= 0;
}

static sw_status branch(sw_branching *b)
{
    size_t at;
    sw_joint *joint = b->joint;
    sw_allowed kept[SW_MOST_JOINT];
    b->nodes++;
    sw_status status = settle_once(joint, b->error);
    joint->proved &= joint->rounds.fit.outcome != SW_LIMIT;
    if (status != SW_OK || !is_better(b))
        return status;
    status = find_unsettled(b, kept, &at);
    if (status != SW_OK)
        return status;
    if (at == joint->in_count) {
        keep_best(b, kept);
        return SW_OK;
    }
    sw_member *member = &joint->members[joint->in[at]];
    bool forward = !is_acid_first(joint, joint->in[at]);
    for (size_t o = 0; o < member->options && status == SW_OK; o++) {
        size_t turn = forward ? member->options - 1 - o : o;
        if (is_over(b))
            break;
        member->allowed = member->list[turn];
        status = branch(b);
    }
    member->allowed = SW_EITHER;
    return status;
}

/* What is allowed to each member, and to one of them something else. */
static sw_status try_other(sw_branching *b, size_t at, sw_allowed other)
{
    sw_joint *joint = b->joint;
    sw_allowed kept[SW_MOST_JOINT];
    memcpy(kept, b->best, joint->in_count * sizeof *kept);
    kept[at] = other;
    for (size_t i = 0; i < joint->in_count; i++)
        joint->members[joint->in[i]].allowed = kept[i];
    sw_status status = settle_once(joint, b->error);
    if (status == SW_OK && is_better(b))
        keep_best(b, kept);
    return status;
}

/* Where the search was cut short: until another setting in any one water is no
 * better. */
static sw_status exchange(sw_branching *b)
{
    sw_status status = SW_OK;
    const sw_joint *joint = b->joint;
    double before = INFINITY;
    b->joint->solver->pivots = 0;
    for (int pass = 0; pass < MOST_PASSES && b->objective < before; pass++) {
        before = b->objective;
        for (size_t i = 0; i < joint->in_count; i++) {
            const sw_member *member = &joint->members[joint->in[i]];
            for (size_t o = 0; o < member->options && status == SW_OK; o++)
                if (member->list[o] != b->best[i])
                    status = try_other(b, i, member->list[o]);
        }
    }
    return status;
}

sw_status sw_joint_settle(sw_joint *joint, sw_error *error)
{
    sw_allowed best[SW_MOST_JOINT];
    sw_branching b = {.joint = joint, .best = best, .error = error};
    joint->proved = true;
    sw_status status = branch(&b);
    if (status == SW_OK && b.found && !joint->proved)
        status = exchange(&b);
    joint->found = status == SW_OK && b.found;
    if (!joint->found)
        return status;
    bool same = true;
    for (size_t i = 0; i < joint->in_count; i++) {
        sw_member *member = &joint->members[joint->in[i]];
        same &= member->allowed == best[i];
        member->allowed = best[i];
    }
    if (same)
        return SW_OK;
    joint->solver->pivots = 0;
    return settle_once(joint, error);
}
