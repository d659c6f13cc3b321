/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Elastic programming (Brown & Graves 1975; Chinneck 2008, chapter 6): each
 * limit gets a column that lets it give way at a cost, here 1 for a whole of
 * itself, and the sum is made least by a linear program.  A ratio A:B gives
 * way in its first part; how far the ratio itself must move is a linear
 * fractional program, solved by a sequence of linear ones (Dinkelbach 1967).
 */
#include "decide/elastic.h"

#include "chemistry/equilibrate.h"

#include <math.h>
#include <string.h>

enum { NO_COLUMN = -1, MOST_ROUNDS = 40 };

/* Shares below it are the rounding of a simplex method. */
static const double no_share = 1e-9;
/* A ratio has arrived when a step gains less than this share of it. */
static const double still = 1e-13;
/* What a share is of where a limit is 0, in its unit, and of a pH, meq/L. */
static const double unit_size = 1.0;
/* A ratio below its own bound may do better by this much and no more. */
static const double deepest = 1e6;

/* A usual amount of a ratio's second part. */
static double usual_of(const sw_target *target, sw_component component)
{
    for (size_t i = 0; i < target->count; i++) {
        const sw_target_row *row = &target->rows[i];
        if (row->kind != SW_TARGET_COMPONENT || row->component != component)
            continue;
        if (row->target > 0)
            return row->target;
        if (row->max > 0)
            return row->max;
    }
    return 100 * unit_size;
}

/* What a share of the side is of, in the unit of its row. */
static double size_of(const sw_model *model, const sw_side *side)
{
    if (side->kind == SW_SIDE_PH || !(side->bound > 0))
        return unit_size;
    if (side->kind == SW_SIDE_RATIO)
        return side->bound *
               usual_of(model->problem->target, side->target->other);
    return side->bound;
}

static double unit_of(const sw_model *model, const sw_side *side)
{
    return side->kind == SW_SIDE_PRODUCT ? model->unit[side->index]
                                         : model->row_unit[side->index];
}

static sw_form take_form(sw_solver *solver, const sw_model *model)
{
    size_t columns = model->form.columns + 2 * model->side_count;
    size_t rows = model->form.rows + model->products;
    return (sw_form){.columns = model->form.columns,
                     .rows = model->form.rows,
                     .matrix = sw_take_numbers(solver, rows * columns),
                     .low = sw_take_numbers(solver, columns),
                     .high = sw_take_numbers(solver, columns),
                     .row_low = sw_take_numbers(solver, rows),
                     .row_high = sw_take_numbers(solver, rows)};
}

/* The model's part; the matrix is as wide as it will be in the end. */
static void copy_model(sw_elastic *elastic, size_t columns)
{
    const sw_form *from = &elastic->model->form;
    sw_form *to = &elastic->form;
    memcpy(to->low, from->low, from->columns * sizeof *to->low);
    memcpy(to->high, from->high, from->columns * sizeof *to->high);
    memcpy(to->row_low, from->row_low, from->rows * sizeof *to->row_low);
    memcpy(to->row_high, from->row_high, from->rows * sizeof *to->row_high);
    for (size_t i = 0; i < from->rows; i++)
        memcpy(to->matrix + i * columns, from->matrix + i * from->columns,
               from->columns * sizeof *to->matrix);
    to->columns = columns;
}

/* The bounds of a product become a row, so that they can give way. */
static size_t row_of_product(sw_elastic *elastic, const sw_side *side,
                             size_t *row_of_column)
{
    sw_form *form = &elastic->form;
    size_t column = side->index;
    if (!row_of_column[column]) {
        size_t row = form->rows++;
        form->matrix[row * form->columns + column] = 1;
        form->row_low[row] = -INFINITY;
        form->row_high[row] = INFINITY;
        row_of_column[column] = row + 1;
    }
    size_t row = row_of_column[column] - 1;
    double bound = side->bound / elastic->model->unit[column];
    if (side->end != SW_SIDE_MAX) {
        form->row_low[row] = bound;
        form->low[column] = 0;
    }
    if (side->end != SW_SIDE_MIN) {
        form->row_high[row] = bound;
        form->high[column] = sw_model_high_freed(elastic->model, column);
    }
    return row;
}

static void add_give(sw_elastic *elastic, size_t side, bool above, size_t *next)
{
    sw_form *form = &elastic->form;
    double coefficient = elastic->size[side] /
                         unit_of(elastic->model, &elastic->model->sides[side]);
    form->high[*next] = INFINITY;
    form->matrix[elastic->row[side] * form->columns + *next] =
        above ? -coefficient : coefficient;
    elastic->give[2 * side + above] = (*next)++;
}

