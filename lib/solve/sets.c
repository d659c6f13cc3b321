/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A linear program for each group of columns that the point at hand uses says
 * whether another does without it.  Of the few that can be left out every set
 * is asked, the smaller first, then the cheaper; what proved of an earlier form
 * that a set will not do, or is its cheapest corner, mostly answers.  Of many a
 * binary says whether each is used, in any copy: branch and bound (GLPK) for
 * the least sum of these, then for the least cost with as many.
 */
#include "solve/sets.h"

#include "solve/fit.h"

#include <limits.h>
#include <math.h>
#include <string.h>

/* Of sets that cost the same, to some 1e-5 of the dearest, that of the first
 * groups. */
static const double of_equal_cost = 1e-6;
/* Of the dearest: what costs nothing is not taken without end. */
static const double least_cost = 1e-6;
/* Nearer ones are the same. */
static const double same_price = 1e-9;
/* Groups that may be left out, all of whose sets are asked. */
enum { MOST_OPEN = 6 };
/* A program takes some ten; more go in circles, from which another start may
 * lead. */
enum { ASK_PIVOTS = 2000 };
/* Nodes of the search; beyond, nothing is proved. */
enum { MOST_NODES = 2000 };

static size_t column_of(const sw_groups *groups, size_t j, size_t copy)
{
    return groups->column ? groups->column[copy * groups->stride + j] : j;
}

bool sw_group_next(const sw_groups *groups, size_t j, size_t *i, size_t *column)
{
    if (*i >= groups->copies ||
        (*i > 0 && column_of(groups, j, *i - 1) == column_of(groups, j, *i)))
        return false;
    *column = column_of(groups, j, (*i)++);
    return true;
}

sw_sets sw_sets_open(sw_solver *solver, sw_groups groups, size_t columns)
{
    return (sw_sets){.solver = solver,
                     .groups = groups,
                     .needed = sw_take(solver, groups.count, sizeof(bool)),
                     .chosen = sw_take(solver, groups.count, sizeof(bool)),
                     .most = sw_take_numbers(solver, columns),
                     .ceiling = sw_take_numbers(solver, columns),
                     .cost = sw_take_numbers(solver, columns),
                     .cheapest = sw_take_numbers(solver, columns),
                     .without = sw_take_numbers(solver, groups.count * columns),
                     .told = sw_take(solver, groups.count, sizeof(bool))};
}

/* ---- Sets of groups ---- */

static const sw_terms no_terms;

/* Costs above 0, so that the dual method starts anywhere, and all different, so
 * that it meets no ties. */
static void open_asking(sw_sets *s)
{
    size_t columns = s->form.columns;
    double largest = sw_row_largest(s->price, columns);
    for (size_t j = 0; j < columns; j++)
        s->cost[j] = (largest > 0 ? s->price[j] / largest : 0) +
                     least_cost * (1 + (double)j / (double)columns);
    memcpy(s->ceiling, s->form.high, columns * sizeof(double));
    sw_lower_ceiling_by_form(&s->form, s->ceiling);
    s->lp = NULL;
}

/* Costs none of the pivots of the solve in hand. */
static sw_lp_end solve_within(const sw_sets *s, const sw_form *form,
                              sw_lp_method method)
{
    sw_solver *solver = s->solver;
    int limit = solver->pivot_limit, spent = solver->pivots;
    for (size_t j = 0; j < form->columns; j++)
        sw_lp_bound_column(s->lp, j, form->low[j], form->high[j]);
    solver->pivot_limit = spent + ASK_PIVOTS;
    sw_lp_end end = sw_lp_solve(s->lp, method);
    solver->pivot_limit = limit;
    solver->pivots = spent;
    return end;
}

/* By a linear program, whose answer is kept. */
static sw_lp_end ask_program(sw_sets *s, const sw_form *form, uint64_t of,
                             const double *ceiling, double *y)
{
    sw_solver *solver = s->solver;
    if (!s->lp) {
        s->lp = sw_lp_new(solver, form);
        sw_lp_set_costs(s->lp, s->cost);
    }
    sw_lp_end end = solve_within(s, form, SW_LP_DUAL);
    if (end == SW_LP_PIVOTS) {
        sw_lp_reset(s->lp);
        end = solve_within(s, form, SW_LP_PRIMAL);
    }
    if (end == SW_LP_OPTIMAL) {
        sw_active active = sw_active_take(solver, form);
        sw_lp_read_active(s->lp, form, &active);
        sw_remember(solver, SW_KEPT_CORNERS, form, of, &active);
        sw_dense_fit(sw_frame_of(solver, form, &active), &no_terms,
                     &(sw_point){.y = y});
    } else if (end == SW_LP_INFEASIBLE) {
        double *price = sw_take_numbers(solver, form->rows);
        if (sw_lp_read_refutation(s->lp, price))
            sw_remember_empty(solver, form, of, ceiling, price);
    }
    return end;
}

