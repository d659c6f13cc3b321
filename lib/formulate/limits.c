/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The target and the shelf as rows: terms to be kept small, limits to be kept.
 * A ratio A:B within min and max is A - min B >= 0 and A - max B <= 0.  A row
 * is divided by a power of two near its largest coefficient.
 */
#include "formulate/model.h"

#include "quantity/notes.h"

#include <math.h>

static bool is_term(const sw_model *model, const sw_target_row *row)
{
    return model->problem->objective != SW_CHEAPEST &&
           row->kind == SW_TARGET_COMPONENT && row->weight > 0 &&
           !isnan(row->target);
}

/* Closest weighs squares, even the deviations themselves. */
static double scale_of(const sw_model *model, const sw_target_row *row)
{
    double s = row->target > 0 ? row->target : row->max;
    bool squared = model->problem->objective == SW_CLOSEST;
    return (squared ? sqrt(row->weight) : row->weight) / s;
}

static void add_term(sw_model *model, const sw_target_row *row)
{
    size_t e = model->terms.count++;
    size_t columns = model->form.columns;
    double coefficient[SW_CARRIED_COUNT] = {0};
    coefficient[row->component] = 1;
    double *a = model->terms.matrix + e * columns;
    double water = sw_model_row(model, coefficient, a);
    double scale = scale_of(model, row);
    for (size_t j = 0; j < columns; j++)
        a[j] *= scale;
    model->terms.goal[e] = scale * (row->target - water);
    model->term_row[e] = row;
    model->term_scale[e] = scale;
}

/* In order of the components, whatever the order of the file. */
sw_status sw_model_add_terms(sw_solver *solver, sw_model *model,
                             sw_error *error)
{
    const sw_target *target = model->problem->target;
    size_t count = 0;
    for (size_t i = 0; i < target->count; i++)
        count += is_term(model, &target->rows[i]);
    model->terms.matrix = sw_take_numbers(solver, count * model->form.columns);
    model->terms.goal = sw_take_numbers(solver, count);
    model->term_row = sw_take(solver, count, sizeof(sw_target_row *));
    model->term_scale = sw_take_numbers(solver, count);
    for (int c = 0; c < SW_COMPONENT_COUNT; c++)
        for (size_t i = 0; i < target->count; i++)
            if (is_term(model, &target->rows[i]) &&
                (int)target->rows[i].component == c)
                add_term(model, &target->rows[i]);
    if (count == 0 && model->problem->objective != SW_CHEAPEST)
        return sw_fail(error, SW_ERR_MISSING,
                       "no component of the target has both a target and a "
                       "weight, so there is nothing to come close to");
    return SW_OK;
}

sw_band sw_limits_of(const sw_problem *problem, const sw_target_row *row)
{
    sw_band band = {isnan(row->min) ? -INFINITY : row->min,
                    isnan(row->max) ? INFINITY : row->max};
    if (problem->objective == SW_CHEAPEST || problem->keep_bands)
        band = sw_band_of(row);
    return band;
}

static double *coefficients(const sw_target_row *row, double bound,
                            double coefficient[SW_CARRIED_COUNT])
{
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        coefficient[i] = 0;
    coefficient[row->component] = 1;
    if (row->kind == SW_TARGET_RATIO)
        coefficient[row->other] -= bound;
    return coefficient;
}

static void add_side(sw_model *model, sw_side side)
{
    model->sides[model->side_count++] = side;
}

static size_t open_row(sw_model *model)
{
    size_t at = model->form.rows++;
    model->row_unit[at] = 1;
    model->form.row_low[at] = -INFINITY;
    model->form.row_high[at] = INFINITY;
    return at;
}

