/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * One recipe for the waters in force, as formulate/settle.c does it for one:
 * the pH linear at the activities of a guess in each water, solved again at
 * each solution found.  Where limits cannot all hold, those of nutrients give
 * way by the least sum of shares of themselves, then those of the pH by the
 * least sum of meq/L (elastic programming: Brown & Graves 1975).  Whether acid
 * or base serves in a water is branched on (Land & Doig 1960).
 */
#include "decide/joint.h"

#include <math.h>
#include <string.h>

static const double settled_meq_per_l = 1e-9, nearly = 1e-3;
enum { MOST_ROUNDS = 40, UNDAMPED_ROUNDS = 15, TELLING_ROUNDS = 3 };
enum { EASING_TURNS = 8 };

/* Less than this gave way is the rounding of a simplex method; a limit is put
 * this far beyond where it has to stand. */
static const double no_share = 1e-9, beyond = 1e-8;
/* A meq/L by which a pH is missed counts as so many wholes of other limits: no
 * crop is given a solution too acid for the sake of a nutrient's range. */
static const double ph_counts = 100;
/* A point that keeps a limit to this keeps it; a column's to this is there. */
static const double same_meq_per_l = 1e-6, no_amount = 1e-9;
static const double better = 1e-9;

/* Of the branching; most often the first dive is the last. */
enum { MOST_NODES = 400, MOST_PASSES = 3 };

/* ---- The least that gives way ------------------------------------------- */

/* A side that may give way, and by how much of its row's own unit it did. */
typedef struct sw_yield {
    size_t member, column;
    double unit, whole;
    const sw_side *side;
} sw_yield;

/* What may give way: the pH alone; accepted ranges before it, as nobody gave
 * them; or every limit before it. */
typedef enum sw_yielding { YIELD_PH, YIELD_RANGES, YIELD_ALL } sw_yielding;

static bool yields(const sw_model *model, const sw_side *side, sw_yielding what)
{
    if (side->kind == SW_SIDE_PH)
        return true;
    return sw_ease_may_give(model, side) &&
           (what == YIELD_ALL ||
            (what == YIELD_RANGES && side->origin == SW_BY_RANGE));
}

/* row - g <= high, or row + g >= low, g at a cost of 1 for a whole. */
static sw_yield add_yield(sw_joint *joint, sw_lp *lp, size_t row,
                          const sw_model *model, const sw_side *side)
{
    const sw_form *form = &joint->all.form;
    bool is_min = side->end == SW_SIDE_MIN;
    sw_yield made = {.side = side, .unit = joint->all.row_unit[row]};
    bool of_ph = side->kind == SW_SIDE_PH;
    double cost = of_ph ? ph_counts : 1;
    made.whole = of_ph ? 1 : sw_ease_size(model, side);
    size_t value = sw_lp_add_defined(lp, form->matrix + row * form->columns, 0);
    made.column =
        sw_lp_add_column(lp, 0, INFINITY, cost * made.unit / made.whole);
    size_t column[] = {value, made.column};
    double coefficient[] = {1, is_min ? 1 : -1};
    sw_sparse sparse = {2, column, coefficient};
    sw_lp_add_row(lp, &sparse, is_min ? form->row_low[row] : -INFINITY,
                  is_min ? INFINITY : form->row_high[row]);
    sw_lp_bound_row(lp, row, -INFINITY, INFINITY);
    return made;
}

static size_t add_yields(sw_joint *joint, sw_lp *lp, sw_yielding what,
                         sw_yield *yield)
{
    size_t count = 0;
    for (size_t i = 0; i < joint->in_count; i++) {
        const sw_model *model = sw_joint_model(joint, joint->in[i]);
        size_t first = sw_joint_row(joint, i);
        for (size_t s = 0; s < model->side_count; s++) {
            const sw_side *side = &model->sides[s];
            if (!yields(model, side, what))
                continue;
            yield[count] =
                add_yield(joint, lp, first + side->index, model, side);
            yield[count++].member = joint->in[i];
        }
    }
    return count;
}

