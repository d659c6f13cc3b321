/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Whole steps by branch and bound.  Each squared deviation is bounded below by
 * tangents; where a node's solution lies under the parabola a tangent at that
 * point is added (Duran & Grossmann 1986; in one tree: Quesada & Grossmann
 * 1992).  The counts known to be best bound the objective from the start.
 */
#include "stock/steps.h"

#include <glpk.h>
#include <math.h>

/* Where the first tangents touch, in units of the deviation still possible. */
static const double first_tangents[] = {-1,   -0.5, -0.2, -0.07, 0,
                                        0.07, 0.2,  0.5,  1};
enum { FIRST_TANGENTS = sizeof first_tangents / sizeof *first_tangents };

/* Chords of a term of a sole column, around the continuous optimum. */
enum { CHORDS = 12 };

/* Columns: counts, then deviations, then squares. */
typedef struct tree {
    const sw_grid *grid;
    glp_prob *problem;
    size_t columns, terms;
    int *index;
    double *value;
    double tolerance; /* of each square */
    double bound;     /* best of the open nodes */
    double *weight;   /* of each count: its step in the deviations, squared */
} tree;

static int deviation_at(const tree *t, size_t e)
{
    return (int)(t->columns + e) + 1;
}

static int square_at(const tree *t, size_t e)
{
    return (int)(t->columns + t->terms + e) + 1;
}

/* q >= 2 touch d - touch^2 */
static void add_tangent(const tree *t, glp_prob *problem, size_t e,
                        double touch)
{
    int row = glp_add_rows(problem, 1);
    const int index[] = {0, square_at(t, e), deviation_at(t, e)};
    const double value[] = {0, 1, -2 * touch};
    glp_set_mat_row(problem, row, 2, index, value);
    glp_set_row_bnds(problem, row, GLP_LO, -touch * touch, 0);
}

static void add_columns(tree *t)
{
    const sw_grid *g = t->grid;
    glp_add_cols(t->problem, (int)(t->columns + 2 * t->terms));
    for (size_t j = 0; j < t->columns; j++) {
        int at = (int)j + 1;
        bool whole = g->step[j] > 0;
        double low = whole ? g->low[j] : 1, high = whole ? g->high[j] : 1;
        glp_set_col_kind(t->problem, at, GLP_IV);
        glp_set_col_bnds(t->problem, at, low < high ? GLP_DB : GLP_FX, low,
                         high);
    }
    for (size_t e = 0; e < t->terms; e++) {
        glp_set_col_bnds(t->problem, deviation_at(t, e), GLP_FR, 0, 0);
        glp_set_col_bnds(t->problem, square_at(t, e), GLP_LO, 0, 0);
        glp_set_obj_coef(t->problem, square_at(t, e), 1);
    }
}

/* The row of `coefficient` over counts into scratch; how many entries.  A
 * column without steps is 1 times where it stands. */
static int gather(const tree *t, const double *coefficient)
{
    const sw_grid *g = t->grid;
    int count = 0;
    for (size_t j = 0; j < t->columns; j++)
        if (coefficient[j] != 0) {
            t->index[++count] = (int)j + 1;
            t->value[count] =
                coefficient[j] * (g->step[j] > 0 ? g->step[j] : g->best[j]);
        }
    return count;
}

static void add_form(tree *t)
{
    const sw_form *form = &t->grid->model->form;
    for (size_t i = 0; i < form->rows; i++) {
        int row = glp_add_rows(t->problem, 1);
        int count = gather(t, form->matrix + i * form->columns);
        double low = form->row_low[i], high = form->row_high[i];
        int kind = low == high        ? GLP_FX
                   : low == -INFINITY ? GLP_UP
                   : high == INFINITY ? GLP_LO
                                      : GLP_DB;
        if (low == -INFINITY && high == INFINITY)
            kind = GLP_FR;
        glp_set_mat_row(t->problem, row, count, t->index, t->value);
        glp_set_row_bnds(t->problem, row, kind, low, high);
    }
}

