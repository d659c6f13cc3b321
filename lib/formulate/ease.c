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

sw_easing_state *sw_ease_open(sw_solver *solver, const sw_problem *problem)
{
    size_t count = problem->target->count;
    sw_easing_state *made = sw_take(solver, 1, sizeof *made);
    made->problem = *problem;
    made->target = *problem->target;
    made->target.rows = sw_take(solver, count, sizeof(sw_target_row));
    memcpy(made->target.rows, problem->target->rows,
           count * sizeof(sw_target_row));
    made->problem.target = &made->target;
    made->gave = sw_take(solver, count, sizeof(sw_gave));
    for (size_t i = 0; i < count; i++)
        made->gave[i] = (sw_gave){.min = NAN, .max = NAN};
    return made;
}

bool sw_ease_water(sw_easing_state *state)
{
    const sw_problem *problem = &state->problem;
    sw_content water = {0};
    bool any = false;
    if (!problem->fractions && problem->water_count > 1)
        return false;
    sw_content_add_waters(&water, problem->waters, problem->fractions,
                          problem->water_count);
    for (size_t i = 0; i < state->target.count; i++) {
        sw_target_row *row = &state->target.rows[i];
        double brings = sw_against_max(row->component, &water);
        double most = sw_limits_of(problem, row).high;
        if (row->kind != SW_TARGET_COMPONENT || row->assumed ||
            !(brings > most * (1 + no_share)))
            continue;
        state->gave[i].max = most;
        state->gave[i].by_water = true;
        row->max = brings;
        any = true;
    }
    return any;
}

/* ---- The least sum of shares --------------------------------------------- */

/* A usual amount of a ratio's second part. */
static double usual_of(const sw_target *target, sw_component component)
{
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        if (row->kind != SW_TARGET_COMPONENT || row->component != component)
            continue;
        if (row->target > 0)
            return row->target;
        if (row->max > 0)
            return row->max;
    }
    return 100 * unit_size;
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

/* The bounds of a product become a row, so that they can give way. */
static size_t give_row(const sw_model *model, const sw_side *side, sw_lp *lp)
{
    size_t column = side->index;
    sw_sparse row = {1, &column, (double[]){1}};
    if (side->kind != SW_SIDE_PRODUCT)
        return side->index;
    return sw_lp_add_row(
        lp, &row,
        side->end == SW_SIDE_MAX ? -INFINITY : model->form.low[column],
        side->end == SW_SIDE_MIN ? INFINITY : model->form.high[column]);
}

static sw_lp *open_elastic(sw_solver *solver, const sw_model *model,
                           const bool *may_give, sw_give_way *give)
{
    sw_form form = sw_form_wider(solver, &model->form, 0, 0);
    for (size_t s = 0; s < model->side_count; s++)
        if (may_give[s] && model->sides[s].kind == SW_SIDE_PRODUCT)
            sw_side_put(model, &model->sides[s], false, &form);
    sw_lp *lp = sw_lp_new(solver, &form);
    for (size_t s = 0; s < model->side_count; s++) {
        const sw_side *side = &model->sides[s];
        double size =
            sw_ease_size(model, side) / sw_side_unit_size(model, side);
        if (!may_give[s])
            continue;
        size_t row = give_row(model, side, lp);
        if (side->end != SW_SIDE_MAX)
            give[s].column[0] = sw_lp_add_slack(lp, row, size, 1);
        if (side->end != SW_SIDE_MIN)
            give[s].column[1] = sw_lp_add_slack(lp, row, -size, 1);
    }
    return lp;
}

bool sw_elastic_least(sw_solver *solver, const sw_model *model,
                      const bool *may_give, sw_give_way *give, double *y)
{
    sw_lp *lp = open_elastic(solver, model, may_give, give);
    bool found = sw_lp_solve(lp, SW_LP_PRIMAL) == SW_LP_OPTIMAL;
    for (size_t j = 0; found && j < model->form.columns; j++)
        y[j] = sw_lp_value(lp, j);
    for (size_t k = 0; found && k < 2 * model->side_count; k++) {
        size_t column = give[k / 2].column[k % 2];
        double by = column ? sw_lp_value(lp, column) : 0;
        give[k / 2].by[k % 2] = by > no_share ? by : 0;
    }
    sw_lp_free(lp);
    return found;
}

/* ---- Through products --------------------------------------------------- */

bool sw_ease_may_give(const sw_model *model, const sw_side *side)
{
    bool ours = side->origin == SW_OWN_CEILING || side->origin == SW_OWN_RANGE;
    size_t row = side->target
                     ? (size_t)(side->target - model->problem->target->rows)
                     : 0;
    bool of_water = side->target && model->setting->gave && !ours &&
                    model->setting->gave[row].by_water &&
                    side->end == SW_SIDE_MAX;
    return (side->kind == SW_SIDE_COMPONENT || side->kind == SW_SIDE_RATIO) &&
           !ours && !of_water;
}

static void move(sw_easing_state *state, const sw_model *model,
                 const sw_side *side, double stand)
{
    size_t i = (size_t)(side->target - model->problem->target->rows);
    sw_target_row *row = &state->target.rows[i];
    sw_gave *gave = &state->gave[i];
    if (side->end == SW_SIDE_MIN) {
        gave->min = isnan(gave->min) ? side->bound : gave->min;
        row->min = fmax(0, stand - beyond * (1 + stand));
    } else {
        gave->max = isnan(gave->max) ? side->bound : gave->max;
        row->max = stand + beyond * (1 + stand);
    }
}

