/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A linear program for each product of the closest recipe says whether an equal
 * one does without it; as a rule none does, and that is the proof.  Else a
 * binary says of each product whether it is used: branch and bound (GLPK) for
 * the least sum of these, then for the least cost with as many.  The amounts
 * are the closest within the set of products found.
 */
#include "formulate/fewest.h"

#include "formulate/equal.h"

#include <math.h>
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
    const sw_model *model;
    const double *closest;
    sw_form form;     /* with the rows of what is equal */
    bool *free;       /* columns of products that may be chosen or not */
    bool *needed;     /* those that every equal recipe uses */
    bool *chosen;     /* those of the set in hand */
    double *most;     /* of each column in any equal recipe */
    double *cheapest; /* the point of the search */
    sw_fewest *out;
} work;

static bool is_used(const work *w, size_t j, const double *y)
{
    return w->free[j] && sw_model_amount(w->model, j, y) > 0;
}

static size_t count_used(const work *w, const double *y)
{
    size_t count = 0;
    for (size_t j = 0; j < w->model->products; j++)
        count += is_used(w, j, y);
    return count;
}

static void find_free(work *w)
{
    for (size_t j = 0; j < w->model->products; j++) {
        const sw_product *p = sw_model_product(w->model, j);
        w->free[j] = isnan(p->fixed_g_per_l) && !(p->min_g_per_l > 0) &&
                     w->form.high[j] > 0;
    }
}

/* Products of the closest recipe that no equal one does without; answers
 * whether all are. */
static bool find_needed(work *w)
{
    sw_lp *lp = sw_lp_new(w->solver, &w->form);
    bool all = true;
    sw_lp_set_distinct_costs(lp);
    for (size_t j = 0; j < w->model->products; j++) {
        if (!is_used(w, j, w->closest))
            continue;
        sw_lp_bound_column(lp, j, 0, 0);
        w->needed[j] = sw_lp_solve(lp, SW_LP_DUAL) == SW_LP_INFEASIBLE;
        sw_lp_bound_column(lp, j, w->form.low[j], w->form.high[j]);
        all = all && w->needed[j];
    }
    sw_lp_free(lp);
    return all;
}

/* The most of each product in any equal recipe, which its binary allows. */
static void find_most(work *w)
{
    sw_lp *lp = sw_lp_new(w->solver, &w->form);
    for (size_t j = 0; j < w->model->products; j++) {
        w->most[j] = w->form.high[j];
        if (!w->free[j])
            continue;
        sw_lp_set_cost(lp, j, -1);
        if (sw_lp_solve(lp, SW_LP_PRIMAL) == SW_LP_OPTIMAL)
            w->most[j] = fmin(sw_lp_value(lp, j) * (1 + 1e-9), w->most[j]);
        sw_lp_set_cost(lp, j, 0);
    }
    sw_lp_free(lp);
}

/* ---- Branch and bound ---- */

/* y - most * z <= 0, and the sum of all z. */
static sw_lp *open_search(work *w, size_t *z, size_t *sum)
{
    sw_lp *lp = sw_lp_new(w->solver, &w->form);
    size_t n = w->model->products, count = 0;
    size_t *column = sw_take(w->solver, n, sizeof *column);
    double *one = sw_take_numbers(w->solver, n);
    for (size_t j = 0; j < n; j++) {
        if (!w->free[j])
            continue;
        z[j] = sw_lp_add_column(lp, w->needed[j] ? 1 : 0, 1, 1);
        sw_lp_make_whole(lp, z[j]);
        size_t pair[] = {j, z[j]};
        double coefficient[] = {1, -w->most[j]};
        sw_sparse row = {2, pair, coefficient};
        sw_lp_add_row(lp, &row, -INFINITY, 0);
        one[count] = 1;
        column[count++] = z[j];
    }
    sw_sparse row = {count, column, one};
    *sum = sw_lp_add_row(lp, &row, -INFINITY, INFINITY);
    return lp;
}

static void take_set(work *w, const sw_lp *lp, const size_t *z)
{
    for (size_t j = 0; j < w->model->products; j++)
        w->chosen[j] = w->free[j] && sw_lp_whole_value(lp, z[j]) > 0.5;
    for (size_t j = 0; j < w->form.columns; j++)
        w->cheapest[j] = sw_lp_whole_value(lp, j);
}

static size_t count_chosen(const work *w)
{
    size_t count = 0;
    for (size_t j = 0; j < w->model->products; j++)
        count += w->chosen[j];
    return count;
}

/* The cheapest set among those of the fewest products; false where the search
 * did not end. */
