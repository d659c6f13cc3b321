/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Parametric optimum: while the same limits bind and the same products are in
 * use, the optimum is the least squares within them (of the cheapest, their
 * corner), and its conditions can be checked without a solve.  From the bound
 * outward, doubling and then halving, to where the conditions fail; between
 * two bounds at which they hold they hold (the critical region of a parametric
 * quadratic programme is convex; Best 1996).
 */
#include "decide/range.h"

#include "formulate/dense.h"

#include <math.h>

/* Conditions hold to this: columns, rows and terms are near 1. */
static const double tolerance = 1e-8;
/* A price below it holds nothing; as in formulate/side.c. */
static const double no_price = 1e-9;
/* First step and last, of the bound. */
static const double first_step = 1e-3;
static const double last_step = 1e-7;
/* Where moving on makes no difference any more, of the bound. */
static const double far_off = 1e3;

typedef struct sw_ranging {
    sw_solver *solver;
    const sw_model *model;
    const sw_setting *setting;
    sw_range *range;
    sw_variant variant; /* in memory of the solver */
    sw_handle limit;
    sw_active active;
    const double *y; /* the optimum */
} sw_ranging;

static sw_terms terms_of(const sw_model *model)
{
    static const sw_terms none;
    return model->problem->objective == SW_CHEAPEST ? none : model->terms;
}

static bool is_near(double value, double bound)
{
    return isfinite(bound) &&
           fabs(value - bound) <= tolerance * (1 + fabs(bound));
}

static void hold_columns(const sw_ranging *ranging, const sw_point *point)
{
    const sw_form *form = &ranging->model->form;
    for (size_t j = 0; j < form->columns; j++) {
        if (is_near(point->y[j], form->low[j]))
            ranging->active.column[j] = SW_AT_LOW;
        else if (is_near(point->y[j], form->high[j]))
            ranging->active.column[j] = SW_AT_HIGH;
    }
}

/* What has a price or no room is held; the rest only where the point would
 * not be the only one without. */
static void hold_rows(const sw_ranging *ranging, const sw_point *point,
                      bool priced_only)
{
    const sw_form *form = &ranging->model->form;
    for (size_t i = 0; i < form->rows; i++) {
        double at = sw_row_value(form->matrix, i, form->columns, point->y);
        bool priced = fabs(point->row_price[i]) > no_price ||
                      form->row_low[i] == form->row_high[i];
        if (priced_only && !priced)
            continue;
        if (is_near(at, form->row_low[i]))
            ranging->active.row[i] = SW_AT_LOW;
        else if (is_near(at, form->row_high[i]))
            ranging->active.row[i] = SW_AT_HIGH;
    }
}

static bool is_one_point(const sw_ranging *ranging)
{
    sw_terms terms = terms_of(ranging->model);
    return sw_dense_is_unique(ranging->solver, &ranging->model->form, &terms,
                              &ranging->active);
}

static bool find_shape(const sw_ranging *ranging, const sw_point *point)
{
    hold_columns(ranging, point);
    hold_rows(ranging, point, true);
    if (is_one_point(ranging))
        return true;
    hold_rows(ranging, point, false);
    return is_one_point(ranging);
}

/* Between its bounds, or, where it is held, with a price of the right sign. */
static bool stands(sw_stand stand, double at, double low, double high,
                   double price)
{
    if (at < low - tolerance * (1 + fabs(low)) ||
        at > high + tolerance * (1 + fabs(high)))
        return false;
    if (low == high)
        return true;
    return !(stand == SW_AT_LOW && price < -tolerance) &&
           !(stand == SW_AT_HIGH && price > tolerance);
}

static const double *gradient_of(sw_solver *solver, const sw_model *model,
                                 const sw_terms *terms, const double *y)
{
    if (model->problem->objective == SW_CHEAPEST)
        return sw_cost_of_columns(solver, model);
    double *deviation = sw_take_numbers(solver, terms->count);
    sw_gradient gradient = sw_gradient_take(solver, &model->form);
    sw_terms_value(terms, model->form.columns, y, deviation);
    sw_terms_gradient(terms, model->form.columns, deviation, &gradient);
    return gradient.value;
}

