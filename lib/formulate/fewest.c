/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The fewest products of equal recipes (solve/sets.h), with the closest
 * amounts within the set found, judged in full.
 */
#include "formulate/fewest.h"

#include "formulate/equal.h"
#include "quantity/notes.h"
#include "quantity/ties.h"
#include "records/recipe.h"
#include "solve/sets.h"

#include "table_words.h"

#include <math.h>
#include <stdlib.h>

/* A hand meter is good to 0.1 at best: half of that (common practice, no
 * source). */
static const double ph_apart = 0.05;
/* Sets of as many products are the same but for a saving above this. */
static const double saving_share = 0.01;
/* How often a pH that the linear rows did not hold is tried closer. */
enum { MOST_TRIES = 3 };
/* The closest amounts of a set take a hundred; where next to nothing is equal,
 * a simplex method may go in circles. */
enum { FIT_PIVOTS = 2000 };

typedef struct work {
    sw_solver *solver;
    const sw_block *block;
    const sw_model *model; /* of all */
    const double *closest;
    sw_nearness apart;
    sw_form form; /* with the rows of what is equal */
    sw_sets sets; /* a product is a group: its columns in each water */
    bool *free;   /* products that may be chosen or not */
    bool *used;   /* those of them that the closest recipe uses */
    sw_fewer *out;
} work;

static size_t find_used(const work *w, const double *y, bool *used)
{
    size_t count = 0;
    for (size_t j = 0; j < w->sets.groups.count; j++) {
        used[j] = false;
        for (size_t i = 0, at;
             w->free[j] && sw_group_next(&w->sets.groups, j, &i, &at);)
            used[j] |= y[at] > 0;
        count += used[j];
    }
    return count;
}

static void find_free(work *w)
{
    for (size_t j = 0; j < w->sets.groups.count; j++) {
        const sw_product *p = sw_model_product(w->block->model[0], j);
        w->free[j] = false;
        if (isnan(p->fixed_g_per_l) && !(p->min_g_per_l > 0))
            for (size_t i = 0, at; sw_group_next(&w->sets.groups, j, &i, &at);)
                w->free[j] |= w->form.high[at] > 0;
    }
}

/* ---- Amounts ---- */

/* The closest amounts of the set's products among the equal recipes, or the
 * cheapest where these are not found. */
static double *fit_set(work *w)
{
    sw_fit fit;
    sw_solver *solver = w->solver;
    sw_order order = sw_order_of(solver, w->model);
    int limit = solver->pivot_limit, spent = solver->pivots;
    sw_form form = sw_form_wider(solver, &w->form, 0, 0);
    const sw_sets *sets = &w->sets;
    for (size_t j = 0; j < sets->groups.count; j++)
        for (size_t i = 0, at; sets->free[j] && !sets->chosen[j] &&
                               sw_group_next(&sets->groups, j, &i, &at);)
            form.high[at] = 0;
    solver->pivot_limit = spent + FIT_PIVOTS;
    sw_fit_squares(solver, &form, &w->model->terms, &order, &fit);
    solver->pivot_limit = limit;
    solver->pivots = spent;
    double *y = fit.outcome == SW_OPTIMAL ? fit.point.y : sets->cheapest;
    sw_tuck_in(&form, y);
    sw_model_drop_residue(w->model, y);
    return y;
}

/* ---- The point judged in full ---- */

