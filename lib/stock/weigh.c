/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * From the closest recipe to one the scale can weigh: the grid of whole steps
 * for one batch, the best rounding, the range of counts that can still beat
 * it, and all of these that do.  Micros too small to weigh are dosed from a
 * concentrate made up of a weighable amount.
 */
#include "stock/step_size.h"
#include "stock/step_grid.h"

#include "chemistry/equilibrate.h"
#include "formulate/ease.h"
#include "quantity/notes.h"
#include "quantity/status.h"
#include "records/recipe.h"
#include "table_words.h"
#include "table_refusals.h"

#include <math.h>
#include <stdlib.h>

/* What the search may leave to be gained, relative to the objective. */
static const double relative_gap = 1e-6;
/* The gap up to which an answer counts as the best. */
static const double promised_gap = 1e-3;
enum { PIVOTS = 200000 };
/* Of more steps a double tells one from the next too badly for a search. */
static const double most_steps = 1e12;

/* Whole steps keep a target's pH this closely to the continuous recipe's, the
 * second where none keep the first.  Where none keep that, or the target gives
 * limits alone or no pH: within the plan's limits, as that recipe was. */
static const double kept_ph[] = {0.02, 0.1};
enum { PLAN_LIMITS = sizeof kept_ph / sizeof *kept_ph };

typedef struct task {
    const sw_problem *given;
    const sw_problem *problem; /* the same, or eased in memory of the solver */
    const sw_solution *near;
    const sw_scale *scale;
    sw_weighed *out;
    sw_measure measure;
    sw_setting setting;
    bool own;         /* only the products in hand */
    int window;       /* of the pH */
    double stop, end; /* of one search, and of all: sw_grid_clock */
    sw_model model;
    const double *hand; /* the solution's amounts, by column */
    sw_error error;
} task;

/* Litres of finished solution the product is measured out for. */
static double batch_of(const sw_scale *scale, size_t product)
{
    return scale->batch_l ? scale->batch_l[product] : scale->volume_l;
}

/*
 * Limits of a product as counts; a fixed amount as the nearest count.  The
 * model's own limits move to them, so that its optimum is a lower bound.
 */
static void bound_counts(const sw_form *form, size_t column, sw_grid *grid)
{
    double step = grid->step[column];
    double low = form->low[column] / step, high = form->high[column] / step;
    bool fixed = low == high;
    low = fixed ? round(low) : ceil(low - 1e-9);
    high = fixed ? low : floor(high + 1e-9);
    grid->low[column] = low;
    grid->high[column] = high;
    if (low <= high) {
        form->low[column] = low * step;
        form->high[column] = high * step;
    }
}

/* Against all that goes into the batch: as much might be tried of a product
 * that ends at none. */
static sw_status check_step(task *k, size_t product)
{
    double step_g = k->out->items[product].step_g;
    double g = 0;
    for (size_t j = 0; j < k->near->recipe.count; j++)
        g += k->near->recipe.g_per_l[j] * batch_of(k->scale, product);
    if (g <= most_steps * step_g)
        return SW_OK;
    return sw_fail(&k->error, SW_BAD_STEP_TOO_FINE, step_g,
                   k->problem->shelf->products[product].name, g,
                   2 * g / most_steps);
}

static sw_status build_grid(sw_solver *solver, task *k, const sw_fit *fit,
                            sw_grid *grid)
{
    sw_status status = SW_OK;
    const sw_model *m = &k->model;
    *grid = (sw_grid){.model = m,
                      .stop = k->scale->stop,
                      .step = sw_take_numbers(solver, m->form.columns),
                      .low = sw_take_numbers(solver, m->form.columns),
                      .high = sw_take_numbers(solver, m->form.columns)};
    for (size_t j = 0; j < m->products && !status; j++) {
        size_t at = m->shelf_index[j];
        sw_weighing *w = &k->out->items[at];
        double batch_l = batch_of(k->scale, at);
        double g = fit->point.y[j] * m->unit[j] * batch_l;
        sw_measure_choose(&k->measure, &k->problem->shelf->products[at], g, w);
        grid->step[j] = w->step_g / batch_l / m->unit[j];
        bound_counts(&m->form, j, grid);
        status = check_step(k, at);
    }
    return status;
}

