/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Saturation indices, and the pH at which each solid reaches saturation: a
 * sweep over the pH finds the intervals, the kernel the points.
 */
#include "chemistry/saturation.h"

#include <math.h>
#include <stddef.h>

#include "quantity/status.h"
#include "chemistry/lanes.h"
#include "chemistry/root.h"

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

SW_TEXTS(sw_solid_name, sw_solid, NULL, SW_SOLID_LIST(SW_LIST_TEXT))

#define SW_SOLID_FORMULA(code, name, formula) formula,
SW_TEXTS(sw_solid_formula, sw_solid, NULL, SW_SOLID_LIST(SW_SOLID_FORMULA))

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
    return sw_ln_saturation(s, &s->constants->solid[solid]) / SW_LN10;
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

/* As far as it can be found. */
static sw_status sweep_ph(const sw_speciation *start, sweep *swept,
                          sw_error *error)
{
    sw_speciation *all[SWEEP_POINTS];
    for (int k = 0; k < SWEEP_POINTS; k++) {
        all[k] = &swept->at[k];
        swept->at[k] = *start;
        swept->at[k].ph = LOWEST_PH + k * SWEEP_STEP;
    }
    sw_status status = sw_speciate_all(all, SWEEP_POINTS, error);
    swept->count = 0;
    while (swept->count < SWEEP_POINTS && swept->at[swept->count].warm)
        swept->count++;
    return status == SW_ERR_VALUE ? SW_OK : status;
}

/* Where a solid's index rises through 0: between two points of the sweep. */
typedef struct crossing {
    int solid, below;
} crossing;

static int find_crossings(const sweep *swept, crossing *found)
{
    int count = 0;
    for (int solid = 0; solid < SW_SOLID_COUNT; solid++)
        for (int k = 0; k + 1 < swept->count; k++)
            if (index_of(&swept->at[k], solid) < 0 &&
                index_of(&swept->at[k + 1], solid) >= 0) {
                found[count++] = (crossing){solid, k};
                break;
            }
    return count;
}

/* Between two speciations, so far as the index has risen. */
static sw_speciation between(const sweep *swept, const crossing *at)
{
    const sw_speciation *low = &swept->at[at->below];
    const sw_speciation *high = low + 1;
    sw_speciation s = *low;
    double below = index_of(low, at->solid);
    double part = below / (below - index_of(high, at->solid));
    s.ph += part * (high->ph - low->ph);
    s.ionic_strength += part * (high->ionic_strength - low->ionic_strength);
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++)
        if (isfinite(s.ln_activity[m]))
            s.ln_activity[m] +=
                part * (high->ln_activity[m] - low->ln_activity[m]);
    return s;
}

static sw_status search(const sweep *swept, const crossing *at, double *ph,
                        sw_error *error)
{
    const sw_speciation *low = &swept->at[at->below];
    seen view = {*low, at->solid};
    sw_search search = {index_at, &view, low->ph, low[1].ph, PH_TOLERANCE};
    return sw_root_find(&search, ph, error);
}

/* As many as there are lanes, at once; any that the kernel loses by Brent. */
static sw_status find_onsets(const sweep *swept, const crossing *at, int count,
                             double *ph, sw_error *error)
{
    sw_lanes lanes;
    sw_status status = SW_OK;
    sw_lanes_ask(&lanes, &swept->at[0]);
    lanes.closing = SW_INDEX_ZERO;
    lanes.warm = true;
    lanes.count = count;
    for (int l = 0; l < count; l++) {
        sw_speciation s = between(swept, &at[l]);
        sw_lanes_put(&lanes, l, &s);
        sw_lanes_aim(&lanes, l, &s.constants->solid[at[l].solid]);
    }
    sw_lanes_solve(&lanes);
    for (int l = 0; l < count && status == SW_OK; l++) {
        const sw_speciation *low = &swept->at[at[l].below];
        double found = sw_lanes_ph(&lanes, l);
        ph[at[l].solid] = found;
        if (!lanes.found[l] || found < low->ph || found > low[1].ph)
            status = search(swept, &at[l], &ph[at[l].solid], error);
    }
    return status;
}

/* As they are solved, but where iron is to change its state. */
sw_status sw_saturation_indices(const sw_speciation *solved, size_t count,
                                double (*index)[SW_SOLID_COUNT],
                                sw_error *error)
{
    sw_speciation here[SW_LANES], *cold[SW_LANES] = {NULL};
    size_t asked = 0;
    for (size_t k = 0; k < count; k++) {
        here[k] = held(&solved[k]);
        if (!here[k].warm)
            cold[asked++] = &here[k];
    }
    sw_status status = sw_speciate_all(cold, asked, error);
    for (size_t k = 0; k < count && status == SW_OK; k++)
        for (int i = 0; i < SW_SOLID_COUNT; i++)
            index[k][i] = index_of(&here[k], i);
    return status;
}

sw_status sw_saturation_onsets(const sw_speciation *solved,
                               double ph[SW_SOLID_COUNT], sw_error *error)
{
    sweep swept;
    crossing at[SW_SOLID_COUNT];
    sw_speciation here = held(solved);
    here.warm = false;
    for (int i = 0; i < SW_SOLID_COUNT; i++)
        ph[i] = NAN;
    sw_status status = sweep_ph(&here, &swept, error);
    int count = status == SW_OK ? find_crossings(&swept, at) : 0;
    for (int k = 0; k < count && status == SW_OK; k += SW_LANES)
        status =
            find_onsets(&swept, &at[k],
                        count - k < SW_LANES ? count - k : SW_LANES, ph, error);
    return status;
}
