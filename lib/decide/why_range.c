/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Parametric optimum: while the same limits bind and the same products are in
 * use, the optimum is the least squares within them (of the cheapest, their
 * corner), and its conditions can be checked without a solve.  From the bound
 * outward, doubling and then halving, to where the conditions fail; between
 * two bounds at which they hold they hold (the critical region of a parametric
 * quadratic programme is convex; Best 1996).
 */
#include "decide/why.h"

#include "solve/form.h"

#include <math.h>
#include <string.h>

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
    const sw_side *side; /* the limit that is moved */
    sw_active active;
} sw_ranging;

static sw_terms terms_of(const sw_model *model)
{
    static const sw_terms none;
    return sw_is_of_amounts(model->problem) ? none : model->terms;
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
    return sw_dense_is_unique(
        sw_frame_of(ranging->solver, &ranging->model->form, &ranging->active),
        &terms);
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

static bool is_optimal(const sw_ranging *ranging, const sw_model *model)
{
    sw_solver *solver = ranging->solver;
    const sw_form *form = &model->form;
    sw_terms terms = terms_of(model);
    sw_point point = sw_point_take(solver, form);
    sw_gradient gradient = sw_gradient_take(solver, form);
    double *deviation = sw_take_numbers(solver, terms.count);
    sw_frame *frame = sw_frame_of(solver, form, &ranging->active);
    sw_dense_fit(frame, &terms, &point);
    sw_terms_value(&terms, form->columns, point.y, deviation);
    sw_terms_gradient(&terms, form->columns, deviation, &gradient);
    if (sw_is_of_amounts(model->problem))
        gradient.value = gradient.size = sw_cost_of_columns(solver, model);
    sw_dense_prices(frame, gradient.value, &point);
    return sw_prove(form, &gradient, form->high, &point).kkt <= tolerance;
}

/* A product at `bound`; of one that is shut to its min, that is its max too. */
static void put_product(const sw_model *model, const sw_side *side,
                        double bound)
{
    size_t at = side->index;
    bool shut = sw_model_is_shut(model, at);
    if (side->end != SW_SIDE_MAX)
        model->form.low[at] = bound / model->unit[at];
    if (side->end != SW_SIDE_MIN || shut)
        model->form.high[at] = bound / model->unit[at];
}

/* A row at `bound`; the other end of its target, where nobody gave that, gives
 * way to it. */
static void put_rows(sw_model *model, const sw_side *limit, double bound)
{
    for (size_t s = 0; s < model->side_count; s++) {
        const sw_side *side = &model->sides[s];
        bool is_max = side->end == SW_SIDE_MAX;
        bool passed = is_max ? bound > side->bound : bound < side->bound;
        bool gives_way = side->target && side->target == limit->target &&
                         side->origin != SW_GIVEN && passed;
        if (side != limit && !gives_way)
            continue;
        if (side->kind == SW_SIDE_RATIO)
            sw_side_move(model, side, bound);
        else
            (is_max ? model->form.row_high
                    : model->form.row_low)[side->index] +=
                (bound - side->bound) / model->row_unit[side->index];
    }
}

/* Whether the shape is optimal with the limit at `bound`. */
static bool holds_at(const sw_ranging *ranging, double bound)
{
    const sw_side *side = ranging->side;
    sw_mark mark = sw_solver_mark(ranging->solver);
    sw_model moved = *ranging->model;
    size_t rows = moved.form.rows;
    moved.form = sw_form_wider(ranging->solver, &moved.form, 0, 0);
    moved.row_unit = sw_take_numbers(ranging->solver, rows);
    memcpy(moved.row_unit, ranging->model->row_unit,
           rows * sizeof *moved.row_unit);
    if (side->kind == SW_SIDE_PRODUCT) {
        put_product(&moved, side, bound);
        sw_model_move_own(&moved);
    } else {
        put_rows(&moved, side, bound);
    }
    bool holds = is_optimal(ranging, &moved);
    sw_solver_release(ranging->solver, mark);
    return holds;
}

/* The farthest bound in the direction of `sign` that holds. */
static double walk_out(const sw_ranging *ranging, double sign)
{
    double next = ranging->side->bound, inside = next;
    double size = next > 0 ? next : 1;
    double step = first_step * size;
    for (; inside == next || holds_at(ranging, next); step *= 2) {
        inside = next;
        next = fmax(inside + sign * step, 0);
        if (next == inside || next > far_off * size)
            return sign > 0 ? INFINITY : 0;
    }
    for (step = fabs(next - inside); step > last_step * size;) {
        step /= 2;
        if (holds_at(ranging, inside + sign * step))
            inside += sign * step;
    }
    return inside;
}

/* A target of nothing is measured by its max: that would move the measure. */
static bool can_be_told(const sw_model *model, const sw_side *side)
{
    return model->problem->objective != SW_EVEN && side->kind != SW_SIDE_PH &&
           !(side->target && side->target->target == 0);
}

sw_range sw_range_of(sw_solver *solver, const sw_model *model,
                     const sw_fit *fit, const sw_side *side)
{
    sw_range range = {NAN, NAN};
    sw_ranging ranging = {.solver = solver,
                          .model = model,
                          .side = side,
                          .active = sw_active_take(solver, &model->form)};
    if (!can_be_told(model, side) || !find_shape(&ranging, &fit->point) ||
        !holds_at(&ranging, side->bound))
        return range;
    range.low = walk_out(&ranging, -1);
    range.high = walk_out(&ranging, 1);
    return range;
}