/* How far the counts are from the recipe in hand. */
static void tell_moves(sw_solver *solver, const task *k, const sw_grid *grid,
                       const sw_count *best)
{
    size_t n = k->model.form.columns;
    double *nearest = sw_take_numbers(solver, n);
    sw_near_counts(grid, k->hand, nearest);
    for (size_t j = 0; j < n; j++) {
        double amount = best->count[j] * grid->step[j];
        k->out->moved += best->count[j] != nearest[j];
        if (k->hand[j] > 0)
            k->out->most_moved =
                fmax(k->out->most_moved, fabs(amount / k->hand[j] - 1));
    }
}

static void tell_counts(const task *k, const sw_count *best)
{
    const sw_model *m = &k->model;
    for (size_t j = 0; j < m->products; j++) {
        size_t at = m->shelf_index[j];
        sw_weighing *w = &k->out->items[at];
        w->amount_g = best->count[j] * w->step_g;
        k->out->recipe.g_per_l[at] = w->amount_g / batch_of(k->scale, at);
        if (!isnan(w->concentrate_g))
            w->dose_ml = best->count[j] * w->dose_ml;
    }
}

static void tell_concentrates(const task *k)
{
    for (size_t j = 0; j < k->out->recipe.count; j++)
        sw_measure_note(&k->measure, k->problem->shelf->products[j].name,
                        &k->out->items[j], &k->out->notes);
}

static void tell_certificate(const task *k, const sw_grid_end *end,
                             const sw_count *best)
{
    k->out->certificate =
        (sw_certificate){.objective = best->objective,
                         .lower_bound = fmin(end->lower_bound, best->objective),
                         .gap = fmax(best->objective - end->lower_bound, 0),
                         .kkt_residual = NAN};
    /* one target off by what counts as equal is no gain */
    double share = k->problem->equal_share;
    bool proved = k->out->certificate.gap <=
                  fmax(promised_gap * best->objective, share * share);
    proved = proved || (k->out->equal && !k->out->of_steps);
    k->out->outcome = proved ? SW_OPTIMAL : SW_LIMIT;
}

/* Improves *best and says what was proved.  Counts outside the shrunken range
 * are worse than the best known, or break a limit. */
static sw_grid_end close_in(sw_solver *solver, const task *k,
                            const sw_grid *grid, sw_count *best)
{
    sw_grid narrowed = sw_grid_copy(solver, grid);
    sw_grid_shrink(solver, &narrowed, best->objective);
    if (sw_grid_is_empty(&narrowed))
        return (sw_grid_end){.lower_bound = best->objective, .in_time = true};
    return sw_grid_decode(solver, &narrowed, k->stop, relative_gap, best);
}

static void tell_none(const task *k, bool searched)
{
    k->out->outcome = searched ? SW_CONFLICT : SW_LIMIT;
    k->out->recipe.count = 0;
    if (searched && sw_measure_is_of_packs(&k->measure, k->problem->shelf,
                                           &k->near->recipe))
        sw_notes_add(&k->out->notes, SW_SAY_PACKS_CONFLICT);
    else if (searched)
        sw_notes_add(&k->out->notes, SW_SAY_STEPS_CONFLICT);
    else
        sw_notes_add(&k->out->notes, SW_SAY_STEPS_TIME);
}

/*
 * What a pH may cost on top of the nearest steps: a tenth of each target.  It
 * can be met by salting the solution; more than this is no recipe (common
 * practice, no source).
 */
static double worst_gain(const task *k)
{
    return 0.01 * (double)k->model.terms.count;
}

/* What counts as equal to a recipe, or no further from it than a `step` of each
 * column. */
