/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Newton on the ln activities of the masters and the ionic strength at once,
 * SW_WIDTH solutions side by side.  The build compiles this file once for each
 * width, without fused multiply-adds: each lane does the same arithmetic in all
 * of them.  reference/methods.md, Chemistry, derives it.
 */
#include <float.h>
#include <math.h>
#include <string.h>

#include "chemistry/kernel_start.h"

enum { MAX_ROUNDS = 60 };

static const double MAX_IONIC = 4; /* mol/kg, on the way; who asks for more is
                                      given up */
/* A solution whose strength rises nearly as fast as what is assumed of it is
 * still led the right way. */
static const double LEAST_ANSWER = 0.05;

/* ---- Balances ----------------------------------------------------------- */

static inline v dot(const work *w, const v *one, const v *other)
{
    v sum = all(0);
    for (int j = 0; j < w->plan->unknowns; j++)
        sum += one[j] * other[j];
    return sum;
}

/* ln of the solid's saturation. */
static inline v index_of(const work *w)
{
    return w->goal_constant + dot(w, w->goal, w->x);
}

/* Of what is assumed over the solution's own. */
static inline v excess_strength(const work *w)
{
    return w->ionic - w->alone - w->strength;
}

/* A balance over the sizes of its terms, of which only protons' have signs. */
static inline v off_by(const work *w, int unknown)
{
    v size = unknown == w->proton
                 ? w->protons
                 : 2 * w->total[unknown] - w->residual[unknown];
    return size_of(w->residual[unknown]) / or_one(size);
}

/* a(H2O), of which carbon that follows has a share in its species. */
static inline v water_left(const work *w)
{
    return w->water + SW_WATER_PER_MOL * w->residual[w->carbon];
}

static inline void demand(work *w, v off)
{
    w->worst = larger(off, w->worst);
    w->settled &= WHERE(off <= SW_BALANCED);
}

static inline void measure(work *w)
{
    w->worst = all(0);
    w->settled = ~(mask){0};
    demand(w, size_of(excess_strength(w)) / w->ionic);
    for (int j = 0; j < w->plan->unknowns; j++)
        if (!is_pinned(w, j))
            demand(w, off_by(w, j));
    if (w->lanes->closing == SW_INDEX_ZERO)
        demand(w, size_of(index_of(w)));
    if (w->lanes->closing == SW_CARBON_FOLLOWS) {
        demand(w, off_by(w, w->proton));
        demand(w, size_of(water_left(w) - w->water_power[SW_POWER_MAX + 1]));
    }
    v excess = excess_strength(w);
    w->lost |= ~WHERE(excess >= 0) &
               (WHERE(w->ionic >= MAX_IONIC) | ~WHERE(excess < 0));
}

/* ---- The Hessian -------------------------------------------------------- */

static inline v ligand_pair(const work *w, int one, int other)
{
    return one > other ? w->ligand[one][other] : w->ligand[other][one];
}

/* How the balances answer to an unknown that is pinned. */
static inline void copy_column(const work *w, int pinned, v *column)
{
    int metals = w->plan->metals;
    for (int c = 0; c < metals; c++)
        column[c] = w->arrow[c][pinned - metals];
    for (int j = metals; j < w->plan->unknowns; j++)
        column[j] = ligand_pair(w, j - metals, pinned - metals);
}

/* Only ligands ever are. */
static inline void drop_pinned(work *w)
{
    int metals = w->plan->metals;
    for (int j = metals; j < w->plan->unknowns; j++) {
        if (!is_pinned(w, j))
            continue;
        for (int c = 0; c < metals; c++)
            w->arrow[c][j - metals] = all(0);
        for (int k = metals; k < w->plan->unknowns; k++)
            w->ligand[(k > j ? k : j) - metals][(k > j ? j : k) - metals] =
                all(0);
    }
}

/* Eliminates the metals, then L D L' of what is left of the ligands.  What is
 * absent or pinned has a diagonal of one and nothing beside. */
static inline void factorise(work *w)
{
    const sw_plan *plan = w->plan;
    int ligands = plan->unknowns - plan->metals;
    drop_pinned(w);
    for (int j = 0; j < ligands; j++)
        w->ligand[j][j] = or_one(w->ligand[j][j]) * (1 + 4 * DBL_EPSILON);
    for (int c = 0; c < plan->metals; c++) {
        w->metal[c] = 1 / or_one(w->metal[c]);
        for (int j = 0; j < ligands; j++) {
            v share = w->arrow[c][j] * w->metal[c];
            for (int k = 0; k <= j; k++)
                w->ligand[j][k] -= share * w->arrow[c][k];
        }
    }
    for (int j = 0; j < ligands; j++) {
        v scaled[SW_LIGAND_MAX];
        v d = w->ligand[j][j];
        for (int k = 0; k < j; k++) {
            scaled[k] = w->ligand[j][k] * w->ligand[k][k];
            d -= w->ligand[j][k] * scaled[k];
        }
        w->ligand[j][j] = d;
        w->pivot[j] = 1 / d;
        for (int i = j + 1; i < ligands; i++) {
            v x = w->ligand[i][j];
            for (int k = 0; k < j; k++)
                x -= w->ligand[i][k] * scaled[k];
            w->ligand[i][j] = x * w->pivot[j];
        }
    }
}

