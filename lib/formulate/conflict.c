/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Which limits cannot hold together.  A deletion filter (Chinneck & Dravnieks
 * 1991): leave out one limit after another; where the rest is still
 * impossible it stays out, where the rest becomes possible it belongs to the
 * conflict.  What is left is irreducible: without any one of its members the
 * others can hold, since each was tested against a larger set.  Filtering in
 * both orders and keeping the smaller set costs little.
 */
#include "formulate/fit.h"

#include <math.h>
#include <string.h>

typedef struct sw_filter {
    const sw_model *model;
    sw_lp *lp;
    double *low; /* of the columns: two sides may share one */
    double *high;
    bool *needed; /* of each side */
    size_t count;
} sw_filter;

static void put_product(sw_filter *filter, const sw_side *side, bool in_force)
{
    const sw_form *form = &filter->model->form;
    size_t at = side->index;
    if (side->end != SW_SIDE_MAX)
        filter->low[at] = in_force ? form->low[at] : 0;
    if (side->end != SW_SIDE_MIN)
        filter->high[at] = in_force ? form->high[at]
                                    : SW_ANY_G_PER_L / filter->model->unit[at];
    sw_lp_bound_column(filter->lp, at, filter->low[at], filter->high[at]);
}

/* Every other side has a row of its own. */
static void put(sw_filter *filter, const sw_side *side, bool in_force)
{
    const sw_form *form = &filter->model->form;
    if (side->kind == SW_SIDE_PRODUCT)
        put_product(filter, side, in_force);
    else if (in_force)
        sw_lp_bound_row(filter->lp, side->index, form->row_low[side->index],
                        form->row_high[side->index]);
    else
        sw_lp_bound_row(filter->lp, side->index, -INFINITY, INFINITY);
}

/* Answers false when the program could not tell. */
static bool test_side(sw_filter *filter, size_t at)
{
    const sw_side *side = &filter->model->sides[at];
    put(filter, side, false);
    sw_lp_end end = sw_lp_solve(filter->lp, SW_LP_DUAL);
    if (end == SW_LP_INFEASIBLE)
        return true;
    if (end != SW_LP_OPTIMAL)
        return false;
    put(filter, side, true);
    filter->needed[at] = true;
    filter->count++;
    return true;
}

static sw_filter run_filter(sw_solver *solver, const sw_model *model,
                            bool backward)
{
    const sw_form *form = &model->form;
    size_t sides = model->side_count;
    sw_filter made = {
        .model = model,
        .lp = sw_lp_new(solver, form),
        .low = sw_take_numbers(solver, form->columns),
        .high = sw_take_numbers(solver, form->columns),
        .needed = sw_take(solver, sides, sizeof(bool)),
    };
    memcpy(made.low, form->low, form->columns * sizeof *made.low);
    memcpy(made.high, form->high, form->columns * sizeof *made.high);
    bool told = true;
    for (size_t i = 0; told && i < sides; i++)
        told = test_side(&made, backward ? sides - 1 - i : i);
    sw_lp_free(made.lp);
    if (!told)
        made.count = 0;
    return made;
}

size_t sw_find_conflict(sw_solver *solver, const sw_model *model,
                        const sw_side **conflicting)
{
    sw_filter first = run_filter(solver, model, true);
    sw_filter second = run_filter(solver, model, false);
    bool take_second =
        first.count == 0 || (second.count > 0 && second.count < first.count);
    const sw_filter *best = take_second ? &second : &first;
    size_t count = 0;
    for (size_t i = 0; best->count && i < model->side_count; i++)
        if (best->needed[i])
            conflicting[count++] = &model->sides[i];
    return count;
}
