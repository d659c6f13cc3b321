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
#include "chemistry/speciate.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <string.h>

#include "chemistry/root.h"
#include "quantity/status.h"
#include "table_refusals.h"

enum {
    MAX_UNKNOWNS = SW_MASTER_COUNT + 1,
    MAX_NEWTON = 400,
    MAX_BRACKET = 60,
    MAX_DESCENT = 6,
    MAX_HALVINGS = 20
};

static const double BALANCED = 1e-12; /* relative; 1e-10 is promised */
static const double MAX_STEP = 4;     /* of ln activity */
static const double SETTLED = 1e-11;  /* relative, of the ionic strength */

/* A species as the solve needs it; `unknown` indexes the unknowns. */
typedef struct term {
    int unknowns;
    int unknown[4];
    double count[4];
    double ln_constant; /* all that does not depend on the unknowns */
    double molality;
} term;

typedef struct problem {
    sw_speciation *s;
    int place[SW_MASTER_COUNT]; /* of a master among the unknowns; -1: none */
    int proton;                 /* place of the proton; -1: pH is given */
    int count;                  /* unknowns */
    double x[MAX_UNKNOWNS];
    double total[MAX_UNKNOWNS];
    double residual[MAX_UNKNOWNS];
    double size[MAX_UNKNOWNS]; /* sum of the sizes of the terms */
    double hessian[MAX_UNKNOWNS * MAX_UNKNOWNS];
    double step[MAX_UNKNOWNS];
    int active[SW_SPECIES_MAX]; /* species all of whose parts are there */
    term terms[SW_SPECIES_MAX];
    int term_count;
} problem;

/* ---- Setting up --------------------------------------------------------- */

static bool is_there(const sw_speciation *s, sw_master master)
{
    return s->totals.mol_per_kg[master] > 0 ||
           (master == SW_AT_CO3 && s->carbon_open);
}

static void place_unknowns(problem *p)
{
    const sw_speciation *s = p->s;
    p->count = 0;
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++) {
        bool open = m == SW_AT_CO3 && s->carbon_open;
        p->place[m] = -1;
        if (!is_there(s, (sw_master)m) || open)
            continue;
        p->place[m] = p->count;
        p->total[p->count++] = s->totals.mol_per_kg[m];
    }
    p->proton = s->ph_given ? -1 : p->count;
    if (!s->ph_given)
        p->total[p->count++] = -s->totals.alkalinity_eq_per_kg;
}

static bool is_active(const sw_speciation *s, int i)
{
    const sw_species *species = &s->constants->species[i];
    if (s->ln_gamma && isnan(s->ln_gamma[i]))
        return false;
    for (int k = 0; k < species->parts; k++)
        if (!is_there(s, species->part[k]))
            return false;
    return true;
}

static void add_unknown(term *t, int unknown, double count)
{
    t->unknown[t->unknowns] = unknown;
    t->count[t->unknowns++] = count;
}

static void make_term(const problem *p, const sw_species *species, term *t)
{
    t->unknowns = 0;
    for (int k = 0; k < species->parts; k++)
        if (p->place[species->part[k]] >= 0)
            add_unknown(t, p->place[species->part[k]], species->count[k]);
    if (species->protons != 0 && p->proton >= 0)
        add_unknown(t, p->proton, species->protons);
}

static void make_terms(problem *p)
{
    const sw_constants *c = p->s->constants;
    p->term_count = 0;
    for (int i = 0; i < c->species_count; i++)
        if (is_active(p->s, i)) {
            p->active[p->term_count] = i;
            make_term(p, &c->species[i], &p->terms[p->term_count++]);
        }
}

/* ln constants of the terms at one ionic strength. */
static void set_constants(problem *p, double ionic_strength)
{
    const sw_speciation *s = p->s;
    for (int i = 0; i < p->term_count; i++) {
        const sw_species *species = &s->constants->species[p->active[i]];
        double ln_gamma =
            s->ln_gamma ? s->ln_gamma[p->active[i]]
                        : sw_ln_gamma(s->constants, species, ionic_strength);
        double ln = species->ln_beta + species->water * s->ln_water - ln_gamma;
        if (s->carbon_open)
            for (int k = 0; k < species->parts; k++)
                if (species->part[k] == SW_AT_CO3)
                    ln += species->count[k] * s->ln_co2;
        if (s->ph_given)
            ln -= species->protons * s->ph * SW_LN10;
        p->terms[i].ln_constant = ln;
    }
}

/* ---- The concave problem ------------------------------------------------ */

/* Molalities, residuals and L at x. */
static double evaluate(problem *p, const double *x)
{
    double l = 0;
    for (int j = 0; j < p->count; j++) {
        p->residual[j] = p->total[j];
        p->size[j] = fabs(p->total[j]);
        l += p->total[j] * x[j];
    }
    for (int i = 0; i < p->term_count; i++) {
        term *t = &p->terms[i];
        double ln = t->ln_constant;
        for (int k = 0; k < t->unknowns; k++)
            ln += t->count[k] * x[t->unknown[k]];
        t->molality = exp(fmin(ln, 200));
        l -= t->molality;
        for (int k = 0; k < t->unknowns; k++) {
            p->residual[t->unknown[k]] -= t->count[k] * t->molality;
            p->size[t->unknown[k]] += fabs(t->count[k]) * t->molality;
        }
    }
    return l;
}

