/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A linear program for each product of the closest recipe says whether an equal
 * one does without it; as a rule none does, and that is the proof.  Else a
 * binary says of each product whether it is used, in any water: branch and
 * bound (GLPK) for the least sum of these, then for the least cost with as
 * many.  The amounts are the closest within the set of products found.
 */
#include "formulate/fewest.h"

#include "formulate/equal.h"
#include "quantity/notes.h"
#include "quantity/ties.h"

#include "table_words.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A hand meter is good to 0.1 at best: half of that (common practice, no
 * source). */
static const double ph_apart = 0.05;
/* Sets of as many products are the same but for a saving above this. */
static const double saving_share = 0.01;
/* Of sets that cost the same, to some 1e-5 of the dearest product, that of the
 * first products. */
static const double of_equal_cost = 1e-6;
/* Nodes of the search; beyond, nothing is proved. */
enum { MOST_NODES = 2000 };
/* How often a pH that the linear rows did not hold is tried closer. */
enum { MOST_TRIES = 3 };
/* The closest amounts of a set take a hundred; where next to nothing is equal,
 * a simplex method may go in circles. */
enum { FIT_PIVOTS = 2000 };

typedef struct work {
    sw_solver *solver;
    const sw_block *block;
    const sw_model *model; /* of all */
    size_t products;       /* of each water */
    const double *closest;
    sw_form form;     /* with the rows of what is equal */
    bool *free;       /* products that may be chosen or not */
    bool *needed;     /* those that every equal recipe uses */
    bool *chosen;     /* those of the set in hand */
    double *most;     /* of each column in any equal recipe */
    double *cheapest; /* the point of the search */
    sw_fewer *out;
    size_t fewest; /* no equal recipe chooses fewer */
} work;

/* The product's next column at or after water *i; false when there is none. One
 * in common is there once. */
static bool next_column(const work *w, size_t j, size_t *i, size_t *column)
{
    if (*i >= w->block->count ||
        (*i > 0 && sw_block_column(w->block, *i, j) == *column))
        return false;
    *column = sw_block_column(w->block, (*i)++, j);
    return true;
}

static bool is_used(const work *w, size_t j, const double *y)
{
    bool used = false;
    for (size_t i = 0, at; w->free[j] && next_column(w, j, &i, &at);)
        used |= sw_model_amount(w->model, at, y) > 0;
    return used;
}

static size_t count_used(const work *w, const double *y)
{
    size_t count = 0;
    for (size_t j = 0; j < w->products; j++)
        count += is_used(w, j, y);
    return count;
}

static void find_free(work *w)
{
    for (size_t j = 0; j < w->products; j++) {
        const sw_product *p = sw_model_product(w->block->model[0], j);
        w->free[j] = false;
        if (isnan(p->fixed_g_per_l) && !(p->min_g_per_l > 0))
            for (size_t i = 0, at; next_column(w, j, &i, &at);)
                w->free[j] |= w->form.high[at] > 0;
    }
}

/* Products of the closest recipe that no equal one does without; answers
 * whether all are. */
static bool find_needed(work *w)
{
    sw_lp *lp = sw_lp_new(w->solver, &w->form);
    bool all = true;
    sw_lp_set_distinct_costs(lp);
    for (size_t j = 0; j < w->products; j++) {
        w->needed[j] = false;
        if (!is_used(w, j, w->closest))
            continue;
        for (size_t i = 0, at; next_column(w, j, &i, &at);)
            sw_lp_bound_column(lp, at, 0, 0);
        w->needed[j] = sw_lp_solve(lp, SW_LP_DUAL) == SW_LP_INFEASIBLE;
        for (size_t i = 0, at; next_column(w, j, &i, &at);)
            sw_lp_bound_column(lp, at, w->form.low[at], w->form.high[at]);
        all = all && w->needed[j];
    }
    sw_lp_free(lp);
    return all;
}

/* What every equal recipe uses is there whatever else is chosen. */
static bool is_open(const work *w, size_t j)
{
    return w->free[j] && !w->needed[j];
}

/* The most of each column in any equal recipe, which its binary allows. */
static void find_most(work *w)
{
    sw_lp *lp = sw_lp_new(w->solver, &w->form);
    for (size_t j = 0; j < w->products; j++)
        for (size_t i = 0, at; is_open(w, j) && next_column(w, j, &i, &at);) {
            w->most[at] = w->form.high[at];
            sw_lp_set_cost(lp, at, -1);
            if (sw_lp_solve(lp, SW_LP_PRIMAL) == SW_LP_OPTIMAL)
                w->most[at] =
                    fmin(sw_lp_value(lp, at) * (1 + 1e-9), w->most[at]);
            sw_lp_set_cost(lp, at, 0);
        }
    sw_lp_free(lp);
}

/* ---- Branch and bound ---- */

/* With a column z of each product that is open, y - most * z <= 0 of each of
 * its own, and in the last row the sum of all z. */
