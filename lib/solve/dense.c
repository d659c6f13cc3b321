/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Equality-constrained least squares by the null-space method: the held rows
 * E are factored E' P = Q R with column pivoting, y = Q (w, v), w solves the
 * held rows and v the least squares that remain (Golub & Van Loan 1996,
 * section 12.1.4).  Pivoted QR shows the rank; dependent rows and columns
 * drop out.
 */
#include "solve/form.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_linalg.h>

/* Diagonal of R, relative to its first, below which columns are dependent:
 * data are scaled near 1 and double has 16 digits. */
static const double rank_tolerance = 1e-11;

/* A pivoted QR factorisation in memory of the solver. */
typedef struct sw_factor {
    gsl_matrix_view qr;
    gsl_vector_view tau;
    gsl_permutation order;
    size_t rank;
} sw_factor;

/* What an active set leaves: its free columns and its held rows. */
typedef struct sw_frame {
    size_t *column;
    size_t columns;
    size_t *row;
    size_t rows;
    double *bound;  /* of each held row, less what held columns bring */
    sw_factor held; /* of the transpose, free columns x held rows */
} sw_frame;

static gsl_vector_view take_vector(sw_solver *solver, size_t size)
{
    return gsl_vector_view_array(sw_take_numbers(solver, size), size);
}

static gsl_matrix_view take_matrix(sw_solver *solver, size_t rows,
                                   size_t columns)
{
    return gsl_matrix_view_array(sw_take_numbers(solver, rows * columns), rows,
                                 columns);
}

/* Factors a view in place. */
static sw_factor factorise(sw_solver *solver, gsl_matrix_view matrix)
{
    size_t columns = matrix.matrix.size2;
    sw_factor made = {.qr = matrix};
    size_t least = GSL_MIN(matrix.matrix.size1, columns);
    made.tau = take_vector(solver, least);
    made.order.size = columns;
    made.order.data = sw_take(solver, columns, sizeof(size_t));
    int sign = 0;
    gsl_vector_view norm = take_vector(solver, columns);
    gsl_linalg_QRPT_decomp(&made.qr.matrix, &made.tau.vector, &made.order,
                           &sign, &norm.vector);
    made.rank = gsl_linalg_QRPT_rank(
        &made.qr.matrix,
        rank_tolerance * fabs(gsl_matrix_get(&made.qr.matrix, 0, 0)));
    return made;
}

/* Solves R w = right, or R' w = right, for the rank's part of R. */
static void solve_r(const sw_factor *of, CBLAS_TRANSPOSE_t transpose,
                    gsl_vector *right)
{
    gsl_matrix_const_view r =
        gsl_matrix_const_submatrix(&of->qr.matrix, 0, 0, of->rank, of->rank);
    gsl_blas_dtrsv(CblasUpper, transpose, CblasNonUnit, &r.matrix, right);
}

/* Puts every held column at its bound and lists the free ones. */
static void list_columns(sw_frame *frame, const sw_form *form,
                         const sw_active *active, double *y)
{
    for (size_t j = 0; j < form->columns; j++) {
        y[j] = active->column[j] == SW_AT_HIGH ? form->high[j] : form->low[j];
        if (active->column[j] != SW_BETWEEN)
            continue;
        y[j] = 0;
        frame->column[frame->columns++] = j;
    }
}

static void list_rows(sw_frame *frame, const sw_form *form,
                      const sw_active *active, const double *y)
{
    for (size_t i = 0; i < form->rows; i++) {
        if (active->row[i] == SW_BETWEEN)
            continue;
        double bound =
            active->row[i] == SW_AT_LOW ? form->row_low[i] : form->row_high[i];
        frame->bound[frame->rows] =
            bound - sw_row_value(form->matrix, i, form->columns, y);
        frame->row[frame->rows++] = i;
    }
}

static sw_frame frame_of(sw_solver *solver, const sw_form *form,
                         const sw_active *active, double *y)
{
    sw_frame made = {
        .column = sw_take(solver, form->columns, sizeof(size_t)),
        .row = sw_take(solver, form->rows, sizeof(size_t)),
        .bound = sw_take_numbers(solver, form->rows),
    };
    list_columns(&made, form, active, y);
    list_rows(&made, form, active, y);
    if (made.columns == 0 || made.rows == 0)
        return made;
    gsl_matrix_view held = take_matrix(solver, made.columns, made.rows);
    for (size_t i = 0; i < made.rows; i++)
        for (size_t j = 0; j < made.columns; j++)
            gsl_matrix_set(
                &held.matrix, j, i,
                form->matrix[made.row[i] * form->columns + made.column[j]]);
    made.held = factorise(solver, held);
    return made;
}

/* First part of Q'y: R' w = the held rows' bounds, in the pivoted order. */
static void solve_held(const sw_frame *frame, gsl_vector *turned)
{
    size_t rank = frame->held.rank;
    if (rank == 0)
        return;
    gsl_vector_view w = gsl_vector_subvector(turned, 0, rank);
    for (size_t i = 0; i < rank; i++)
        gsl_vector_set(&w.vector, i, frame->bound[frame->held.order.data[i]]);
    solve_r(&frame->held, CblasTrans, &w.vector);
}

/* Least squares min |matrix v - right|, dependent columns left at 0. */
static void least_squares(sw_solver *solver, gsl_matrix_view matrix,
                          gsl_vector *right, gsl_vector *v)
{
    sw_factor made = factorise(solver, matrix);
    gsl_vector_view left = take_vector(solver, right->size);
    gsl_vector_set_zero(v);
    if (made.rank)
        gsl_linalg_QRPT_lssolve2(&made.qr.matrix, &made.tau.vector, &made.order,
                                 right, made.rank, v, &left.vector);
}

