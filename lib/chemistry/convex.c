/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The equilibrium of a solution as one convex problem.
 *
 * At a given ionic strength the activity coefficients are constants, and the
 * mass balances are the stationarity of a strictly concave function of the ln
 * activities x of the masters (the dual of least Gibbs energy):
 *
 *     L(x) = sum_j T_j x_j - sum_i m_i(x),   m_i = exp(ln K_i + sum nu_ij x_j)
 *
 * so Newton with a line search converges from anywhere.  The proton is one
 * more x, with minus the alkalinity as its total.  Around it, the ionic
 * strength is one unknown between bounds.  reference/methods.md, Chemistry.
 */
#include "chemistry/lanes.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <string.h>

#include "chemistry/root.h"
#include "quantity/status.h"
#include "table_refusals.h"

enum { MAX_NEWTON = 400, MAX_BRACKET = 60, MAX_HALVINGS = 20 };

static const double SETTLED = 1e-11; /* relative, of the ionic strength */

/* A speciation in the first of the lanes, whose plan has its unknowns. */
typedef struct problem {
    sw_speciation *s;
    sw_lanes lanes;
    const sw_plan *plan;
    int proton;
    bool pinned[SW_UNKNOWN_MAX]; /* the pH is given, or carbon's activity */
    double x[SW_UNKNOWN_MAX];
    double residual[SW_UNKNOWN_MAX];
    double size[SW_UNKNOWN_MAX]; /* sum of the sizes of the terms */
    double hessian[SW_UNKNOWN_MAX * SW_UNKNOWN_MAX];
    double step[SW_UNKNOWN_MAX];
    double ln_constant[SW_SPECIES_MAX]; /* by term: all that does not depend on
                                           the unknowns */
    double molality[SW_SPECIES_MAX];
} problem;

/* ln constants of the terms at one ionic strength. */
static void set_constants(problem *p, double ionic_strength)
{
    const sw_speciation *s = p->s;
    for (int i = 0; i < p->plan->terms; i++) {
        int at = p->plan->term[i].species;
        const sw_species *species = &s->constants->species[at];
        double ln_gamma =
            s->ln_gamma ? s->ln_gamma[at]
                        : sw_ln_gamma(s->constants, species, ionic_strength);
        p->ln_constant[i] =
            isnan(ln_gamma)
                ? -INFINITY
                : species->ln_beta + species->water * s->ln_water - ln_gamma;
    }
}

/* ---- The concave problem ------------------------------------------------ */

/* Molalities, residuals and L at x. */
static double evaluate(problem *p, const double *x)
{
    double l = 0;
    for (int j = 0; j < p->plan->unknowns; j++) {
        double total = p->lanes.total[j][0];
        p->residual[j] = total;
        p->size[j] = fabs(total);
        l += total * x[j];
    }
    for (int i = 0; i < p->plan->terms; i++) {
        const sw_product_term *t = &p->plan->term[i];
        double ln = p->ln_constant[i];
        for (int k = 0; k < t->unknowns; k++)
            ln += t->count[k] * x[t->unknown[k]];
        double m = p->molality[i] = exp(fmin(ln, 200));
        l -= m;
        for (int k = 0; k < t->unknowns; k++) {
            p->residual[t->unknown[k]] -= t->count[k] * m;
            p->size[t->unknown[k]] += fabs(t->count[k]) * m;
        }
    }
    return l;
}

static double worst_residual(const problem *p)
{
    double worst = 0;
    for (int j = 0; j < p->plan->unknowns; j++)
        if (!p->pinned[j])
            worst = fmax(worst, fabs(p->residual[j]) / p->size[j]);
    return worst;
}

/* Minus the second derivative of L, scaled to a unit diagonal, and nothing
 * beside it of what is pinned. */