/* `of` divided by the Hessian into `right`; 0 at what is pinned. */
static inline void divide(const work *w, const v *of, v *right)
{
    const sw_plan *plan = w->plan;
    memmove(right, of, (size_t)plan->unknowns * sizeof *right);
    int ligands = plan->unknowns - plan->metals;
    v *b = right + plan->metals;
    for (int j = 0; j < plan->unknowns; j++)
        if (is_pinned(w, j))
            right[j] = all(0);
    for (int c = 0; c < plan->metals; c++) {
        v share = right[c] * w->metal[c];
        for (int j = 0; j < ligands; j++)
            b[j] -= w->arrow[c][j] * share;
    }
    for (int j = 0; j < ligands; j++) {
        v sum = b[j];
        for (int k = 0; k < j; k++)
            sum -= w->ligand[j][k] * b[k];
        b[j] = sum;
    }
    for (int j = ligands - 1; j >= 0; j--) {
        v sum = b[j] * w->pivot[j];
        for (int i = j + 1; i < ligands; i++)
            sum -= w->ligand[i][j] * b[i];
        b[j] = sum;
    }
    for (int c = 0; c < plan->metals; c++) {
        v sum = right[c];
        for (int j = 0; j < ligands; j++)
            sum -= w->arrow[c][j] * b[j];
        right[c] = sum * w->metal[c];
    }
}

/* ---- The step ----------------------------------------------------------- */

/*
 * The equation that a border adds: row . dx + by_strength dI + by_border dz =
 * right.  The row has nothing at what is pinned, since dx has not.
 */
typedef struct equation {
    v row[SW_UNKNOWN_MAX];
    v by_strength, by_border, right;
} equation;

static inline equation closing_of(const work *w)
{
    equation e;
    if (w->lanes->closing == SW_INDEX_ZERO) {
        memcpy(e.row, w->goal, sizeof e.row);
        e.by_strength = all(0);
        e.by_border = w->goal[w->border];
        e.right = -index_of(w);
    } else {
        copy_column(w, w->proton, e.row);
        e.by_strength = w->by_strength[w->proton];
        e.by_border = e.row[w->border];
        e.right = w->residual[w->proton];
    }
    return e;
}

/* Steps of all unknowns, of the ionic strength, and of the border. */
typedef struct change {
    v x[SW_UNKNOWN_MAX], ionic;
} change;

/*
 * H dx + by_strength dI + column dz = residual, beside to_strength . dx +
 * (strength_bend - 1) dI + to_strength[border] dz = excess of I, and the
 * closing: dx is eliminated, and dI and dz follow from two equations.
 */
static inline void find_change(work *w, change *out)
{
    v along[SW_UNKNOWN_MAX], beside[SW_UNKNOWN_MAX];
    v border = all(0);
    equation e = {.by_strength = all(0)};
    bool bordered = w->border >= 0;
    if (bordered) {
        e = closing_of(w);
        copy_column(w, w->border, beside);
    }
    factorise(w);
    divide(w, w->residual, out->x);
    divide(w, w->by_strength, along);
    v right = excess_strength(w) - dot(w, w->to_strength, out->x);
    v by_ionic = w->strength_bend - 1 - dot(w, w->to_strength, along);
    if (bordered) {
        divide(w, beside, beside);
        v by_border =
            w->to_strength[w->border] - dot(w, w->to_strength, beside);
        v other = e.by_strength - dot(w, e.row, along);
        v own = e.by_border - dot(w, e.row, beside);
        v rest = e.right - dot(w, e.row, out->x);
        v scale = 1 / (by_ionic * own - by_border * other);
        border =
            within((by_ionic * rest - other * right) * scale, all(SW_MAX_STEP));
        out->ionic = (right * own - by_border * rest) * scale;
    } else {
        out->ionic = right / smaller(by_ionic, all(-LEAST_ANSWER));
    }
    out->ionic = larger(smaller(out->ionic, w->ionic), -0.5 * w->ionic);
    for (int j = 0; j < w->plan->unknowns; j++) {
        out->x[j] -= along[j] * out->ionic;
        if (bordered)
            out->x[j] -= beside[j] * border;
    }
    if (bordered)
        out->x[w->border] = border;
}

