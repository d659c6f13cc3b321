/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * How near a limit comes to its bound when all others are kept is a linear
 * program.  A ratio A:B gives way in its first part; how far the ratio itself
 * must move is a linear fractional program, solved by a sequence of linear ones
 * (Dinkelbach 1967).
 */
#include "decide/elastic.h"

#include <math.h>
#include <string.h>

enum { MOST_ROUNDS = 40 };

/* What a side may give way more than it did, of itself: rounding. */
static const double room = 1e-9;
/* A ratio has arrived when a step gains less than this share of it. */
static const double still = 1e-13;

/* Least sign * row over the columns, from a point that is possible or not;
 * false without an answer. */
static bool minimise(sw_lp *lp, size_t columns, const double *row, double sign,
                     double *y)
{
    for (size_t j = 0; j < columns; j++)
        sw_lp_set_cost(lp, j, sign * row[j]);
    bool found = sw_lp_solve(lp, SW_LP_PRIMAL) == SW_LP_OPTIMAL;
    for (size_t j = 0; found && j < columns; j++)
        y[j] = sw_lp_value(lp, j);
    return found;
}

/* From a ratio that is possible to the one nearest to its bound. */
static double nearest_ratio(const sw_model *model, const sw_side *side,
                            sw_lp *lp, double sign, double *y, double *cost)
{
    double ratio = sw_side_stand(model, side, y);
    for (int round = 0; round < MOST_ROUNDS && isfinite(ratio); round++) {
        double coefficient[SW_CARRIED_COUNT] = {0};
        coefficient[side->target->component] = 1;
        coefficient[side->target->other] -= ratio;
        sw_model_row(model, coefficient, cost);
        sw_row_scale(cost, model->form.columns,
                     sw_row_largest(cost, model->form.columns));
        if (!minimise(lp, model->form.columns, cost, sign, y))
            break;
        double next = sw_side_stand(model, side, y);
        if (!(sign * (next - ratio) < -still * ratio))
            break;
        ratio = next;
    }
    return isfinite(ratio) ? ratio : NAN;
}

/* As near to its bound as the side comes within `form`, in which it is none;
 * *share of it that it is short of it. */
static double nearest(sw_solver *solver, const sw_model *model,
                      const sw_form *form, const sw_side *side, double *share)
{
    size_t columns = form->columns;
    double *y = sw_take_numbers(solver, columns);
    double *row = sw_take_numbers(solver, columns);
    double bound = sw_side_bound(model, side), stand = NAN;
    double sign = side->end == SW_SIDE_MIN ? -1 : 1;
    sw_lp *lp = sw_lp_new(solver, form);
    if (side->kind == SW_SIDE_PRODUCT)
        row[side->index] = 1;
    else
        memcpy(row, model->form.matrix + side->index * columns,
               columns * sizeof *row);
    bool found = minimise(lp, columns, row, sign, y);
    if (found && side->end == SW_SIDE_FIXED && y[side->index] <= bound)
        found = minimise(lp, columns, row, -sign, y);
    if (found) {
        *share = fabs(sw_side_value(model, side, y) - bound) *
                 sw_side_unit_size(model, side) / sw_ease_size(model, side);
        stand = side->kind == SW_SIDE_RATIO
                    ? nearest_ratio(model, side, lp, sign, y, row)
                    : sw_side_stand(model, side, y);
    }
    sw_lp_free(lp);
    return isfinite(stand) ? stand : NAN;
}

double sw_elastic_alone(sw_solver *solver, const sw_model *model, size_t at,
                        double *share)
{
    sw_form form = sw_form_wider(solver, &model->form, 0, 0);
    sw_side_put(model, &model->sides[at], false, &form);
    *share = NAN;
    return nearest(solver, model, &form, &model->sides[at], share);
}

/* ---- Every side that may ------------------------------------------------ */

/* By how much a side gives way, in shares: below a min, above a max. */
typedef struct sw_give_way {
    double by[2];
} sw_give_way;

