/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Equality-constrained least squares by the null-space method: the held rows
 * E are factored E' P = Q R with column pivoting, y = Q (w, v), w solves the
 * held rows and v the least squares that remain (Golub & Van Loan 1996,
 * section 12.1.4).  Householder's factors, the longest column first (section
 * 5.4.1), show the rank; dependent rows and columns drop out.  They are ours as
 * ten columns are so few that GSL's calls take several times as long.
 */
#include "solve/form.h"

#include <math.h>
#include <string.h>

/* Diagonal of R, relative to its first or to what the columns were made of,
 * below which columns are dependent: data are scaled near 1 and double has 16
 * digits. */
static const double rank_tolerance = 1e-11;

/* ---- Factors ------------------------------------------------------------ */

/* Of column k R stands above the diagonal, the reflector's vector from it on.
 * Below its end a column has zeros, as has whatever is turned: loops go over
 * numbers by fours. */
typedef struct sw_factor {
    size_t height, width, rank;
    double *columns; /* each padded(height) long, where they were; */
    size_t *order;   /* the kth is the order[k]th of them */
    double *diagonal;
    double *strength; /* 2 / (vector' vector) */
} sw_factor;

static size_t padded(size_t count)
{
    return count + 3;
}

static double *column_of(const sw_factor *of, size_t k)
{
    return of->columns + of->order[k] * padded(of->height);
}

/* In four sums, none of which waits for the others; of numbers with zeros
 * behind them. */
static inline double product_by_fours(const double *a, const double *b,
                                      size_t count)
{
    double sum[4] = {0};
    for (size_t i = 0; i < count; i += 4)
        for (size_t k = 0; k < 4; k++)
            sum[k] += a[i + k] * b[i + k];
    return (sum[0] + sum[1]) + (sum[2] + sum[3]);
}

/* The same, whatever is behind them. */
static double product(const double *a, const double *b, size_t count)
{
    double sum[4] = {0};
    for (size_t i = 0; i < count; i++)
        sum[i % 4] += a[i] * b[i];
    return (sum[0] + sum[1]) + (sum[2] + sum[3]);
}

/* Of what is left of a column or vector from k on. */
static inline void reflect(const sw_factor *of, size_t k, double *restrict left)
{
    const double *restrict vector = column_of(of, k) + k;
    size_t count = of->height - k;
    double share = of->strength[k] * product_by_fours(vector, left, count);
    for (size_t i = 0; i < count; i += 4)
        for (size_t e = 0; e < 4; e++)
            left[i + e] -= share * vector[i + e];
}

/* Puts the longest of the columns from k on there; answers its square. */
static double bring_longest(const sw_factor *of, size_t k)
{
    double most = -1;
    size_t longest = k;
    for (size_t j = k; j < of->width; j++) {
        const double *left = column_of(of, j) + k;
        double square = product_by_fours(left, left, of->height - k);
        if (square > most) {
            most = square;
            longest = j;
        }
    }
    size_t at = of->order[longest];
    of->order[longest] = of->order[k];
    of->order[k] = at;
    return most;
}

/* The kth column becomes its reflector's vector. */
static void make_reflector(const sw_factor *of, size_t k, double length)
{
    double *first = column_of(of, k) + k;
    of->diagonal[k] = -copysign(length, *first);
    of->strength[k] = 1 / (length * (length + fabs(*first)));
    *first -= of->diagonal[k];
    for (size_t j = k + 1; j < of->width; j++)
        reflect(of, k, column_of(of, j) + k);
}

/* Factors columns in place; of what was of that `size` all that is left may be
 * rounding. */
static sw_factor factorise(sw_solver *solver, double *columns, size_t height,
                           size_t width, double size)
{
    size_t most = height < width ? height : width;
    sw_factor made = {.height = height,
                      .width = width,
                      .columns = columns,
                      .order = sw_take(solver, width, sizeof(size_t)),
                      .diagonal = sw_take_numbers(solver, most),
                      .strength = sw_take_numbers(solver, most)};
    for (size_t j = 0; j < width; j++)
        made.order[j] = j;
    for (; made.rank < most; made.rank++) {
        double length = sqrt(bring_longest(&made, made.rank));
        double first = made.rank ? fabs(made.diagonal[0]) : 0;
        first = fmax(first, size);
        if (!(length > rank_tolerance * first))
            break;
        make_reflector(&made, made.rank, length);
    }
    return made;
}

