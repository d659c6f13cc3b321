/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Acids and bases serve the pH and nothing else does.  A first solve has
 * neither; its pH says which is needed.  In the second the pH row holds only
 * their amounts, all else counting as it is in the solution before, and each
 * nutrient keeps its band; solved again until nothing moves.  Method:
 * reference/methods.md, Formulate.
 */
#include "formulate/attempt.h"

#include "chemistry/equilibrate.h"
#include "formulate/ph_words.h"
#include "quantity/notes.h"

#include <math.h>
#include <string.h>

/* The pH rows have settled when they say the same to this: at most 1e-3 of pH
 * in the weakest of solutions. */
static const double settled_meq_per_l = 1e-6;
enum { MOST_PH_ROUNDS = 20 };

/* Amounts below this are none. */
static const double nothing_g_per_l = 1e-9;

static void fit_model(sw_solver *solver, const sw_model *model, sw_fit *fit)
{
    *fit = (sw_fit){.outcome = SW_LIMIT};
    switch (model->problem->objective) {
    case SW_CLOSEST:
        sw_fit_closest(solver, model, fit);
        break;
    case SW_EVEN:
        sw_fit_even(solver, model, fit);
        break;
    case SW_CHEAPEST:
        sw_fit_cheapest(solver, model, fit);
        break;
    }
}

static sw_status build(sw_solver *solver, sw_attempt *a)
{
    sw_notes_free(&a->model.notes);
    return sw_model_build(solver, a->problem, &a->plan, &a->model, &a->error);
}

/* Without pH rows, under what the plan closes. */
static sw_status solve_freely(sw_solver *solver, sw_attempt *a)
{
    a->plan.mode = SW_PH_LEFT;
    a->plan.guarded = false;
    sw_status status = build(solver, a);
    if (status == SW_OK)
        fit_model(solver, &a->model, &a->fit);
    return status;
}

/* The bounds as the target and the shelf have them: reaching for a pH holds
 * some of them. */
static void copy_bounds(const sw_form *from, sw_form *to)
{
    size_t columns = from->columns * sizeof(double);
    size_t rows = from->rows * sizeof(double);
    memcpy(to->low, from->low, columns);
    memcpy(to->high, from->high, columns);
    memcpy(to->row_low, from->row_low, rows);
    memcpy(to->row_high, from->row_high, rows);
}

static sw_form bounds_of(sw_solver *solver, const sw_form *form)
{
    sw_form bounds = {
        .columns = form->columns,
        .rows = form->rows,
        .low = sw_take_numbers(solver, form->columns),
        .high = sw_take_numbers(solver, form->columns),
        .row_low = sw_take_numbers(solver, form->rows),
        .row_high = sw_take_numbers(solver, form->rows),
    };
    copy_bounds(form, &bounds);
    return bounds;
}

/* Puts the rows where the solution at `y` has them. */
static sw_status linearise(sw_attempt *a, const double *y, double *moved)
{
    sw_content finished;
    sw_model_content(&a->model, y, &finished);
    a->model.ph_at = y;
    return sw_model_set_ph(&a->model, &finished, moved, &a->error);
}

static void fit_within_reach(sw_solver *solver, sw_attempt *a)
{
    a->plan.clipped = false;
    fit_model(solver, &a->model, &a->fit);
    if (a->fit.outcome != SW_CONFLICT)
        return;
    int rounds = a->fit.lp_rounds;
    if (sw_model_reach_ph(solver, &a->model, &a->plan))
        fit_model(solver, &a->model, &a->fit);
    a->fit.lp_rounds += rounds;
}

/* From the solution at `y`: linearise and solve until the rows stay. */
static sw_status settle(sw_solver *solver, sw_attempt *a, const double *y)
{
    sw_form bounds = bounds_of(solver, &a->model.form);
    for (int round = 0; round < MOST_PH_ROUNDS; round++) {
        double moved = 0;
        copy_bounds(&bounds, &a->model.form);
        sw_status status = linearise(a, y, &moved);
        if (status != SW_OK || moved <= settled_meq_per_l)
            return status;
        int rounds = a->fit.lp_rounds;
        fit_within_reach(solver, a);
        a->fit.lp_rounds += rounds;
        if (a->fit.outcome != SW_OPTIMAL)
            return SW_OK;
        y = a->fit.point.y;
    }
    a->fit.outcome = SW_LIMIT;
    return sw_notes_add(&a->model.notes, SW_WARNING, "ph-unsettled",
                        "The activities behind the pH limits did not settle: "
                        "the finished pH may miss them.");
}

