/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Saturation indices, and the pH at which each solid reaches saturation: a
 * sweep over the pH finds the intervals, Brent's method the points.
 */
#include "chemistry/saturation.h"

#include <math.h>
#include <stddef.h>

#include "chemistry/root.h"

static const double LN10 = 2.302585092994046;
static const double LOWEST_PH = 3;
static const double SWEEP_STEP = 1;
static const double PH_TOLERANCE = 1e-4; /* relative */

enum { SWEEP_POINTS = 9 }; /* pH 3 to 11 */

typedef struct sweep {
    sw_speciation at[SWEEP_POINTS];
    int count; /* fewer where carbonate grows beyond the activity model */
} sweep;

/*
 * What comes down within days is one of the other calcium phosphates; and by
 * the constant of the manganese phosphate every feed is oversaturated ten to a
 * thousand times.
 */
bool sw_seldom_forms(sw_solid solid)
{
    return solid == SW_HYDROXYAPATITE || solid == SW_MANGANESE_PHOSPHATE;
}

const char *sw_solid_name(sw_solid solid)
{
    static const char *const names[] = {
#define SW_SOLID_NAME(code, name, formula) name,
        SW_SOLID_LIST(SW_SOLID_NAME)
#undef SW_SOLID_NAME
    };
    return solid < SW_SOLID_COUNT ? names[solid] : NULL;
}

const char *sw_solid_formula(sw_solid solid)
{
    static const char *const formulas[] = {
#define SW_SOLID_FORMULA(code, name, formula) formula,
        SW_SOLID_LIST(SW_SOLID_FORMULA)
#undef SW_SOLID_FORMULA
    };
    return solid < SW_SOLID_COUNT ? formulas[solid] : NULL;
}

/* The same solution held at a pH, its iron as Fe(III). */
static sw_speciation held(const sw_speciation *solved)
{
    sw_speciation s = *solved;
    double iron = s.totals.mol_per_kg[SW_AT_Fe2];
    s.ph_given = true;
    if (iron > 0) {
        s.totals.mol_per_kg[SW_AT_Fe3] = iron;
        s.totals.mol_per_kg[SW_AT_Fe2] = 0;
        s.warm = false;
    }
    return s;
}

static double index_of(const sw_speciation *s, int solid)
{
    return sw_ln_saturation(s, &s->constants->solid[solid]) / LN10;
}

typedef struct seen {
    sw_speciation s;
    int solid;
} seen;

static sw_status index_at(double ph, void *context, double *y, sw_error *error)
{
    seen *view = context;
    view->s.ph = ph;
    sw_status status = sw_speciate(&view->s, error);
    if (status == SW_OK)
        *y = index_of(&view->s, view->solid);
    return status;
}

static sw_status sweep_ph(const sw_speciation *start, sweep *swept,
                          sw_error *error)
{
    sw_speciation s = *start;
    for (swept->count = 0; swept->count < SWEEP_POINTS; swept->count++) {
        s.ph = LOWEST_PH + swept->count * SWEEP_STEP;
        sw_status status = sw_speciate(&s, error);
        if (status == SW_ERR_VALUE)
            return SW_OK;
        if (status != SW_OK)
            return status;
        swept->at[swept->count] = s;
    }
    return SW_OK;
}

static sw_status find_onset(const sweep *swept, int solid, double *ph,
                            sw_error *error)
{
    const sw_speciation *at = swept->at;
    *ph = NAN;
    for (int k = 0; k + 1 < swept->count; k++)
        if (index_of(&at[k], solid) < 0 && index_of(&at[k + 1], solid) >= 0) {
            seen view = {at[k], solid};
            sw_search search = {index_at, &view, at[k].ph, at[k + 1].ph,
                                PH_TOLERANCE};
            return sw_root_find(&search, ph, error);
        }
    return SW_OK;
}

sw_status sw_saturation_indices(const sw_speciation *solved,
                                double index[SW_SOLID_COUNT], sw_error *error)
{
    sw_speciation here = held(solved);
    sw_status status = sw_speciate(&here, error);
    for (int i = 0; i < SW_SOLID_COUNT && status == SW_OK; i++)
        index[i] = index_of(&here, i);
    return status;
}

sw_status sw_saturation_onsets(const sw_speciation *solved,
                               double ph[SW_SOLID_COUNT], sw_error *error)
{
    sweep swept;
    sw_speciation here = held(solved);
    sw_status status = sweep_ph(&here, &swept, error);
    for (int i = 0; i < SW_SOLID_COUNT && status == SW_OK; i++)
        status = find_onset(&swept, i, &ph[i], error);
    return status;
}