sw_elastic sw_elastic_make(sw_solver *solver, const sw_model *model)
{
    size_t sides = model->side_count;
    size_t columns = model->form.columns;
    for (size_t s = 0; s < sides; s++)
        columns += model->sides[s].end == SW_SIDE_FIXED ? 2 : 1;
    sw_elastic made = {.solver = solver,
                       .model = model,
                       .form = take_form(solver, model),
                       .row = sw_take(solver, sides, sizeof(size_t)),
                       .give = sw_take(solver, 2 * sides, sizeof(size_t)),
                       .size = sw_take_numbers(solver, sides),
                       .y = sw_take_numbers(solver, columns)};
    copy_model(&made, columns);
    size_t next = model->form.columns;
    size_t *row_of_column =
        sw_take(solver, model->form.columns, sizeof(size_t));
    for (size_t s = 0; s < sides; s++) {
        const sw_side *side = &model->sides[s];
        made.size[s] = size_of(model, side);
        made.row[s] = side->kind == SW_SIDE_PRODUCT
                          ? row_of_product(&made, side, row_of_column)
                          : side->index;
        made.give[2 * s] = made.give[2 * s + 1] = (size_t)NO_COLUMN;
        if (side->end != SW_SIDE_MAX)
            add_give(&made, s, false, &next);
        if (side->end != SW_SIDE_MIN)
            add_give(&made, s, true, &next);
    }
    return made;
}

/* Solves with these costs; leaves the point in y. */
static bool solve(sw_elastic *elastic, const double *cost)
{
    sw_lp *lp = sw_lp_new(elastic->solver, &elastic->form);
    for (size_t j = 0; j < elastic->form.columns; j++)
        sw_lp_set_cost(lp, j, cost[j]);
    bool solved = sw_lp_solve(lp, SW_LP_PRIMAL) == SW_LP_OPTIMAL;
    for (size_t j = 0; solved && j < elastic->form.columns; j++)
        elastic->y[j] = sw_lp_value(lp, j);
    sw_lp_free(lp);
    return solved;
}

static double value_of_give(const sw_elastic *elastic, size_t side)
{
    double sum = 0;
    for (size_t k = 2 * side; k < 2 * side + 2; k++)
        if (elastic->give[k] != (size_t)NO_COLUMN)
            sum += elastic->y[elastic->give[k]];
    return sum;
}

static double ratio_at(const sw_elastic *elastic, const sw_side *side)
{
    sw_content finished;
    sw_model_content(elastic->model, elastic->y, &finished);
    return finished.amount[side->target->component] /
           finished.amount[side->target->other];
}

static double ph_at(const sw_elastic *elastic)
{
    sw_content finished;
    sw_chemistry chemistry;
    sw_model_content(elastic->model, elastic->y, &finished);
    sw_status status =
        sw_equilibrate_briefly(&finished, &elastic->model->problem->conditions,
                               SW_CARBONATE_KEPT, &chemistry, NULL);
    return status == SW_OK ? chemistry.ph : NAN;
}

/* Where the side stands at the point found, in the user's unit. */
static double stand_of(const sw_elastic *elastic, size_t at)
{
    const sw_side *side = &elastic->model->sides[at];
    if (side->kind == SW_SIDE_RATIO)
        return ratio_at(elastic, side);
    if (side->kind == SW_SIDE_PH)
        return ph_at(elastic);
    double by = 0;
    for (size_t k = 0; k < 2; k++) {
        size_t column = elastic->give[2 * at + k];
        if (column != (size_t)NO_COLUMN)
            by += (k ? 1 : -1) * elastic->y[column];
    }
    return side->bound + by * elastic->size[at];
}

/* Rates that set our ceilings: what they promise is let through. */
static bool keeps(const sw_elastic *elastic, size_t at)
{
    const sw_side *side = &elastic->model->sides[at];
    return elastic->keeps_rates && side->kind == SW_SIDE_PRODUCT &&
           side->end != SW_SIDE_MAX;
}

/* Only the columns of side `at` may be anything but 0, from `low` up. */
static void release_only(sw_elastic *elastic, size_t at, double low,
                         double *cost)
{
    sw_form *form = &elastic->form;
    for (size_t j = elastic->model->form.columns; j < form->columns; j++) {
        bool mine =
            j == elastic->give[2 * at] || j == elastic->give[2 * at + 1];
        form->low[j] = mine ? low : 0;
        form->high[j] = mine ? INFINITY : 0;
        cost[j] = mine ? 1 : 0;
    }
}

static void release_all(sw_elastic *elastic)
{
    sw_form *form = &elastic->form;
    for (size_t k = 0; k < 2 * elastic->model->side_count; k++) {
        size_t column = elastic->give[k];
        if (column == (size_t)NO_COLUMN)
            continue;
        form->low[column] = 0;
        form->high[column] = keeps(elastic, k / 2) ? 0 : INFINITY;
    }
}