static sw_form form_of_search(work *w, size_t *z)
{
    size_t columns = w->form.columns, row = w->form.rows;
    for (size_t j = 0; j < w->products; j++)
        z[j] = is_open(w, j) ? columns++ : 0;
    sw_form form = sw_form_wider(w->solver, &w->form, columns - w->form.columns,
                                 columns + 1);
    for (size_t j = 0; j < w->products; j++)
        for (size_t i = 0, at; is_open(w, j) && next_column(w, j, &i, &at);) {
            *sw_form_at(&form, row, at) = 1;
            *sw_form_at(&form, row, z[j]) = -w->most[at];
            form.row_low[row++] = -INFINITY;
        }
    for (size_t j = 0; j < w->products; j++)
        if (is_open(w, j))
            form.high[z[j]] = *sw_form_at(&form, row, z[j]) = 1;
    form.row_low[row] = -INFINITY;
    form.row_high[row] = INFINITY;
    form.rows = row + 1;
    return form;
}

/* Answers how many of it were open. */
static size_t take_set(work *w, const sw_lp *lp, const size_t *z)
{
    size_t open = 0;
    w->fewest = 0;
    for (size_t j = 0; j < w->products; j++) {
        bool taken = is_open(w, j) && sw_lp_whole_value(lp, z[j]) > 0.5;
        w->chosen[j] = w->needed[j] || taken;
        w->fewest += w->chosen[j];
        open += taken;
    }
    for (size_t j = 0; j < w->form.columns; j++)
        w->cheapest[j] = sw_lp_whole_value(lp, j);
    return open;
}

/* The cheapest set among those of the fewest products; false where the search
 * did not end. */
static bool find_set(work *w)
{
    size_t *z = sw_take(w->solver, w->products, sizeof *z);
    sw_form form = form_of_search(w, z);
    sw_lp *lp = sw_lp_new(w->solver, &form);
    for (size_t j = 0; j < w->products; j++)
        if (is_open(w, j)) {
            sw_lp_make_whole(lp, z[j]);
            sw_lp_set_cost(lp, z[j], 1);
        }
    bool proved = sw_lp_branch(lp, MOST_NODES) == SW_LP_OPTIMAL;
    if (proved) {
        double open = (double)take_set(w, lp, z);
        double *cost = sw_cost_of_columns(w->solver, w->model);
        double largest = sw_row_largest(cost, w->form.columns);
        sw_lp_bound_row(lp, form.rows - 1, -INFINITY, open);
        for (size_t j = 0; j < w->form.columns; j++)
            sw_lp_set_cost(lp, j, largest > 0 ? cost[j] / largest : 0);
        for (size_t j = 0; j < w->products; j++)
            if (is_open(w, j))
                sw_lp_set_cost(lp, z[j], of_equal_cost * (double)j);
        if (sw_lp_branch(lp, MOST_NODES) == SW_LP_OPTIMAL)
            take_set(w, lp, z);
    }
    sw_lp_free(lp);
    return proved;
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
    for (size_t j = 0; j < w->products; j++)
        for (size_t i = 0, at;
             w->free[j] && !w->chosen[j] && next_column(w, j, &i, &at);)
            form.high[at] = 0;
    solver->pivot_limit = spent + FIT_PIVOTS;
    sw_fit_squares(solver, &form, &w->model->terms, &order, &fit);
    solver->pivot_limit = limit;
    solver->pivots = spent;
    if (fit.outcome == SW_OPTIMAL)
        return fit.point.y;
    sw_tuck_in(&form, w->cheapest);
    return w->cheapest;
}

static double cost_of(work *w, const double *y)
{
    const double *cost = sw_cost_of_columns(w->solver, w->model);
    return sw_row_value(cost, 0, w->form.columns, y);
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
    sw_recipe recipe = {.g_per_l = g_per_l, .count = m->products};
    sw_mix mix = {.water = &water,
                  .target = m->problem->target,
                  .shelf = m->problem->shelf,
                  .recipe = &recipe,
                  .conditions = m->problem->conditions,
                  .brief = true};
    return sw_assess(&mix, out, error);
}

/* Verdicts met before are met, a pH is near, and no danger is new. */
static bool is_as_good(const sw_assessment *was, const sw_assessment *is)
{
    double apart = fabs(was->mixed.ph - is->mixed.ph);
    for (size_t i = 0; i < sw_row_count(was); i++) {
        sw_row before = sw_row_at(was, i), after = sw_row_at(is, i);
        if (before.verdict == SW_MET && after.verdict != SW_MET)
            return false;
        if (before.kind == SW_TARGET_PH)
            apart = fmax(apart, fabs(before.finished - after.finished));
    }
    return apart <= ph_apart &&
           sw_notes_dangers(&is->notes) <= sw_notes_dangers(&was->notes);
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
        *good = status == SW_OK && is_as_good(was, is);
        sw_assessment_free(was);
        sw_assessment_free(is);
    }
    return sw_of_trial(status);
}