static sw_nearness nearness_of(const task *k, const double *step)
{
    return (sw_nearness){k->problem->equal_share, kept_ph[PLAN_LIMITS - 1],
                         step};
}

/* The least move to what is equal to `of`; false where nothing is asked to be,
 * or no whole steps are. */
static bool find_equal(sw_solver *solver, task *k, const sw_grid *grid,
                       const double *of, const double *step, sw_count *best)
{
    sw_equal equal;
    sw_nearness apart = nearness_of(k, step);
    sw_count found = sw_count_take(solver, grid);
    if (!(apart.share > 0) ||
        sw_equal_to(solver, &k->model, of, apart, &equal, NULL) != SW_OK ||
        !sw_near_find(solver, grid, &equal, k->hand, &found))
        return false;
    sw_count_copy(grid, best, &found);
    k->out->equal = true;
    return true;
}

static void say_coarse(sw_solver *solver, const task *k, const sw_grid *grid)
{
    char cure[120] = SW_SAY_STEPS_FINER;
    if (sw_measure_is_of_packs(&k->measure, k->problem->shelf,
                               &k->near->recipe)) {
        sw_notes_add(&k->out->notes, SW_SAY_PACKS_COARSE);
        return;
    }
    int finer = sw_near_finer(solver, grid, nearness_of(k, NULL), k->hand);
    if (finer)
        snprintf(cure, sizeof cure, SW_SAY_STEPS_TIMES_FINER, finer, finer);
    sw_notes_add(&k->out->notes, SW_SAY_STEPS_COARSE, cure);
}

/* The closest whole steps, and of what is equal to them the least move; false
 * where there are none. */
static bool find_closest(sw_solver *solver, task *k, const sw_grid *grid,
                         sw_count *best, sw_grid_end *end)
{
    sw_grid_round(solver, grid, best);
    *end = close_in(solver, k, grid, best);
    if (isinf(best->objective) ||
        (k->model.ph_line_count > 0 &&
         best->objective >
             sw_near_objective(solver, grid, k->hand) + worst_gain(k)))
        return false;
    double *y = sw_take_numbers(solver, k->model.form.columns);
    sw_grid_point(grid, best->count, y);
    k->out->of_steps = find_equal(solver, k, grid, y, NULL, best);
    return true;
}

static void tell_all(sw_solver *solver, const task *k, const sw_grid *grid,
                     const sw_grid_end *end, const sw_count *best)
{
    tell_moves(solver, k, grid, best);
    tell_counts(k, best);
    tell_certificate(k, end, best);
    tell_concentrates(k);
}

/* Of the products in hand, unless the whole shelf meets more targets; false
 * where those have none. */
static bool find_of_hand(sw_solver *solver, task *k, const sw_grid *grid,
                         sw_count *best, sw_grid_end *end)
{
    sw_grid_end all;
    sw_count other = sw_count_take(solver, grid);
    sw_grid own = sw_grid_of_used(solver, grid, k->hand);
    if (!find_closest(solver, k, &own, best, end))
        return false;
    bool equal = k->out->equal;
    k->out->equal = false;
    if (find_closest(solver, k, grid, &other, &all) &&
        sw_grid_met(solver, grid, &other) > sw_grid_met(solver, grid, best)) {
        sw_count_copy(grid, best, &other);
        *end = all;
        return true;
    }
    k->out->equal = k->out->of_steps = equal;
    return true;
}

static void search(sw_solver *solver, task *k, const sw_grid *grid)
{
    sw_count best = sw_count_take(solver, grid);
    sw_grid_round(solver, grid, &best);
    k->out->rounded = best.objective;
    sw_grid_end end = {.lower_bound = sw_grid_floor(grid), .in_time = true};
    if (!find_equal(solver, k, grid, k->hand, grid->step, &best)) {
        if (k->problem->equal_share > 0)
            say_coarse(solver, k, grid);
        if (!(k->own ? find_of_hand : find_closest)(solver, k, grid, &best,
                                                    &end)) {
            tell_none(k, end.in_time);
            return;
        }
    }
    tell_all(solver, k, grid, &end, &best);
}