/* The row of a ratio's side, asking for `bound`: A - bound B against 0. */
static void ask_ratio(sw_elastic *elastic, size_t at, double bound)
{
    const sw_side *side = &elastic->model->sides[at];
    sw_form *form = &elastic->form;
    double coefficient[SW_CARRIED_COUNT] = {0};
    coefficient[side->target->component] = 1;
    coefficient[side->target->other] -= bound;
    double *row = form->matrix + elastic->row[at] * form->columns;
    double unit = elastic->model->row_unit[side->index];
    double water = sw_model_row(elastic->model, coefficient, row);
    for (size_t j = 0; j < elastic->model->form.columns; j++)
        row[j] /= unit;
    if (side->end == SW_SIDE_MIN)
        form->row_low[elastic->row[at]] = -water / unit;
    else
        form->row_high[elastic->row[at]] = -water / unit;
}

/*
 * From a ratio that is possible to the one nearest to its bound, with what the
 * other sides are left; `cost` is of the columns of side `at`.
 */
static double nearest_ratio(sw_elastic *elastic, size_t at, const double *cost)
{
    const sw_side *side = &elastic->model->sides[at];
    double ratio = ratio_at(elastic, side);
    for (int round = 0; round < MOST_ROUNDS && isfinite(ratio); round++) {
        ask_ratio(elastic, at, ratio);
        if (!solve(elastic, cost))
            break;
        double next = ratio_at(elastic, side);
        bool nearer = fabs(next - side->bound) <
                      fabs(ratio - side->bound) - still * ratio;
        if (!nearer)
            break;
        ratio = next;
    }
    ask_ratio(elastic, at, side->bound);
    return isfinite(ratio) ? ratio : NAN;
}

/* Every side may give way by what it has, and no more. */
static void keep_shares(sw_elastic *elastic)
{
    sw_form *form = &elastic->form;
    for (size_t j = elastic->model->form.columns; j < form->columns; j++)
        form->high[j] = fmax(elastic->y[j], 0) * (1 + no_share);
}

/*
 * A ratio gives way in its first part, wherever its second then is.  With
 * every other side where it now stands, each is brought as near as can be.
 */
static void settle_ratios(sw_elastic *elastic, const double *share,
                          double *reached)
{
    const sw_model *model = elastic->model;
    double *cost = sw_take_numbers(elastic->solver, elastic->form.columns);
    keep_shares(elastic);
    for (size_t s = 0; s < model->side_count; s++) {
        size_t own =
            elastic->give[2 * s + (model->sides[s].end != SW_SIDE_MIN)];
        if (share[s] <= 0 || model->sides[s].kind != SW_SIDE_RATIO)
            continue;
        elastic->form.low[own] = -deepest;
        elastic->form.high[own] = INFINITY;
        cost[own] = 1;
        reached[s] = nearest_ratio(elastic, s, cost);
        cost[own] = elastic->form.low[own] = elastic->form.high[own] = 0;
        if (!isnan(reached[s]))
            ask_ratio(elastic, s, reached[s]);
    }
    for (size_t s = 0; s < model->side_count; s++)
        if (model->sides[s].kind == SW_SIDE_RATIO)
            ask_ratio(elastic, s, model->sides[s].bound);
    release_all(elastic);
}

double sw_elastic_least(sw_elastic *elastic, double *share, double *reached)
{
    double *cost = sw_take_numbers(elastic->solver, elastic->form.columns);
    for (size_t j = elastic->model->form.columns; j < elastic->form.columns;
         j++)
        cost[j] = 1;
    release_all(elastic);
    if (!solve(elastic, cost))
        return NAN;
    double total = 0;
    for (size_t s = 0; s < elastic->model->side_count; s++) {
        share[s] = value_of_give(elastic, s);
        total += share[s];
        if (share[s] <= no_share)
            share[s] = 0;
        else
            reached[s] = stand_of(elastic, s);
    }
    settle_ratios(elastic, share, reached);
    return total;
}

double sw_elastic_alone(sw_elastic *elastic, size_t at, double *share)
{
    const sw_side *side = &elastic->model->sides[at];
    double *cost = sw_take_numbers(elastic->solver, elastic->form.columns);
    double reached = NAN;
    *share = NAN;
    release_only(elastic, at, 0, cost);
    if (solve(elastic, cost)) {
        *share = value_of_give(elastic, at);
        reached = stand_of(elastic, at);
    }
    if (side->kind == SW_SIDE_RATIO && isfinite(reached)) {
        release_only(elastic, at, -deepest, cost);
        reached = nearest_ratio(elastic, at, cost);
    }
    release_all(elastic);
    return isfinite(reached) ? reached : NAN;
}