/* Where the limit has to stand; answers the share of it that gave way. */
static double take_yield(sw_joint *joint, const sw_lp *lp,
                         const sw_yield *yield)
{
    sw_member *member = &joint->members[yield->member];
    const sw_model *model = sw_joint_model(joint, yield->member);
    bool ph = yield->side->kind == SW_SIDE_PH;
    double by = yield->unit * sw_lp_value(lp, yield->column);
    if (by / yield->whole <= no_share)
        return 0;
    sw_give *gave = ph ? &member->ph_gave[sw_joint_aim(model, yield->side->aim)]
                       : &member->gave[yield->side->index];
    double *end = yield->side->end == SW_SIDE_MIN ? &gave->low : &gave->high;
    *end += by + beyond * yield->whole;
    return by / yield->whole;
}

/* Of the pH's limits, or of the others with the pH only where nothing else
 * helps: its turn comes when they stand.  Answers the sum of what gave way, NaN
 * where it could not be told. */
static double give_way(sw_joint *joint, sw_yielding what)
{
    size_t sides = 0;
    double sum = 0;
    sw_mark mark = sw_solver_mark(joint->solver);
    for (size_t i = 0; i < joint->in_count; i++)
        sides += sw_joint_model(joint, joint->in[i])->side_count;
    sw_yield *yield = sw_take(joint->solver, sides, sizeof *yield);
    sw_lp *lp = sw_lp_new(joint->solver, &joint->all.form);
    size_t count = add_yields(joint, lp, what, yield);
    if (sw_lp_solve(lp, SW_LP_PRIMAL) != SW_LP_OPTIMAL)
        sum = NAN;
    for (size_t s = 0; s < count && !isnan(sum); s++)
        if ((yield[s].side->kind == SW_SIDE_PH) == (what == YIELD_PH))
            sum += take_yield(joint, lp, &yield[s]);
    sw_solver_release(joint->solver, mark);
    return sum;
}

/* ---- The rounds --------------------------------------------------------- */

static void fit_all(sw_joint *joint)
{
    sw_mark mark = sw_solver_mark(joint->solver);
    sw_fit *to = &joint->fit, fit = {.lp_rounds = to->lp_rounds};
    const sw_form *form = &joint->all.form;
    sw_point point = to->point;
    sw_fit_model(joint->solver, &joint->all, &fit);
    *to = fit;
    to->point = point;
    if (fit.has_point) {
        memcpy(point.y, fit.point.y, form->columns * sizeof(double));
        memcpy(point.row_price, fit.point.row_price,
               form->rows * sizeof(double));
        memcpy(point.column_price, fit.point.column_price,
               form->columns * sizeof(double));
    }
    sw_solver_release(joint->solver, mark);
}

static bool has_ph(sw_joint *joint)
{
    for (size_t i = 0; i < joint->in_count; i++)
        if (sw_model_has_ph(sw_joint_model(joint, joint->in[i])))
            return true;
    return false;
}

static sw_status set_ph(sw_joint *joint, sw_levers levers, double *moved,
                        sw_error *error)
{
    sw_status status = SW_OK;
    *moved = 0;
    joint->levers = levers;
    for (size_t i = 0; i < joint->in_count && status == SW_OK; i++) {
        double by;
        const sw_member *member = &joint->members[joint->in[i]];
        sw_model *model = sw_joint_model(joint, joint->in[i]);
        model->levers = levers;
        status = sw_model_set_ph(model, member->y, &by, error);
        *moved = fmax(*moved, by);
    }
    return status;
}

static void lend_ph(sw_joint *joint)
{
    joint->meq_per_l = 0;
    for (size_t i = 0; i < joint->in_count; i++) {
        sw_member *member = &joint->members[joint->in[i]];
        memcpy(member->ph_gave, member->ph_lent, sizeof member->ph_gave);
    }
}