/* One end of a row of the target, in a row of its own. */
static void add_end(sw_model *model, const sw_target_row *row, sw_side_end end,
                    double bound)
{
    static const sw_side_kind kind_of[] = {
        [SW_TARGET_COMPONENT] = SW_SIDE_COMPONENT,
        [SW_TARGET_RATIO] = SW_SIDE_RATIO,
    };
    if (!isfinite(bound))
        return;
    size_t at = open_row(model);
    double given = end == SW_SIDE_MIN ? row->min : row->max;
    add_side(model, (sw_side){.kind = kind_of[row->kind],
                              .end = end,
                              .from_band = isnan(given),
                              .for_safety = row->assumed,
                              .index = at,
                              .bound = bound,
                              .target = row});
    double coefficient[SW_CARRIED_COUNT];
    double water = sw_model_fill_row(
        model, at, coefficients(row, bound, coefficient), bound);
    double wanted = row->kind == SW_TARGET_RATIO ? 0 : bound;
    double scaled = (wanted - water) / model->row_unit[at];
    if (end == SW_SIDE_MIN)
        model->form.row_low[at] = scaled;
    else
        model->form.row_high[at] = scaled;
}

static void add_product_end(sw_model *model, size_t column, sw_side_end end,
                            double bound)
{
    const sw_product *product = sw_model_product(model, column);
    if (!isnan(bound))
        add_side(model, (sw_side){.kind = SW_SIDE_PRODUCT,
                                  .end = end,
                                  .index = column,
                                  .bound = bound,
                                  .product = product});
}

static void add_product(sw_model *model, size_t column)
{
    const sw_product *product = sw_model_product(model, column);
    if (!isnan(product->fixed_g_per_l)) {
        add_product_end(model, column, SW_SIDE_FIXED, product->fixed_g_per_l);
        return;
    }
    if (product->min_g_per_l > 0)
        add_product_end(model, column, SW_SIDE_MIN, product->min_g_per_l);
    if (product->max_g_per_l < SW_MOST_G_PER_L)
        add_product_end(model, column, SW_SIDE_MAX, product->max_g_per_l);
}

/* Fractions of the waters sum to 1. */
static void add_blend(sw_model *model)
{
    if (model->blends == 0)
        return;
    size_t at = open_row(model);
    double *row = model->form.matrix + at * model->form.columns;
    for (size_t k = 0; k < model->blends; k++)
        row[model->products + k] = 1;
    model->form.row_low[at] = model->form.row_high[at] = 1;
}

/* A recipe may cost so much and no more. */
static void add_cost(sw_model *model)
{
    double most = model->problem->most_cost_per_m3;
    if (!(most > 0))
        return;
    size_t at = open_row(model);
    size_t columns = model->form.columns;
    double *row = model->form.matrix + at * columns;
    sw_model_price_products(model, row);
    model->row_unit[at] =
        sw_row_scale(row, columns, sw_row_largest(row, columns));
    model->form.row_high[at] = most / model->row_unit[at];
    add_side(model, (sw_side){.kind = SW_SIDE_COST,
                              .end = SW_SIDE_MAX,
                              .index = at,
                              .bound = most});
}

/* What a row of the target cannot do is said once. */
static sw_status note_row(sw_model *model, const sw_target_row *row,
                          const sw_band *limits)
{
    bool limited = isfinite(limits->low) || isfinite(limits->high) ||
                   row->kind == SW_TARGET_PH;
    if (row->kind == SW_TARGET_EC)
        return sw_notes_add(&model->notes, SW_INFO, "ec-judged-only",
                            "EC follows from the recipe: it is judged, but "
                            "no amount was chosen for it.");
    if (row->kind != SW_TARGET_COMPONENT && !limited)
        return sw_notes_add(&model->notes, SW_INFO, "target-judged-only",
                            "%s has a target but neither min nor max: it is "
                            "judged, but no amount was chosen for it. Give "
                            "limits to have them kept.",
                            row->name);
    bool from_band = (isnan(row->min) && isfinite(limits->low)) ||
                     (isnan(row->max) && isfinite(limits->high));
    if (from_band)
        return sw_notes_add(&model->notes, SW_INFO, "band-as-limit",
                            "%s: where the target gives no limit, the band "
                            "of its verdict served as one (%g to %g).",
                            row->name, limits->low, limits->high);
    return SW_OK;
}

