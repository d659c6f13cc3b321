/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A ceiling on what the target does not name is one on what products add: the
 * water's share is not theirs, and a fixed rate is the user's own word.
 */
#include "formulate/model.h"

#include <math.h>

double sw_model_ceiling(const sw_model *model, const sw_target_row *row)
{
    const sw_problem *problem = model->problem;
    double water = model->water.amount[row->component];
    double promised = 0;
    for (size_t k = 0; k < model->blends; k++)
        water = fmax(water, problem->waters[k].amount[row->component]);
    for (size_t j = 0; j < model->products; j++) {
        const sw_product *product = sw_model_product(model, j);
        double least = isnan(product->fixed_g_per_l) ? product->min_g_per_l
                                                     : product->fixed_g_per_l;
        if (least > 0)
            promised += least * product->per_g.amount[row->component];
    }
    return water + fmax(row->max, promised);
}