static bool is_optimal(const sw_ranging *ranging, const sw_model *model)
{
    const sw_form *form = &model->form;
    const sw_active *active = &ranging->active;
    sw_terms terms = terms_of(model);
    sw_point point = sw_point_take(ranging->solver, form);
    sw_dense_fit(ranging->solver, form, &terms, active, &point);
    sw_dense_prices(ranging->solver, form,
                    gradient_of(ranging->solver, model, &terms, point.y),
                    active, &point);
    bool holds = true;
    for (size_t j = 0; holds && j < form->columns; j++)
        holds = stands(active->column[j], point.y[j], form->low[j],
                       form->high[j], point.column_price[j]);
    for (size_t i = 0; holds && i < form->rows; i++)
        holds = stands(active->row[i],
                       sw_row_value(form->matrix, i, form->columns, point.y),
                       form->row_low[i], form->row_high[i], point.row_price[i]);
    return holds;
}

/* As many columns and rows, and the pH in force as at the optimum. */
static bool is_alike(const sw_ranging *ranging, sw_model *model)
{
    double moved;
    const sw_form *form = &ranging->model->form;
    return model->form.columns == form->columns &&
           model->form.rows == form->rows &&
           (!sw_model_has_ph(model) ||
            sw_model_set_ph(model, ranging->y, &moved, NULL) == SW_OK);
}

/* Whether the shape is optimal with the limit at `bound`. */
static sw_status holds_at(sw_ranging *ranging, double bound, bool *holds)
{
    sw_model *model = &ranging->range->scratch;
    sw_problem problem = sw_variant_problem(&ranging->variant);
    sw_variant_set(&ranging->variant, ranging->limit, bound);
    sw_notes_free(&model->notes);
    sw_status status = sw_model_check(&problem, NULL); /* a min above a max */
    if (status == SW_OK)
        status = sw_model_build(ranging->solver, &problem, ranging->setting,
                                model, NULL);
    *holds = status == SW_OK && is_alike(ranging, model) &&
             is_optimal(ranging, model);
    return status == SW_ERR_MEMORY ? status : SW_OK;
}

/* The farthest bound from `from` in the direction of `sign` that holds. */
static sw_status walk_out(sw_ranging *ranging, double from, double sign,
                          double *end)
{
    double size = from > 0 ? from : 1;
    double inside = from;
    double step = first_step * size;
    bool holds = true;
    sw_status status = SW_OK;
    while (status == SW_OK && holds) {
        double next = fmax(inside + sign * step, 0);
        if (next == inside || next > far_off * size) {
            *end = sign > 0 ? INFINITY : 0;
            return SW_OK;
        }
        status = holds_at(ranging, next, &holds);
        if (holds)
            inside = next;
        else
            step = fabs(next - inside);
        step *= holds ? 2 : 1;
    }
    while (status == SW_OK && step > last_step * size) {
        step /= 2;
        status = holds_at(ranging, inside + sign * step, &holds);
        if (holds)
            inside += sign * step;
    }
    *end = inside;
    return status;
}

/* A target of nothing is measured by its max: that would move the measure. */
static bool can_be_told(const sw_model *model, const sw_side *side)
{
    return model->problem->objective != SW_EVEN && side->kind != SW_SIDE_PH &&
           !(side->target && side->target->target == 0);
}

/* In memory of the solver. */
static void copy_problem(sw_solver *solver, const sw_problem *of,
                         sw_variant *variant)
{
    sw_variant_copy(
        of, sw_take(solver, of->target->count + 1, sizeof(sw_target_row)),
        sw_take(solver, of->shelf->count, sizeof(sw_product)), variant);
}

sw_status sw_range_of(sw_solver *solver, const sw_model *model,
                      const sw_fit *fit, size_t at, sw_range *range)
{
    const sw_side *side = &model->sides[at];
    sw_ranging ranging = {
        .solver = solver,
        .model = model,
        .setting = model->setting,
        .range = range,
        .limit = sw_handle_of(model->problem, side),
        .active = sw_active_take(solver, &model->form),
        .y = fit->point.y,
    };
    bool holds = false;
    range->low = range->high = NAN;
    if (!can_be_told(model, side) || !find_shape(&ranging, &fit->point))
        return SW_OK;
    copy_problem(solver, model->problem, &ranging.variant);
    sw_status status = holds_at(&ranging, side->bound, &holds);
    if (holds)
        status = walk_out(&ranging, side->bound, -1, &range->low);
    if (holds && status == SW_OK)
        status = walk_out(&ranging, side->bound, 1, &range->high);
    return status;
}