/* Components stay where the plan guards them. */
static void add_guard(sw_model *model, sw_component component)
{
    const sw_band *guard = &model->ph_plan->guard[component];
    double coefficient[SW_CARRIED_COUNT] = {0};
    if (!isfinite(guard->low) && !isfinite(guard->high))
        return;
    coefficient[component] = 1;
    size_t at = open_row(model);
    double water = sw_model_fill_row(model, at, coefficient, guard->high);
    double unit = model->row_unit[at];
    model->guard_row[component] = at;
    model->form.row_low[at] = (guard->low - water) / unit;
    model->form.row_high[at] = (guard->high - water) / unit;
}

static void add_ph_end(sw_model *model, sw_side_end end, double bound)
{
    const sw_ph_plan *plan = model->ph_plan;
    bool open = end == SW_SIDE_MIN   ? plan->open_low
                : end == SW_SIDE_MAX ? plan->open_high
                                     : false;
    double given = NAN;
    if (plan->row)
        given = end == SW_SIDE_MIN ? plan->row->min : plan->row->max;
    add_side(
        model,
        (sw_side){.kind = SW_SIDE_PH,
                  .end = end,
                  .from_band = !open && isnan(given) && end != SW_SIDE_FIXED,
                  .for_safety = open,
                  .index = open_row(model),
                  .bound = bound,
                  .target = plan->row ? plan->row : &plan->implied});
}

/* The rows are in force once there is a solution to linearise at. */
static void add_ph(sw_model *model)
{
    const sw_ph_plan *plan = model->ph_plan;
    for (int i = 0; plan->guarded && i < SW_COMPONENT_COUNT; i++)
        add_guard(model, (sw_component)i);
    if (plan->mode == SW_PH_HELD)
        add_ph_end(model, SW_SIDE_FIXED, plan->row->target);
    if (plan->mode != SW_PH_WINDOW)
        return;
    add_ph_end(model, SW_SIDE_MIN, plan->low);
    add_ph_end(model, SW_SIDE_MAX, plan->high);
}

static sw_status add_row(sw_model *model, const sw_target_row *row)
{
    sw_band limits = sw_limits_of(model->problem, row);
    if (row->assumed)
        limits.high = sw_model_ceiling(model, row);
    if (row->kind == SW_TARGET_COMPONENT || row->kind == SW_TARGET_RATIO) {
        add_end(model, row, SW_SIDE_MIN, limits.low);
        add_end(model, row, SW_SIDE_MAX, limits.high);
    }
    return note_row(model, row, &limits);
}

static void take_rows(sw_solver *solver, sw_model *model)
{
    size_t rows = 2 * model->problem->target->count + SW_COMPONENT_COUNT + 4;
    model->form.matrix = sw_take_numbers(solver, rows * model->form.columns);
    model->form.row_low = sw_take_numbers(solver, rows);
    model->form.row_high = sw_take_numbers(solver, rows);
    model->row_unit = sw_take_numbers(solver, rows);
    model->ph_rows = sw_take(solver, rows, sizeof(sw_ph_row));
    model->ph_held = sw_take_numbers(solver, rows);
    model->sides = sw_take(solver, rows + 2 * model->products, sizeof(sw_side));
}

sw_status sw_model_add_limits(sw_solver *solver, sw_model *model,
                              sw_error *error)
{
    const sw_target *target = model->problem->target;
    sw_status status = SW_OK;
    take_rows(solver, model);
    for (size_t i = 0; status == SW_OK && i < target->count; i++)
        status = add_row(model, &target->rows[i]);
    add_ph(model);
    for (size_t j = 0; j < model->products; j++)
        add_product(model, j);
    add_blend(model);
    add_cost(model);
    if (status != SW_OK)
        return sw_fail_memory(error);
    if (model->problem->objective == SW_CHEAPEST && model->side_count == 0)
        return sw_fail(error, SW_ERR_MISSING,
                       "the target gives no limit, so there is nothing the "
                       "cheapest recipe has to keep");
    return SW_OK;
}