static bool find_set(work *w)
{
    size_t n = w->model->products, sum;
    size_t *z = sw_take(w->solver, n, sizeof *z);
    sw_lp *lp = open_search(w, z, &sum);
    bool proved = sw_lp_branch(lp, MOST_NODES) == SW_LP_OPTIMAL;
    if (proved) {
        take_set(w, lp, z);
        double *cost = sw_cost_of_columns(w->solver, w->model);
        double largest = sw_row_largest(cost, w->form.columns);
        sw_lp_bound_row(lp, sum, -INFINITY, (double)count_chosen(w));
        for (size_t j = 0; j < w->form.columns; j++)
            sw_lp_set_cost(lp, j, largest > 0 ? cost[j] / largest : 0);
        for (size_t j = 0; j < n; j++)
            if (w->free[j])
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
    sw_model model = *w->model;
    sw_fit fit = {.outcome = SW_LIMIT};
    model.form = w->form;
    model.form.high = sw_take_numbers(w->solver, w->form.columns);
    memcpy(model.form.high, w->form.high,
           w->form.columns * sizeof *model.form.high);
    for (size_t j = 0; j < model.products; j++)
        if (w->free[j] && !w->chosen[j])
            model.form.high[j] = 0;
    sw_solver *solver = w->solver;
    int limit = solver->pivot_limit, spent = solver->pivots;
    solver->pivot_limit = spent + FIT_PIVOTS;
    sw_fit_closest(solver, &model, &fit);
    solver->pivot_limit = limit;
    solver->pivots = spent;
    if (fit.outcome == SW_OPTIMAL)
        return fit.point.y;
    sw_tuck_in(&model.form, w->cheapest);
    return w->cheapest;
}

static double cost_of(work *w, const double *y)
{
    const double *cost = sw_cost_of_columns(w->solver, w->model);
    return sw_row_value(cost, 0, w->form.columns, y);
}

/* ---- The point judged in full ---- */

static sw_status assess(work *w, const double *y, sw_assessment **out,
                        sw_error *error)
{
    const sw_model *m = w->model;
    sw_content water = m->water;
    double *g_per_l = sw_take_numbers(w->solver, m->products);
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

static size_t count_dangers(const sw_assessment *a)
{
    size_t count = 0;
    for (size_t i = 0; i < a->notes.count; i++)
        count += a->notes.items[i].severity == SW_DANGER;
    return count;
}

/* Verdicts met before are met, a pH is near, and no danger is new. */
static bool is_as_good(const sw_assessment *was, const sw_assessment *is)
{
    double apart = fabs(was->mixed.ph - is->mixed.ph);
    for (int c = 0; c < SW_COMPONENT_COUNT; c++)
        if (was->rows[c].verdict == SW_MET && is->rows[c].verdict != SW_MET)
            return false;
    for (size_t i = 0; i < was->measure_count; i++) {
        if (was->measures[i].verdict == SW_MET &&
            is->measures[i].verdict != SW_MET)
            return false;
        if (was->measures[i].kind == SW_TARGET_PH)
            apart = fmax(apart, fabs(was->measures[i].finished -
                                     is->measures[i].finished));
    }
    return apart <= ph_apart && count_dangers(is) <= count_dangers(was);
}

static sw_status judge(work *w, const double *y, bool *good, sw_error *error)
{
    sw_assessment *was = NULL, *is = NULL;
    sw_status status = assess(w, w->closest, &was, error);
    if (status == SW_OK)
        status = assess(w, y, &is, error);
    *good = status == SW_OK && is_as_good(was, is);
    sw_assessment_free(was);
    sw_assessment_free(is);
    return status;
}

/* Sets as large as the closest recipe's own must be worth the change. */
static bool is_worth_it(work *w, const double *y)
{
    return count_used(w, y) < w->out->products ||
           cost_of(w, y) < (1 - saving_share) * cost_of(w, w->closest);
}

/* Once, with a pH so far apart at most. */
static sw_status try_apart(work *w, double apart, bool *done, sw_error *error)
{
    sw_equal equal;
    sw_status status =
        sw_equal_to(w->solver, w->model, w->closest,
                    w->model->problem->equal_share, apart, &equal, error);
    *done = true;
    if (status != SW_OK)
        return status;
    w->form = sw_equal_form(w->solver, &w->model->form, &equal);
    find_free(w);
    w->out->products = count_used(w, w->closest);
    if (find_needed(w)) {
        w->out->proved = true;
        w->out->fewest = w->out->products;
        return SW_OK;
    }
    find_most(w);
    w->out->proved = find_set(w);
    if (!w->out->proved)
        return SW_OK;
    w->out->fewest = count_chosen(w);
    double *y = fit_set(w);
    if (!is_worth_it(w, y))
        return SW_OK;
    status = judge(w, y, done, error);
    w->out->y = *done ? y : NULL;
    w->out->proved = *done;
    return status;
}

sw_status sw_find_fewest(sw_solver *solver, const sw_model *model,
                         const sw_fit *fit, sw_fewest *out, sw_error *error)
{
    size_t n = model->form.columns;
    work w = {.solver = solver,
              .model = model,
              .closest = fit->point.y,
              .free = sw_take(solver, n, sizeof(bool)),
              .needed = sw_take(solver, n, sizeof(bool)),
              .chosen = sw_take(solver, n, sizeof(bool)),
              .most = sw_take_numbers(solver, n),
              .cheapest = sw_take_numbers(solver, n),
              .out = out};
    sw_status status = SW_OK;
    bool done = false;
    double apart = ph_apart;
    *out = (sw_fewest){.ph_apart = ph_apart};
    for (int i = 0; i < MOST_TRIES && !done && status == SW_OK; i++) {
        status = try_apart(&w, apart, &done, error);
        out->proved = out->proved && i == 0; /* of pH this far apart */
        apart /= 2;
    }
    return status;
}
