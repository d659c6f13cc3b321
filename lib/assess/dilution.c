/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The share of purified water that brings a water to a published limit.
 * Methods: reference/methods.md, Assess.
 */
#include "assess/audit.h"

#include "chemistry/equilibrate.h"
#include "chemistry/root.h"
#include "quantity/components.h"
#include "quantity/units.h"

#include <gsl/gsl_poly.h>
#include <math.h>
#include <string.h>

static const double share_tolerance = 1e-6;

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
    double scale; /* measured over calculated, of the water itself */
    double limit;
} ec_blend;

static sw_status ec_above_limit(double share, void *context, double *ec,
                                sw_error *error)
{
    const ec_blend *b = context;
    const sw_dilution *d = b->dilution;
    sw_content blend = {{0}};
    sw_chemistry chemistry = {.ec_ms_per_cm = NAN};
    sw_content_add(&blend, 1.0 - share, d->facts->per_l);
    sw_content_add(&blend, share, d->purified);
    sw_status status = sw_equilibrate_briefly(
        &blend, d->conditions, SW_CARBONATE_KEPT, &chemistry, error);
    *ec = b->scale * chemistry.ec_ms_per_cm - b->limit;
    return status;
}

static sw_status ec_share(const sw_dilution *d, double limit, double *share,
                          sw_error *error)
{
    double own, purest;
    ec_blend b = {.dilution = d, .scale = 1.0};
    sw_status status = ec_above_limit(0.0, &b, &own, error);
    if (status == SW_ERR_VALUE)
        return SW_OK; /* a brine beyond the chemistry: not known */
    if (status != SW_OK)
        return status;
    b.scale = d->facts->ec_ms_per_cm / own;
    b.limit = limit;
    status = ec_above_limit(1.0, &b, &purest, error);
    if (status != SW_OK || purest > 0.0)
        return status; /* even purified water has more */
    sw_search search = {ec_above_limit, &b, 0.0, 1.0, share_tolerance};
    return sw_root_find(&search, share, error);
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
    if (row->below || row->fitness == SW_FIT || row->soil ||
        !strcmp(row->name, "pH"))
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
