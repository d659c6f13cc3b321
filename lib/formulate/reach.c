/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * How near a limit on the pH acids and bases can come that do not keep it.  A
 * linear program finds the least or the most the row can be under all other
 * limits; what has a price there is held where it stands, which leaves exactly
 * the points that reach as far.
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
    sw_reached *reached;
    sw_lp *lp;
} sw_reach;

static void add_words(sw_reach *reach, const char *words)
{
    char *stop = reach->reached->stop;
    size_t used = strlen(stop);
    if (!strstr(stop, words))
        snprintf(stop + used, sizeof reach->reached->stop - used, "%s%.60s",
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

/* Goes as near as can be where the bound is out of reach.  False when the
 * program had no answer. */
static bool reach_bound(sw_reach *reach, const sw_ph_line *line, bool is_min,
                        double bound)
{
    sw_form *form = &reach->model->form;
    double sign = is_min ? -1 : 1;
    double value;
    bool found = find_extreme(reach, line->index, sign, &value);
    double miss = sign * (value - bound);
    if (found && miss > rounding) {
        reach->reached->miss_meq_per_l += miss * line->unit;
        hold_columns(reach);
        hold_rows(reach);
    } else if (is_min) {
        form->row_low[line->index] = bound;
    } else {
        form->row_high[line->index] = bound;
    }
    sw_lp_free(reach->lp);
    return found;
}

/* A min or max that cannot be kept leaves a row without bounds. */
static bool reach_line(sw_reach *reach, const sw_ph_line *line, double low,
                       double high)
{
    bool found = true;
    if (isfinite(low))
        found = reach_bound(reach, line, true, low);
    if (found && isfinite(high))
        found = reach_bound(reach, line, false, high);
    return found;
}

bool sw_model_reach_ph(sw_solver *solver, sw_model *model, const double *y,
                       sw_reached *reached)
{
    double moved;
    double low[3 * SW_MOST_AIMS] = {0};
    double high[3 * SW_MOST_AIMS] = {0};
    sw_reach reach = {solver, model, reached, NULL};
    sw_form *form = &model->form;
    *reached = (sw_reached){0};
    model->agents_only = true;
    if (sw_model_set_ph(model, y, &moved, NULL) != SW_OK)
        return false;
    /* no row of the pH counts until its turn comes */
    for (size_t i = 0; i < model->ph_line_count; i++) {
        size_t at = model->ph_lines[i].index;
        if (model->ph_lines[i].end == SW_SIDE_FIXED)
            continue;
        low[i] = form->row_low[at];
        high[i] = form->row_high[at];
        form->row_low[at] = -INFINITY;
        form->row_high[at] = INFINITY;
    }
    for (size_t i = 0; i < model->ph_line_count; i++)
        if (model->ph_lines[i].end != SW_SIDE_FIXED &&
            !reach_line(&reach, &model->ph_lines[i], low[i], high[i]))
            return false;
    return true;
}
