/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Which limits cannot hold together: a smallest set of them.  Such a set hits
 * every set of limits whose loss leaves a recipe, so that it is found as the
 * largest set that holds is, with "what is left out cannot hold together" for
 * "holds" (Ignatiev et al. 2015; Liffiton & Sakallah 2008).
 */
#include "formulate/fit.h"
#include "solve/largest.h"

typedef struct sw_filter {
    const sw_model *model;
    sw_lp *lp;
    sw_form form; /* its bounds: two sides may share a column */
} sw_filter;

static void put(const sw_filter *filter, const sw_side *side)
{
    const sw_form *form = &filter->form;
    size_t at = side->index;
    if (side->kind == SW_SIDE_PRODUCT)
        sw_lp_bound_column(filter->lp, at, form->low[at], form->high[at]);
    else
        sw_lp_bound_row(filter->lp, at, form->row_low[at], form->row_high[at]);
}

/* In turn from the last side to the first, as those are left out first that
 * come last in the search. */
static size_t turn_of(const sw_filter *filter, size_t at)
{
    return filter->model->side_count - 1 - at;
}

/* Whether the sides of which `spared` is false cannot all hold. */
static sw_status conflicts(void *context, const bool *spared, bool *yes)
{
    sw_filter *filter = context;
    const sw_model *model = filter->model;
    for (size_t i = 0; i < model->side_count; i++)
        sw_side_put(model, &model->sides[i], !spared[turn_of(filter, i)],
                    &filter->form);
    for (size_t i = 0; i < model->side_count; i++)
        put(filter, &model->sides[i]);
    sw_lp_end end = sw_lp_solve(filter->lp, SW_LP_DUAL);
    *yes = end == SW_LP_INFEASIBLE;
    return *yes || end == SW_LP_OPTIMAL ? SW_OK : SW_ERR_NUMERIC;
}

static sw_filter open_filter(sw_solver *solver, const sw_model *model)
{
    sw_filter made = {
        .model = model,
        .lp = sw_lp_new(solver, &model->form),
        .form = sw_form_wider(solver, &model->form, 0, 0),
    };
    sw_lp_set_distinct_costs(made.lp);
    return made;
}

const sw_side **sw_find_conflict(sw_solver *solver, const sw_model *model,
                                 size_t *count)
{
    sw_filter filter = open_filter(solver, model);
    size_t sides = model->side_count;
    const sw_largest search = {
        .count = sides,
        .holds = conflicts,
        .context = &filter,
        .room = sw_take(solver, (SW_MOST_CONFLICTS + 1) * sides, sizeof(bool)),
    };
    const sw_side **conflicting = sw_take(solver, sides, sizeof(sw_side *));
    bool *spared = sw_take(solver, sides, sizeof(bool));
    bool smallest;
    sw_status status = sw_largest_set(&search, spared, &smallest);
    sw_lp_free(filter.lp);
    *count = 0;
    for (size_t i = 0; status == SW_OK && i < sides; i++)
        if (!spared[turn_of(&filter, i)])
            conflicting[(*count)++] = &model->sides[i];
    return conflicting;
}
