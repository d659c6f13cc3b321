/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The share of purified water that brings a water to a published limit.
 * Methods: reference/methods.md, Assess.
 */
#include "assess/audit.h"

#include "chemistry/equilibrate.h"
#include "chemistry/root.h"
#include "quantity/units.h"

#include <math.h>
#include <string.h>

static const double share_tolerance = 1e-6;

/* The share at which a line from `water` to `purified` passes `limit`. */
static double linear_share(double water, double purified, double limit)
{
    double share = (water - limit) / (water - purified);
    return share >= 0.0 && share <= 1.0 ? share : NAN;
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
    row->purified_share =
        linear_share(row->value, purified_value(dilution, row), row->caution);
    return SW_OK;
}