/* The usual range, where it stands for a limit, and where a pH out of its range
 * stands, may be left by this. */
static const double slack = 0.02;

static sw_content finished_of(const task *k)
{
    sw_content finished = k->near->water;
    sw_content_add_recipe(&finished, 1, k->problem->shelf, &k->near->recipe);
    return finished;
}

static bool serves(const sw_target *target, const sw_product *product)
{
    for (size_t i = 0; i < target->count; i++)
        if (target->rows[i].kind == SW_TARGET_COMPONENT &&
            product->per_g.amount[target->rows[i].component] > 0)
            return true;
    return false;
}

static bool uses(const task *k, sw_ph_role role)
{
    for (size_t j = 0; j < k->near->recipe.count; j++)
        if (k->setting.role[j] == role && k->near->recipe.g_per_l[j] > 0)
            return true;
    return false;
}

/* What the continuous recipe does without is not used for the sake of the pH:
 * no acid or base, and nothing that brings no component of the target. */
static void close_unused(sw_solver *solver, task *k)
{
    sw_allowed allowed = uses(k, SW_PH_ACID)   ? SW_ACIDS
                         : uses(k, SW_PH_BASE) ? SW_BASES
                                               : SW_NO_AGENT;
    k->setting = sw_setting_with(solver, &k->setting, k->problem, allowed);
    for (size_t j = 0; j < k->near->recipe.count; j++)
        if (k->near->recipe.g_per_l[j] <= 0 &&
            (k->setting.role[j] != SW_PH_NEITHER ||
             !serves(k->problem->target, &k->problem->shelf->products[j])))
            k->setting.shut[j] = SW_LEFT_ACID;
}

/* Limits of an aim, given or of ours, and the accepted range hold in any
 * window, or about as far out of them as the continuous recipe, whose pH is
 * `ph`. */
static void set_window(sw_ph_aim *aim, int window, double ph)
{
    sw_band range = sw_band_of(aim->row);
    bool own_low = aim->low_origin == SW_OWN_RANGE;
    bool own_high = aim->high_origin == SW_OWN_RANGE;
    range.low = fmax(range.low, aim->low);
    range.high = fmin(range.high, aim->high);
    sw_verdict is = sw_band_judge(&range, ph);
    aim->low = fmin(range.low, ph) - (own_low || is == SW_SHORT ? slack : 0);
    aim->high = fmax(range.high, ph) + (own_high || is == SW_OVER ? slack : 0);
    if (window == PLAN_LIMITS)
        return;
    aim->low = fmax(aim->low, ph - kept_ph[window]);
    aim->high = fmin(aim->high, ph + kept_ph[window]);
}

static sw_status plan_ph(sw_solver *solver, task *k)
{
    sw_content finished = finished_of(k);
    sw_status status = sw_setting_make(solver, k->problem, k->setting.gave,
                                       &k->setting, &k->error);
    if (status == SW_OK)
        close_unused(solver, k);
    for (size_t i = 0; status == SW_OK && i < k->setting.aims; i++) {
        sw_chemistry chemistry;
        sw_ph_aim *aim = &k->setting.aim[i];
        status = sw_equilibrate_briefly(&finished, &k->problem->conditions,
                                        aim->row->aired ? SW_CARBONATE_AIRED
                                                        : SW_CARBONATE_KEPT,
                                        &chemistry, &k->error);
        if (status == SW_OK)
            set_window(aim, k->window, chemistry.ph);
    }
    return status;
}

/* The solution's amounts by column; pH rows are taken where these put them. */
static sw_status place_hand(sw_solver *solver, task *k)
{
    double moved;
    sw_model *m = &k->model;
    m->levers = SW_LEVERS_ALL;
    double *y = sw_take_numbers(solver, m->form.columns);
    for (size_t j = 0; j < m->products; j++)
        y[j] = k->near->recipe.g_per_l[m->shelf_index[j]] / m->unit[j];
    k->hand = y;
    return m->ph_line_count > 0 ? sw_model_set_ph(m, y, &moved, &k->error)
                                : SW_OK;
}