/* The terms' free columns, transposed, and turned by Q'. */
static gsl_matrix_view turned_terms(sw_solver *solver, const sw_form *form,
                                    const sw_terms *terms,
                                    const sw_frame *frame)
{
    gsl_matrix_view turned = take_matrix(solver, frame->columns, terms->count);
    for (size_t e = 0; e < terms->count; e++)
        for (size_t j = 0; j < frame->columns; j++)
            gsl_matrix_set(&turned.matrix, j, e,
                           terms->matrix[e * form->columns + frame->column[j]]);
    if (frame->held.rank)
        gsl_linalg_QR_QTmat(&frame->held.qr.matrix, &frame->held.tau.vector,
                            &turned.matrix);
    return turned;
}

/* Second part of Q'y, of least squares: the terms less what w brings. */
static void solve_rest(sw_solver *solver, const gsl_matrix *turned, size_t rank,
                       const double *wanted, gsl_vector *y)
{
    size_t rest = y->size - rank;
    size_t terms = turned->size2;
    if (rest == 0 || terms == 0)
        return;
    size_t height = GSL_MAX(terms, rest); /* GSL wants no wide matrix */
    gsl_matrix_view matrix = take_matrix(solver, height, rest);
    gsl_vector_view right = take_vector(solver, height);
    for (size_t e = 0; e < terms; e++) {
        double left = wanted[e];
        for (size_t i = 0; i < rank; i++)
            left -= gsl_matrix_get(turned, i, e) * gsl_vector_get(y, i);
        gsl_vector_set(&right.vector, e, left);
        for (size_t i = 0; i < rest; i++)
            gsl_matrix_set(&matrix.matrix, e, i,
                           gsl_matrix_get(turned, rank + i, e));
    }
    gsl_vector_view v = gsl_vector_subvector(y, rank, rest);
    least_squares(solver, matrix, &right.vector, &v.vector);
}

void sw_dense_fit(sw_solver *solver, const sw_form *form, const sw_terms *terms,
                  const sw_active *active, const sw_point *point)
{
    sw_frame frame = frame_of(solver, form, active, point->y);
    if (frame.columns == 0)
        return;
    double *wanted = sw_take_numbers(solver, terms->count);
    for (size_t e = 0; e < terms->count; e++)
        wanted[e] = terms->goal[e] -
                    sw_row_value(terms->matrix, e, form->columns, point->y);
    gsl_vector_view y = take_vector(solver, frame.columns);
    solve_held(&frame, &y.vector);
    if (terms->count) {
        gsl_matrix_view turned = turned_terms(solver, form, terms, &frame);
        solve_rest(solver, &turned.matrix, frame.held.rank, wanted, &y.vector);
    }
    if (frame.held.rank)
        gsl_linalg_QR_Qvec(&frame.held.qr.matrix, &frame.held.tau.vector,
                           &y.vector);
    for (size_t j = 0; j < frame.columns; j++)
        point->y[frame.column[j]] = gsl_vector_get(&y.vector, j);
}

/* R price = first part of Q' gradient. */
static void price_rows(sw_solver *solver, const sw_frame *frame,
                       const double *gradient, double *row_price)
{
    size_t rank = frame->held.rank;
    if (rank == 0)
        return;
    gsl_vector_view turned = take_vector(solver, frame->columns);
    for (size_t j = 0; j < frame->columns; j++)
        gsl_vector_set(&turned.vector, j, gradient[frame->column[j]]);
    gsl_linalg_QR_QTvec(&frame->held.qr.matrix, &frame->held.tau.vector,
                        &turned.vector);
    gsl_vector_view price = gsl_vector_subvector(&turned.vector, 0, rank);
    solve_r(&frame->held, CblasNoTrans, &price.vector);
    for (size_t i = 0; i < rank; i++)
        row_price[frame->row[frame->held.order.data[i]]] =
            gsl_vector_get(&price.vector, i);
}

void sw_dense_prices(sw_solver *solver, const sw_form *form,
                     const double *gradient, const sw_active *active,
                     const sw_point *point)
{
    double *scratch = sw_take_numbers(solver, form->columns);
    sw_frame frame = frame_of(solver, form, active, scratch);
    for (size_t i = 0; i < form->rows; i++)
        point->row_price[i] = 0;
    price_rows(solver, &frame, gradient, point->row_price);
    for (size_t j = 0; j < form->columns; j++) {
        double left = gradient[j];
        for (size_t i = 0; i < form->rows; i++)
            left -= point->row_price[i] * form->matrix[i * form->columns + j];
        point->column_price[j] = left;
    }
}

static void copy_free(gsl_matrix *to, size_t row, const double *from,
                      const sw_frame *frame)
{
    for (size_t j = 0; j < frame->columns; j++)
        gsl_matrix_set(to, row, j, from[frame->column[j]]);
}

bool sw_dense_is_unique(sw_solver *solver, const sw_form *form,
                        const sw_terms *terms, const sw_active *active)
{
    double *scratch = sw_take_numbers(solver, form->columns);
    sw_frame frame = frame_of(solver, form, active, scratch);
    size_t rows = terms->count + frame.rows;
    if (frame.columns == 0 || rows < frame.columns)
        return frame.columns == 0;
    gsl_matrix_view all = take_matrix(solver, rows, frame.columns);
    for (size_t e = 0; e < terms->count; e++)
        copy_free(&all.matrix, e, terms->matrix + e * form->columns, &frame);
    for (size_t i = 0; i < frame.rows; i++)
        copy_free(&all.matrix, terms->count + i,
                  form->matrix + frame.row[i] * form->columns, &frame);
    return factorise(solver, all).rank == frame.columns;
}
