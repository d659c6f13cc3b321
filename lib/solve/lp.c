/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * GLPK behind a narrow door: indices from 0, infinities for absent bounds,
 * the pivots of a solve counted over all its programs.  GLPK's own errors are
 * caught by the solver's net, see solver.c.
 */
#include "solve/lp.h"

#include <glpk.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Columns and rows are scaled near 1, so GLPK's tolerances are taken tighter
 * than its defaults of 1e-7; a price below this is none. */
static const double tolerance = 1e-9;

sw_outcome sw_outcome_of(sw_lp_end end)
{
    switch (end) {
    case SW_LP_OPTIMAL:
        return SW_OPTIMAL;
    case SW_LP_INFEASIBLE:
        return SW_CONFLICT;
    default:
        return SW_LIMIT;
    }
}

struct sw_lp {
    sw_lp *next;
    sw_solver *solver;
    glp_prob *problem;
    size_t columns; /* of the form */
    int *index;     /* scratch of one row, from 1 */
    double *value;
};

static int from_one(size_t index)
{
    return (int)index + 1;
}

static int kind_of(double low, double high)
{
    bool has_low = low > -INFINITY;
    bool has_high = high < INFINITY;
    if (has_low && has_high)
        return low == high ? GLP_FX : GLP_DB;
    if (has_low)
        return GLP_LO;
    return has_high ? GLP_UP : GLP_FR;
}

void sw_lp_bound_column(sw_lp *lp, size_t column, double low, double high)
{
    glp_set_col_bnds(lp->problem, from_one(column), kind_of(low, high), low,
                     high);
}

void sw_lp_bound_row(sw_lp *lp, size_t row, double low, double high)
{
    glp_set_row_bnds(lp->problem, from_one(row), kind_of(low, high), low, high);
}

void sw_lp_set_cost(sw_lp *lp, size_t column, double cost)
{
    glp_set_obj_coef(lp->problem, from_one(column), cost);
}

void sw_lp_set_costs(sw_lp *lp, const double *cost)
{
    double most = sw_row_largest(cost, lp->columns);
    for (size_t j = 0; j < lp->columns; j++)
        sw_lp_set_cost(lp, j, most > 0 ? cost[j] / most : 0);
}

void sw_lp_set_distinct_costs(sw_lp *lp)
{
    for (size_t j = 0; j < lp->columns; j++)
        sw_lp_set_cost(lp, j, 1 + (double)j / (double)lp->columns);
}

/* Writes the coefficients of the form's columns to the scratch row. */
static int gather(sw_lp *lp, const double *coefficient)
{
    int count = 0;
    for (size_t j = 0; j < lp->columns; j++) {
        if (coefficient[j] == 0)
            continue;
        count++;
        lp->index[count] = from_one(j);
        lp->value[count] = coefficient[j];
    }
    return count;
}

static void load(sw_lp *lp, const sw_form *form)
{
    if (form->columns)
        glp_add_cols(lp->problem, (int)form->columns);
    if (form->rows)
        glp_add_rows(lp->problem, (int)form->rows);
    for (size_t j = 0; j < form->columns; j++)
        sw_lp_bound_column(lp, j, form->low[j], form->high[j]);
    for (size_t i = 0; i < form->rows; i++) {
        int count = gather(lp, form->matrix + i * form->columns);
        glp_set_mat_row(lp->problem, from_one(i), count, lp->index, lp->value);
        sw_lp_bound_row(lp, i, form->row_low[i], form->row_high[i]);
    }
}

sw_lp *sw_lp_new(sw_solver *solver, const sw_form *form)
{
    sw_lp *lp = sw_take(solver, 1, sizeof *lp);
    lp->solver = solver;
    lp->columns = form->columns;
    lp->index = sw_take(solver, form->columns + 1, sizeof *lp->index);
    lp->value = sw_take_numbers(solver, form->columns + 1);
    lp->problem = glp_create_prob();
    lp->next = solver->lps;
    solver->lps = lp;
    load(lp, form);
    return lp;
}

void sw_lp_free(sw_lp *lp)
{
    sw_lp **link = &lp->solver->lps;
    while (*link != lp)
        link = &(*link)->next;
    *link = lp->next;
    glp_delete_prob(lp->problem);
}

