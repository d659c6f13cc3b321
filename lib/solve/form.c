/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Storage and products of the scaled linear form that every objective, the
 * certificate and the conflict filter share.
 */
#include "solve/form.h"

#include <math.h>
#include <string.h>

/* Columns are scaled near 1. */
static const double tuck = 1e-10;
/* A bound passed by less is not passed. */
static const double hair = 1e-12;
/* Of the same point by another set. */
static const double rounding = 1e-11;

static double *longer(sw_solver *solver, const double *from, size_t count,
                      size_t more)
{
    double *made = sw_take_numbers(solver, count + more);
    if (count > 0)
        memcpy(made, from, count * sizeof *made);
    return made;
}

sw_form sw_form_wider(sw_solver *solver, const sw_form *form, size_t columns,
                      size_t rows)
{
    size_t n = form->columns + columns;
    sw_form made = {
        .columns = n,
        .rows = form->rows + rows,
        .matrix = sw_take_numbers(solver, (form->rows + rows) * n),
        .low = longer(solver, form->low, form->columns, columns),
        .high = longer(solver, form->high, form->columns, columns),
        .row_low = longer(solver, form->row_low, form->rows, rows),
        .row_high = longer(solver, form->row_high, form->rows, rows),
    };
    for (size_t i = 0; i < form->rows; i++)
        memcpy(made.matrix + i * n, form->matrix + i * form->columns,
               form->columns * sizeof(double));
    return made;
}

void sw_form_put_bounds(const sw_form *form, const sw_form *to)
{
    memcpy(to->low, form->low, form->columns * sizeof(double));
    memcpy(to->high, form->high, form->columns * sizeof(double));
    memcpy(to->row_low, form->row_low, form->rows * sizeof(double));
    memcpy(to->row_high, form->row_high, form->rows * sizeof(double));
}

sw_active sw_active_take(sw_solver *solver, const sw_form *form)
{
    return (sw_active){
        .column = sw_take(solver, form->columns, sizeof(sw_stand)),
        .row = sw_take(solver, form->rows, sizeof(sw_stand)),
    };
}

void sw_active_copy(const sw_form *form, const sw_active *from,
                    const sw_active *to)
{
    memcpy(to->column, from->column, form->columns * sizeof *to->column);
    memcpy(to->row, from->row, form->rows * sizeof *to->row);
}

sw_point sw_point_take(sw_solver *solver, const sw_form *form)
{
    return (sw_point){
        .y = sw_take_numbers(solver, form->columns),
        .row_price = sw_take_numbers(solver, form->rows),
        .column_price = sw_take_numbers(solver, form->columns),
    };
}

void sw_point_copy(const sw_form *form, const sw_point *from,
                   const sw_point *to)
{
    memcpy(to->y, from->y, form->columns * sizeof(double));
    memcpy(to->row_price, from->row_price, form->rows * sizeof(double));
    memcpy(to->column_price, from->column_price,
           form->columns * sizeof(double));
}

sw_gradient sw_gradient_take(sw_solver *solver, const sw_form *form)
{
    return (sw_gradient){
        .value = sw_take_numbers(solver, form->columns),
        .size = sw_take_numbers(solver, form->columns),
    };
}

double sw_row_value(const double *matrix, size_t row, size_t columns,
                    const double *y)
{
    const double *a = matrix + row * columns;
    double sum = 0;
    for (size_t j = 0; j < columns; j++)
        sum += a[j] * y[j];
    return sum;
}

double sw_power_of_two(double near)
{
    return near > 0 && isfinite(near) ? ldexp(1, ilogb(near)) : 1;
}

double sw_row_largest(const double *row, size_t columns)
{
    double most = 0;
    for (size_t j = 0; j < columns; j++)
        most = fmax(most, fabs(row[j]));
    return most;
}

double sw_row_scale(double *row, size_t columns, double largest)
{
    double unit = sw_power_of_two(largest);
    for (size_t j = 0; j < columns; j++)
        row[j] /= unit;
    return unit;
}

double sw_terms_value(const sw_terms *terms, size_t columns, const double *y,
                      double *deviation)
{
    double sum = 0;
    for (size_t e = 0; e < terms->count; e++) {
        deviation[e] =
            sw_row_value(terms->matrix, e, columns, y) - terms->goal[e];
        sum += deviation[e] * deviation[e];
    }
    return sum;
}

