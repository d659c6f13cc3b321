/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * How near a limit on the pH acids and bases can come that do not keep it.  A
 * linear program finds the least or the most the row can be under all other
 * limits; what has a price there is held where it stands.
 */
#include "formulate/fit.h"

/* A row this near its bound keeps it: rounding of a row near 1. */
static const double rounding = 1e-9;

/* Whatever has a price stays, which leaves exactly the points that reach as
 * far. */
static void hold_there(sw_solver *solver, sw_model *model, const sw_lp *lp,
                       sw_reached *reached)
{
    sw_form *form = &model->form;
    sw_active active = sw_active_take(solver, form);
    sw_point point = sw_point_take(solver, form);
    for (size_t j = 0; j < form->columns; j++)
        point.column_price[j] = sw_lp_column_price(lp, j);
    for (size_t i = 0; i < form->rows; i++)
        point.row_price[i] = sw_lp_row_price(lp, i);
    sw_lp_read_active(lp, form, &active);
    *form = sw_face_of(solver, form, &point, &active, 0);
    reached->held = point;
    reached->is_held = true;
}

/* The side in force again, or as near as can be.  False when the program had no
 * answer. */
static bool reach_side(sw_solver *solver, sw_model *model,
                       const sw_model *given, const sw_side *side,
                       sw_reached *reached)
{
    size_t columns = model->form.columns;
    const double *row = model->form.matrix + side->index * columns;
    double *best = sw_take_numbers(solver, columns);
    double sign = side->end == SW_SIDE_MIN ? -1 : 1;
    sw_lp *lp = sw_lp_new(solver, &model->form);
    bool found = sw_lp_minimise(lp, row, sign, best);
    double miss =
        sign * (sw_side_value(given, side, best) - sw_side_bound(given, side));
    if (found && miss > rounding) {
        reached->miss_meq_per_l += miss * model->row_unit[side->index];
        hold_there(solver, model, lp, reached);
    } else {
        sw_side_put(given, side, true, &model->form);
    }
    sw_lp_free(lp);
    return found;
}

bool sw_model_reach_ph(sw_solver *solver, sw_model *model, const double *y,
                       sw_reached *reached)
{
    double moved;
    *reached = (sw_reached){0};
    model->levers = SW_LEVERS_AGENTS;
    if (sw_model_set_ph(model, y, &moved, NULL) != SW_OK)
        return false;
    /* no row of the pH counts until its turn comes */
    sw_model given = *model;
    given.form = sw_form_wider(solver, &model->form, 0, 0);
    for (size_t s = 0; s < model->side_count; s++)
        if (model->sides[s].kind == SW_SIDE_PH)
            sw_side_put(&given, &model->sides[s], false, &model->form);
    for (size_t s = 0; s < model->side_count; s++)
        if (model->sides[s].kind == SW_SIDE_PH &&
            !reach_side(solver, model, &given, &model->sides[s], reached))
            return false;
    return true;
}
