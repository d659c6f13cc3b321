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
#include "solve/form.h"

#include <float.h>
#include <math.h>

/* What orthogonal factors leave of a price that should be 0. */
static const double price_rounding = 200 * DBL_EPSILON;

/* Most that -price (z - at) can gain for z within low and high. */
static double gain(double price, double at, double low, double high)
{
    if (price > 0)
        return price * fmax(at - low, 0);
    return price < 0 ? -price * fmax(high - at, 0) : 0;
}

/* A value and the sum of the sizes of what it was summed from. */
typedef struct sw_sum {
    double value;
    double size;
} sw_sum;

static double outside(sw_sum at, double low, double high)
{
    double past = fmax(low - at.value, at.value - high);
    return past > 0 ? past / (1 + at.size) : 0;
}

/*
 * Complementarity: either the price or the distance to its bound is 0.  A
 * price is held against the steepest slope of the objective, as orthogonal
 * factors are exact in norm.
 */
static double apart(double price, double steepest, sw_sum at, double low,
                    double high)
{
    double distance = price > 0 ? at.value - low : high - at.value;
    return fmin(fabs(price) / (1 + steepest),
                fmax(distance, 0) / (1 + at.size));
}

static double steepest_of(const sw_form *form, const sw_gradient *gradient)
{
    double most = 0;
    for (size_t j = 0; j < form->columns; j++)
        most = fmax(most, gradient->size[j]);
    return most;
}

/*
 * Any prices prove a bound; those of the wrong sign prove none, and those
 * that are only rounding prove a poor one where a column has a high ceiling.
 */
static void drop_useless_prices(const sw_form *form, double steepest,
                                const sw_point *point)
{
    for (size_t i = 0; i < form->rows; i++) {
        double price = point->row_price[i];
        bool wrong = (price > 0 && form->row_low[i] == -INFINITY) ||
                     (price < 0 && form->row_high[i] == INFINITY);
        if (wrong || fabs(price) <= price_rounding * (1 + steepest))
            point->row_price[i] = 0;
    }
}

/* r_j = g_j - sum p_i a_ij */
static sw_sum column_price(const sw_form *form, const sw_gradient *gradient,
                           const sw_point *point, size_t j)
{
    sw_sum left = {gradient->value[j], gradient->size[j]};
    for (size_t i = 0; i < form->rows; i++) {
        double part = point->row_price[i] * form->matrix[i * form->columns + j];
        left.value -= part;
        left.size += fabs(part);
    }
    point->column_price[j] = left.value;
    return left;
}

static void prove_column(const sw_form *form, const sw_gradient *gradient,
                         const double *ceiling, const sw_point *point, size_t j,
                         sw_proof *proof)
{
    sw_sum price = column_price(form, gradient, point, j);
    double rounding = (double)(form->rows + 2) * DBL_EPSILON * price.size;
    double y = point->y[j];
    double low = form->low[j];
    double span = fmax(y - low, ceiling[j] - y);
    if (!isfinite(y) || !isfinite(price.value))
        proof->kkt = INFINITY;
    proof->slack += gain(price.value, y, low, ceiling[j]) + rounding * span;
}

static void check_column(const sw_form *form, const sw_point *point,
                         double steepest, size_t j, sw_proof *proof)
{
    sw_sum at = {point->y[j], fabs(point->y[j])};
    double low = form->low[j];
    double high = form->high[j];
    proof->outside = fmax(proof->outside, outside(at, low, high));
    proof->kkt = fmax(proof->kkt,
                      apart(point->column_price[j], steepest, at, low, high));
}

static sw_sum row_at(const sw_form *form, size_t i, const double *y)
{
    sw_sum at = {0, 0};
    for (size_t j = 0; j < form->columns; j++) {
        double part = form->matrix[i * form->columns + j] * y[j];
        at.value += part;
        at.size += fabs(part);
    }
    return at;
}