/* pH and content of the solution found. */
static sw_status look_at(sw_attempt *a, double *ph, sw_content *finished)
{
    sw_chemistry chemistry;
    sw_model_content(&a->model, a->fit.point.y, finished);
    sw_status status =
        sw_equilibrate_briefly(finished, &a->problem->conditions,
                               SW_CARBONATE_KEPT, &chemistry, &a->error);
    *ph = chemistry.ph;
    return status;
}

/* A brine beyond the chemistry has no pH to speak of. */
static sw_status forgive(sw_attempt *a, sw_status status)
{
    if (status != SW_ERR_VALUE && status != SW_ERR_NUMERIC)
        return status;
    memset(&a->error, 0, sizeof a->error);
    return SW_OK;
}

/*
 * From the solution found, under `mode`.  *held is false where it could not be
 * done, if only because a brine would be beyond the chemistry: then the
 * solution found stands.
 */
static sw_status solve_for(sw_solver *solver, sw_attempt *a, sw_ph_mode mode,
                           bool *held)
{
    sw_fit before = a->fit;
    a->plan.mode = mode;
    sw_status status = build(solver, a);
    if (status == SW_OK)
        status = settle(solver, a, before.point.y);
    *held = status == SW_OK && a->fit.outcome == SW_OPTIMAL;
    return forgive(a, status);
}

static void open_all(sw_ph_plan *plan, size_t products)
{
    for (size_t j = 0; j < products; j++)
        plan->is_closed[j] = false;
}

/* Basic nutrients stay closed only while nothing they bring is missing. */
static bool open_missing(sw_attempt *a)
{
    bool any = false;
    sw_content finished;
    sw_model_content(&a->model, a->fit.point.y, &finished);
    for (size_t j = 0; j < a->problem->shelf->count; j++) {
        if (!a->plan.is_closed[j] || a->plan.role[j] != SW_PH_BASIC_NUTRIENT ||
            !sw_ph_brings_missing(a->problem, &a->problem->shelf->products[j],
                                  &finished))
            continue;
        a->plan.is_closed[j] = false;
        any = true;
    }
    return any;
}

/* Without acid or base where that can be. *bare tells whether. */
static sw_status solve_first(sw_solver *solver, sw_attempt *a, bool *bare)
{
    sw_ph_plan_close(&a->plan, a->problem);
    sw_status status = solve_freely(solver, a);
    *bare = status == SW_OK && a->fit.outcome != SW_CONFLICT;
    if (status == SW_OK && a->fit.outcome == SW_CONFLICT) {
        open_all(&a->plan, a->problem->shelf->count);
        return solve_freely(solver, a);
    }
    if (status == SW_OK && a->fit.outcome == SW_OPTIMAL && open_missing(a))
        status = solve_freely(solver, a);
    return status;
}

static sw_status solve_with_row(sw_solver *solver, sw_attempt *a)
{
    double ph;
    bool bare;
    bool held = false;
    sw_content finished;
    sw_status status = solve_first(solver, a, &bare);
    if (status != SW_OK || a->fit.outcome != SW_OPTIMAL)
        return status;
    status = look_at(a, &ph, &finished);
    if (status != SW_OK)
        return status;
    bool *closed = sw_take(solver, a->problem->shelf->count, sizeof(bool));
    memcpy(closed, a->plan.is_closed, a->problem->shelf->count * sizeof(bool));
    if (sw_ph_plan_open(&a->plan, a->problem, ph, &finished)) {
        sw_ph_plan_guard(&a->plan, a->problem, &finished, !bare);
        status = solve_for(
            solver, a, isnan(a->plan.row->target) ? SW_PH_WINDOW : SW_PH_HELD,
            &held);
        if (status == SW_OK && !held) {
            a->plan.is_closed = closed;
            status = solve_freely(solver, a);
        }
    }
    if (status == SW_OK && a->fit.outcome == SW_OPTIMAL)
        status = look_at(a, &ph, &finished);
    return status == SW_OK ? sw_ph_say_miss(&a->plan, ph, &a->model.notes)
                           : status;
}