/* vector = Q' vector, and back. */
static void turn(const sw_factor *by, double *vector)
{
    for (size_t k = 0; k < by->rank; k++)
        reflect(by, k, vector + k);
}

static void turn_back(const sw_factor *by, double *vector)
{
    for (size_t k = by->rank; k-- > 0;)
        reflect(by, k, vector + k);
}

/* R x = right for the rank's part of R, in place. */
static void solve_r(const sw_factor *of, double *right)
{
    for (size_t k = of->rank; k-- > 0;) {
        for (size_t j = k + 1; j < of->rank; j++)
            right[k] -= column_of(of, j)[k] * right[j];
        right[k] /= of->diagonal[k];
    }
}

/* R' x = right, likewise. */
static void solve_r_transposed(const sw_factor *of, double *right)
{
    for (size_t k = 0; k < of->rank; k++)
        right[k] =
            (right[k] - product(column_of(of, k), right, k)) / of->diagonal[k];
}

/* ---- Frames ------------------------------------------------------------- */

struct sw_frame {
    sw_solver *solver;
    const sw_form *form;
    double *y;      /* held columns at their bounds, free ones at 0 */
    size_t *column; /* that are free */
    size_t columns;
    size_t *row; /* that are held */
    size_t rows;
    double *bound;  /* of each held row, less what held columns bring */
    sw_factor held; /* of the transpose, free columns x held rows */
    sw_factor rest; /* of the terms fitted last, beyond its rank */
    const sw_terms *terms;
};

static void list_columns(sw_frame *frame, const sw_active *active)
{
    const sw_form *form = frame->form;
    for (size_t j = 0; j < form->columns; j++)
        if (active->column[j] == SW_BETWEEN)
            frame->column[frame->columns++] = j;
        else
            frame->y[j] =
                active->column[j] == SW_AT_HIGH ? form->high[j] : form->low[j];
}

static void list_rows(sw_frame *frame, const sw_active *active)
{
    const sw_form *form = frame->form;
    for (size_t i = 0; i < form->rows; i++) {
        if (active->row[i] == SW_BETWEEN)
            continue;
        double bound =
            active->row[i] == SW_AT_LOW ? form->row_low[i] : form->row_high[i];
        frame->bound[frame->rows] =
            bound - sw_row_value(form->matrix, i, form->columns, frame->y);
        frame->row[frame->rows++] = i;
    }
}

/* The free columns' part of a row. */
static void gather(const sw_frame *frame, const double *row, double *to)
{
    for (size_t j = 0; j < frame->columns; j++)
        to[j] = row[frame->column[j]];
}

sw_frame *sw_frame_of(sw_solver *solver, const sw_form *form,
                      const sw_active *active)
{
    sw_frame *made = sw_take(solver, 1, sizeof *made);
    *made = (sw_frame){
        .solver = solver,
        .form = form,
        .y = sw_take_numbers(solver, form->columns),
        .column = sw_take(solver, form->columns, sizeof(size_t)),
        .row = sw_take(solver, form->rows, sizeof(size_t)),
        .bound = sw_take_numbers(solver, form->rows),
    };
    list_columns(made, active);
    list_rows(made, active);
    size_t stride = padded(made->columns);
    double *held = sw_take_numbers(solver, stride * made->rows);
    for (size_t i = 0; i < made->rows; i++)
        gather(made, form->matrix + made->row[i] * form->columns,
               held + i * stride);
    made->held = factorise(solver, held, made->columns, made->rows, 0);
    return made;
}

/* First part of Q'y: R' w = the held rows' bounds, in the pivoted order. */
static void solve_held(const sw_frame *frame, double *turned)
{
    for (size_t i = 0; i < frame->held.rank; i++)
        turned[i] = frame->bound[frame->held.order[i]];
    solve_r_transposed(&frame->held, turned);
}

/* The terms' free columns turned by Q': of those beyond the rank the factor,
 * and into `right`, unless it is NULL, what they have to make up for where the
 * first part is `turned`. */
