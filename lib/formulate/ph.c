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

bool sw_model_has_ph(const sw_model *model)
{
    for (size_t i = 0; i < model->side_count; i++)
        if (model->sides[i].kind == SW_SIDE_PH)
            return true;
    return false;
}

static bool moves(const sw_model *model, size_t column)
{
    return !model->ph_at || column >= model->products ||
           model->ph_plan->moves[model->shelf_index[column]];
}

/* Takes what does not move out of the row; meq/L it brings at ph_at. */
static double hold(sw_model *model, size_t at)
{
    size_t columns = model->form.columns;
    double *row = model->form.matrix + at * columns;
    double held = 0;
    for (size_t j = 0; j < columns; j++)
        if (!moves(model, j)) {
            held += row[j] * model->ph_at[j];
            row[j] = 0;
        }
    held *= model->row_unit[at];
    model->row_unit[at] *=
        sw_row_scale(row, columns, sw_row_largest(row, columns));
    return held;
}

/* Above 0 is more alkaline: a min keeps it from below, a max from above, a pH
 * held from both. */
static void put_in_force(sw_model *model, const sw_side *side,
                         const sw_ph_row *row)
{
    size_t at = side->index;
    double rest = row->constant;
    rest += sw_model_fill_row(model, at, row->coefficient, 0);
    model->ph_held[at] = hold(model, at);
    rest += model->ph_held[at];
    double bound = -rest / model->row_unit[at];
    model->form.row_low[at] = side->end == SW_SIDE_MAX ? -INFINITY : bound;
    model->form.row_high[at] = side->end == SW_SIDE_MIN ? INFINITY : bound;
}

/* meq/L that `row` has of `guess` in what does not move. */
static double held_of(const sw_model *model, const sw_ph_row *row)
{
    double sum = 0;
    for (size_t j = 0; j < model->products; j++)
        if (!moves(model, j))
            sum += model->ph_at[j] * model->unit[j] *
                   sw_ph_row_sum(row, &sw_model_product(model, j)->per_g);
    return sum;
}

/* What the row in force says of `guess`. */
static double said_of(const sw_model *model, size_t at, const sw_content *guess)
{
    const sw_ph_row *row = &model->ph_rows[at];
    double held = model->ph_held[at] - held_of(model, row);
    return sw_ph_row_sum(row, guess) + row->constant + held;
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
        double change = sw_ph_row_sum(&row, guess) + row.constant -
                        said_of(model, side->index, guess);
        *moved = fmax(*moved, model->ph_in_force ? fabs(change) : INFINITY);
        model->ph_rows[side->index] = row;
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
    double rise = sw_ph_row_sum(&above, finished) + above.constant -
                  sw_ph_row_sum(&below, finished) - below.constant;
    return rise / (2 * ph_step);
}
