/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The certificate.  For convex f and any feasible z,
 *     f(z) >= f(y) + g.(z - y),  g the gradient at y,
 * and with any prices p of the rows a_i and r = g - sum p_i a_i,
 *     g.(z - y) = sum r_j (z_j - y_j) + sum p_i a_i.(z - y),
 * each term of which has a known least value over the bounds of z_j and of
 * a_i.z (Boyd & Vandenberghe 2004, sections 3.1.3 and 5.5.3).  The sum of
 * these least values bounds the optimum from below whether or not the prices
 * are the right ones; at the optimum it is 0.  Rounding of r is counted in.
 */
#include "formulate/certificate.h"

#include <float.h>
#include <math.h>

/* Most that -price (z - at) can gain for z within low and high. */
static double gain(double price, double at, double low, double high)
{
    if (price > 0)
        return price * fmax(at - low, 0);
    return price < 0 ? -price * fmax(high - at, 0) : 0;
}

static double outside(double at, double low, double high)
{
    double past = fmax(low - at, at - high);
    return past > 0 ? past / (1 + fabs(at)) : 0;
}

/* Complementarity: either the price or the distance to its bound is 0. */
static double apart(double price, double at, double low, double high)
{
    double distance = price > 0 ? at - low : high - at;
    return fmin(fabs(price), fmax(distance, 0));
}

static void drop_wrong_prices(const sw_form *form, const sw_point *point)
{
    for (size_t i = 0; i < form->rows; i++) {
        bool wrong =
            (point->row_price[i] > 0 && form->row_low[i] == -INFINITY) ||
            (point->row_price[i] < 0 && form->row_high[i] == INFINITY);
        if (wrong)
            point->row_price[i] = 0;
    }
}

/* r_j, and the sum of the sizes of what it is the difference of. */
static double column_price(const sw_form *form, const double *gradient,
                           const sw_point *point, size_t j)
{
    double left = gradient[j];
    double size = fabs(gradient[j]);
    for (size_t i = 0; i < form->rows; i++) {
        double part = point->row_price[i] * form->matrix[i * form->columns + j];
        left -= part;
        size += fabs(part);
    }
    point->column_price[j] = left;
    return size;
}

static void prove_columns(const sw_form *form, const double *gradient,
                          const double *ceiling, const sw_point *point,
                          sw_proof *proof)
{
    for (size_t j = 0; j < form->columns; j++) {
        double size = column_price(form, gradient, point, j);
        double price = point->column_price[j];
        double y = point->y[j];
        double low = form->low[j];
        double span = fmax(y - low, ceiling[j] - y);
        if (!isfinite(y) || !isfinite(price))
            proof->kkt = INFINITY;
        double rounding = (double)(form->rows + 2) * DBL_EPSILON * size;
        proof->slack += gain(price, y, low, ceiling[j]) + rounding * span;
        proof->kkt = fmax(proof->kkt, outside(y, low, form->high[j]));
        proof->kkt =
            fmax(proof->kkt, apart(price / (1 + size), y, low, form->high[j]));
    }
}

sw_proof sw_prove(const sw_form *form, const double *gradient,
                  const double *ceiling, const sw_point *point)
{
    sw_proof proof = {0};
    drop_wrong_prices(form, point);
    prove_columns(form, gradient, ceiling, point, &proof);
    for (size_t i = 0; i < form->rows; i++) {
        double at = sw_row_value(form->matrix, i, form->columns, point->y);
        double low = form->row_low[i];
        double high = form->row_high[i];
        double price = point->row_price[i];
        proof.slack += gain(price, at, low, high);
        proof.kkt = fmax(proof.kkt, outside(at, low, high));
        if (price != 0)
            proof.kkt = fmax(proof.kkt, apart(price, at, low, high));
    }
    return proof;
}

/* Least value of the row over the bounds. */
static double least_activity(const sw_form *form, const double *a,
                             const double *ceiling)
{
    double sum = 0;
    for (size_t j = 0; j < form->columns; j++)
        sum += a[j] > 0 ? a[j] * form->low[j] : a[j] * ceiling[j];
    return sum;
}

void sw_lower_ceiling(const sw_form *form, const double *matrix, size_t rows,
                      const double *row_high, double *ceiling)
{
    for (size_t i = 0; i < rows; i++) {
        const double *a = matrix + i * form->columns;
        if (row_high[i] == INFINITY)
            continue;
        double room = fmax(row_high[i] - least_activity(form, a, ceiling), 0);
        for (size_t j = 0; j < form->columns; j++)
            if (a[j] > 0)
                ceiling[j] = fmin(ceiling[j], form->low[j] + room / a[j]);
    }
}
