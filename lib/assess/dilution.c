/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The share of purified water that brings a water to a published limit.
 * Methods: reference/methods.md, Assess.
 */
#include "assess/dilution.h"

#include "quantity/components.h"
#include "quantity/status.h"
#include "quantity/units.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_poly.h>
#include <gsl/gsl_roots.h>
#include <math.h>
#include <string.h>

static const double share_tolerance = 1e-6;
enum { MOST_ITERATIONS = 100 };

/* The share at which a line from `water` to `purified` passes `limit`. */
static double linear_share(double water, double purified, double limit)
{
    double share = (water - limit) / (water - purified);
    return share >= 0.0 && share <= 1.0 ? share : NAN;
}

static double hardness_meq_per_l(const sw_content *c)
{
    return c->amount[SW_CA] * sw_meq_per_mg(SW_CA) +
           c->amount[SW_MG] * sw_meq_per_mg(SW_MG);
}

/* Na(s)^2 = limit^2 hardness(s) / 2, both linear in the share s. */
static double sar_share(const sw_dilution *d, double limit)
{
    double na = d->facts->per_l->amount[SW_NA] * sw_meq_per_mg(SW_NA);
    double na_step = d->purified->amount[SW_NA] * sw_meq_per_mg(SW_NA) - na;
    double hard = hardness_meq_per_l(d->facts->per_l);
    double hard_step = hardness_meq_per_l(d->purified) - hard;
    double half = limit * limit / 2.0;
    double root[2] = {NAN, NAN};
    int count = gsl_poly_solve_quadratic(
        na_step * na_step, 2.0 * na * na_step - half * hard_step,
        na * na - half * hard, &root[0], &root[1]);
    for (int i = 0; i < count; i++)
        if (root[i] >= 0.0 && root[i] <= 1.0)
            return root[i];
    return NAN;
}

typedef struct ec_blend {
    const sw_dilution *dilution;
    double scale; /* measured over reckoned, of the water itself */
    double limit;
    sw_status status;
    sw_error *error;
} ec_blend;

static double blend_ec(const ec_blend *b, double share, sw_status *status)
{
    sw_content blend = {{0}};
    sw_chemistry chemistry;
    sw_content_add(&blend, 1.0 - share, b->dilution->facts->per_l);
    sw_content_add(&blend, share, b->dilution->purified);
    *status = sw_equilibrate(&blend, b->dilution->conditions, SW_CARBONATE_KEPT,
                             &chemistry, b->error);
    return *status == SW_OK ? chemistry.ec_ms_per_cm : NAN;
}

static double ec_above_limit(double share, void *parameters)
{
    ec_blend *b = parameters;
    sw_status status;
    double ec = blend_ec(b, share, &status);
    if (status != SW_OK)
        b->status = status;
    return b->scale * ec - b->limit;
}

static sw_status find_root(ec_blend *b, double *share, sw_error *error)
{
    gsl_function f = {ec_above_limit, b};
    gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    if (!solver)
        return sw_fail_memory(error);
    int code = gsl_root_fsolver_set(solver, &f, 0.0, 1.0);
    for (int i = 0; code == GSL_SUCCESS && i < MOST_ITERATIONS; i++) {
        code = gsl_root_fsolver_iterate(solver);
        *share = gsl_root_fsolver_root(solver);
        if (gsl_root_test_interval(gsl_root_fsolver_x_lower(solver),
                                   gsl_root_fsolver_x_upper(solver), 0.0,
                                   share_tolerance) == GSL_SUCCESS)
            break;
    }
    gsl_root_fsolver_free(solver);
    if (b->status != SW_OK)
        return b->status;
    return code == GSL_SUCCESS
               ? SW_OK
               : sw_fail(error, SW_ERR_NUMERIC,
                         "no share of purified water found for the EC");
}

static sw_status ec_share(const sw_dilution *d, double limit, double *share,
                          sw_error *error)
{
    ec_blend b = {.dilution = d, .limit = limit, .error = error};
    sw_status status;
    double own = blend_ec(&b, 0.0, &status);
    if (status == SW_ERR_VALUE)
        return SW_OK; /* a brine beyond the chemistry: not known */
    if (status != SW_OK)
        return status;
    b.scale = d->facts->ec_ms_per_cm / own;
    if (ec_above_limit(1.0, &b) > 0.0)
        return b.status; /* even purified water has more */
    return find_root(&b, share, error);
}

/* In the row's unit; what purified water is not known to hold is zero. */
static double purified_value(const sw_dilution *d, const sw_guideline_row *row)
{
    sw_parameter p;
    if (sw_parameter_find(row->name, &p, NULL) != SW_OK)
        return 0.0;
    if (p.kind == SW_READS_COMPONENT)
        return d->purified->amount[p.component];
    if (p.kind == SW_READS_ALKALINITY)
        return d->purified->amount[SW_ALKALINITY] * row->value /
               d->facts->per_l->amount[SW_ALKALINITY];
    return 0.0;
}

sw_status sw_dilution_share(const sw_dilution *dilution, sw_guideline_row *row,
                            sw_error *error)
{
    row->purified_share = NAN;
    gsl_set_error_handler_off();
    if (row->below || row->fitness == SW_FIT || !strcmp(row->name, "pH"))
        return SW_OK;
    if (!strcmp(row->name, "EC"))
        return ec_share(dilution, row->caution, &row->purified_share, error);
    if (!strcmp(row->name, "SAR"))
        row->purified_share = sar_share(dilution, row->caution);
    else
        row->purified_share = linear_share(
            row->value, purified_value(dilution, row), row->caution);
    return SW_OK;
}