static void prove_row(const sw_form *form, const sw_point *point,
                      double steepest, size_t i, sw_proof *proof)
{
    double low = form->row_low[i];
    double high = form->row_high[i];
    double price = point->row_price[i];
    sw_sum at = row_at(form, i, point->y);
    proof->outside = fmax(proof->outside, outside(at, low, high));
    if (price == 0)
        return;
    proof->slack += gain(price, at.value, low, high);
    proof->kkt = fmax(proof->kkt, apart(price, steepest, at, low, high));
}

sw_proof sw_prove(const sw_form *form, const sw_gradient *gradient,
                  const double *ceiling, const sw_point *point)
{
    sw_proof proof = {0};
    double steepest = steepest_of(form, gradient);
    drop_useless_prices(form, steepest, point);
    for (size_t j = 0; j < form->columns; j++) {
        prove_column(form, gradient, ceiling, point, j, &proof);
        check_column(form, point, steepest, j, &proof);
    }
    for (size_t i = 0; i < form->rows; i++)
        prove_row(form, point, steepest, i, &proof);
    proof.kkt = fmax(proof.kkt, proof.outside);
    return proof;
}

/* ---- That there is no point --------------------------------------------- */

/* What a program may let pass of each row, and of rounding of each column. */
static const double let_pass = 1e-8, let_round = 1e-14;

/* The most that the rows' sum gets in a column; *loose: what of it is rounding.
 */
static double most_of_column(const sw_form *form, const sw_row_price *priced,
                             size_t count, size_t j, double ceiling,
                             double *loose)
{
    double sum = 0, size = 0;
    for (size_t i = 0; i < count; i++) {
        double part = priced[i].price * *sw_form_at(form, priced[i].row, j);
        sum += part;
        size += fabs(part);
    }
    if (size == 0)
        return 0;
    double span = fmax(fabs(form->low[j]), fabs(ceiling));
    *loose += let_round * size * span + let_pass * fabs(sum) * (1 + span);
    return sum * (sum > 0 ? ceiling : form->low[j]);
}

bool sw_is_refuted(const sw_form *form, const double *ceiling,
                   const sw_row_price *priced, size_t count)
{
    double least = 0, most = 0, loose = 0;
    for (size_t i = 0; i < count; i++) {
        size_t row = priced[i].row;
        double price = priced[i].price;
        double bound = price > 0 ? form->row_low[row] : form->row_high[row];
        if (price == 0)
            continue;
        least += price * bound;
        loose += let_pass * fabs(price) * (1 + fabs(bound));
    }
    for (size_t j = 0; j < form->columns && isfinite(least); j++)
        most += most_of_column(form, priced, count, j, ceiling[j], &loose);
    return least - most > loose;
}

/* Lowers ceilings by sign * row <= most. */
static void lower_by_row(const sw_form *form, const double *row, double sign,
                         double most, double *ceiling)
{
    if (most == INFINITY)
        return;
    double least = 0;
    for (size_t j = 0; j < form->columns; j++) {
        double a = sign * row[j];
        if (a != 0)
            least += a * (a > 0 ? form->low[j] : ceiling[j]);
    }
    double room = fmax(most - least, 0);
    for (size_t j = 0; j < form->columns; j++) {
        double a = sign * row[j];
        if (a > 0)
            ceiling[j] = fmin(ceiling[j], form->low[j] + room / a);
    }
}

void sw_lower_ceiling(const sw_form *form, const double *matrix, size_t rows,
                      const double *row_high, double *ceiling)
{
    for (size_t i = 0; i < rows; i++)
        lower_by_row(form, matrix + i * form->columns, 1, row_high[i], ceiling);
}

/* Twice, since what one row bounds may bound another (K : Ca, Ca : Mg). */
void sw_lower_ceiling_by_form(const sw_form *form, double *ceiling)
{
    for (size_t i = 0; i < 2 * form->rows; i++) {
        size_t at = i % form->rows;
        const double *row = form->matrix + at * form->columns;
        lower_by_row(form, row, 1, form->row_high[at], ceiling);
        lower_by_row(form, row, -1, -form->row_low[at], ceiling);
    }
}