bool sw_ease_least(sw_solver *solver, const sw_model *model,
                   sw_easing_state *state)
{
    sw_model freed = *model;
    sw_give_way *give = sw_take(solver, model->side_count, sizeof *give);
    double *y = sw_take_numbers(solver, model->form.columns);
    bool *gives = sw_take(solver, model->side_count, sizeof(bool));
    bool any = false;
    freed.form = sw_form_wider(solver, &model->form, 0, 0);
    for (size_t s = 0; s < model->side_count; s++) {
        gives[s] = sw_ease_may_give(model, &model->sides[s]);
        if (model->sides[s].kind == SW_SIDE_PH) /* is come near to later */
            sw_side_put(model, &model->sides[s], false, &freed.form);
    }
    if (!sw_elastic_least(solver, &freed, gives, give, y))
        return false;
    for (size_t s = 0; s < model->side_count; s++) {
        double stand = sw_side_stand(model, &model->sides[s], y);
        if (give[s].by[0] + give[s].by[1] > 0 && isfinite(stand)) {
            move(state, model, &model->sides[s], stand);
            any = true;
        }
    }
    return any;
}

/* ---- Ratios of nothing ------------------------------------------------- */

static double wanted_of(const sw_target *target, sw_component component)
{
    for (size_t i = 0; i < target->count; i++)
        if (target->rows[i].kind == SW_TARGET_COMPONENT &&
            target->rows[i].component == component && !target->rows[i].assumed)
            return target->rows[i].target > 0 ? target->rows[i].target : 0;
    return 0;
}

static bool is_on_shelf(const sw_shelf *shelf, sw_component component)
{
    for (size_t j = 0; j < shelf->count; j++)
        if (shelf->products[j].per_g.amount[component] > 0 &&
            !(shelf->products[j].max_g_per_l <= 0))
            return true;
    return false;
}

bool sw_ease_lift(sw_easing_state *state, const sw_content *finished, size_t at)
{
    bool any = false;
    for (size_t i = 0; i < state->target.count; i++) {
        sw_target_row *row = &state->target.rows[i];
        bool chosen = at == i || at == state->target.count;
        double wanted = wanted_of(&state->target, row->other);
        if (!chosen || row->kind != SW_TARGET_RATIO ||
            (isnan(row->min) && isnan(row->max)) || !(wanted > 0) ||
            !is_on_shelf(state->problem.shelf, row->other) ||
            finished->amount[row->other] > nothing * wanted)
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
        sw_gave *gave = &state->gave[i];
        if (row->kind != SW_TARGET_RATIO)
            continue;
        double at =
            finished->amount[row->component] / finished->amount[row->other];
        if (isnan(row->min) && at < rows[i].min) {
            *gave = (sw_gave){.min = rows[i].min, .max = NAN, .lifted = true};
            row->min = at * (1 - beyond);
        } else
            row->min = rows[i].min;
        if (isnan(row->max) && at > rows[i].max) {
            *gave = (sw_gave){.min = NAN, .max = rows[i].max, .lifted = true};
            row->max = at * (1 + beyond);
        } else
            row->max = rows[i].max;
    }
}

void sw_ease_to(sw_easing_state *state, const sw_content *finished)
{
    for (size_t i = 0; i < state->target.count; i++) {
        sw_target_row *row = &state->target.rows[i];
        double at = finished->amount[row->component];
        sw_band limits = sw_limits_of(&state->problem, row);
        if (row->kind == SW_TARGET_RATIO)
            at /= finished->amount[row->other];
        bool counts = (row->kind == SW_TARGET_COMPONENT ||
                       row->kind == SW_TARGET_RATIO) &&
                      !row->assumed && !state->gave[i].by_water && isfinite(at);
        if (counts && at < limits.low) {
            state->gave[i].min = limits.low;
            row->min = at * (1 - beyond);
        }
        if (row->kind == SW_TARGET_COMPONENT)
            at = sw_against_max(row->component, finished);
        if (counts && at > limits.high) {
            state->gave[i].max = limits.high;
            row->max = at * (1 + beyond);
        }
    }
}

sw_status sw_ease_say(const sw_target_row *row, const char *end, double given,
                      double stands, const sw_gave *gave, sw_notes *notes)
{
    if (isnan(given))
        return SW_OK;
    if (gave->lifted)
        return sw_notes_add(notes, SW_WARNING, "limit-gave-way",
                            "%s %s %.6g can hold only in a solution that has "
                            "none of %s, though "
                            "the shelf brings it: it gave way to %.4g.",
                            row->name, end, given,
                            sw_component_name(row->other), stands);
    if (gave->by_water)
        return sw_notes_add(
            notes, SW_WARNING, "limit-over-by-water",
            "%s %s %.6g cannot hold: the water alone brings %.4g mg/L. No "
            "product adds to it but what sources of trace elements bring "
            "along, and the rest is solved for.",
            row->name, end, given, stands);
    return sw_notes_add(notes, SW_WARNING, "limit-gave-way",
                        "%s %s %.6g cannot hold with the other limits: it "
                        "gave way to %.4g, the least sum of shares by which "
                        "limits can give way for there to be a recipe.",
                        row->name, end, given, stands);
}