static void set_hessian(problem *p, double *scale)
{
    size_t n = (size_t)p->plan->unknowns;
    memset(p->hessian, 0, n * n * sizeof *p->hessian);
    for (int i = 0; i < p->plan->terms; i++) {
        const sw_product_term *t = &p->plan->term[i];
        for (int k = 0; k < t->unknowns; k++)
            for (int h = 0; h < t->unknowns; h++)
                p->hessian[(size_t)t->unknown[k] * n + (size_t)t->unknown[h]] +=
                    t->count[k] * t->count[h] * p->molality[i];
    }
    for (size_t j = 0; j < n; j++)
        scale[j] = p->pinned[j] ? 0 : 1 / sqrt(p->hessian[j * n + j]);
    for (size_t j = 0; j < n; j++)
        for (size_t k = 0; k < n; k++)
            p->hessian[j * n + k] *= scale[j] * scale[k];
    for (size_t j = 0; j < n; j++)
        p->hessian[j * n + j] = 1 + 1e-13; /* positive when nearly singular */
}

/* `right` divided by minus the second derivative of L. */
static sw_status divide(problem *p, double *right, sw_error *error)
{
    double scale[SW_UNKNOWN_MAX];
    size_t n = (size_t)p->plan->unknowns;
    set_hessian(p, scale);
    for (size_t j = 0; j < n; j++)
        right[j] *= scale[j];
    gsl_matrix_view a = gsl_matrix_view_array(p->hessian, n, n);
    gsl_vector_view b = gsl_vector_view_array(right, n);
    int code = gsl_linalg_cholesky_decomp1(&a.matrix);
    if (code == GSL_SUCCESS)
        code = gsl_linalg_cholesky_svx(&a.matrix, &b.vector);
    if (code != GSL_SUCCESS)
        return sw_fail(error, SW_BAD_EQUILIBRIUM_SINGULAR, gsl_strerror(code));
    for (size_t j = 0; j < n; j++)
        right[j] *= scale[j];
    return SW_OK;
}

/* The Newton step, no entry longer than SW_MAX_STEP; its slope of L. */
static sw_status newton_step(problem *p, double *slope, sw_error *error)
{
    size_t n = (size_t)p->plan->unknowns;
    memcpy(p->step, p->residual, n * sizeof *p->step);
    sw_status status = divide(p, p->step, error);
    double longest = 0;
    for (size_t j = 0; j < n; j++)
        longest = fmax(longest, fabs(p->step[j]));
    *slope = 0;
    for (size_t j = 0; j < n; j++) {
        if (longest > SW_MAX_STEP)
            p->step[j] *= SW_MAX_STEP / longest;
        *slope += p->step[j] * p->residual[j];
    }
    return status;
}

/* Halves the step until L rises as it should (Armijo), but for rounding. */
static double walk(problem *p, double l, double slope)
{
    double trial[SW_UNKNOWN_MAX];
    int unknowns = p->plan->unknowns;
    double rounding = 1e-14 * fabs(l);
    double next = l;
    double length = 1;
    for (int j = 0; j < unknowns; j++)
        rounding += 1e-14 * p->size[j] * (1 + fabs(p->x[j]));
    for (int halvings = 0; halvings < MAX_HALVINGS; halvings++) {
        for (int j = 0; j < unknowns; j++)
            trial[j] = p->x[j] + length * p->step[j];
        next = evaluate(p, trial);
        if (next >= l + 1e-4 * length * slope - rounding)
            break;
        length /= 2;
    }
    memcpy(p->x, trial, (size_t)unknowns * sizeof *trial);
    return next;
}

static sw_status maximise(problem *p, sw_error *error)
{
    double l = evaluate(p, p->x);
    for (int round = 0; round < MAX_NEWTON; round++) {
        double slope = 0;
        if (worst_residual(p) < SW_BALANCED)
            return SW_OK;
        sw_status status = newton_step(p, &slope, error);
        if (status != SW_OK)
            return status;
        l = walk(p, l, slope);
    }
    return sw_fail(error, SW_BAD_EQUILIBRIUM_UNBALANCED, worst_residual(p));
}

/* ---- The ionic strength ------------------------------------------------- */

static double ionic_strength_of(const problem *p)
{
    double sum = p->lanes.alone[0];
    for (int i = 0; i < p->plan->terms; i++)
        sum += p->plan->term[i].half_z2 * p->molality[i];
    return sum;
}

