/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The fitted solution is one, the recipes for it may be many: every point with
 * the same deviations has the same sum of squares.  What has a price is held
 * on the whole face (complementary slackness), which leaves a small linear
 * program; often the face is a single point, as its rank tells.
 */
#include "formulate/face.h"

#include "formulate/dense.h"

#include <math.h>

/* Prices below this may be 0: what they hold might be free to move. */
static const double price_tolerance = 1e-9;

/* Holds what has a price, and nothing else. */
static void keep_priced(const sw_form *form, const sw_point *point,
                        const sw_active *active)
{
    for (size_t j = 0; j < form->columns; j++)
        if (form->low[j] < form->high[j] &&
            fabs(point->column_price[j]) <= price_tolerance)
            active->column[j] = SW_BETWEEN;
    for (size_t i = 0; i < form->rows; i++)
        if (form->row_low[i] < form->row_high[i] &&
            fabs(point->row_price[i]) <= price_tolerance)
            active->row[i] = SW_BETWEEN;
}

static double held_at(sw_stand stand, double low, double high)
{
    return stand == SW_AT_HIGH ? high : low;
}

static sw_lp *face_of(sw_solver *solver, const sw_form *form,
                      const sw_terms *same, const sw_active *active)
{
    sw_lp *lp = sw_lp_new(solver, form);
    for (size_t e = 0; e < same->count; e++)
        sw_lp_add_form_row(lp, same->matrix + e * form->columns, same->goal[e],
                           same->goal[e]);
    for (size_t j = 0; j < form->columns; j++) {
        double at = held_at(active->column[j], form->low[j], form->high[j]);
        if (active->column[j] != SW_BETWEEN)
            sw_lp_bound_column(lp, j, at, at);
    }
    for (size_t i = 0; i < form->rows; i++) {
        double at =
            held_at(active->row[i], form->row_low[i], form->row_high[i]);
        if (active->row[i] != SW_BETWEEN)
            sw_lp_bound_row(lp, i, at, at);
    }
    return lp;
}

/* The terms with goals that the point in hand meets exactly. */
static sw_terms met_by(sw_solver *solver, const sw_model *model,
                       const double *y)
{
    sw_terms same = model->terms;
    same.goal = sw_take_numbers(solver, same.count);
    for (size_t e = 0; e < same.count; e++)
        same.goal[e] = sw_row_value(same.matrix, e, model->form.columns, y);
    return same;
}

sw_lp_end sw_settle(sw_solver *solver, const sw_model *model,
                    const sw_active *active, sw_fit *fit)
{
    const sw_form *form = &model->form;
    keep_priced(form, &fit->point, active);
    if (sw_dense_is_unique(solver, form, &model->terms, active))
        return SW_LP_OPTIMAL;
    sw_terms same = met_by(solver, model, fit->point.y);
    sw_lp *lp = face_of(solver, form, &same, active);
    sw_lp_end end = sw_break_ties(solver, model, lp, SW_LP_DUAL);
    if (end != SW_LP_OPTIMAL)
        return end;
    sw_lp_read_active(lp, form, active);
    sw_dense_fit(solver, form, &same, active, &fit->point);
    sw_tuck_in(form, fit->point.y);
    return SW_LP_OPTIMAL;
}