/* The dual method ends with GLP_NOFEAS as its primal status. */
static sw_lp_end end_of(const sw_lp *lp, int code)
{
    if (code == GLP_EITLIM)
        return SW_LP_PIVOTS;
    if (code != 0)
        return SW_LP_FAILED;
    switch (glp_get_status(lp->problem)) {
    case GLP_OPT:
        return SW_LP_OPTIMAL;
    case GLP_NOFEAS:
        return SW_LP_INFEASIBLE;
    default:
        return SW_LP_FAILED;
    }
}

static sw_lp_end run_simplex(sw_lp *lp, int method)
{
    glp_smcp control;
    glp_init_smcp(&control);
    control.msg_lev = GLP_MSG_OFF;
    control.meth = method;
    control.tol_bnd = tolerance;
    control.tol_dj = tolerance;
    control.it_lim = lp->solver->pivot_limit - lp->solver->pivots;
    if (control.it_lim <= 0)
        return SW_LP_PIVOTS;
    int before = glp_get_it_cnt(lp->problem);
    int code = glp_simplex(lp->problem, &control);
    lp->solver->pivots += glp_get_it_cnt(lp->problem) - before;
    return end_of(lp, code);
}

void sw_lp_reset(sw_lp *lp)
{
    glp_std_basis(lp->problem);
}

/* Numerical trouble is worth one more start, from scratch. */
sw_lp_end sw_lp_solve(sw_lp *lp, sw_lp_method method)
{
    sw_lp_end end =
        run_simplex(lp, method == SW_LP_DUAL ? GLP_DUALP : GLP_PRIMAL);
    if (end != SW_LP_FAILED)
        return end;
    sw_lp_reset(lp);
    return run_simplex(lp, GLP_PRIMAL);
}

void sw_lp_make_whole(sw_lp *lp, size_t column)
{
    glp_set_col_kind(lp->problem, from_one(column), GLP_IV);
}

static void count_node(glp_tree *tree, void *left)
{
    int *nodes = left;
    if (glp_ios_reason(tree) == GLP_ISELECT && --*nodes < 0)
        glp_ios_terminate(tree);
}

sw_lp_end sw_lp_branch(sw_lp *lp, int nodes)
{
    glp_iocp control;
    sw_lp_end end = sw_lp_solve(lp, SW_LP_PRIMAL);
    if (end != SW_LP_OPTIMAL)
        return end;
    glp_init_iocp(&control);
    control.msg_lev = GLP_MSG_OFF;
    control.tol_int = 1e-7;
    control.tol_obj = 1e-9;
    control.cb_func = count_node;
    control.cb_info = &nodes;
    int code = glp_intopt(lp->problem, &control);
    if (code == GLP_ESTOP)
        return SW_LP_PIVOTS;
    if (code != 0)
        return SW_LP_FAILED;
    int status = glp_mip_status(lp->problem);
    return status == GLP_OPT      ? SW_LP_OPTIMAL
           : status == GLP_NOFEAS ? SW_LP_INFEASIBLE
                                  : SW_LP_FAILED;
}

double sw_lp_whole_value(const sw_lp *lp, size_t column)
{
    return glp_mip_col_val(lp->problem, from_one(column));
}

double sw_lp_value(const sw_lp *lp, size_t column)
{
    return glp_get_col_prim(lp->problem, from_one(column));
}

void sw_lp_read_point(const sw_lp *lp, const sw_form *form,
                      const sw_point *point)
{
    for (size_t j = 0; j < form->columns; j++) {
        point->y[j] = sw_lp_value(lp, j);
        point->column_price[j] = glp_get_col_dual(lp->problem, from_one(j));
    }
    for (size_t i = 0; i < form->rows; i++)
        point->row_price[i] = glp_get_row_dual(lp->problem, from_one(i));
}

