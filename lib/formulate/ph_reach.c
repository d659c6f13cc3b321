/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * How near the asked pH a solution can come.  A linear program finds the least
 * or the most a pH row can be under all other limits; what has a price there
 * is held where it stands, which leaves exactly the points that reach as far.
 */
#include "formulate/lp.h"
#include "formulate/model.h"

#include <math.h>
#include <string.h>

/* A row this near its bound keeps it: rounding of a row near 1. */
static const double rounding = 1e-9;

/* Below this a price is none; the row's coefficients are near 1. */
static const double no_price = 1e-8;

typedef struct sw_reach {
    sw_solver *solver;
    sw_model *model;
    sw_ph_plan *plan;
    sw_lp *lp;
} sw_reach;

static void add_words(sw_reach *reach, const char *words)
{
    char *stop = reach->plan->stop;
    size_t used = strlen(stop);
    if (!strstr(stop, words))
        snprintf(stop + used, sizeof reach->plan->stop - used, "%s%.60s",
                 used ? ", " : "", words);
}

/* Holds each priced column; an acid at its max is worth telling. */
static void hold_columns(sw_reach *reach)
{
    sw_model *model = reach->model;
    for (size_t j = 0; j < model->form.columns; j++) {
        double price = sw_lp_column_price(reach->lp, j);
        double *low = &model->form.low[j];
        double *high = &model->form.high[j];
        if (fabs(price) <= no_price)
            continue;
        if (price > 0)
            *high = *low;
        else
            *low = *high;
        if (price > 0 || j >= model->products)
            continue;
        const sw_product *product = sw_model_product(model, j);
        char words[96];
        snprintf(words, sizeof words, "%.30s at its max of %.3g g/L",
                 product->name, product->max_g_per_l);
        add_words(reach, words);
    }
}

static void name_limit(sw_reach *reach, size_t row)
{
    char words[96];
    for (size_t i = 0; i < reach->model->side_count; i++) {
        const sw_side *side = &reach->model->sides[i];
        if (side->kind == SW_SIDE_PRODUCT || side->index != row)
            continue;
        snprintf(words, sizeof words, "%.40s %s %.3g",
                 side->target ? side->target->name : "cost",
                 side->end == SW_SIDE_MIN ? "min" : "max", side->bound);
        add_words(reach, words);
    }
}

static void name_guard(sw_reach *reach, size_t row, bool low)
{
    char words[96];
    for (int c = 0; reach->plan->guarded && c < SW_COMPONENT_COUNT; c++) {
        const sw_band *guard = &reach->plan->guard[c];
        bool is_guarded = isfinite(guard->low) || isfinite(guard->high);
        if (!is_guarded || reach->model->guard_row[c] != row)
            continue;
        snprintf(words, sizeof words, "%s at %.3g mg/L",
                 sw_component_name((sw_component)c),
                 low ? guard->low : guard->high);
        add_words(reach, words);
    }
}

static void hold_rows(sw_reach *reach)
{
    sw_form *form = &reach->model->form;
    for (size_t i = 0; i < form->rows; i++) {
        double price = sw_lp_row_price(reach->lp, i);
        if (fabs(price) <= no_price)
            continue;
        if (price > 0)
            form->row_high[i] = form->row_low[i];
        else
            form->row_low[i] = form->row_high[i];
        name_limit(reach, i);
        name_guard(reach, i, price > 0);
    }
}

/* The least of a row, or with `sign` -1 the most. */
static bool find_extreme(sw_reach *reach, size_t at, double sign, double *value)
{
    const sw_form *form = &reach->model->form;
    const double *row = form->matrix + at * form->columns;
    reach->lp = sw_lp_new(reach->solver, form);
    *value = 0;
    for (size_t j = 0; j < form->columns; j++)
        sw_lp_set_cost(reach->lp, j, sign * row[j]);
    bool found = sw_lp_solve(reach->lp, SW_LP_PRIMAL) == SW_LP_OPTIMAL;
    for (size_t j = 0; found && j < form->columns; j++)
        *value += row[j] * sw_lp_value(reach->lp, j);
    return found;
}

/* Goes as near as can be where the bounds are out of reach. */
static bool reach_row(sw_reach *reach, size_t at, double low, double high)
{
    sw_form *form = &reach->model->form;
    for (int side = 0; side < 2; side++) {
        double value;
        if (!find_extreme(reach, at, side ? -1 : 1, &value))
            return false;
        bool misses = side ? value < low - rounding : value > high + rounding;
        if (misses) {
            reach->plan->clipped = true;
            hold_columns(reach);
            hold_rows(reach);
        }
        sw_lp_free(reach->lp);
        if (misses)
            return true;
    }
    form->row_low[at] = low;
    form->row_high[at] = high;
    return true;
}

/* No row of the pH counts until its turn comes. */
static void free_rows(sw_model *model)
{
    for (size_t i = 0; i < model->side_count; i++) {
        const sw_side *side = &model->sides[i];
        if (side->kind != SW_SIDE_PH)
            continue;
        model->form.row_low[side->index] = -INFINITY;
        model->form.row_high[side->index] = INFINITY;
    }
}

bool sw_model_reach_ph(sw_solver *solver, sw_model *model, sw_ph_plan *plan)
{
    sw_reach reach = {solver, model, plan, NULL};
    size_t rows = model->form.rows;
    double *low = sw_take_numbers(solver, rows);
    double *high = sw_take_numbers(solver, rows);
    memcpy(low, model->form.row_low, rows * sizeof(double));
    memcpy(high, model->form.row_high, rows * sizeof(double));
    free_rows(model);
    plan->stop[0] = '\0';
    for (size_t i = 0; i < model->side_count; i++) {
        size_t at = model->sides[i].index;
        if (model->sides[i].kind == SW_SIDE_PH &&
            !reach_row(&reach, at, low[at], high[at]))
            return false;
    }
    return true;
}
