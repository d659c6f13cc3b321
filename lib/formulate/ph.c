/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * pH limits as rows.  At a given pH the acids split in proportions fixed by
 * the activities, so the limit is linear; the activities come from a guess at
 * the finished solution and are refreshed from each solution found.
 */
#include "formulate/model.h"

#include <math.h>

/* Half the step of the slope of a row along the pH. */
static const double ph_step = 1e-4;

static double value_at(const sw_ph_row *row, const sw_content *content)
{
    double sum = row->constant;
    for (int i = 0; i < SW_CARRIED_COUNT; i++)
        sum += row->coefficient[i] * content->amount[i];
    return sum;
}

bool sw_model_has_ph(const sw_model *model)
{
    for (size_t i = 0; i < model->side_count; i++)
        if (model->sides[i].kind == SW_SIDE_PH)
            return true;
    return false;
}

/* Above 0 is more alkaline: a min keeps it from below, a max from above, a pH
 * held from both. */
static void put_in_force(sw_model *model, const sw_side *side,
                         const sw_ph_row *row)
{
    size_t at = side->index;
    double water = sw_model_fill_row(model, at, row->coefficient, 0);
    double bound = -(water + row->constant) / model->row_unit[at];
    if (side->end != SW_SIDE_MAX)
        model->form.row_low[at] = bound;
    if (side->end != SW_SIDE_MIN)
        model->form.row_high[at] = bound;
}

sw_status sw_model_set_ph(sw_model *model, const sw_content *guess,
                          double *moved, sw_error *error)
{
    *moved = 0;
    for (size_t i = 0; i < model->side_count; i++) {
        const sw_side *side = &model->sides[i];
        if (side->kind != SW_SIDE_PH)
            continue;
        sw_ph_row row;
        sw_status status = sw_ph_row_at(
            side->bound, guess, &model->problem->conditions, &row, error);
        if (status != SW_OK)
            return status;
        sw_ph_row *known = &model->ph_rows[side->index];
        double change = value_at(&row, guess) - value_at(known, guess);
        *moved = fmax(*moved, model->ph_in_force ? fabs(change) : INFINITY);
        *known = row;
        put_in_force(model, side, &row);
    }
    model->ph_in_force = true;
    return SW_OK;
}

double sw_model_ph_slope(const sw_model *model, double ph,
                         const sw_content *finished)
{
    sw_ph_row below;
    sw_ph_row above;
    const sw_conditions *conditions = &model->problem->conditions;
    if (sw_ph_row_at(ph - ph_step, finished, conditions, &below, NULL) ||
        sw_ph_row_at(ph + ph_step, finished, conditions, &above, NULL))
        return NAN;
    return (value_at(&above, finished) - value_at(&below, finished)) /
           (2 * ph_step);
}