/* Value of term e at a count of its sole column j, the others settled. */
static double value_at(const tree *t, size_t e, size_t j, double count)
{
    double settled;
    sw_grid_sole_column(t->grid, e, &settled);
    const sw_grid *g = t->grid;
    const sw_terms *terms = &g->model->terms;
    double d =
        sw_row_value(terms->matrix, e, t->columns, g->best) - terms->goal[e] +
        terms->matrix[e * t->columns + j] * (count * g->step[j] - g->best[j]);
    return d * d;
}

/*
 * Between whole counts nothing counts: chords from count to count bound a term
 * of a sole column, and lie above the parabola.
 */
static void add_chords(tree *t, size_t e, size_t j)
{
    const sw_grid *g = t->grid;
    double at = floor(g->best[j] / g->step[j]);
    double from = fmax(g->low[j], at - CHORDS / 2.0);
    double to = fmin(g->high[j], at + CHORDS / 2.0);
    int chords = to > from ? (int)(to - from) : 1;
    for (int i = 0; i < chords; i++) {
        double k = from + i;
        double value = value_at(t, e, j, k);
        double slope = to > from ? value_at(t, e, j, k + 1) - value : 0;
        int row = glp_add_rows(t->problem, 1);
        const int index[] = {0, square_at(t, e), (int)j + 1};
        const double coefficient[] = {0, 1, -slope};
        glp_set_mat_row(t->problem, row, 2, index, coefficient);
        glp_set_row_bnds(t->problem, row, GLP_LO, value - slope * k, 0);
    }
}

/* Deviations are M y - goal; first tangents spread over what is possible. */
static void add_terms(tree *t, double room)
{
    const sw_terms *terms = &t->grid->model->terms;
    for (size_t e = 0; e < t->terms; e++) {
        int row = glp_add_rows(t->problem, 1);
        int count = gather(t, terms->matrix + e * t->columns);
        double at_best =
            sw_row_value(terms->matrix, e, t->columns, t->grid->best) -
            terms->goal[e];
        t->index[++count] = deviation_at(t, e);
        t->value[count] = -1;
        glp_set_mat_row(t->problem, row, count, t->index, t->value);
        glp_set_row_bnds(t->problem, row, GLP_FX, terms->goal[e],
                         terms->goal[e]);
        double settled;
        size_t sole = sw_grid_sole_column(t->grid, e, &settled);
        if (sole < t->columns)
            add_chords(t, e, sole);
        for (int i = 0; i < FIRST_TANGENTS; i++)
            add_tangent(t, t->problem, e,
                        at_best + first_tangents[i] * sqrt(room));
    }
}

/* The objective must beat the best known. */
static void add_cutoff(tree *t, double objective)
{
    int row = glp_add_rows(t->problem, 1);
    for (size_t e = 0; e < t->terms; e++) {
        t->index[e + 1] = square_at(t, e);
        t->value[e + 1] = 1;
    }
    glp_set_mat_row(t->problem, row, (int)t->terms, t->index, t->value);
    glp_set_row_bnds(t->problem, row, GLP_UP, 0, objective);
}

static void touch_where_below(const tree *t, glp_prob *node)
{
    for (size_t e = 0; e < t->terms; e++) {
        double d = glp_get_col_prim(node, deviation_at(t, e));
        double q = glp_get_col_prim(node, square_at(t, e));
        if (q < d * d - t->tolerance)
            add_tangent(t, node, e, d);
    }
}

/* The fractional count whose step moves the deviations most: it settles most
 * of the objective. */
static void branch_on(const tree *t, glp_tree *in)
{
    glp_prob *node = glp_ios_get_prob(in);
    int at = 0;
    double most = 0;
    for (size_t j = 0; j < t->columns; j++) {
        if (!glp_ios_can_branch(in, (int)j + 1))
            continue;
        double x = glp_get_col_prim(node, (int)j + 1), part = x - floor(x);
        double score = t->weight[j] * fmin(part, 1 - part);
        if (score > most) {
            most = score;
            at = (int)j + 1;
        }
    }
    if (at)
        glp_ios_branch_upon(in, at, GLP_NO_BRNCH);
}