/* The cheapest point without some groups into y. */
static sw_lp_end ask(sw_sets *s, const bool *without, double *y)
{
    size_t columns = s->form.columns;
    uint64_t of = UINT64_MAX;
    sw_form form = s->form;
    sw_active active = sw_active_take(s->solver, &form);
    const sw_order order = {1, {s->cost}};
    double *ceiling = sw_take_numbers(s->solver, columns);
    memcpy(ceiling, s->ceiling, columns * sizeof(double));
    form.high = sw_take_numbers(s->solver, columns);
    memcpy(form.high, s->form.high, columns * sizeof(double));
    for (size_t j = 0; j < s->groups.count; j++) {
        if (!without[j])
            continue;
        of &= ~((uint64_t)1 << j % 64);
        for (size_t i = 0, at; sw_group_next(&s->groups, j, &i, &at);)
            form.high[at] = ceiling[at] = 0;
    }
    if (sw_is_known_empty(s->solver, &form, of, ceiling))
        return SW_LP_INFEASIBLE;
    if (sw_recall_corner(s->solver, &form, of, &order, false, y, &active))
        return SW_LP_OPTIMAL;
    return ask_program(s, &form, of, ceiling, y);
}

/* Groups of the point at hand that no other does without; answers whether all
 * are. */
static bool find_needed(sw_sets *s)
{
    bool all = true;
    bool *without = sw_take(s->solver, s->groups.count, sizeof *without);
    for (size_t j = 0; j < s->groups.count; j++) {
        s->needed[j] = s->told[j] = false;
        if (!s->used[j])
            continue;
        without[j] = true;
        sw_lp_end end = ask(s, without, s->without + j * s->form.columns);
        s->needed[j] = end == SW_LP_INFEASIBLE;
        s->told[j] = end == SW_LP_OPTIMAL;
        without[j] = false;
        all = all && s->needed[j];
    }
    return all;
}

/* What every point uses is there whatever else is chosen. */
static bool is_open(const sw_sets *s, size_t j)
{
    return s->free[j] && !s->needed[j];
}

static size_t count_open(const sw_sets *s)
{
    size_t count = 0;
    for (size_t j = 0; j < s->groups.count; j++)
        count += is_open(s, j);
    return count;
}

/* The next set of so many of the groups that are open, of which the first are
 * the lowest bits; false after the last. */
static bool next_set(size_t open, size_t many, unsigned *set)
{
    while (++*set < 1u << open) {
        size_t bits = 0;
        for (unsigned left = *set; left; left >>= 1)
            bits += left & 1;
        if (bits == many)
            return true;
    }
    return false;
}

/* The cheapest of the sets of so many of the open groups; *found: there is
 * one. False where a linear program had no answer. */
static bool find_set_of(sw_sets *s, size_t many, bool *found)
{
    double least = INFINITY;
    double *y = sw_take_numbers(s->solver, s->form.columns);
    bool *without = sw_take(s->solver, s->groups.count, sizeof *without);
    for (unsigned set = UINT_MAX; next_set(count_open(s), many, &set);) {
        double price = 0;
        size_t left = 0, last = 0;
        for (size_t j = 0, bit = 0; j < s->groups.count; j++) {
            without[j] = is_open(s, j) && !(set >> bit & 1);
            bit += is_open(s, j);
            price += without[j] ? 0 : of_equal_cost * (double)j;
            left += without[j];
            last = without[j] ? j : last;
        }
        sw_lp_end end = SW_LP_OPTIMAL;
        if (left == 1 && s->told[last])
            memcpy(y, s->without + last * s->form.columns,
                   s->form.columns * sizeof *y);
        else
            end = ask(s, without, y);
        if (end != SW_LP_OPTIMAL && end != SW_LP_INFEASIBLE)
            return false;
        price += sw_row_value(s->cost, 0, s->form.columns, y);
        if (end == SW_LP_INFEASIBLE || !(price < least - same_price))
            continue;
        least = price;
        memcpy(s->cheapest, y, s->form.columns * sizeof *y);
        for (size_t j = 0; j < s->groups.count; j++)
            s->chosen[j] = s->needed[j] || (is_open(s, j) && !without[j]);
    }
    *found = least < INFINITY;
    return true;
}

static bool find_set_of_few(sw_sets *s)
{
    bool found = false;
    for (size_t many = 0; many <= count_open(s) && !found; many++)
        if (!find_set_of(s, many, &found))
            return false;
    s->fewest = 0;
    for (size_t j = 0; j < s->groups.count; j++)
        s->fewest += s->chosen[j];
    return found;
}