/* Some of it was chosen, not only what the shelf asks for anyway. */
static bool uses(const sw_attempt *a, sw_ph_role role)
{
    const sw_model *model = &a->model;
    for (size_t j = 0; j < model->products; j++) {
        size_t at = model->shelf_index[j];
        const sw_product *product = &a->problem->shelf->products[at];
        double least = fmax(0, product->min_g_per_l) + nothing_g_per_l;
        if (a->plan.role[at] == role && sw_ph_can_vary(product) &&
            a->fit.point.y[j] * model->unit[j] > least)
            return true;
    }
    return false;
}

static void close_role(sw_attempt *a, sw_ph_role role, bool close)
{
    for (size_t j = 0; j < a->problem->shelf->count; j++)
        if (a->plan.role[j] == role)
            a->plan.is_closed[j] = close;
}

static bool misses_base(const sw_attempt *a)
{
    sw_content finished;
    sw_model_content(&a->model, a->fit.point.y, &finished);
    for (size_t j = 0; j < a->problem->shelf->count; j++)
        if (a->plan.role[j] == SW_PH_BASE &&
            sw_ph_brings_missing(a->problem, &a->problem->shelf->products[j],
                                 &finished))
            return true;
    return false;
}

/* Acid against base is waste and foam: only where nothing else will do. */
static sw_status part_acid_from_base(sw_solver *solver, sw_attempt *a)
{
    close_role(a, SW_PH_BASE, true);
    sw_status status = solve_freely(solver, a);
    if (status != SW_OK || (a->fit.outcome == SW_OPTIMAL && !misses_base(a)))
        return status;
    close_role(a, SW_PH_BASE, false);
    return solve_freely(solver, a);
}

static bool move_role(sw_attempt *a, sw_ph_role role, bool beyond)
{
    bool moved = beyond && uses(a, role);
    for (size_t j = 0; moved && j < a->problem->shelf->count; j++)
        if (a->plan.role[j] == role)
            a->plan.moves[j] = sw_ph_can_vary(&a->problem->shelf->products[j]);
    return moved;
}

/* Acids and bases as nutrients, the pH within what crops stand. */
static sw_status solve_without_row(sw_solver *solver, sw_attempt *a)
{
    double ph;
    bool held;
    sw_content finished;
    sw_status status = solve_freely(solver, a);
    if (status != SW_OK || a->fit.outcome != SW_OPTIMAL ||
        (!uses(a, SW_PH_ACID) && !uses(a, SW_PH_BASE)))
        return status;
    if (uses(a, SW_PH_ACID) && uses(a, SW_PH_BASE))
        status = part_acid_from_base(solver, a);
    if (status == SW_OK && a->fit.outcome == SW_OPTIMAL)
        status = look_at(a, &ph, &finished);
    if (status != SW_OK || a->fit.outcome != SW_OPTIMAL)
        return forgive(a, status);
    bool acid = move_role(a, SW_PH_ACID, ph < a->plan.low);
    bool base = move_role(a, SW_PH_BASE, ph > a->plan.high);
    if (!acid && !base)
        return SW_OK;
    status = solve_for(solver, a, SW_PH_WINDOW, &held);
    if (status == SW_OK && !held)
        status = solve_freely(solver, a);
    return status == SW_OK && held
               ? sw_ph_say_held_back(acid, ph, &a->plan, &a->model.notes)
               : status;
}

sw_status sw_attempt_run(sw_solver *solver, sw_attempt *attempt)
{
    sw_status status = sw_ph_plan_make(solver, attempt->problem, &attempt->plan,
                                       &attempt->error);
    if (status != SW_OK)
        return status;
    return attempt->plan.row ? solve_with_row(solver, attempt)
                             : solve_without_row(solver, attempt);
}