/* No ln activity moves by more than SW_MAX_STEP; lanes that are done stay. */
static inline void move(work *w, const change *by)
{
    v longest = all(SW_MAX_STEP);
    for (int j = 0; j < w->plan->unknowns; j++)
        longest = larger(size_of(by->x[j]), longest);
    mask done = w->settled | w->lost;
    v length = pick(done, all(0), SW_MAX_STEP / longest);
    if (w->lanes->closing == SW_CARBON_FOLLOWS)
        set_powers(w->water_power, SW_POWER_MAX,
                   pick(done, w->water_power[SW_POWER_MAX + 1], water_left(w)));
    w->ionic = smaller(w->ionic + length * by->ionic, all(MAX_IONIC));
    for (int j = 0; j < w->plan->unknowns; j++)
        w->x[j] += length * by->x[j];
}

static inline void iterate(work *w)
{
    for (int round = 0; round < MAX_ROUNDS; round++) {
        change by;
        add_up(w);
        measure(w);
        if (!any(~(w->settled | w->lost)))
            return;
        find_change(w, &by);
        move(w, &by);
    }
}

/* ---- The slope of the alkalinity ---------------------------------------- */

/* Sums over the species, their share of a(H2O) in each. */
typedef struct watered {
    v by_unknown[SW_UNKNOWN_MAX], strength, protons;
} watered;

static inline void add_water(const work *w, watered *sum)
{
    memset(sum, 0, sizeof *sum);
    for (int i = 0; i < w->plan->terms; i++) {
        const sw_product_term *t = &w->plan->term[i];
        v m = t->water * w->molality[i];
        sum->strength += t->half_z2 * m;
        sum->protons += t->protons * m;
        for (int k = 0; k < t->unknowns && t->water != 0; k++)
            sum->by_unknown[t->unknown[k]] += t->count[k] * m;
    }
}

/*
 * What more of a total does to the alkalinity at the pH: the system of
 * find_change with the total's rise on its right, and with the fall of a(H2O)
 * that goes with any solute.
 */
static inline void find_slopes(work *w, sw_lanes *out, int first)
{
    v protons[SW_UNKNOWN_MAX], strength[SW_UNKNOWN_MAX];
    v along[SW_UNKNOWN_MAX], column[SW_UNKNOWN_MAX] = {all(0)};
    watered wet;
    add_water(w, &wet);
    copy_column(w, w->proton, column);
    factorise(w);
    divide(w, column, protons);
    divide(w, w->to_strength, strength);
    divide(w, w->by_strength, along);
    v loss = -SW_WATER_PER_MOL / w->water;
    v by_ionic = w->by_strength[w->proton] - dot(w, column, along);
    v by_water = loss * (wet.protons - dot(w, protons, wet.by_unknown));
    v to_water = loss * (wet.strength - dot(w, strength, wet.by_unknown));
    v damping = 1 / (1 - w->strength_bend + dot(w, w->to_strength, along));
    for (int m = 0; m < (int)SW_MASTER_COUNT; m++) {
        int j = w->plan->place[m];
        v ionic = damping *
                  (to_water + (j < 0 ? all(w->plan->half_z2[m]) : strength[j]));
        v own = j < 0 ? all(0) : protons[j];
        store(&out->slope[m][first], -(own + by_ionic * ionic + by_water));
    }
}

/* ---- In and out --------------------------------------------------------- */

static inline void read_lanes(work *w, const sw_lanes *in, int first)
{
    w->plan = &in->plan;
    w->lanes = in;
    w->proton = w->plan->unknowns - 1;
    w->carbon = w->plan->place[SW_AT_CO3];
    w->border = in->closing == SW_INDEX_ZERO       ? w->proton
                : in->closing == SW_CARBON_FOLLOWS ? w->carbon
                                                   : -1;
    for (int j = 0; j < w->plan->unknowns; j++) {
        w->total[j] = load(&in->total[j][first]);
        w->goal[j] = load(&in->goal[j][first]);
        w->x[j] = load(&in->ln_activity[j][first]);
    }
    w->goal_constant = load(&in->goal_constant[first]);
    w->lost = (mask){0};
    w->alone = load(&in->alone[first]);
    w->ionic = load(&in->ionic_strength[first]);
    w->water = load(&in->water[first]);
    set_powers(w->water_power, SW_POWER_MAX, w->water);
}

static inline void write_lanes(const work *w, sw_lanes *out, int first)
{
    for (int j = 0; j < w->plan->unknowns; j++)
        store(&out->ln_activity[j][first], w->x[j]);
    for (int i = 0; i < w->plan->terms; i++)
        store(&out->molality[i][first], w->molality[i]);
    store(&out->ionic_strength[first], w->ionic);
    store(&out->residual[first], w->worst);
    mask found = w->settled & ~w->lost & WHERE(w->ionic <= SW_MAX_IONIC);
    for (int l = 0; l < SW_WIDTH; l++)
        out->found[first + l] = at(&found, l);
}

void SW_KERNEL(sw_lanes *lanes, int first)
{
    work w;
    read_lanes(&w, lanes, first);
    if (!lanes->warm)
        start_cold(&w);
    iterate(&w);
    write_lanes(&w, lanes, first);
    if (lanes->wants_slope)
        find_slopes(&w, lanes, first);
}
