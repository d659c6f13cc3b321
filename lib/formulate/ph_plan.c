/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What to do about a target's pH.  The solution is first found without acid;
 * its pH says whether it takes an acid or a base.  Where the shelf has that
 * one, the target pH is held, or the limits kept; where it has not, the pH is
 * left to be judged, since phosphates pressed into that service would spoil
 * the feed.
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

static void find_agents(const sw_shelf *shelf, const sw_ph_row *row,
                        sw_ph_plan *plan)
{
    for (size_t j = 0; j < shelf->count; j++) {
        const sw_product *product = &shelf->products[j];
        double effect = effect_of(row, product);
        plan->is_acid[j] = effect <= -agent_meq_per_g;
        if (!is_usable(product))
            continue;
        plan->has_acid = plan->has_acid || plan->is_acid[j];
        plan->has_base = plan->has_base || effect >= agent_meq_per_g;
    }
}

sw_status sw_ph_plan_make(sw_solver *solver, const sw_problem *problem,
                          sw_ph_plan *plan, sw_error *error)
{
    *plan = (sw_ph_plan){.row = ph_row_of(problem->target)};
    if (!plan->row)
        return SW_OK;
    sw_band limits = sw_limits_of(problem, plan->row);
    plan->low = limits.low;
    plan->high = limits.high;
    /* A free blend can take more of the water that suits the pH. */
    plan->has_acid = plan->has_base =
        !problem->fractions && problem->water_count > 1;
    plan->is_acid = sw_take(solver, problem->shelf->count, sizeof(bool));
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

static bool can_keep_limits(const sw_ph_plan *plan, double ph)
{
    if (!isfinite(plan->low) && !isfinite(plan->high))
        return false;
    if (ph > plan->high)
        return plan->has_acid;
    return ph >= plan->low || plan->has_base;
}

sw_status sw_ph_plan_choose(sw_ph_plan *plan, double ph, sw_notes *notes)
{
    plan->mode = can_hold(plan, ph)          ? SW_PH_HELD
                 : can_keep_limits(plan, ph) ? SW_PH_WINDOW
                                             : SW_PH_LEFT;
    if (plan->mode != SW_PH_LEFT)
        return SW_OK;
    bool acid = ph > aim_of(plan);
    return sw_notes_add(
        notes, SW_WARNING, acid ? "no-acid" : "no-base",
        "The pH would be %.1f and the shelf has no %s to bring it where it is "
        "asked for: it was left out of the choice of amounts.",
        ph, acid ? "acid" : "base");
}
