/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Which products could move the pH, which of them a solve may use, and how far
 * they may take each nutrient.  An acid or a base is what gives or takes much
 * charge for its mass; carbonates and hydroxides are nothing else, while what
 * brings P or Si is a nutrient first.
 */
#include "formulate/ph_plan.h"

#include "assess/agent.h"
#include "quantity/label.h"

#include <math.h>
#include <string.h>

/* A pH this near the one asked for takes neither. */
static const double same_ph = 0.005;

/* Of the charges of an acid or a base at least this share is out of balance;
 * a premix whose label leaves ions out stays below (precaution, no source). */
static const double agent_imbalance = 0.5;

/* Where the target names no pH, acids are not used to below the usual range,
 * bases not to above it.  With one limit given, half a unit beyond it serves
 * too. */
static const double half_band = 0.5;

/* A component outside of its band may go farther by this share of itself:
 * nothing to a crop, and no edge for the solver to stand on. */
static const double guard_room = 1e-3;

double sw_ph_plan_aim(const sw_ph_plan *plan, double ph)
{
    if (!isnan(plan->row->target))
        return plan->row->target;
    return fmin(fmax(ph, plan->low), plan->high);
}

static bool is_nutrient_first(const sw_product *product)
{
    return product->per_g.amount[SW_P] > 0 || product->per_g.amount[SW_SI] > 0;
}

/* Charge that a label leaves out is more often an anion than a base's. */
static bool is_declared(const sw_product *product)
{
    return !product->label || strstr(product->label, "lkalinity");
}

/* Citric acid has no charges of its own. */
static bool is_agent(const sw_product *product)
{
    return product->per_g.amount[SW_CITRATE] > 0 ||
           fabs(sw_content_imbalance(&product->per_g)) >= agent_imbalance;
}

static sw_ph_role role_of(const sw_product *product, double effect)
{
    if (fabs(effect) < SW_AGENT_MEQ_PER_G || sw_is_trace_source(product) ||
        (effect > 0 && !is_declared(product)))
        return SW_PH_NEITHER;
    if (effect > 0 && is_nutrient_first(product))
        return SW_PH_BASIC_NUTRIENT;
    if (!is_agent(product))
        return SW_PH_NEITHER;
    return effect < 0 ? SW_PH_ACID : SW_PH_BASE;
}

bool sw_ph_can_vary(const sw_product *product)
{
    return !(product->max_g_per_l <= 0) && isnan(product->fixed_g_per_l);
}

static void find_agents(const sw_shelf *shelf, const sw_ph_row *row,
                        sw_ph_plan *plan)
{
    for (size_t j = 0; j < shelf->count; j++) {
        const sw_product *product = &shelf->products[j];
        plan->role[j] = role_of(product, sw_ph_row_sum(row, &product->per_g));
        if (!sw_ph_can_vary(product))
            continue;
        plan->has_acid = plan->has_acid || plan->role[j] == SW_PH_ACID;
        plan->has_base = plan->has_base || plan->role[j] == SW_PH_BASE;
    }
}

/* Limits the target leaves open are set where no crop is hurt. */
static void close_limits(sw_ph_plan *plan)
{
    plan->open_low = !isfinite(plan->low);
    plan->open_high = !isfinite(plan->high);
    if (plan->open_low)
        plan->low = fmin(SW_USUAL_PH_LOW, plan->high - half_band);
    if (plan->open_high)
        plan->high = fmax(SW_USUAL_PH_HIGH, plan->low + half_band);
}

/* Nothing writes to a row's name; the plan outlives the call. */
static const char implied_name[] = "pH";

sw_status sw_ph_plan_make(sw_solver *solver, const sw_problem *problem,
                          sw_ph_plan *plan, sw_error *error)
{
    size_t count = problem->shelf->count;
    *plan = (sw_ph_plan){.row = sw_target_ph(problem->target),
                         .low = -INFINITY,
                         .high = INFINITY,
                         .implied = {.kind = SW_TARGET_PH,
                                     .name = (char *)implied_name,
                                     .target = NAN,
                                     .min = NAN,
                                     .max = NAN}};
    plan->role = sw_take(solver, count, sizeof(sw_ph_role));
    plan->is_closed = sw_take(solver, count, sizeof(bool));
    plan->moves = sw_take(solver, count, sizeof(bool));
    sw_ph_row row = {.coefficient = {[SW_ALKALINITY] = 1}};
    sw_status status = SW_OK;
    if (plan->row) {
        sw_band limits = sw_limits_of(problem, plan->row);
        plan->low = limits.low;
        plan->high = limits.high;
    }
    close_limits(plan);
    if (plan->row)
        status = sw_ph_row_at(sw_ph_plan_aim(plan, SW_USUAL_PH_HIGH),
                              &problem->waters[0], &problem->conditions, &row,
                              error);
    if (status == SW_OK)
        find_agents(problem->shelf, &row, plan);
    return status;
}

/* Rows that ask for some of a component. */
static bool asks_for(const sw_target_row *row)
{
    return row->kind == SW_TARGET_COMPONENT &&
           (row->target > 0 || row->min > 0);
}

static bool is_source(const sw_product *product, const sw_target_row *row)
{
    return asks_for(row) &&
           product->per_g.amount[row->component] >= SW_SOURCE_MG_PER_G;
}

static bool has_another_source(const sw_ph_plan *plan, const sw_shelf *shelf,
                               const sw_target_row *row)
{
    for (size_t j = 0; j < shelf->count; j++)
        if (plan->role[j] == SW_PH_NEITHER &&
            is_source(&shelf->products[j], row))
            return true;
    return false;
}

