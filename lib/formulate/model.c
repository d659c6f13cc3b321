/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a model's columns and rows stand for: products, contents, costs. */
#include "formulate/fit.h"

#include "quantity/content.h"

#include <math.h>
#include <string.h>

/* What a solve leaves of a product it has no use for: less than this of any
 * target (a verdict allows 1e-6 for rounding) and, of what has none, less than
 * what follows. */
static const double residue_share = 2.5e-7;
static const double residue_mg_per_l = 1e-5;

const sw_product *sw_model_product(const sw_model *model, size_t column)
{
    return &model->problem->shelf->products[model->shelf_index[column]];
}

bool sw_model_is_shut(const sw_model *model, size_t column)
{
    return model->setting->shut[model->shelf_index[column]] != SW_IN_USE;
}

bool sw_model_is_agent(const sw_model *model, size_t column)
{
    sw_ph_role role = model->setting->role[model->shelf_index[column]];
    return role == SW_PH_ACID || role == SW_PH_BASE;
}

/* g/L that 1 of each product's column stands for in all its solutions. */
static void weigh_products(const sw_model *model, double *row)
{
    for (size_t j = 0; j < model->products; j++)
        row[j] = model->unit[j] * (model->times ? model->times[j] : 1);
}

void sw_model_price_products(const sw_model *model, double *row)
{
    weigh_products(model, row);
    for (size_t j = 0; j < model->products; j++)
        row[j] *= sw_model_product(model, j)->price_per_kg;
}

double *sw_cost_of_columns(sw_solver *solver, const sw_model *model)
{
    double *cost = sw_take_numbers(solver, model->form.columns);
    if (model->priced)
        sw_model_price_products(model, cost);
    else
        weigh_products(model, cost);
    const double *price = model->problem->water_price_per_m3;
    for (size_t k = 0; price && model->priced && k < model->blends; k++)
        cost[model->products + k] = model->unit[model->products + k] * price[k];
    return cost;
}

sw_order sw_order_of(sw_solver *solver, const sw_model *model)
{
    sw_order order = {0};
    bool in_turns = model->by_place > 0 && !sw_is_of_amounts(model->problem);
    double *cost = sw_cost_of_columns(solver, model);
    double *mass = sw_take_numbers(solver, model->form.columns);
    weigh_products(model, mass);
    for (size_t j = 0; in_turns && j < model->products; j++)
        cost[j] *= 1 + model->by_place * (double)(j + 1);
    if (model->priced || in_turns)
        order.cost[order.count++] = cost;
    order.cost[order.count++] = mass;
    return order;
}

double sw_model_row(const sw_model *model, const double *coefficient,
                    double *row)
{
    sw_sparse by = sw_sparse_of(coefficient);
    for (size_t j = 0; j < model->products; j++)
        row[j] = model->unit[j] *
                 sw_sparse_sum(&by, &sw_model_product(model, j)->per_g);
    for (size_t k = 0; k < model->blends; k++)
        row[model->products + k] =
            sw_sparse_sum(&by, &model->problem->waters[k]);
    return sw_sparse_sum(&by, &model->water);
}

double sw_model_fill_row(sw_model *model, size_t at, const double *coefficient,
                         double bound)
{
    size_t columns = model->form.columns;
    double *row = model->form.matrix + at * columns;
    double water = sw_model_row(model, coefficient, row);
    double most = sw_row_largest(row, columns);
    if (most == 0)
        most = fmax(fabs(bound), fabs(water));
    model->row_unit[at] = sw_row_scale(row, columns, most);
    return water;
}

/* Of each content what no target could tell. */
static void find_residue(const sw_target *target, double *most)
{
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        most[i] = residue_mg_per_l;
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        double asked = fmax(row->target, row->min);
        if (row->kind == SW_TARGET_COMPONENT && asked > 0)
            most[row->component] = residue_share * asked;
    }
}

bool sw_model_drop_residue(const sw_model *model, double *y)
{
    bool any = false;
    double most[SW_CARRIED_COUNT];
    find_residue(model->problem->target, most);
    for (size_t j = 0; j < model->products; j++) {
        const sw_content *per_g = &sw_model_product(model, j)->per_g;
        bool drop = y[j] != 0 && !(model->form.low[j] > 0);
        for (int i = 0; i < SW_CARRIED_COUNT && drop; i++)
            drop = fabs(y[j] * model->unit[j] * per_g->amount[i]) <= most[i];
        y[j] = drop ? 0 : y[j];
        any |= drop;
    }
    return any;
}

void sw_model_content(const sw_model *model, const double *y,
                      sw_content *finished)
{
    *finished = model->water;
    for (size_t k = 0; k < model->blends; k++)
        sw_content_add(finished, y[model->products + k],
                       &model->problem->waters[k]);
    for (size_t j = 0; j < model->products; j++)
        sw_content_add(finished, y[j] * model->unit[j],
                       &sw_model_product(model, j)->per_g);
}

size_t sw_block_column(const sw_block *block, size_t i, size_t j)
{
    return block->column ? block->column[i * block->model[0]->form.columns + j]
                         : j;
}

void sw_block_part(const sw_block *block, size_t i, const double *all,
                   double *part)
{
    for (size_t j = 0; j < block->model[i]->form.columns; j++)
        part[j] = all[sw_block_column(block, i, j)];
}

void sw_block_spread(const sw_block *block, size_t i, const double *part,
                     double *all)
{
    memset(all, 0, block->all->form.columns * sizeof *all);
    for (size_t j = 0; j < block->model[i]->form.columns; j++)
        all[sw_block_column(block, i, j)] = part[j];
}