static void lend(sw_joint *joint)
{
    joint->share = 0;
    for (size_t i = 0; i < joint->in_count; i++) {
        sw_member *member = &joint->members[joint->in[i]];
        size_t rows = sw_joint_model(joint, joint->in[i])->form.rows;
        memcpy(member->gave, member->lent, rows * sizeof *member->gave);
    }
}

static sw_status fit_by(sw_joint *joint, sw_levers levers, sw_error *error)
{
    double moved;
    sw_status status = set_ph(joint, levers, &moved, error);
    sw_joint_assemble(joint);
    if (status == SW_OK && levers == SW_LEVERS_AGENTS) {
        double by = give_way(joint, YIELD_PH);
        if (isnan(by))
            return SW_OK;
        joint->meq_per_l = by;
        sw_joint_assemble(joint);
    }
    if (status == SW_OK)
        fit_all(joint);
    return status;
}

/* Out of reach, a pH is a matter of acids and bases alone. */
static sw_status fit_in_reach(sw_joint *joint, sw_levers *levers,
                              sw_error *error)
{
    sw_status status = SW_OK;
    sw_joint_assemble(joint);
    fit_all(joint);
    if (joint->fit.outcome == SW_CONFLICT && *levers == SW_LEVERS_ALL) {
        *levers = SW_LEVERS_BUFFERS;
        status = fit_by(joint, SW_LEVERS_BUFFERS, error);
    }
    if (joint->fit.outcome == SW_CONFLICT && has_ph(joint) && status == SW_OK)
        status = fit_by(joint, SW_LEVERS_AGENTS, error);
    return status;
}

/* Full steps first, half ones where those go round in circles. */
static void step(sw_joint *joint, int round)
{
    double share = round < UNDAMPED_ROUNDS ? 1 : 0.5;
    for (size_t i = 0; i < joint->in_count; i++) {
        double *y = joint->members[joint->in[i]].y;
        for (size_t j = 0; j < joint->columns; j++)
            y[j] += share *
                    (joint->fit.point.y[sw_joint_column(joint, i, j)] - y[j]);
    }
}

static bool is_hopeless(const sw_joint *joint, int round)
{
    return !joint->fit.has_point || joint->fit.outcome == SW_CONFLICT ||
           (joint->keeps && joint->meq_per_l > same_meq_per_l &&
            round >= TELLING_ROUNDS);
}

static bool misses_ph(const sw_joint *joint)
{
    return joint->meq_per_l > same_meq_per_l;
}

/* A brine beyond the chemistry has no pH to speak of. */
static sw_status forgive(sw_status status, sw_error *error)
{
    if (status != SW_ERR_VALUE && status != SW_ERR_NUMERIC)
        return status;
    if (error)
        memset(error, 0, sizeof *error);
    return SW_OK;
}

static sw_status run_rounds(sw_joint *joint, sw_error *error)
{
    sw_levers levers = SW_LEVERS_BUFFERS;
    bool widened = false;
    for (int round = 0; round < MOST_ROUNDS; round++) {
        double moved;
        sw_status status = set_ph(joint, levers, &moved, error);
        if (status == SW_OK && !widened && round > 0 && moved <= nearly &&
            !misses_ph(joint)) {
            widened = true;
            levers = SW_LEVERS_ALL;
            status = set_ph(joint, levers, &moved, error);
            moved = INFINITY;
        }
        if (status != SW_OK || (moved <= settled_meq_per_l && round > 0))
            return forgive(status, error);
        lend_ph(joint);
        status = fit_in_reach(joint, &levers, error);
        if (status != SW_OK || is_hopeless(joint, round))
            return forgive(status, error);
        step(joint, round);
        if (!has_ph(joint))
            return SW_OK;
    }
    joint->fit.outcome = SW_LIMIT;
    return SW_OK;
}

/* Where there is no point yet: the recipe without acid or base and with no
 * regard to the pH, else the water. */
