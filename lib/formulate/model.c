/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a model's columns and rows stand for: products, contents, costs. */
#include "formulate/model.h"

#include <math.h>

const sw_product *sw_model_product(const sw_model *model, size_t column)
{
    return &model->problem->shelf->products[model->shelf_index[column]];
}

bool sw_model_is_shut(const sw_model *model, size_t column)
{
    return model->setting->shut[model->shelf_index[column]] != SW_IN_USE;
}

void sw_model_price_products(const sw_model *model, double *row)
{
    sw_model_weigh_products(model, row);
    for (size_t j = 0; j < model->products; j++)
        row[j] *= sw_model_product(model, j)->price_per_kg;
}

void sw_model_weigh_products(const sw_model *model, double *row)
{
    for (size_t j = 0; j < model->products; j++)
        row[j] = model->unit[j] * (model->times ? model->times[j] : 1);
}

static double weighed(const double *coefficient, const sw_content *content)
{
    double sum = 0;
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        sum += coefficient[i] * content->amount[i];
    return sum;
}

double sw_model_row(const sw_model *model, const double *coefficient,
                    double *row)
{
    for (size_t j = 0; j < model->products; j++)
        row[j] = model->unit[j] *
                 weighed(coefficient, &sw_model_product(model, j)->per_g);
    for (size_t k = 0; k < model->blends; k++)
        row[model->products + k] =
            weighed(coefficient, &model->problem->waters[k]);
    return weighed(coefficient, &model->water);
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