/* The bounds of a product become a row, so that they can give way. */
static size_t give_row(const sw_model *model, const sw_side *side,
                       sw_form *form, size_t *rows)
{
    size_t column = side->index;
    if (side->kind != SW_SIDE_PRODUCT)
        return side->index;
    size_t row = (*rows)++;
    form->matrix[row * form->columns + column] = 1;
    form->row_low[row] =
        side->end == SW_SIDE_MAX ? -INFINITY : model->form.low[column];
    form->row_high[row] =
        side->end == SW_SIDE_MIN ? INFINITY : model->form.high[column];
    sw_side_put(model, side, false, form);
    return row;
}

/* The recipe for which the sum of the shares is least by which sides give way,
 * of those that may, into `y`. */
static bool find_least(sw_solver *solver, const sw_model *model,
                       const bool *may_give, sw_give_way *give, double *y)
{
    size_t sides = model->side_count, count = 0, rows = model->form.rows;
    sw_form form = sw_form_wider(solver, &model->form, 0, sides);
    sw_point point = sw_point_take(solver, &form);
    sw_active active = sw_active_take(solver, &form);
    sw_yield *yield = sw_take(solver, 2 * sides, sizeof *yield);
    for (size_t s = 0; s < sides; s++) {
        const sw_side *side = &model->sides[s];
        if (!may_give[s])
            continue;
        size_t row = give_row(model, side, &form, &rows);
        for (int low = 1; low >= 0; low--)
            if (side->end != (low ? SW_SIDE_MAX : SW_SIDE_MIN)) {
                yield[count] = sw_yield_of(model, side, low);
                yield[count++].row = row;
            }
    }
    form.rows = rows;
    if (!isfinite(
            sw_yields_least(solver, &form, yield, count, &point, &active)))
        return false;
    memcpy(y, point.y, form.columns * sizeof *y);
    for (size_t i = 0; i < count; i++)
        give[yield[i].side - model->sides].by[!yield[i].low_end] = yield[i].by;
    return true;
}

/* Every side may give way by what it has, and no more. */
static void keep_shares(const sw_model *model, const sw_give_way *give,
                        const sw_form *form)
{
    for (size_t s = 0; s < model->side_count; s++) {
        const sw_side *side = &model->sides[s];
        bool of_product = side->kind == SW_SIDE_PRODUCT;
        double size = sw_ease_size(model, side) /
                      sw_side_unit_size(model, side) * (1 + room);
        double *low = of_product ? form->low : form->row_low;
        double *high = of_product ? form->high : form->row_high;
        low[side->index] -= give[s].by[0] * size;
        high[side->index] += give[s].by[1] * size;
    }
}

/*
 * A ratio gives way in its first part, wherever its second then is.  With
 * every other side where it now stands, each is brought as near as can be.
 */
static void settle_ratios(sw_solver *solver, const sw_model *model,
                          const sw_give_way *give, double *reached)
{
    sw_model moved = *model;
    double unseen;
    moved.form = sw_form_wider(solver, &moved.form, 0, 0);
    moved.row_unit = sw_take_numbers(solver, moved.form.rows);
    keep_shares(model, give, &moved.form);
    for (size_t s = 0; s < moved.side_count; s++) {
        const sw_side *side = &moved.sides[s];
        if (give[s].by[0] + give[s].by[1] <= 0 || side->kind != SW_SIDE_RATIO)
            continue;
        sw_side_put(model, side, false, &moved.form);
        reached[s] = nearest(solver, model, &moved.form, side, &unseen);
        if (!isnan(reached[s]))
            sw_side_move(&moved, side, reached[s]);
    }
}

double sw_elastic_sum(sw_solver *solver, const sw_model *model,
                      const bool *may_give, double *share, double *reached)
{
    double *y = sw_take_numbers(solver, model->form.columns);
    sw_give_way *give = sw_take(solver, model->side_count, sizeof *give);
    double total = 0;
    if (!find_least(solver, model, may_give, give, y))
        return NAN;
    for (size_t s = 0; s < model->side_count; s++) {
        share[s] = give[s].by[0] + give[s].by[1];
        total += share[s];
        if (share[s] > 0)
            reached[s] = sw_side_stand(model, &model->sides[s], y);
    }
    settle_ratios(solver, model, give, reached);
    return total;
}