/* What no term and no limit depends on stays where it is. */
static void settle_idle(const sw_model *m, sw_grid *grid)
{
    size_t n = m->form.columns;
    for (size_t j = 0; j < m->products; j++) {
        bool idle = true;
        for (size_t e = 0; e < m->terms.count; e++)
            idle = idle && m->terms.matrix[e * n + j] == 0;
        for (size_t i = 0; i < m->form.rows; i++)
            idle = idle && m->form.matrix[i * n + j] == 0;
        if (idle)
            grid->low[j] = grid->high[j] = round(grid->best[j] / grid->step[j]);
    }
}

/* The optimum of any amounts; else tells why none is. */
static bool fit_freely(sw_solver *solver, task *k, sw_fit *fit)
{
    sw_order order = sw_order_of(solver, &k->model);
    sw_fit_squares(solver, &k->model.form, &k->model.terms, &order, fit);
    if (fit->outcome != SW_OPTIMAL)
        tell_none(k, fit->outcome == SW_CONFLICT);
    return fit->outcome == SW_OPTIMAL;
}

/* The continuous optimum within the limits of whole counts, and the search. */
static void refit(sw_solver *solver, task *k, sw_grid *grid)
{
    sw_fit fit;
    if (!fit_freely(solver, k, &fit))
        return;
    grid->best = fit.point.y;
    grid->optimum = fit.objective;
    grid->price = fit.point.column_price;
    settle_idle(&k->model, grid);
    search(solver, k, grid);
}

/* Limits that gave way for the continuous recipe stand where it stands, and by
 * what counts as equal to it; a ratio that the water breaks is no limit. */
static void ease(sw_solver *solver, task *k)
{
    sw_content finished = finished_of(k);
    sw_easing_state *state = sw_ease_open(solver, k->given);
    bool gave = k->near->conflict_count;
    if (!sw_ease_water(state, !gave) && !gave)
        return;
    if (gave)
        sw_ease_to(state, &finished, k->given->equal_share);
    k->problem = &state->problem;
    k->setting.gave = state->gave;
}

static sw_status work(sw_solver *solver, void *context)
{
    task *k = context;
    sw_fit fit;
    sw_grid grid;
    solver->pivot_limit = PIVOTS;
    k->problem = k->given;
    sw_status status = sw_model_check(k->problem, &k->error);
    if (status)
        return status;
    ease(solver, k);
    status = plan_ph(solver, k);
    if (!status)
        status = sw_model_build(solver, k->problem, &k->setting, &k->model,
                                &k->error);
    if (!status)
        status = place_hand(solver, k);
    if (status || !fit_freely(solver, k, &fit))
        return status;
    k->out->continuous = fit.objective;
    status = build_grid(solver, k, &fit, &grid);
    if (!status && sw_grid_is_empty(&grid))
        tell_none(k, true);
    else if (!status)
        refit(solver, k, &grid);
    return status;
}

static bool is_amount(double value)
{
    return value > 0 && isfinite(value);
}

static sw_status check(const sw_problem *problem, const sw_solution *near,
                       const sw_scale *scale, sw_error *error)
{
    if (problem->objective != SW_CLOSEST)
        return sw_fail(error, SW_BAD_STEPS_FOR_CLOSEST);
    if (near->recipe.count != problem->shelf->count)
        return sw_fail(error, SW_BAD_WEIGH_OF_OTHER_SHELF);
    bool all = is_amount(scale->volume_l) && is_amount(scale->step_g) &&
               is_amount(scale->micro_step_g) && scale->seconds > 0 &&
               scale->concentrate_l >= 0 && isfinite(scale->concentrate_l);
    for (size_t j = 0; all && scale->batch_l && j < near->recipe.count; j++)
        all = is_amount(scale->batch_l[j]);
    if (!all)
        return sw_fail(error, SW_BAD_WEIGH_NUMBERS);
    return SW_OK;
}