static double worst_residual(const problem *p)
{
    double worst = 0;
    for (int j = 0; j < p->count; j++)
        worst = fmax(worst, fabs(p->residual[j]) / p->size[j]);
    return worst;
}

/* Minus the second derivative of L, scaled to a unit diagonal. */
static void set_hessian(problem *p, double *scale)
{
    size_t n = (size_t)p->count;
    memset(p->hessian, 0, n * n * sizeof *p->hessian);
    for (int i = 0; i < p->term_count; i++) {
        const term *t = &p->terms[i];
        for (int k = 0; k < t->unknowns; k++)
            for (int h = 0; h < t->unknowns; h++)
                p->hessian[(size_t)t->unknown[k] * n + (size_t)t->unknown[h]] +=
                    t->count[k] * t->count[h] * t->molality;
    }
    for (size_t j = 0; j < n; j++)
        scale[j] = 1 / sqrt(p->hessian[j * n + j]);
    for (size_t j = 0; j < n; j++)
        for (size_t k = 0; k < n; k++)
            p->hessian[j * n + k] *= scale[j] * scale[k];
    for (size_t j = 0; j < n; j++)
        p->hessian[j * n + j] = 1 + 1e-13; /* positive when nearly singular */
}

/* `right` divided by minus the second derivative of L. */
static sw_status divide(problem *p, double *right, sw_error *error)
{
    double scale[MAX_UNKNOWNS];
    size_t n = (size_t)p->count;
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

/* The Newton step, no entry longer than MAX_STEP; its slope of L. */
static sw_status newton_step(problem *p, double *slope, sw_error *error)
{
    size_t n = (size_t)p->count;
    memcpy(p->step, p->residual, n * sizeof *p->step);
    sw_status status = divide(p, p->step, error);
    double longest = 0;
    for (size_t j = 0; j < n; j++)
        longest = fmax(longest, fabs(p->step[j]));
    *slope = 0;
    for (size_t j = 0; j < n; j++) {
        if (longest > MAX_STEP)
            p->step[j] *= MAX_STEP / longest;
        *slope += p->step[j] * p->residual[j];
    }
    return status;
}

/* Halves the step until L rises as it should (Armijo), but for rounding. */
static double walk(problem *p, double l, double slope)
{
    double trial[MAX_UNKNOWNS];
    double rounding = 1e-14 * fabs(l);
    double next = l;
    double length = 1;
    for (int j = 0; j < p->count; j++)
        rounding += 1e-14 * p->size[j] * (1 + fabs(p->x[j]));
    for (int halvings = 0; halvings < MAX_HALVINGS; halvings++) {
        for (int j = 0; j < p->count; j++)
            trial[j] = p->x[j] + length * p->step[j];
        next = evaluate(p, trial);
        if (next >= l + 1e-4 * length * slope - rounding)
            break;
        length /= 2;
    }
    memcpy(p->x, trial, (size_t)p->count * sizeof *trial);
    return next;
}

/*
 * From a cold start the masters are far too plentiful in their complexes;
 * halving the excess of each in turn saves Newton its slow descent.
 */
static void come_down(problem *p)
{
    for (int round = 0; round < MAX_DESCENT; round++) {
        evaluate(p, p->x);
        for (int j = 0; j < p->count; j++) {
            double surplus = p->size[j] / p->total[j] - 1;
            if (j != p->proton && surplus > 1)
                p->x[j] -= log(surplus) / 2;
        }
    }
}

static sw_status maximise(problem *p, sw_error *error)
{
    double l = evaluate(p, p->x);
    for (int round = 0; round < MAX_NEWTON; round++) {
        double slope = 0;
        if (worst_residual(p) < BALANCED)
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
    double sum = 0;
    for (int i = 0; i < p->term_count; i++) {
        int z = p->s->constants->species[p->active[i]].charge;
        sum += 0.5 * z * z * p->terms[i].molality;
    }
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
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++)
        if (p->place[m] >= 0)
            p->x[p->place[m]] =
                s->warm ? s->ln_activity[m] : log(s->totals.mol_per_kg[m]) - 1;
    if (p->proton >= 0)
        p->x[p->proton] = -SW_LN10 * (s->warm ? s->ph : 7);
}

static void finish(problem *p)
{
    sw_speciation *s = p->s;
    memset(s->molality, 0, sizeof s->molality);
    s->alkalinity = 0;
    for (int i = 0; i < p->term_count; i++) {
        double molality = p->terms[i].molality;
        s->molality[p->active[i]] = molality;
        s->alkalinity -= s->constants->species[p->active[i]].protons * molality;
    }
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++)
        s->ln_activity[m] = p->place[m] < 0 ? -HUGE_VAL : p->x[p->place[m]];
    if (s->carbon_open)
        s->ln_activity[SW_AT_CO3] = s->ln_co2;
    if (p->proton >= 0)
        s->ph = -p->x[p->proton] / SW_LN10;
    s->residual = worst_residual(p);
    s->warm = true;
}

sw_status sw_speciate_surely(sw_speciation *s, sw_error *error)
{
    problem p;
    p.s = s;
    gsl_set_error_handler_off();
    place_unknowns(&p);
    make_terms(&p);
    start(&p);
    if (!s->warm) {
        set_constants(&p, first_guess(s));
        come_down(&p);
    }
    sw_status status = settle(&p, error);
    if (status == SW_OK)
        finish(&p);
    return status;
}