/* The ionic strength of the solution solved at one, minus that one. */
static sw_status excess(double ionic_strength, void *context, double *y,
                        sw_error *error)
{
    problem *p = context;
    set_constants(p, ionic_strength);
    sw_status status = maximise(p, error);
    if (status == SW_OK)
        *y = ionic_strength_of(p) - ionic_strength;
    return status;
}

static double first_guess(const sw_speciation *s)
{
    double sum = 1e-7 + 0.5 * fabs(s->totals.alkalinity_eq_per_kg);
    if (s->warm)
        return s->ionic_strength;
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++) {
        int z = sw_master_charge((sw_master)m);
        sum += 0.5 * z * z * s->totals.mol_per_kg[m];
    }
    return fmin(sum, SW_MAX_IONIC);
}

/*
 * Bounds of the ionic strength.  The solution's own strength answers weakly
 * to the one assumed, so a few steps from the guess suffice; `width` widens.
 */
static sw_status bracket(problem *p, double *low, double *high, sw_error *error)
{
    double here = first_guess(p->s);
    double gap;
    double width = 1e-9;
    *low = 0;
    *high = HUGE_VAL;
    for (int round = 0; round < MAX_BRACKET; round++) {
        sw_status status = excess(here, p, &gap, error);
        if (status != SW_OK)
            return status;
        bool settled = fabs(gap) <= SETTLED * here;
        if (gap >= 0 || settled)
            *low = here;
        if (gap <= 0 || settled)
            *high = here;
        if (*low > 0 && *high < HUGE_VAL)
            return SW_OK;
        if (*low >= SW_MAX_IONIC)
            break;
        width = fmax(4 * width, 0.25 * fabs(gap) / here);
        here = gap > 0 ? fmin((here + gap) * (1 + width), SW_MAX_IONIC)
                       : (here + gap) / (1 + width);
    }
    return sw_fail(error, SW_BAD_IONIC_STRENGTH, SW_MAX_IONIC);
}

static sw_status settle(problem *p, sw_error *error)
{
    double low;
    double high;
    double gap;
    if (p->s->ln_gamma) {
        set_constants(p, 0);
        return maximise(p, error);
    }
    sw_status status = bracket(p, &low, &high, error);
    if (status != SW_OK)
        return status;
    double root = low;
    if (low < high) {
        sw_search search = {excess, p, low, high, SETTLED};
        status = sw_root_find(&search, &root, error);
    }
    if (status == SW_OK)
        status = excess(root, p, &gap, error);
    p->s->ionic_strength = root;
    return status;
}

/* ---- In and out --------------------------------------------------------- */

static void start(problem *p)
{
    const sw_speciation *s = p->s;
    sw_lanes *lanes = &p->lanes;
    sw_lanes_ask(lanes, s);
    lanes->wants_slope = false;
    sw_lanes_put(lanes, 0, s);
    sw_lanes_prepare(lanes, 1);
    p->plan = &lanes->plan;
    p->proton = p->plan->unknowns - 1;
    for (int j = 0; j <= p->proton; j++) {
        p->x[j] = lanes->ln_activity[j][0];
        p->pinned[j] = j == p->proton
                           ? s->ph_given
                           : s->carbon_open && j == p->plan->place[SW_AT_CO3];
    }
    if (!s->warm && !s->ph_given)
        p->x[p->proton] = -7 * SW_LN10;
}

static void finish(problem *p)
{
    for (int j = 0; j < p->plan->unknowns; j++)
        p->lanes.ln_activity[j][0] = p->x[j];
    for (int i = 0; i < p->plan->terms; i++)
        p->lanes.molality[i][0] = p->molality[i];
    p->lanes.ionic_strength[0] = p->s->ionic_strength;
    p->lanes.residual[0] = worst_residual(p);
    sw_lanes_take(&p->lanes, 0, p->s);
}

sw_status sw_speciate_surely(sw_speciation *s, sw_error *error)
{
    problem p;
    p.s = s;
    gsl_set_error_handler_off();
    start(&p);
    sw_status status = settle(&p, error);
    if (status == SW_OK)
        finish(&p);
    return status;
}