static sw_status new_weighed(const sw_problem *problem, sw_weighed **weighed,
                             sw_error *error)
{
    size_t count = problem->shelf->count + 1;
    sw_weighed *w = calloc(1, sizeof *w);
    *weighed = w;
    if (w) {
        w->items = calloc(count, sizeof *w->items);
        w->recipe.g_per_l = calloc(count, sizeof *w->recipe.g_per_l);
        w->recipe.count = problem->shelf->count;
    }
    if (w && w->items && w->recipe.g_per_l)
        return SW_OK;
    sw_weighed_free(w);
    *weighed = NULL;
    return sw_fail_memory(error);
}

void sw_weighed_free(sw_weighed *weighed)
{
    if (!weighed)
        return;
    sw_notes_free(&weighed->notes);
    SW_FREE(weighed->recipe.g_per_l, weighed->recipe.most_g_per_l,
            weighed->items, weighed);
}

/* Where the steps are too coarse for what is equal to the recipe in hand, its
 * products come first, whatever the window of the pH. */
static sw_status run(sw_solver *solver, task *k)
{
    sw_status status = SW_OK;
    const sw_target_row *row = sw_target_ph(k->problem->target);
    bool aimed = row && !isnan(row->target), none = true;
    int first = aimed ? 0 : PLAN_LIMITS, windows = PLAN_LIMITS + 1 - first;
    int tries = windows * (k->problem->equal_share > 0 ? 2 : 1);
    for (int left = tries; left > 0 && !status && none; left--) {
        /* each half of the time that is left; the last one all of it */
        double seconds = k->end - sw_grid_clock();
        k->stop = k->end - (left > 1 ? seconds / 2 : 0);
        k->own = left > windows;
        k->window = first + (tries - left) % windows;
        k->out->recipe.count = k->problem->shelf->count;
        sw_notes_free(&k->out->notes);
        status = sw_solver_run(solver, work, k);
        k->problem = k->given;
        sw_notes_free(&k->model.notes);
        /* as far as its share of the time allowed to tell */
        none = k->out->outcome == SW_CONFLICT || k->out->recipe.count == 0;
    }
    if (!status && !none && aimed && k->window == PLAN_LIMITS)
        sw_notes_add(&k->out->notes, SW_SAY_STEPS_PH);
    return sw_solver_fail(solver, status, "whole steps", &k->error);
}

sw_status sw_weigh(sw_solver *solver, const sw_problem *problem,
                   const sw_solution *near, const sw_scale *scale,
                   sw_weighed **weighed, sw_error *error)
{
    SW_REQUIRE_FOR(weighed, error, solver, problem, near, scale);
    SW_REQUIRE(error, problem->target, problem->shelf);
    static const double all = 1;
    sw_problem settled = *problem;
    task k = {.given = &settled,
              .problem = &settled,
              .near = near,
              .scale = scale,
              .end = sw_grid_clock() + scale->seconds};
    settled.waters = &near->water;
    settled.water_count = 1;
    settled.fractions = &all;
    settled.ratios_judged = near->ratios_judged;
    sw_status status = check(problem, near, scale, error);
    if (!status)
        status = new_weighed(problem, &k.out, error);
    if (status)
        return status;
    sw_measure_start(scale, &k.measure);
    status = run(solver, &k);
    if (!status && !k.out->recipe.count)
        sw_measure_traces(&k.measure, problem->shelf, &near->recipe, k.out);
    if (!status)
        status = sw_recipe_keep_most(&near->recipe, &k.out->recipe, &k.error);
    if (!status)
        status = sw_notes_status(&k.out->notes, &k.error);
    if (status) {
        if (error)
            *error = k.error;
        sw_weighed_free(k.out);
        return status;
    }
    *weighed = k.out;
    return SW_OK;
}