/* ---- Branch and bound ---- */

/* The most of each column in any point, which its binary allows. */
static void find_most(sw_sets *s)
{
    sw_lp *lp = sw_lp_new(s->solver, &s->form);
    for (size_t j = 0; j < s->groups.count; j++)
        for (size_t i = 0, at;
             is_open(s, j) && sw_group_next(&s->groups, j, &i, &at);) {
            s->most[at] = s->form.high[at];
            sw_lp_set_cost(lp, at, -1);
            if (sw_lp_solve(lp, SW_LP_PRIMAL) == SW_LP_OPTIMAL)
                s->most[at] =
                    fmin(sw_lp_value(lp, at) * (1 + 1e-9), s->most[at]);
            sw_lp_set_cost(lp, at, 0);
        }
    sw_lp_free(lp);
}

/* With a column z of each group that is open, y - most * z <= 0 of each of
 * its own, and in the last row the sum of all z. */
static sw_form form_of_search(sw_sets *s, size_t *z)
{
    size_t columns = s->form.columns, row = s->form.rows;
    for (size_t j = 0; j < s->groups.count; j++)
        z[j] = is_open(s, j) ? columns++ : 0;
    sw_form form = sw_form_wider(s->solver, &s->form, columns - s->form.columns,
                                 columns + 1);
    for (size_t j = 0; j < s->groups.count; j++)
        for (size_t i = 0, at;
             is_open(s, j) && sw_group_next(&s->groups, j, &i, &at);) {
            *sw_form_at(&form, row, at) = 1;
            *sw_form_at(&form, row, z[j]) = -s->most[at];
            form.row_low[row++] = -INFINITY;
        }
    for (size_t j = 0; j < s->groups.count; j++)
        if (is_open(s, j))
            form.high[z[j]] = *sw_form_at(&form, row, z[j]) = 1;
    form.row_low[row] = -INFINITY;
    form.row_high[row] = INFINITY;
    form.rows = row + 1;
    return form;
}

/* Answers how many of it were open. */
static size_t take_set(sw_sets *s, const sw_lp *lp, const size_t *z)
{
    size_t open = 0;
    s->fewest = 0;
    for (size_t j = 0; j < s->groups.count; j++) {
        bool taken = is_open(s, j) && lround(sw_lp_whole_value(lp, z[j])) == 1;
        s->chosen[j] = s->needed[j] || taken;
        s->fewest += s->chosen[j];
        open += taken;
    }
    for (size_t j = 0; j < s->form.columns; j++)
        s->cheapest[j] = sw_lp_whole_value(lp, j);
    return open;
}

/* The cheapest set among those of the fewest groups; false where the search
 * did not end. */
static bool find_set_of_many(sw_sets *s)
{
    find_most(s);
    size_t *z = sw_take(s->solver, s->groups.count, sizeof *z);
    sw_form form = form_of_search(s, z);
    sw_lp *lp = sw_lp_new(s->solver, &form);
    for (size_t j = 0; j < s->groups.count; j++)
        if (is_open(s, j)) {
            sw_lp_make_whole(lp, z[j]);
            sw_lp_set_cost(lp, z[j], 1);
        }
    bool proved = sw_lp_branch(lp, MOST_NODES) == SW_LP_OPTIMAL;
    if (proved) {
        double open = (double)take_set(s, lp, z);
        double largest = sw_row_largest(s->price, s->form.columns);
        sw_lp_bound_row(lp, form.rows - 1, -INFINITY, open);
        for (size_t j = 0; j < s->form.columns; j++)
            sw_lp_set_cost(lp, j, largest > 0 ? s->price[j] / largest : 0);
        for (size_t j = 0; j < s->groups.count; j++)
            if (is_open(s, j))
                sw_lp_set_cost(lp, z[j], of_equal_cost * (double)j);
        if (sw_lp_branch(lp, MOST_NODES) == SW_LP_OPTIMAL)
            take_set(s, lp, z);
    }
    sw_lp_free(lp);
    return proved;
}

bool sw_sets_find(sw_sets *s, bool *all)
{
    open_asking(s);
    *all = find_needed(s);
    bool found = *all;
    if (!*all)
        found = count_open(s) > MOST_OPEN ? find_set_of_many(s)
                                          : find_set_of_few(s);
    if (s->lp)
        sw_lp_free(s->lp);
    *all = *all || found;
    for (size_t j = 0; j < s->groups.count; j++)
        *all &= !s->used[j] || s->needed[j] || s->chosen[j];
    return found;
}