void sw_form_bound_term(const sw_form *form, size_t row, const sw_terms *terms,
                        size_t e, double low, double high)
{
    memcpy(sw_form_at(form, row, 0), terms->matrix + e * form->columns,
           form->columns * sizeof *form->matrix);
    form->row_low[row] = low;
    form->row_high[row] = high;
}

void sw_form_bound_deviation(const sw_form *form, size_t row,
                             const sw_terms *terms, size_t e, size_t columns,
                             size_t by)
{
    for (int side = -1; side <= 1; side += 2, row++) {
        memcpy(sw_form_at(form, row, 0), terms->matrix + e * columns,
               columns * sizeof *terms->matrix);
        *sw_form_at(form, row, by) = side;
        form->row_low[row] = side < 0 ? -INFINITY : terms->goal[e];
        form->row_high[row] = side < 0 ? terms->goal[e] : INFINITY;
    }
}

void sw_terms_gradient(const sw_terms *terms, size_t columns,
                       const double *deviation, const sw_gradient *gradient)
{
    memset(gradient->value, 0, columns * sizeof *gradient->value);
    memset(gradient->size, 0, columns * sizeof *gradient->size);
    for (size_t e = 0; e < terms->count; e++)
        for (size_t j = 0; j < columns; j++) {
            double part = 2 * terms->matrix[e * columns + j] * deviation[e];
            gradient->value[j] += part;
            gradient->size[j] += fabs(part);
        }
}

static bool is_within(double at, double low, double high)
{
    return at >= low - hair * (1 + fabs(low)) &&
           at <= high + hair * (1 + fabs(high));
}

bool sw_form_allows(const sw_form *form, const double *y)
{
    for (size_t j = 0; j < form->columns; j++)
        if (!is_within(y[j], form->low[j], form->high[j]))
            return false;
    for (size_t i = 0; i < form->rows; i++)
        if (!is_within(sw_row_value(form->matrix, i, form->columns, y),
                       form->row_low[i], form->row_high[i]))
            return false;
    return true;
}

bool sw_form_has(const sw_form *form, const sw_active *active)
{
    for (size_t j = 0; j < form->columns; j++)
        if (active->column[j] == SW_AT_HIGH && form->high[j] == INFINITY)
            return false;
    for (size_t i = 0; i < form->rows; i++)
        if ((active->row[i] == SW_AT_LOW && form->row_low[i] == -INFINITY) ||
            (active->row[i] == SW_AT_HIGH && form->row_high[i] == INFINITY))
            return false;
    return true;
}

/* What is fixed stands there, whatever rounding leaves of it. */
static sw_stand stand_at(double at, double low, double high)
{
    if (!(low < high))
        return SW_AT_LOW;
    bool is_low = low > -INFINITY && at <= low + hair * (1 + fabs(low));
    bool is_high = high < INFINITY && at >= high - hair * (1 + fabs(high));
    return is_low ? SW_AT_LOW : is_high ? SW_AT_HIGH : SW_BETWEEN;
}

void sw_form_stands(const sw_form *form, const double *y,
                    const sw_active *active)
{
    for (size_t j = 0; j < form->columns; j++)
        active->column[j] = stand_at(y[j], form->low[j], form->high[j]);
    for (size_t i = 0; i < form->rows; i++)
        active->row[i] =
            stand_at(sw_row_value(form->matrix, i, form->columns, y),
                     form->row_low[i], form->row_high[i]);
}

bool sw_is_near(const double *y, const double *other, size_t columns)
{
    for (size_t j = 0; j < columns; j++)
        if (!(fabs(y[j] - other[j]) <= rounding * (1 + fabs(other[j]))))
            return false;
    return true;
}

void sw_tuck_in(const sw_form *form, double *y)
{
    for (size_t j = 0; j < form->columns; j++) {
        double inside = fmin(fmax(y[j], form->low[j]), form->high[j]);
        if (fabs(inside - y[j]) <= tuck * (1 + fabs(inside)))
            y[j] = inside;
    }
}

void sw_form_take_in(const sw_form *form, const double *y)
{
    for (size_t i = 0; i < form->rows; i++) {
        double at = sw_row_value(form->matrix, i, form->columns, y);
        form->row_low[i] = fmin(form->row_low[i], at);
        form->row_high[i] = fmax(form->row_high[i], at);
    }
}