static sw_status assess(work *w, size_t i, const double *all,
                        sw_assessment **out, sw_error *error)
{
    const sw_model *m = w->block->model[i];
    sw_content water = m->water;
    double *g_per_l = sw_take_numbers(w->solver, m->products);
    double *y = sw_take_numbers(w->solver, m->form.columns);
    sw_block_part(w->block, i, all, y);
    for (size_t k = 0; k < m->blends; k++)
        sw_content_add(&water, y[m->products + k], &m->problem->waters[k]);
    for (size_t j = 0; j < m->products; j++)
        g_per_l[m->shelf_index[j]] = y[j] * m->unit[j];
    sw_start start;
    sw_recipe recipe = {.g_per_l = g_per_l, .count = m->products};
    sw_mix mix = {.water = &water,
                  .target = m->problem->target,
                  .shelf = m->problem->shelf,
                  .recipe = &recipe,
                  .conditions = m->problem->conditions,
                  .brief = true,
                  .fresh = true};
    mix.conditions.start = sw_model_start(m, &start);
    return sw_assess(&mix, out, error);
}

/* Verdicts met before are met, a pH is near, to two decimals where it is to be
 * the same, and no danger is new. */
static bool is_as_good(const work *w, const sw_assessment *was,
                       const sw_assessment *is)
{
    double apart = fabs(was->mixed.ph - is->mixed.ph);
    double strict = w->apart.share > SW_SAME_SHARE ? 1 : 10;
    for (size_t i = 0; i < sw_row_count(was); i++) {
        sw_row before = sw_row_at(was, i), after = sw_row_at(is, i);
        if (before.kind == SW_TARGET_PH)
            apart =
                fmax(apart, strict * fabs(before.finished - after.finished));
    }
    return apart <= ph_apart && sw_keeps_verdicts(was, is);
}

/* In every water. */
static sw_status judge(work *w, const double *y, bool *good, sw_error *error)
{
    sw_status status = SW_OK;
    *good = true;
    for (size_t i = 0; i < w->block->count && *good && status == SW_OK; i++) {
        sw_assessment *was = NULL, *is = NULL;
        status = assess(w, i, w->closest, &was, error);
        if (status == SW_OK)
            status = assess(w, i, y, &is, error);
        *good = status == SW_OK && is_as_good(w, was, is);
        sw_assessment_free(was);
        sw_assessment_free(is);
    }
    return sw_of_trial(status);
}

/* Sets as large as the closest recipe's own must be worth the change. */
static bool is_worth_it(work *w, size_t products, const double *y)
{
    return products < w->out->products ||
           sw_row_value(w->sets.price, 0, w->form.columns, y) <
               (1 - saving_share) *
                   sw_row_value(w->sets.price, 0, w->form.columns, w->closest);
}

/* The form of what counts as equal. */
static sw_status open_equal(work *w, sw_error *error)
{
    const sw_block *block = w->block;
    sw_status status = SW_OK;
    sw_equal *equal = sw_take(w->solver, block->count, sizeof *equal);
    double *y = sw_take_numbers(w->solver, block->model[0]->form.columns);
    for (size_t i = 0; i < block->count && status == SW_OK; i++) {
        sw_block_part(block, i, w->closest, y);
        status = sw_equal_to(w->solver, block->model[i], y, w->apart, &equal[i],
                             error);
    }
    if (status == SW_OK)
        w->form = sw_equal_form(w->solver, block, equal, w->closest);
    return status;
}

static sw_status try_once(work *w, double **found, bool *done, sw_error *error)
{
    sw_status status = open_equal(w, error);
    *done = true;
    if (status != SW_OK)
        return sw_of_trial(status);
    bool all;
    find_free(w);
    w->out->products = find_used(w, w->closest, w->used);
    w->sets.form = w->form;
    w->out->proved = sw_sets_find(&w->sets, &all);
    if (all || !w->out->proved ||
        !is_worth_it(w, w->sets.fewest, w->sets.cheapest))
        return SW_OK;
    double *y = fit_set(w);
    if (!is_worth_it(w, find_used(w, y, w->used), y))
        return SW_OK;
    status = judge(w, y, done, error);
    w->out->proved = *done;
    if (*done) {
        *found = y;
        w->out->products = w->sets.fewest;
    }
    return status;
}

/* ---- Telling ---- */

/* The component whose finished content is furthest from the closest, in any
 * water. */
