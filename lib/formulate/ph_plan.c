/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What to do about a target's pH.  The solution is first found without acid
 * and without plain bases; its pH says which it takes.  Where the shelf has
 * that one, the target pH is held, or the limits kept, with phosphorus near
 * what it was: pressed into that service it would spoil the feed.  Where that
 * cannot be, the pH is left to be judged.
 */
#include "formulate/model.h"

#include "quantity/notes.h"

#include <math.h>

/* An acid or base takes or gives this much at the target pH: citric acid and
 * dibasic phosphates do, potassium dihydrogen phosphate (-0.3) does not. */
static const double agent_meq_per_g = 2.0;

/* A pH this near the one asked for takes neither. */
static const double same_ph = 0.005;

static const sw_target_row *ph_row_of(const sw_target *target)
{
    for (size_t i = 0; i < target->count; i++)
        if (target->rows[i].kind == SW_TARGET_PH)
            return &target->rows[i];
    return NULL;
}

/* The pH to judge acids and bases at. */
static double aim_of(const sw_ph_plan *plan)
{
    if (!isnan(plan->row->target))
        return plan->row->target;
    return isfinite(plan->high) ? plan->high : plan->low;
}

static double effect_of(const sw_ph_row *row, const sw_product *product)
{
    double sum = 0;
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        sum += row->coefficient[i] * product->per_g.amount[i];
    return sum;
}

static bool is_usable(const sw_product *product)
{
    return !(product->max_g_per_l <= 0) && isnan(product->fixed_g_per_l);
}

/* Carbonates and hydroxides; what brings P or Si is a nutrient first. */
static bool is_plain_base(const sw_product *product, double effect)
{
    return effect >= agent_meq_per_g && product->per_g.amount[SW_P] <= 0 &&
           product->per_g.amount[SW_SI] <= 0;
}

static void find_agents(const sw_shelf *shelf, const sw_ph_row *row,
                        sw_ph_plan *plan)
{
    for (size_t j = 0; j < shelf->count; j++) {
        const sw_product *product = &shelf->products[j];
        double effect = effect_of(row, product);
        bool is_acid = effect <= -agent_meq_per_g;
        plan->is_closed[j] = is_acid || is_plain_base(product, effect);
        if (!is_usable(product))
            continue;
        plan->has_acid = plan->has_acid || is_acid;
        plan->has_base = plan->has_base || effect >= agent_meq_per_g;
    }
}

sw_status sw_ph_plan_make(sw_solver *solver, const sw_problem *problem,
                          sw_ph_plan *plan, sw_error *error)
{
    *plan = (sw_ph_plan){
        .row = ph_row_of(problem->target), .p_low = NAN, .p_high = NAN};
    if (!plan->row)
        return SW_OK;
    sw_band limits = sw_limits_of(problem, plan->row);
    plan->low = limits.low;
    plan->high = limits.high;
    /* A free blend can take more of the water that suits the pH. */
    plan->has_acid = plan->has_base =
        !problem->fractions && problem->water_count > 1;
    plan->is_closed = sw_take(solver, problem->shelf->count, sizeof(bool));
    double aim = aim_of(plan);
    sw_ph_row row;
    sw_status status = sw_ph_row_at(aim, &problem->waters[0],
                                    &problem->conditions, &row, error);
    if (status == SW_OK)
        find_agents(problem->shelf, &row, plan);
    return status;
}

static bool can_hold(const sw_ph_plan *plan, double ph)
{
    double target = plan->row->target;
    if (isnan(target))
        return false;
    return fabs(ph - target) <= same_ph ||
           (ph > target ? plan->has_acid : plan->has_base);
}

/* Inside of the limits nothing is needed, unless acid may then be used. */
static bool can_keep_limits(const sw_ph_plan *plan, double ph)
{
    if (ph > plan->high)
        return plan->has_acid;
    if (ph < plan->low)
        return plan->has_base;
    return isfinite(plan->low);
}

/* Phosphorus may move this far from the solution without acid or base. */
static const double p_leeway = 0.1;

static void bound_phosphorus(sw_ph_plan *plan, const sw_target *target,
                             double found)
{
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        if (row->kind != SW_TARGET_COMPONENT || row->component != SW_P ||
            !(row->target > 0))
            continue;
        plan->p_low = (1 - p_leeway) * fmin(found, row->target);
        plan->p_high = (1 + p_leeway) * fmax(found, row->target);
    }
}

void sw_ph_plan_choose(sw_ph_plan *plan, const sw_target *target, double ph,
                       const sw_content *finished)
{
    plan->mode = can_hold(plan, ph)          ? SW_PH_HELD
                 : can_keep_limits(plan, ph) ? SW_PH_WINDOW
                                             : SW_PH_LEFT;
    bound_phosphorus(plan, target, finished->amount[SW_P]);
}

static bool is_missed(const sw_ph_plan *plan, double ph)
{
    bool limited = isfinite(plan->low) || isfinite(plan->high);
    if (limited)
        return ph < plan->low || ph > plan->high;
    return fabs(ph - plan->row->target) > same_ph;
}

sw_status sw_ph_plan_note(const sw_ph_plan *plan, double ph, sw_notes *notes)
{
    if (!is_missed(plan, ph))
        return SW_OK;
    bool acid = ph > aim_of(plan);
    bool some = acid ? plan->has_acid : plan->has_base;
    return sw_notes_add(
        notes, SW_WARNING, acid ? "no-acid" : "no-base",
        "The pH would be %.1f and the shelf has %s %s to bring it where it is "
        "asked for%s: it was left out of the choice of amounts.",
        ph, some ? "not enough" : "no", acid ? "acid" : "base",
        some ? " and keep the rest" : "");
}