static void on_node(glp_tree *in, void *context)
{
    tree *t = context;
    int best = glp_ios_best_node(in);
    if (best)
        t->bound = glp_ios_node_bound(in, best);
    if (glp_ios_reason(in) == GLP_IROWGEN)
        touch_where_below(t, glp_ios_get_prob(in));
    if (glp_ios_reason(in) == GLP_IBRANCH)
        branch_on(t, in);
}

static void take_counts(const tree *t, sw_solver *solver, sw_count *best)
{
    sw_count found = sw_count_take(solver, t->grid);
    for (size_t j = 0; j < t->columns; j++)
        found.count[j] = round(glp_mip_col_val(t->problem, (int)j + 1));
    sw_grid_descend(solver, t->grid, &found);
    if (found.objective < best->objective)
        sw_count_copy(t->grid, best, &found);
}

/* What the search proved of any counts at all. */
static double proved(const tree *t, int code, double relative_gap, double known)
{
    int status = glp_mip_status(t->problem);
    bool found = status == GLP_OPT || status == GLP_FEAS;
    if (code == 0)
        return found ? fmin(glp_mip_obj_val(t->problem), known) : known;
    if (code == GLP_EMIPGAP && found)
        return glp_mip_obj_val(t->problem) * (1 - relative_gap);
    return fmin(t->bound, known);
}

static int search(tree *t, double seconds, double relative_gap)
{
    glp_smcp simplex;
    glp_iocp control;
    glp_init_smcp(&simplex);
    glp_init_iocp(&control);
    simplex.msg_lev = control.msg_lev = GLP_MSG_OFF;
    control.cb_func = on_node;
    control.cb_info = t;
    control.mip_gap = relative_gap;
    control.br_tech = GLP_BR_DTH;
    control.bt_tech = GLP_BT_BPH;
    control.tm_lim = (int)fmin(fmax(seconds, 0.001) * 1000, 1e8);
    int code = glp_simplex(t->problem, &simplex);
    if (code == 0 && glp_get_status(t->problem) == GLP_OPT)
        code = glp_intopt(t->problem, &control);
    return code;
}

sw_grid_end sw_grid_branch(sw_solver *solver, const sw_grid *grid,
                           double seconds, double relative_gap, sw_count *best)
{
    size_t n = grid->model->form.columns, m = grid->model->terms.count;
    size_t room = n + 2 * m + 2;
    tree t = {.grid = grid,
              .columns = n,
              .terms = m,
              .index = sw_take(solver, room, sizeof(int)),
              .value = sw_take_numbers(solver, room),
              .bound = grid->optimum};
    double known = best->objective;
    /* where no counts are known yet, deviations of 100 % are looked at first */
    double scale = fmin(known, grid->optimum + 1);
    t.tolerance = scale * relative_gap / (8 * (double)(m + 1)) + 1e-16;
    t.weight = sw_take_numbers(solver, n);
    for (size_t j = 0; j < n; j++)
        for (size_t e = 0; e < m; e++)
            t.weight[j] +=
                pow(grid->model->terms.matrix[e * n + j] * grid->step[j], 2);
    t.problem = glp_create_prob();
    add_columns(&t);
    add_form(&t);
    double reach = scale - grid->optimum;
    for (size_t e = 0; e < m; e++)
        reach -= sw_grid_least_square(grid, e);
    add_terms(&t, fmax(reach, 1e-16));
    if (known < INFINITY)
        add_cutoff(&t, known);
    int code = search(&t, seconds, relative_gap);
    int status = glp_mip_status(t.problem);
    if (status == GLP_OPT || status == GLP_FEAS)
        take_counts(&t, solver, best);
    sw_grid_end end = {
        .lower_bound =
            fmax(grid->optimum, proved(&t, code, relative_gap, known)),
        .in_time = code == 0 || code == GLP_EMIPGAP};
    glp_delete_prob(t.problem);
    return end;
}