static void tell_most_moved(work *w, const double *y)
{
    const sw_target *target = w->model->problem->target;
    double *share = sw_take_numbers(w->solver, target->count);
    double *part = sw_take_numbers(w->solver, w->form.columns);
    for (size_t k = 0; k < w->block->count; k++) {
        sw_content was, is;
        sw_block_part(w->block, k, w->closest, part);
        sw_model_content(w->block->model[k], part, &was);
        sw_block_part(w->block, k, y, part);
        sw_model_content(w->block->model[k], part, &is);
        for (size_t i = 0; i < target->count; i++) {
            const sw_target_row *row = &target->rows[i];
            double moved =
                is.amount[row->component] - was.amount[row->component];
            if (row->kind == SW_TARGET_COMPONENT && row->target > 0)
                share[i] = fmax(share[i], fabs(moved) / row->target);
        }
    }
    size_t most = sw_first_most(share, target->count);
    w->out->moved_share = share[most];
    w->out->moved = target->rows[most].component;
}

sw_status sw_say_fewest(const sw_shelf *shelf, const sw_fewer *fewer,
                        const sw_recipe *taken, sw_notes *notes)
{
    char left[400], instead[400];
    sw_recipe_list_apart(shelf, &fewer->closest, taken, left, sizeof left);
    sw_recipe_list_apart(shelf, taken, &fewer->closest, instead,
                         sizeof instead);
    return sw_notes_add(notes, SW_SAY_FEWER_PRODUCTS, left,
                        instead[0] ? " for " : "", instead,
                        100 * fewer->moved_share);
}

sw_status sw_block_recipe(const sw_block *block, const double *y,
                          sw_recipe *recipe)
{
    const sw_model *model = block->model[0];
    recipe->g_per_l = calloc(model->products, sizeof(double));
    if (!recipe->g_per_l)
        return SW_ERR_MEMORY;
    recipe->count = model->products;
    for (size_t i = 0; i < block->count; i++)
        for (size_t j = 0; j < model->products; j++) {
            double *most = &recipe->g_per_l[model->shelf_index[j]];
            size_t at = sw_block_column(block, i, j);
            *most = fmax(*most, y[at] * block->all->unit[at]);
        }
    return SW_OK;
}

sw_status sw_find_fewest(sw_solver *solver, const sw_block *block,
                         const sw_fit *fit, sw_fewer *fewer, double **y,
                         sw_error *error)
{
    size_t products = block->model[0]->products;
    work w = {
        .solver = solver,
        .block = block,
        .model = block->all,
        .closest = fit->point.y,
        .apart = {fmax(block->all->problem->equal_share, SW_SAME_SHARE),
                  ph_apart, NULL},
        .sets = sw_sets_open(solver,
                             (sw_groups){products, block->count, block->column,
                                         block->model[0]->form.columns},
                             block->all->form.columns),
        .free = sw_take(solver, products, sizeof(bool)),
        .used = sw_take(solver, products, sizeof(bool)),
        .out = fewer};
    sw_status status = SW_OK;
    bool done = false;
    *y = NULL;
    if (fit->outcome != SW_OPTIMAL ||
        block->all->problem->objective != SW_CLOSEST ||
        !block->all->problem->fewest)
        return SW_OK;
    w.sets.free = w.free;
    w.sets.used = w.used;
    w.sets.price = sw_cost_of_columns(solver, w.model);
    *fewer = (sw_fewer){.ph_apart = ph_apart};
    for (int i = 0; i < MOST_TRIES && !done && status == SW_OK; i++) {
        status = try_once(&w, y, &done, error);
        fewer->proved = fewer->proved && i == 0; /* of pH this far apart */
        w.apart.ph /= 2;
    }
    if (status != SW_OK || !*y)
        return status;
    fewer->objective = sw_objective_at(solver, block->all, *y);
    tell_most_moved(&w, *y);
    return sw_block_recipe(block, w.closest, &fewer->closest);
}