/* The row of the tableau that no entering column can mend. */
bool sw_lp_read_refutation(const sw_lp *lp, double *row_price)
{
    glp_prob *of = lp->problem;
    int rows = glp_get_num_rows(of);
    int stuck = glp_get_unbnd_ray(of), column = stuck - rows;
    if (stuck == 0 || !glp_bf_exists(of))
        return false;
    bool is_row = column <= 0;
    int at =
        is_row ? glp_get_row_bind(of, stuck) : glp_get_col_bind(of, column);
    bool below =
        is_row ? glp_get_row_prim(of, stuck) < glp_get_row_lb(of, stuck)
               : glp_get_col_prim(of, column) < glp_get_col_lb(of, column);
    double *price = sw_take_numbers(lp->solver, (size_t)rows + 1);
    if (at == 0)
        return false;
    price[at] = below ? 1 : -1;
    glp_btran(of, price);
    memcpy(row_price, price + 1, (size_t)rows * sizeof *price);
    return true;
}

/* What is fixed stands at whichever of the form's bounds it was fixed to. */
static sw_stand stand_of(int status, double fixed_at, double low)
{
    switch (status) {
    case GLP_NL:
        return SW_AT_LOW;
    case GLP_NU:
        return SW_AT_HIGH;
    case GLP_NS:
        return fixed_at == low ? SW_AT_LOW : SW_AT_HIGH;
    default:
        return SW_BETWEEN;
    }
}

void sw_lp_read_active(const sw_lp *lp, const sw_form *form,
                       const sw_active *active)
{
    glp_prob *problem = lp->problem;
    for (size_t j = 0; j < form->columns; j++) {
        int at = from_one(j);
        active->column[j] = stand_of(glp_get_col_stat(problem, at),
                                     glp_get_col_lb(problem, at), form->low[j]);
    }
    for (size_t i = 0; i < form->rows; i++) {
        int at = from_one(i);
        active->row[i] =
            stand_of(glp_get_row_stat(problem, at), glp_get_row_lb(problem, at),
                     form->row_low[i]);
    }
}

/* Where every column stands at its low bound, which is the corner of any cost
 * above 0. */
static bool is_lowest_allowed(const sw_form *form, double *y,
                              const sw_active *active)
{
    memcpy(y, form->low, form->columns * sizeof *y);
    for (size_t j = 0; j < form->columns; j++)
        active->column[j] = SW_AT_LOW;
    for (size_t i = 0; i < form->rows; i++)
        active->row[i] = SW_BETWEEN;
    return sw_form_allows(form, y);
}

sw_lp_end sw_lp_corner(sw_solver *solver, const sw_form *form,
                       const double *cost, double *y, const sw_active *active)
{
    if (!cost && is_lowest_allowed(form, y, active))
        return SW_LP_OPTIMAL;
    sw_lp *lp = sw_lp_new(solver, form);
    if (cost)
        sw_lp_set_costs(lp, cost);
    else
        sw_lp_set_distinct_costs(lp);
    sw_lp_end end = sw_lp_solve(lp, SW_LP_DUAL);
    for (size_t j = 0; j < form->columns; j++)
        y[j] = sw_lp_value(lp, j);
    sw_lp_read_active(lp, form, active);
    sw_lp_free(lp);
    return end;
}

/* Whether what is held and not fixed has a price, and where it then stays;
 * counts what could still move. */
static bool is_held(int status, double price, double low, double high,
                    double *at, size_t *movable)
{
    if (status == GLP_BS || status == GLP_NS)
        return false;
    *at = status == GLP_NL ? low : high;
    bool priced = fabs(price) > tolerance;
    *movable += !priced;
    return priced;
}

size_t sw_lp_confine(sw_lp *lp)
{
    glp_prob *of = lp->problem;
    size_t movable = 0;
    double at;
    for (int j = 1; j <= glp_get_num_cols(of); j++)
        if (is_held(glp_get_col_stat(of, j), glp_get_col_dual(of, j),
                    glp_get_col_lb(of, j), glp_get_col_ub(of, j), &at,
                    &movable))
            glp_set_col_bnds(of, j, GLP_FX, at, at);
    for (int i = 1; i <= glp_get_num_rows(of); i++)
        if (is_held(glp_get_row_stat(of, i), glp_get_row_dual(of, i),
                    glp_get_row_lb(of, i), glp_get_row_ub(of, i), &at,
                    &movable))
            glp_set_row_bnds(of, i, GLP_FX, at, at);
    return movable;
}

bool sw_lp_is_settled(const sw_lp *lp, size_t column)
{
    return glp_get_col_type(lp->problem, from_one(column)) == GLP_FX;
}