/* Whether other products bring each nutrient this one is there for. */
static bool is_replaceable(const sw_ph_plan *plan, const sw_problem *problem,
                           const sw_product *product)
{
    const sw_target *target = problem->target;
    for (size_t i = 0; i < target->count; i++)
        if (is_source(product, &target->rows[i]) &&
            !has_another_source(plan, problem->shelf, &target->rows[i]))
            return false;
    return true;
}

void sw_ph_plan_close(sw_ph_plan *plan, const sw_problem *problem)
{
    for (size_t j = 0; j < problem->shelf->count; j++) {
        bool nutrient = plan->role[j] == SW_PH_BASIC_NUTRIENT;
        plan->is_closed[j] =
            plan->role[j] != SW_PH_NEITHER &&
            (!nutrient ||
             is_replaceable(plan, problem, &problem->shelf->products[j]));
    }
}

bool sw_ph_brings_missing(const sw_problem *problem, const sw_product *product,
                          const sw_content *finished)
{
    for (size_t i = 0; i < problem->target->count; i++) {
        const sw_target_row *row = &problem->target->rows[i];
        if (!is_source(product, row))
            continue;
        sw_band band = sw_band_of(row);
        if (sw_band_judge(&band, finished->amount[row->component]) == SW_SHORT)
            return true;
    }
    return false;
}

/* A nutrient may be raised for the pH only where a band holds it. */
static bool is_held_by_band(const sw_target *target, const sw_product *product)
{
    static const sw_component first[] = {SW_P, SW_SI};
    for (size_t k = 0; k < sizeof first / sizeof *first; k++) {
        bool found = product->per_g.amount[first[k]] <= 0;
        for (size_t i = 0; !found && i < target->count; i++)
            found = target->rows[i].kind == SW_TARGET_COMPONENT &&
                    target->rows[i].component == first[k];
        if (!found)
            return false;
    }
    return true;
}

/* What the pH takes: an acid, a base, or within given limits acids for what
 * they bring besides. */
static bool is_called(const sw_ph_plan *plan, sw_ph_role role, double ph)
{
    double aim = sw_ph_plan_aim(plan, ph);
    bool within = isnan(plan->row->target) && aim == ph;
    if (role == SW_PH_ACID)
        return within ? !plan->open_low : ph > aim + same_ph;
    return !within && ph < aim - same_ph;
}

static bool may_move(const sw_ph_plan *plan, const sw_problem *problem,
                     size_t j)
{
    const sw_product *product = &problem->shelf->products[j];
    return plan->role[j] != SW_PH_NEITHER && sw_ph_can_vary(product) &&
           (plan->role[j] != SW_PH_BASIC_NUTRIENT ||
            is_held_by_band(problem->target, product));
}

/* Acid that was open as a nutrient took the pH too far, or a base did. */
static bool may_give_way(const sw_ph_plan *plan, size_t j, double ph)
{
    double aim = sw_ph_plan_aim(plan, ph);
    if (plan->is_closed[j] || fabs(ph - aim) <= same_ph)
        return false;
    return ph < aim ? plan->role[j] == SW_PH_ACID : plan->role[j] == SW_PH_BASE;
}

bool sw_ph_plan_open(sw_ph_plan *plan, const sw_problem *problem, double ph,
                     const sw_content *finished)
{
    for (size_t j = 0; j < problem->shelf->count; j++) {
        const sw_product *product = &problem->shelf->products[j];
        bool acid = plan->role[j] == SW_PH_ACID;
        plan->moves[j] =
            may_move(plan, problem, j) &&
            (is_called(plan, plan->role[j], ph) || may_give_way(plan, j, ph) ||
             (plan->is_closed[j] &&
              sw_ph_brings_missing(problem, product, finished)));
        if (plan->moves[j])
            plan->is_closed[j] = false;
        plan->acid_moves = plan->acid_moves || (plan->moves[j] && acid);
        plan->base_moves = plan->base_moves || (plan->moves[j] && !acid);
    }
    bool blends = !problem->fractions && problem->water_count > 1;
    double aim = sw_ph_plan_aim(plan, ph);
    return plan->acid_moves || plan->base_moves ||
           (blends && fabs(ph - aim) > same_ph);
}

/* What an acid or base brings is its price; but too much phosphorus or silicon
 * spoils a feed. */
static bool comes_along(const sw_ph_plan *plan, const sw_shelf *shelf,
                        sw_component component)
{
    if (component == SW_P || component == SW_SI)
        return false;
    for (size_t j = 0; j < shelf->count; j++)
        if (plan->moves[j] &&
            shelf->products[j].per_g.amount[component] >= SW_SOURCE_MG_PER_G)
            return true;
    return false;
}

void sw_ph_plan_guard(sw_ph_plan *plan, const sw_problem *problem,
                      const sw_content *finished, bool above_only)
{
    plan->guarded = true;
    for (int i = 0; i < SW_COMPONENT_COUNT; i++)
        plan->guard[i] = (sw_band){-INFINITY, INFINITY};
    for (size_t i = 0; i < problem->target->count; i++) {
        const sw_target_row *row = &problem->target->rows[i];
        if (row->kind != SW_TARGET_COMPONENT || row->assumed)
            continue;
        sw_band band = sw_band_of(row);
        double found = finished->amount[row->component];
        double room = guard_room * fabs(found);
        sw_band *guard = &plan->guard[row->component];
        if (!comes_along(plan, problem->shelf, row->component))
            guard->high = fmax(band.high, found + room);
        if (!above_only && found > 0)
            guard->low = fmin(band.low, found - room);
    }
}