/* Sets as large as the closest recipe's own must be worth the change. */
static bool is_worth_it(work *w, const double *y)
{
    return count_used(w, y) < w->out->products ||
           cost_of(w, y) < (1 - saving_share) * cost_of(w, w->closest);
}

/* The form of what counts as equal, a pH within `apart`. */
static sw_status open_equal(work *w, double apart, sw_error *error)
{
    const sw_block *block = w->block;
    sw_status status = SW_OK;
    sw_equal *equal = sw_take(w->solver, block->count, sizeof *equal);
    double *y = sw_take_numbers(w->solver, block->model[0]->form.columns);
    for (size_t i = 0; i < block->count && status == SW_OK; i++) {
        sw_block_part(block, i, w->closest, y);
        status = sw_equal_to(w->solver, block->model[i], y,
                             w->model->problem->equal_share, apart, &equal[i],
                             error);
    }
    if (status == SW_OK)
        w->form = sw_equal_form(w->solver, block, equal, w->closest);
    return status;
}

/* Once, with a pH so far apart at most. */
static sw_status try_apart(work *w, double apart, double **found, bool *done,
                           sw_error *error)
{
    sw_status status = open_equal(w, apart, error);
    *done = true;
    if (status != SW_OK)
        return sw_of_trial(status);
    find_free(w);
    w->out->products = count_used(w, w->closest);
    w->out->proved = find_needed(w);
    if (w->out->proved)
        return SW_OK;
    find_most(w);
    w->out->proved = find_set(w);
    if (!w->out->proved)
        return SW_OK;
    double *y = fit_set(w);
    if (!is_worth_it(w, y))
        return SW_OK;
    status = judge(w, y, done, error);
    w->out->proved = *done;
    if (*done) {
        *found = y;
        w->out->products = w->fewest;
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

/* "potassium sulfate (62.6 g per 1000 L), ..." of what one recipe has more. */
static void list_apart(const sw_shelf *shelf, const sw_recipe *has,
                       const sw_recipe *lacks, char *text, size_t size)
{
    size_t used = 0;
    text[0] = 0;
    for (size_t j = 0; j < has->count && used < size; j++)
        if (has->g_per_l[j] > 0 && !(lacks->g_per_l[j] > 0))
            used += (size_t)snprintf(text + used, size - used,
                                     "%s%.60s (%.3g g per 1000 L)",
                                     used ? ", " : "", shelf->products[j].name,
                                     1000 * has->g_per_l[j]);
}

sw_status sw_say_fewest(const sw_shelf *shelf, const sw_fewer *fewer,
                        const sw_recipe *taken, sw_notes *notes)
{
    char left[400], instead[400];
    list_apart(shelf, &fewer->closest, taken, left, sizeof left);
    list_apart(shelf, taken, &fewer->closest, instead, sizeof instead);
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
            *most = fmax(*most, sw_model_amount(block->all, at, y));
        }
    return SW_OK;
}

sw_status sw_find_fewest(sw_solver *solver, const sw_block *block,
                         const sw_fit *fit, sw_fewer *fewer, double **y,
                         sw_error *error)
{
    size_t n = block->all->form.columns;
    work w = {.solver = solver,
              .block = block,
              .model = block->all,
              .products = block->model[0]->products,
              .closest = fit->point.y,
              .free = sw_take(solver, n, sizeof(bool)),
              .needed = sw_take(solver, n, sizeof(bool)),
              .chosen = sw_take(solver, n, sizeof(bool)),
              .most = sw_take_numbers(solver, n),
              .cheapest = sw_take_numbers(solver, n),
              .out = fewer};
    sw_status status = SW_OK;
    bool done = false;
    double apart = ph_apart;
    *y = NULL;
    if (fit->outcome != SW_OPTIMAL ||
        block->all->problem->objective != SW_CLOSEST ||
        !(block->all->problem->equal_share > 0))
        return SW_OK;
    *fewer = (sw_fewer){.ph_apart = ph_apart};
    for (int i = 0; i < MOST_TRIES && !done && status == SW_OK; i++) {
        status = try_apart(&w, apart, y, &done, error);
        fewer->proved = fewer->proved && i == 0; /* of pH this far apart */
        apart /= 2;
    }
    if (status == SW_ERR_NUMERIC) { /* the closest stands, nothing is proved */
        *fewer = (sw_fewer){.ph_apart = ph_apart};
        status = SW_OK;
    }
    if (status != SW_OK || !*y)
        return status;
    fewer->objective =
        block->all->terms.constant +
        sw_terms_value(&block->all->terms, n, *y,
                       sw_take_numbers(solver, block->all->terms.count));
    tell_most_moved(&w, *y);
    return sw_block_recipe(block, w.closest, &fewer->closest);
}
