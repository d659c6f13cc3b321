/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Reduced costs.  Every term and every row is linear in what the finished
 * solution carries, so the gradient less what the binding rows take of it is
 * a price for each thing carried; a product not on the shelf is worth the sum
 * over what a gram of it brings (Dantzig 1963, chapter 12: pricing out).
 */
#include "decide/price.h"

#include <math.h>

/* What a first unit of the term's component does to the objective. */
static double slope_of_term(const sw_model *model, const sw_fit *fit, size_t e)
{
    const sw_terms *terms = &model->terms;
    if (model->problem->objective == SW_EVEN) {
        size_t above = model->form.rows + 2 * e; /* d - t <= 0, d + t >= 0 */
        return -(fit->point.row_price[above] + fit->point.row_price[above + 1]);
    }
    double deviation =
        sw_row_value(terms->matrix, e, model->form.columns, fit->point.y) -
        terms->goal[e];
    return 2 * deviation;
}

static void add_side(const sw_model *model, const sw_fit *fit,
                     const sw_side *side, double *price)
{
    if (side->kind != SW_SIDE_COMPONENT && side->kind != SW_SIDE_RATIO)
        return;
    double of_row =
        fit->point.row_price[side->index] / model->row_unit[side->index];
    price[side->target->component] -= of_row;
    if (side->kind == SW_SIDE_RATIO)
        price[side->target->other] += of_row * side->bound;
}

void sw_price_contents(const sw_model *model, const sw_fit *fit, double *price)
{
    for (int c = 0; c < SW_CARRIED_COUNT; c++)
        price[c] = 0;
    for (size_t e = 0; e < model->terms.count; e++)
        if (model->term_row[e]->kind == SW_TARGET_COMPONENT)
            price[model->term_row[e]->component] +=
                model->term_scale[e] * slope_of_term(model, fit, e);
    for (size_t i = 0; i < model->side_count; i++)
        add_side(model, fit, &model->sides[i], price);
}

double sw_price_product(const double *price, const sw_content *per_g)
{
    double sum = 0;
    for (int c = 0; c < SW_CARRIED_COUNT; c++)
        sum += price[c] * per_g->amount[c];
    return sum;
}