static void guess(sw_joint *joint)
{
    bool known = true;
    for (size_t i = 0; i < joint->in_count; i++)
        known &= joint->members[joint->in[i]].known;
    if (known)
        return;
    sw_joint_assemble(joint);
    sw_form *form = &joint->all.form;
    for (size_t j = joint->common; j < form->columns; j++)
        form->high[j] = form->low[j];
    fit_all(joint);
    for (size_t i = 0; i < joint->in_count; i++) {
        sw_member *member = &joint->members[joint->in[i]];
        sw_joint_part(joint, i,
                      joint->fit.has_point ? joint->fit.point.y : form->low,
                      member->y);
        member->known = true;
    }
}

/* Lets limits other than the pH's give way, at the activities now known;
 * *any: they did, by another sum than before. */
static sw_status ease(sw_joint *joint, sw_yielding what, bool *any,
                      sw_error *error)
{
    double moved, before = joint->share;
    *any = false;
    lend(joint);
    lend_ph(joint);
    sw_status status =
        forgive(set_ph(joint, SW_LEVERS_AGENTS, &moved, error), error);
    if (status != SW_OK)
        return status;
    sw_joint_assemble(joint);
    double by = give_way(joint, what);
    joint->share = by > 0 ? by : 0;
    *any = by > 0 && fabs(by - before) > no_share;
    return SW_OK;
}

/* Once more where the pH gave way: at the activities found, less of it may have
 * to. */
static sw_status ease_in_turns(sw_joint *joint, sw_error *error)
{
    sw_status status = run_rounds(joint, error);
    bool conflict = joint->fit.outcome == SW_CONFLICT;
    bool open = !joint->keeps && joint->problem->nearest &&
                (conflict || (joint->fit.has_point && misses_ph(joint)));
    for (int turn = 0; turn < EASING_TURNS && open && status == SW_OK; turn++) {
        bool any;
        status = ease(joint, conflict ? YIELD_ALL : YIELD_RANGES, &any, error);
        if (status == SW_OK && (any || !conflict))
            status = run_rounds(joint, error);
        open = any && misses_ph(joint);
    }
    return status;
}

/* The members in force, each with what is now allowed to it. */
static sw_status settle_once(sw_joint *joint, sw_error *error)
{
    sw_status status = SW_OK;
    for (size_t i = 0; i < joint->in_count && status == SW_OK; i++)
        status = sw_joint_build(joint, joint->in[i], error);
    if (status != SW_OK)
        return status;
    lend(joint);
    lend_ph(joint);
    guess(joint);
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
    return joint->fit.has_point && joint->fit.outcome != SW_CONFLICT &&
           !(joint->keeps && joint->meq_per_l > same_meq_per_l);
}

/* Whether what was just solved is better than the best so far. */
static bool is_better(const sw_branching *b)
{
    const sw_joint *joint = b->joint;
    if (!is_solved(joint) || !b->found)
        return is_solved(joint);
    if (fabs(joint->share - b->share) > same_meq_per_l)
        return joint->share < b->share;
    if (fabs(joint->meq_per_l - b->meq_per_l) > same_meq_per_l)
        return joint->meq_per_l < b->meq_per_l;
    return joint->fit.objective < b->objective - better * fabs(b->objective);
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
        status =
            forgive(sw_model_set_ph(model, member->y, &moved, error), error);
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
                          same_meq_per_l);
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
    b->meq_per_l = joint->meq_per_l;
    b->objective = joint->fit.objective;
}

/* The search has taken too long; with joint->keeps one recipe will do. */
static bool is_over(const sw_branching *b)
{
    sw_joint *joint = b->joint;
    const sw_solver *solver = joint->solver;
    if (b->found && joint->keeps)
        return true;
    bool long_enough =
        b->nodes >= MOST_NODES || solver->pivots > solver->pivot_limit / 2;
    if (long_enough && (b->found || joint->keeps))
        joint->proved = false;
    return !joint->proved;
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
