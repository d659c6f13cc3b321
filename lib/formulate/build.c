/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * From a problem to a scaled linear form.  A column stands for a power of two
 * of grams per litre such that 1 of it nearly fills the target it fills
 * first: then amounts of 1e-6 and of 5 g/L look alike to the solver, and
 * scaling costs no rounding.  The columns are in order of the products'
 * names, so the same shelf in another order is the same form.
 */
#include "formulate/model.h"
#include "table_refusals.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static int by_name(const void *left, const void *right)
{
    const sw_product *a = *(const sw_product *const *)left;
    const sw_product *b = *(const sw_product *const *)right;
    int order = strcmp(a->name, b->name);
    return order ? order : (a > b) - (a < b);
}

static void order_products(sw_solver *solver, sw_model *model)
{
    const sw_shelf *shelf = model->problem->shelf;
    const sw_product **entry = sw_take(solver, shelf->count, sizeof(void *));
    for (size_t j = 0; j < shelf->count; j++)
        entry[j] = &shelf->products[j];
    qsort((void *)entry, shelf->count, sizeof(void *), by_name);
    model->products = shelf->count;
    model->shelf_index = sw_take(solver, shelf->count, sizeof(size_t));
    for (size_t j = 0; j < shelf->count; j++)
        model->shelf_index[j] = (size_t)(entry[j] - shelf->products);
}

static void place_waters(sw_model *model)
{
    const sw_problem *problem = model->problem;
    if (!problem->fractions && problem->water_count > 1)
        model->blends = problem->water_count;
    else
        model->water = sw_problem_water(problem);
}

static void bound_product(sw_model *model, size_t column)
{
    sw_origin unseen;
    const sw_product *product = sw_model_product(model, column);
    double low = fmax(0, product->min_g_per_l);
    double high = fmax(low, sw_model_most(model, column, &unseen));
    if (!isnan(product->fixed_g_per_l))
        low = high = product->fixed_g_per_l;
    if (sw_model_is_shut(model, column))
        high = low;
    model->form.low[column] = low / model->unit[column];
    model->form.high[column] = high / model->unit[column];
}

static void place_columns(sw_solver *solver, sw_model *model)
{
    size_t columns = model->products + model->blends;
    model->form.columns = columns;
    model->form.low = sw_take_numbers(solver, columns);
    model->form.high = sw_take_numbers(solver, columns);
    model->unit = sw_take_numbers(solver, columns);
    model->priced = true;
    for (size_t j = 0; j < model->products; j++) {
        const sw_product *product = sw_model_product(model, j);
        model->unit[j] = sw_power_of_two(
            sw_fill_of(model->problem->target, &product->per_g));
        model->priced = model->priced && !isnan(product->price_per_kg);
        bound_product(model, j);
    }
    for (size_t k = model->products; k < columns; k++) {
        const double *most = model->problem->most_share;
        model->unit[k] = 1;
        model->form.high[k] = most ? most[k - model->products] : 1;
    }
}

/* Numbers too far apart for a double end as infinities here. */
static sw_status check_form(const sw_model *model, sw_error *error)
{
    double sum = 0;
    for (size_t i = 0; i < model->form.rows * model->form.columns; i++)
        sum += fabs(model->form.matrix[i]);
    for (size_t i = 0; i < model->terms.count * model->form.columns; i++)
        sum += fabs(model->terms.matrix[i]);
    for (size_t e = 0; e < model->terms.count; e++)
        sum += fabs(model->terms.goal[e]);
    for (size_t j = 0; j < model->form.columns; j++)
        sum += model->form.low[j] + model->form.high[j];
    if (!isfinite(sum))
        return sw_fail(error, SW_BAD_NUMBERS_APART);
    return SW_OK;
}

sw_status sw_model_build(sw_solver *solver, const sw_problem *problem,
                         const sw_setting *setting, sw_model *model,
                         sw_error *error)
{
    *model = (sw_model){.problem = problem,
                        .setting = setting,
                        .levers = SW_LEVERS_BUFFERS,
                        .seen = {{.at = {.ph = NAN}}, {.at = {.ph = NAN}}}};
    if (setting->aims)
        model->ph_lines =
            sw_take(solver, 3 * setting->aims, sizeof *model->ph_lines);
    if (setting->aims && !problem->conditions.tables)
        model->room = sw_take(solver, 1, sizeof *model->room);
    order_products(solver, model);
    place_waters(model);
    place_columns(solver, model);
    sw_status status = sw_model_add_terms(solver, model, error);
    if (status == SW_OK)
        status = sw_model_add_limits(solver, model, error);
    if (status == SW_OK)
        status = check_form(model, error);
    return status;
}