static sw_factor factor_rest(const sw_frame *frame, const sw_terms *terms,
                             const double *turned, double *right)
{
    size_t rank = frame->held.rank, rest = frame->columns - rank;
    size_t stride = padded(terms->count);
    double *term = sw_take_numbers(frame->solver, padded(frame->columns));
    double *columns = sw_take_numbers(frame->solver, rest * stride);
    double square = 0;
    for (size_t e = 0; e < terms->count; e++) {
        const double *row = terms->matrix + e * frame->form->columns;
        gather(frame, row, term);
        square = fmax(square, product(term, term, frame->columns));
        turn(&frame->held, term);
        for (size_t j = 0; j < rest; j++)
            columns[j * stride + e] = term[rank + j];
        if (right)
            right[e] = terms->goal[e] -
                       product(row, frame->y, frame->form->columns) -
                       product(term, turned, rank);
    }
    return factorise(frame->solver, columns, terms->count, rest, sqrt(square));
}

bool sw_dense_fit(sw_frame *frame, const sw_terms *terms, const sw_point *point)
{
    size_t rank = frame->held.rank;
    double *y = sw_take_numbers(frame->solver, padded(frame->columns));
    double *right = sw_take_numbers(frame->solver, padded(terms->count));
    solve_held(frame, y);
    frame->terms = terms;
    frame->rest = factor_rest(frame, terms, y, right);
    turn(&frame->rest, right);
    solve_r(&frame->rest, right);
    for (size_t k = 0; k < frame->rest.rank; k++)
        y[rank + frame->rest.order[k]] = right[k];
    turn_back(&frame->held, y);
    memcpy(point->y, frame->y, frame->form->columns * sizeof(double));
    for (size_t j = 0; j < frame->columns; j++)
        point->y[frame->column[j]] = y[j];
    return rank + frame->rest.rank == frame->columns;
}

/* R price = first part of Q' gradient, of what the prices so far leave of it.
 */
static void add_prices(const sw_frame *frame, double *turned,
                       const sw_point *point)
{
    const sw_form *form = frame->form;
    gather(frame, point->column_price, turned);
    turn(&frame->held, turned);
    solve_r(&frame->held, turned);
    for (size_t k = 0; k < frame->held.rank; k++) {
        size_t i = frame->row[frame->held.order[k]];
        const double *row = form->matrix + i * form->columns;
        point->row_price[i] += turned[k];
        for (size_t j = 0; j < form->columns; j++)
            point->column_price[j] -= turned[k] * row[j];
    }
}

/* Of the fitted terms: what is left beyond the rank is theirs alone. */
static void add_term_prices(const sw_frame *frame, double *turned,
                            double *price, const sw_point *point)
{
    size_t columns = frame->form->columns;
    gather(frame, point->column_price, turned);
    turn(&frame->held, turned);
    memset(price, 0, padded(frame->terms->count) * sizeof *price);
    for (size_t k = 0; k < frame->rest.rank; k++)
        price[k] = turned[frame->held.rank + frame->rest.order[k]];
    solve_r_transposed(&frame->rest, price);
    turn_back(&frame->rest, price);
    for (size_t e = 0; e < frame->terms->count; e++)
        for (size_t j = 0; j < columns; j++)
            point->column_price[j] -=
                price[e] * frame->terms->matrix[e * columns + j];
}

void sw_dense_prices_beside(const sw_frame *frame, const double *gradient,
                            const sw_point *point)
{
    const sw_form *form = frame->form;
    double *turned = sw_take_numbers(frame->solver, padded(frame->columns));
    double *price = sw_take_numbers(frame->solver, padded(frame->terms->count));
    memset(point->row_price, 0, form->rows * sizeof(double));
    memcpy(point->column_price, gradient, form->columns * sizeof(double));
    for (int turns = 0; turns < 2; turns++) { /* once for the rounding */
        add_term_prices(frame, turned, price, point);
        add_prices(frame, turned, point);
    }
}

/* Once more for the rounding, which a column of small coefficients shows. */
void sw_dense_prices(const sw_frame *frame, const double *gradient,
                     const sw_point *point)
{
    const sw_form *form = frame->form;
    double *turned = sw_take_numbers(frame->solver, padded(frame->columns));
    memset(point->row_price, 0, form->rows * sizeof(double));
    memcpy(point->column_price, gradient, form->columns * sizeof(double));
    add_prices(frame, turned, point);
    add_prices(frame, turned, point);
}

bool sw_dense_is_unique(const sw_frame *frame, const sw_terms *terms)
{
    sw_factor rest = factor_rest(frame, terms, NULL, NULL);
    return frame->held.rank + rest.rank == frame->columns;
}
